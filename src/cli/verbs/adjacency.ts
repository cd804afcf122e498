import { fail, ok } from '../../domain/base/result.ts';
import { adjacency as adjacencyOf } from '../../domain/layers/adjacency.ts';
import { TANGLED } from '../../jobs/handlers/contacts.ts';
import { number, optional, readOptions } from '../arguments.ts';
import type { Verb } from '../verb.ts';
import { openZones } from '../zones.ts';

const DEFAULT_SNAP = '30';

export const adjacency: Verb = {
  name: 'adjacency',
  usage: 'adjacency FILE --key FIELD [--snap M] [--part NAME] [--crs X]',
  help: [
    'Which zones touch: along an edge, or at a corner alone. Polygons with one key are one zone.',
    `--snap: gaps and overlaps up to so many metres between neighbours count as a common edge (${DEFAULT_SNAP} unless given).`,
    '--part: which table or layer of the file; --crs: coordinate system to use instead of the file’s own.',
    'JSON: {pairs:[{a, b, kind:"edge"|"corner", length}]}; a and b are keys, length is metres of the common line (0 for a corner).',
  ].join('\n'),
  async run(args, work) {
    const options = readOptions('adjacency', args, ['key', 'snap', 'part', 'crs']);
    if (!options.ok) return options;
    const [file, more] = options.value.rest;
    if (file === undefined || more !== undefined)
      return fail('usage', 'adjacency', 'needs one file', 'See kinstand adjacency --help.');
    const snap = number(optional(options.value, 'snap') ?? DEFAULT_SNAP, 'adjacency', 'snap', 0);
    if (!snap.ok) return snap;
    const [part, crs] = [optional(options.value, 'part'), optional(options.value, 'crs')];
    const read = await openZones(file, optional(options.value, 'key'), {
      ...(part === null ? {} : { part }),
      ...(crs === null ? {} : { crs }),
      work,
    });
    if (!read.ok) return read;
    const { zones } = read.value;
    const touching = adjacencyOf(zones, snap.value);
    if (touching.gaveUp) return fail('content', file, TANGLED, 'Mend its outlines in another program.');
    const pairs = touching.pairs.map((p) => ({
      a: zones[p.a].key,
      b: zones[p.b].key,
      kind: p.contact,
      length: Number(p.sharedMetres.toFixed(2)),
    }));
    const notes = read.value.notes.map((n) => `${n.where}: ${n.what}`);
    return ok({
      json: { pairs, snap: snap.value, notes },
      lines: [...notes, 'a,b,kind,length', ...pairs.map((p) => [p.a, p.b, p.kind, p.length].join(','))],
    });
  },
};
