import { fail, ok, type Failure } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { extentOf } from '../../domain/candidates/table/mends.ts';
import type { Opened } from '../../io/read/types.ts';
import { tablePlaces } from '../../jobs/handlers/tablePlaces.ts';
import { mendOpened } from '../../jobs/handlers/mendOpened.ts';
import { optional, readOptions } from '../arguments.ts';
import type { Verb } from '../verb.ts';
import { openPath } from '../open.ts';

/** Classes named in lines for a person; JSON has all. */
const MOST_CLASSES = 40;

export const inspect: Verb = {
  name: 'inspect',
  usage: 'inspect FILE... [--part NAME] [--crs X]',
  help: [
    'What each file holds, or why it cannot be used.',
    '--part: which table, sheet, variable or layer of the file; --crs: coordinate system to use instead of the file’s own.',
    'JSON: {files:[{file, ok, kind, format, crs, extent, count, part, parts, offers, classes, notes, error}]}; extent is west,',
    'south, east, north in degrees. parts: [{name, kind, count}] where there is more than one thing in the file. offers: mistakes of position',
    'that can be mended, [{mend, what, extent}]. classes: [{value, name, colour}] where a raster names its values.',
    'Exit code 2 if any file is refused.',
  ].join('\n'),
  async run(args, work) {
    const options = readOptions('inspect', args, ['part', 'crs']);
    if (!options.ok) return options;
    if (options.value.rest.length === 0)
      return fail('usage', 'inspect', 'no file is named', 'See kinstand inspect --help.');
    const [part, crs] = [optional(options.value, 'part'), optional(options.value, 'crs')];
    const reading = { ...(part === null ? {} : { part }), ...(crs === null ? {} : { crs }), work };
    const refused: Failure[] = [];
    const files: Array<Record<string, unknown>> = [];
    const lines: string[] = [];
    for (const file of options.value.rest) {
      const opened = await openPath(file, reading);
      if (!opened.ok) {
        refused.push(opened.failure);
        const { where, what, todo } = opened.failure;
        files.push({
          file,
          ok: false,
          kind: null,
          crs: null,
          extent: null,
          count: null,
          part: null,
          parts: [],
          offers: [],
          classes: [],
          notes: [],
          error: `${where}: ${what}. ${todo}`.trim(),
        });
        continue;
      }
      const { content, format, count, parts = [], classes = [] } = opened.value;
      const { extent, notes, offers } = await placed(mendOpened(opened.value), crs, work);
      const raster =
        content.kind === 'raster'
          ? {
              width: content.raster.width,
              height: content.raster.height,
              bands: content.raster.bands,
              cellMetres: content.raster.cellMetres,
            }
          : {};
      const columns = content.kind === 'table' ? { columns: content.table.columns } : {};
      files.push({
        file,
        ok: true,
        kind: content.kind,
        format,
        crs: opened.value.crs,
        extent,
        count,
        part: opened.value.part ?? null,
        parts,
        offers,
        classes,
        notes: notes.map((n) => `${n.where}: ${n.what}`),
        error: null,
        ...raster,
        ...columns,
      });
      lines.push(
        `${file}: ${format}, ${content.kind}, ${count} ${content.kind === 'raster' ? 'band(s)' : 'row(s)'}${opened.value.crs ? `, ${opened.value.crs}` : ''}${opened.value.part ? `, part ${opened.value.part}` : ''}`,
      );
      for (const p of parts.length > 1 ? parts : [])
        lines.push(`  part ${p.name}: ${p.kind}${p.count === null ? '' : `, ${p.count}`}`);
      for (const c of classes.slice(0, MOST_CLASSES)) lines.push(`  class ${c.value}: ${c.name}`);
      if (classes.length > MOST_CLASSES) lines.push(`  and ${classes.length - MOST_CLASSES} more classes`);
      for (const n of notes) lines.push(`  ${n.where}: ${n.what}`);
      for (const o of offers) if (!notes.some((n) => n.what === o.what)) lines.push(`  ${file}: ${o.what}`);
    }
    return ok({ json: { files }, lines, refused });
  },
};

type Placed = Required<Pick<Opened, 'extent' | 'notes' | 'offers'>>;

/** Extent, notes and offers; of a table by its rows, as the screen tells them. A table without positions is a table none the less. */
async function placed(opened: Opened, crs: string | null, work: Work): Promise<Placed> {
  const { content, extent, notes, offers = [], file } = opened;
  if (content.kind !== 'table') return { extent, notes, offers };
  const places = await tablePlaces(content.table, file, crs === null ? {} : { crs }, work);
  if (!places.ok) {
    const { where, what, todo } = places.failure;
    return { extent, notes: [...notes, { where, what: `${what}. ${todo}` }], offers };
  }
  const { lon, lat } = places.value;
  return {
    extent: extentOf(lon, lat),
    notes: [...notes, ...places.value.notes],
    offers: [...offers, ...places.value.offers],
  };
}
