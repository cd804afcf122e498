/** From a projection's name and parameters, as WKT of either version or PROJJSON give them, to a PROJ string. */
import { plainName } from './crsNames.ts';

export interface Described {
  /** As the text names it; null for a geographic system. */
  readonly method: string | null;
  /** By plain name (crsNames.ts); degrees, metres, plain numbers. */
  readonly parameters: ReadonlyMap<string, number>;
  readonly a: number;
  /** Inverse flattening; 0: a sphere. */
  readonly rf: number;
  /** Degrees east of Greenwich. */
  readonly meridian: number;
  /** Metres in a unit of the coordinates. */
  readonly unit: number;
}

/** Parameters of PROJ by the names of OGC, ESRI and EPSG. */
const NAMES: ReadonlyArray<readonly [proj: string, names: readonly string[]]> = [
  [
    'lat_0',
    [
      'latitudeoforigin',
      'latitudeofnaturalorigin',
      'latitudeoffalseorigin',
      'latitudeofprojectioncentre',
      'latitudeofcenter',
      'latitudeofcentre',
      'centralparallel',
    ],
  ],
  [
    'lon_0',
    [
      'centralmeridian',
      'longitudeofnaturalorigin',
      'longitudeoffalseorigin',
      'longitudeoforigin',
      'longitudeofprojectioncentre',
      'longitudeofcenter',
      'longitudeofcentre',
      'straightverticallongitudefrompole',
    ],
  ],
  ['lat_1', ['standardparallel1', 'latitudeof1ststandardparallel', 'latitudeofstandardparallel']],
  ['lat_2', ['standardparallel2', 'latitudeof2ndstandardparallel']],
  [
    'k',
    [
      'scalefactor',
      'scalefactoratnaturalorigin',
      'scalefactoroninitialline',
      'scalefactoratprojectioncentre',
      'scalefactoronpseudostandardparallel',
    ],
  ],
  ['x_0', ['falseeasting', 'eastingatfalseorigin', 'eastingatprojectioncentre']],
  ['y_0', ['falsenorthing', 'northingatfalseorigin', 'northingatprojectioncentre']],
  ['alpha', ['azimuth', 'azimuthofinitialline', 'azimuthatprojectioncentre']],
  ['gamma', ['rectifiedgridangle', 'anglefromrectifiedtoskewgrid', 'xyplanerotation']],
];

type Values = Readonly<Record<string, number | undefined>>;
type Parts = Readonly<Record<string, number | undefined>>;
interface Built {
  readonly proj: string;
  readonly parts: Parts;
  /** The projection is that of a sphere of the ellipsoid's axis. */
  readonly sphere?: boolean;
}

const as =
  (proj: string, ...names: string[]) =>
  (v: Values): Built => ({ proj, parts: Object.fromEntries(names.map((n) => [n, v[n]])) });
const conic = (proj: string) => as(proj, 'lat_0', 'lon_0', 'lat_1', 'lat_2', 'k');
const oneParallel = (v: Values): Built => ({
  proj: 'lcc',
  parts: { lat_1: v['lat_0'], lat_0: v['lat_0'], lon_0: v['lon_0'], k: v['k'] },
});
const onSphere = (v: Values): Built => ({
  proj: 'merc',
  parts: { lon_0: v['lon_0'], lat_ts: v['lat_1'] },
  sphere: true,
});
/** A cylinder's latitude of true scale is its standard parallel. */
const cylinder =
  (proj: string, ...names: string[]) =>
  (v: Values): Built => ({
    proj,
    parts: { lat_ts: v['lat_1'], lon_0: v['lon_0'], ...Object.fromEntries(names.map((n) => [n, v[n]])) },
  });
const polar =
  (pole: (v: Values) => number, trueScale: (v: Values) => number | undefined) =>
  (v: Values): Built => ({
    proj: 'stere',
    parts: { lat_0: pole(v), lat_ts: trueScale(v), lon_0: v['lon_0'], k: v['k'] },
  });
const poleOf = (lat: number | undefined): number => ((lat ?? 90) < 0 ? -90 : 90);
const skew =
  (fromCentre: boolean) =>
  (v: Values): Built => {
    const { lat_0, lon_0, k, alpha, gamma } = v;
    // A line that runs east is the Swiss projection.
    if (fromCentre && Math.abs((alpha ?? 0) - 90) < 1e-9 && Math.abs((gamma ?? 90) - 90) < 1e-9)
      return { proj: 'somerc', parts: { lat_0, lon_0, k } };
    return {
      proj: fromCentre ? 'omerc' : 'omerc +no_uoff',
      parts: { lat_0, lonc: lon_0, k, alpha, gamma: gamma ?? alpha },
    };
  };

