import { ok } from '../../domain/base/result.ts';
import { zoneIndex } from '../../domain/layers/zones.ts';
import { csvRow } from '../../io/write/csv.ts';
import { one, optional, readOptions } from '../arguments.ts';
import { openPoints } from '../open.ts';
import type { Verb } from '../verb.ts';
import { openZones } from '../zones.ts';

/** Points a piece of output: a million in one string would cost more than the finding. */
const PIECE = 10_000;

export const locate: Verb = {
  name: 'locate',
  usage: 'locate --zones F --key FIELD --points F',
  help: [
    'Which zone holds each point; null outside all of them. Where zones overlap, the first in the file.',
    'Points: a table with columns of positions, or any readable kind of points.',
    'JSON: {points:[{id, zone}]} in input order; zone is the key.',
  ].join('\n'),
  async run(args, work) {
    const options = readOptions('locate', args, ['zones', 'key', 'points']);
    if (!options.ok) return options;
    const zonesPath = one(options.value, 'locate', 'zones');
    if (!zonesPath.ok) return zonesPath;
    const pointsPath = one(options.value, 'locate', 'points');
    if (!pointsPath.ok) return pointsPath;
    const read = await openZones(zonesPath.value, optional(options.value, 'key'), { work });
    if (!read.ok) return read;
    const points = await openPoints(pointsPath.value);
    if (!points.ok) return points;
    const { id, lon, lat } = points.value;
    const found = zoneIndex(read.value.zones).zonesOf(lon, lat);
    const keys = read.value.zones.map((z) => z.key);
    const quoted = keys.map((k) => JSON.stringify(k));
    const row = (i: number): string => csvRow([id[i], found[i] < 0 ? null : keys[found[i]]]);
    const record = (i: number): string =>
      `{"id":${JSON.stringify(id[i])},"zone":${found[i] < 0 ? 'null' : quoted[found[i]]}}`;
    return ok({
      json: null,
      lines: [],
      notes: read.value.notes,
      stream: (json) =>
        json
          ? pieces(id.length, record, '{"points":[\n', ',\n', '\n]}\n')
          : pieces(id.length, row, csvRow(['id', 'zone']), '', ''),
    });
  },
};

function* pieces(
  n: number,
  text: (i: number) => string,
  before: string,
  between: string,
  after: string,
): Generator<string> {
  let piece = before;
  for (let i = 0; i < n; i++) {
    piece += (i > 0 ? between : '') + text(i);
    if (i % PIECE === PIECE - 1) {
      yield piece;
      piece = '';
    }
  }
  yield piece + after;
}
