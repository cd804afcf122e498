/** Looks into a file before it becomes a layer. */
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { openSource } from '../../io/read/formats.ts';
import type { Source } from '../../io/source.ts';
import type { Inspection, Reading } from '../protocol.ts';
import type { Desk } from './desk.ts';
import { figuresOf } from './figures.ts';
import { fileFacts } from './fileFacts.ts';
import { guessDefinition, guessDefinitions, guessPeriod } from './guess.ts';
import { readOptions } from './readOptions.ts';
import { keepLooked } from './survey.ts';

export async function inspectSource(
  desk: Desk,
  source: Source,
  reading: Reading,
  work: Work,
): Promise<Result<Inspection>> {
  const opened = await openSource(source, readOptions(reading, work));
  if (!opened.ok) return opened;
  // Choosing its columns asks for a table again and again.
  if (opened.value.content.kind === 'table') keepLooked(desk, source, reading, opened.value);
  const { file, format, crs, extent, count, notes } = opened.value;
  const facts = fileFacts(opened.value);
  const name = facts.part === '' ? file : `${file} ${facts.part}`;
  const { content } = opened.value;
  const band = content.kind === 'raster' ? Math.min(reading.band ?? 1, content.raster.bands.length) : 0;
  const figures =
    content.kind === 'raster'
      ? await figuresOf(content.raster, band, facts.classes.length > 0, work)
      : ok(null);
  if (!figures.ok) return figures;
  return ok({
    ...facts,
    figures: figures.value,
    file,
    format,
    crs,
    extent,
    count,
    notes,
    definitions: guessDefinitions(facts.kind, name, facts.fields),
    definition: guessDefinition(facts.kind, name, facts.fields),
    period: guessPeriod(name),
  });
}