/** By plain names of OGC's WKT 1, ESRI and EPSG. What is not here is not known: a projection is never guessed. */
const METHODS: ReadonlyMap<string, (v: Values) => Built> = new Map(
  Object.entries({
    transversemercator: as('tmerc', 'lat_0', 'lon_0', 'k'),
    gausskruger: as('tmerc', 'lat_0', 'lon_0', 'k'),
    lambertconformalconic2sp: conic('lcc'),
    lambertconicconformal2sp: conic('lcc'),
    lambertconformalconic1sp: oneParallel,
    lambertconicconformal1sp: oneParallel,
    // ESRI has one name for both.
    lambertconformalconic: (v: Values): Built =>
      v['lat_2'] === undefined
        ? {
            proj: 'lcc',
            parts: { lat_1: v['lat_1'] ?? v['lat_0'], lat_0: v['lat_0'], lon_0: v['lon_0'], k: v['k'] },
          }
        : conic('lcc')(v),
    albersconicequalarea: conic('aea'),
    albersequalarea: conic('aea'),
    albers: conic('aea'),
    equidistantconic: conic('eqdc'),
    lambertazimuthalequalarea: as('laea', 'lat_0', 'lon_0'),
    azimuthalequidistant: as('aeqd', 'lat_0', 'lon_0'),
    mercator: cylinder('merc', 'k'),
    mercator1sp: cylinder('merc', 'k'),
    mercator2sp: cylinder('merc', 'k'),
    mercatorvarianta: cylinder('merc', 'k'),
    mercatorvariantb: cylinder('merc', 'k'),
    popularvisualisationpseudomercator: onSphere,
    mercatorauxiliarysphere: onSphere,
    polarstereographic: polar(
      (v) => poleOf(v['lat_0']),
      (v) => (Math.abs(v['lat_0'] ?? 90) === 90 ? undefined : v['lat_0']),
    ),
    polarstereographicvarianta: polar(
      (v) => poleOf(v['lat_0']),
      () => undefined,
    ),
    polarstereographicvariantb: polar(
      (v) => poleOf(v['lat_1']),
      (v) => v['lat_1'],
    ),
    stereographicnorthpole: polar(
      () => 90,
      (v) => v['lat_1'],
    ),
    stereographicsouthpole: polar(
      () => -90,
      (v) => v['lat_1'],
    ),
    obliquestereographic: as('sterea', 'lat_0', 'lon_0', 'k'),
    doublestereographic: as('sterea', 'lat_0', 'lon_0', 'k'),
    stereographic: as('stere', 'lat_0', 'lon_0', 'k'),
    hotineobliquemercator: skew(false),
    hotineobliquemercatorvarianta: skew(false),
    hotineobliquemercatorazimuthnaturalorigin: skew(false),
    rectifiedskeworthomorphicnaturalorigin: skew(false),
    hotineobliquemercatorazimuthcenter: skew(true),
    hotineobliquemercatorvariantb: skew(true),
    rectifiedskeworthomorphiccenter: skew(true),
    obliquemercator: skew(true),
    swissobliquecylindrical: as('somerc', 'lat_0', 'lon_0', 'k'),
    swissobliquemercator: as('somerc', 'lat_0', 'lon_0', 'k'),
    cassinisoldner: as('cass', 'lat_0', 'lon_0'),
    cassini: as('cass', 'lat_0', 'lon_0'),
    polyconic: as('poly', 'lat_0', 'lon_0'),
    americanpolyconic: as('poly', 'lat_0', 'lon_0'),
    sinusoidal: as('sinu', 'lon_0'),
    mollweide: as('moll', 'lon_0'),
    equirectangular: cylinder('eqc'),
    equidistantcylindrical: cylinder('eqc'),
    platecarree: cylinder('eqc'),
    cylindricalequalarea: cylinder('cea'),
    lambertcylindricalequalarea: cylinder('cea'),
  }),
);

/** The PROJ string, without anything of a datum but its figure; null where the projection is not known. */
export function projOf(system: Described): string | null {
  const { a, rf, meridian, unit } = system;
  const figure = rf === 0 ? `+a=${a} +b=${a}` : `+a=${a} +rf=${rf}`;
  const pm = meridian === 0 ? '' : ` +pm=${meridian}`;
  if (system.method === null) return `+proj=longlat ${figure}${pm} +no_defs`;
  const make = METHODS.get(plainName(system.method));
  if (!make) return null;
  const values: Record<string, number | undefined> = {};
  for (const [proj, names] of NAMES)
    values[proj] = names.map((n) => system.parameters.get(n)).find((v) => v !== undefined);
  const { proj, parts, sphere } = make(values);
  const text = Object.entries({ ...parts, x_0: values['x_0'], y_0: values['y_0'] })
    .filter(([, value]) => value !== undefined)
    .map(([name, value]) => `+${name}=${value}`);
  return (
    [
      `+proj=${proj}`,
      ...text,
      sphere ? `+a=${a} +b=${a}` : figure,
      unit === 1 ? '+units=m' : `+to_meter=${unit}`,
    ].join(' ') + `${pm} +no_defs`
  );
}
