/** Columns of the ledger: what a cell says and what it is sorted by. */
import { PERMISSIONS, type Candidates } from '../../domain/candidates/candidates.ts';
import type { ScoutingDay, Stop } from '../../domain/scouting/types.ts';
import { OAKS } from '../../domain/species/species.ts';
import { ORIGIN_VERDICTS } from '../../domain/vetting/origin/types.ts';
import { ANSWERS } from '../../domain/vetting/rules/types.ts';
import { STANDINGS, type Vetting } from '../../domain/vetting/vetting.ts';
import type { Units } from '../../state/session.svelte.ts';
import { amount, clock, share, travel } from '../format.ts';

export interface Column {
  readonly title: string;
  readonly numeric: boolean;
  readonly text: (row: number) => string;
  readonly key: (row: number) => number | string;
}

const text = (title: string, of: (row: number) => string): Column => ({
  title,
  numeric: false,
  text: of,
  key: of,
});
const value = (title: string, key: (row: number) => number, show: (x: number) => string): Column => ({
  title,
  numeric: true,
  key,
  text: (row) => show(key(row)),
});

/** `every`: more than one species is listed. `heldBack`: only trees that something holds back, so the reason comes early. */
export function ledgerColumns(
  c: Candidates,
  v: Vetting | null,
  units: Units,
  every: boolean,
  heldBack: boolean,
): Column[] {
  const name = text('Name', (i) => c.text.name?.[i] || c.id[i]);
  const species = text('Species', (i) => OAKS[c.species[i]]?.common ?? c.speciesText[i]);
  const owner = text('Owner', (i) => c.text.owner?.[i] ?? '');
  const permission = text('Permission', (i) => PERMISSIONS[c.permission[i]]);
  const dbh = value(
    'Diameter',
    (i) => c.dbh[i],
    (x) => amount(x, 'diameter', units),
  );
  const id = text('Id', (i) => c.id[i]);
  if (!v || v.n !== c.n) return [id, name, species, dbh, owner, permission];
  const reasons = text('What holds it back', (i) => heldBackBy(v, i).join(', '));
  return [
    id,
    name,
    ...(every ? [species] : []),
    {
      title: 'Standing',
      numeric: false,
      text: (i) => STANDINGS[v.standing[i]] + (v.overridden[i] ? ' (override)' : ''),
      key: (i) => v.standing[i],
    },
    ...(heldBack ? [reasons] : []),
    value('Match', (i) => v.match?.match[i] ?? NaN, share),
    value('Origin', (i) => v.origin.probability[i], share),
    text('Origin verdict', (i) => ORIGIN_VERDICTS[v.origin.verdict[i]]),
    value(
      'Elevation',
      (i) => v.measures.elevation[i],
      (x) => amount(x, 'length', units),
    ),
    text('Zone', (i) => (v.measures.zone[i] < 0 ? '' : v.zones.keys[v.measures.zone[i]])),
    dbh,
    owner,
    permission,
    ...(heldBack ? [] : [reasons]),
  ];
}

/** What a row is as a stop of the day. */
export function stopColumns(day: ScoutingDay, units: Units): Column[] {
  const stops = new Map(day.stops.map((s) => [s.row, s]));
  const of = (what: (stop: Stop) => number) => (row: number) => {
    const stop = stops.get(row);
    return stop ? what(stop) : NaN;
  };
  const time = (t: number): string => (Number.isFinite(t) ? clock(t) : '—');
  return [
    value(
      'Arrive',
      of((s) => s.arrive),
      time,
    ),
    value(
      'Leave',
      of((s) => s.leave),
      time,
    ),
    value(
      'Travel',
      of((s) => s.travelMetres),
      (m) => travel(m, units),
    ),
  ];
}

/** Titles of the must rules that a candidate fails or that are unknown of it. */
export function heldBackBy(v: Vetting, row: number): string[] {
  const pass = ANSWERS.indexOf('pass');
  return v.findings.rules
    .filter((r) => r.strength === 'must' && r.answer[row] !== pass)
    .map((r) => r.title.toLowerCase());
}
