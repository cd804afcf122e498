import { ok, type Failure } from '../../domain/base/result.ts';
import { fail } from '../../domain/base/result.ts';
import { readOptions } from '../arguments.ts';
import type { Verb } from '../verb.ts';
import { openPath } from '../open.ts';

export const inspect: Verb = {
  name: 'inspect',
  usage: 'inspect FILE...',
  help: [
    'What each file holds, or why it cannot be used.',
    'JSON: {files:[{file, ok, kind, crs, extent, count, notes, error}]}; extent is west, south, east, north in degrees.',
    'Exit code 2 if any file is refused.',
  ].join('\n'),
  async run(args) {
    const options = readOptions('inspect', args, []);
    if (!options.ok) return options;
    if (options.value.rest.length === 0)
      return fail('usage', 'inspect', 'no file is named', 'See kinstand inspect --help.');
    const refused: Failure[] = [];
    const files: Array<Record<string, unknown>> = [];
    const lines: string[] = [];
    for (const file of options.value.rest) {
      const opened = await openPath(file);
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
          notes: [],
          error: `${where}: ${what}. ${todo}`.trim(),
        });
        continue;
      }
      const { content, format, crs, extent, count, notes } = opened.value;
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
        crs,
        extent,
        count,
        notes: notes.map((n) => `${n.where}: ${n.what}`),
        error: null,
        ...raster,
        ...columns,
      });
      lines.push(
        `${file}: ${format}, ${content.kind}, ${count} ${content.kind === 'raster' ? 'band(s)' : 'row(s)'}${crs ? `, ${crs}` : ''}`,
      );
      for (const n of notes) lines.push(`  ${n.where}: ${n.what}`);
    }
    return ok({ json: { files }, lines, refused });
  },
};
