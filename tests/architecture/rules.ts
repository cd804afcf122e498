/** Who may import whom (DEVELOPERS.md, "Rooms"), as dependency-cruiser rules. */
import type { IForbiddenRuleType } from 'dependency-cruiser';

/** Stages of domain/ in the order of the data path: a stage may import itself and the earlier ones. */
export const STAGES = ['base', 'species', 'layers', 'candidates', 'vetting', 'parents', 'scouting', 'plan'];

/** The record types of the plan are shared by all stages; its functions are not. */
const PLAN_TYPES = '^src/domain/plan/schema[.]ts$';

const ROOMS: Readonly<Record<string, readonly string[]>> = {
  domain: ['domain'],
  io: ['io', 'domain'],
  jobs: ['jobs', 'io', 'domain'],
  storage: ['storage', 'domain'],
  state: ['state', 'storage', 'jobs', 'domain'],
  map: ['map', 'domain'],
  ui: ['ui', 'state', 'map', 'domain'],
  cli: ['cli', 'jobs', 'io', 'domain'],
};

const LAYER_USERS = ['jobs', 'state', 'ui', 'cli', 'app'];

export function importRules(): IForbiddenRuleType[] {
  const rooms = Object.entries(ROOMS).map(([room, may]) => ({
    name: `${room}-imports-only-${may.join('-')}`,
    comment: `src/${room} may import ${may.join(', ')}; move what is shared into an earlier room.`,
    severity: 'error' as const,
    from: { path: `^src/${room}/` },
    to: { path: '^src/', pathNot: [`^src/(${may.join('|')})/`, '^src/types[.]d[.]ts$'] },
  }));
  const stages = STAGES.slice(0, -1).map((stage, i) => ({
    name: `domain-${stage}-imports-only-earlier-stages`,
    comment: `domain/${stage} may import only itself and ${STAGES.slice(0, i).join(', ') || 'nothing else'}.`,
    severity: 'error' as const,
    from: { path: `^src/domain/${stage}/` },
    to: { path: `^src/domain/(${STAGES.slice(i + 1).join('|')})/`, pathNot: PLAN_TYPES },
  }));
  return [
    { name: 'no-cycles', severity: 'error', from: {}, to: { circular: true } },
    {
      name: 'nothing-imports-app',
      severity: 'error',
      from: { path: '^(src/(?!app/)|layers/)' },
      to: { path: '^src/app/' },
    },
    ...rooms,
    ...stages,
    {
      name: 'plan-functions-are-last',
      comment: 'Earlier stages use the types of plan/schema.ts only.',
      severity: 'error',
      from: { path: `^src/domain/(${STAGES.slice(0, -1).join('|')})/` },
      to: { path: PLAN_TYPES, dependencyTypesNot: ['type-only'] },
    },
    {
      name: 'state-knows-only-the-client-of-jobs',
      severity: 'error',
      from: { path: '^src/state/' },
      to: { path: '^src/jobs/(handlers/|worker)' },
    },
    {
      name: 'layer-definitions-are-data',
      severity: 'error',
      from: { path: '^layers/' },
      to: { path: '^src/', pathNot: '^src/domain/(base|layers)/' },
    },
    {
      name: 'layers-used-by',
      severity: 'error',
      from: { path: '^src/', pathNot: `^src/(${LAYER_USERS.join('|')})/` },
      to: { path: '^layers/' },
    },
    {
      name: 'map-library-only-in-map',
      severity: 'error',
      from: { path: '^src/', pathNot: '^src/map/' },
      to: { path: 'maplibre-gl' },
    },
    {
      name: 'domain-libraries',
      comment: 'domain/ uses turf, flatbush, a geodesic and a schema library, nothing else.',
      severity: 'error',
      from: { path: '^(src/domain|layers)/' },
      to: { path: 'node_modules', pathNot: 'node_modules/(@turf/|flatbush|geographiclib-geodesic|valibot)' },
    },
    {
      name: 'node-only-in-cli',
      severity: 'error',
      from: { path: '^(src/(?!cli/)|layers/)' },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'no-screen-library-below-state',
      severity: 'error',
      from: { path: '^(src/(domain|io|jobs|storage|map|cli)|layers)/' },
      to: { path: 'node_modules/svelte' },
    },
    {
      name: 'resolvable',
      severity: 'error',
      from: {},
      to: { couldNotResolve: true, pathNot: '[?](url|worker)' },
    },
  ];
}
