/** Opens one layer of the plan onto the desk: finds its reader, checks that it is what the definition says. */
import { layerDefinition } from '../../../layers/index.ts';
import { fail, ok, type Note, type Result } from '../../domain/base/result.ts';
import type { Table } from '../../domain/base/table.ts';
import type { Work } from '../../domain/base/work.ts';
import { zonesFrom } from '../../domain/layers/zones.ts';
import { uncounted } from '../../domain/layers/landcover.ts';
import { fromFileUnit } from '../../domain/layers/fileUnits.ts';
import { takes, type LayerDefinition } from '../../domain/layers/definition.ts';
import type { LayerEntry } from '../../domain/plan/schema.ts';
import { openSource } from '../../io/read/formats.ts';
import { tableGeometry } from '../../io/read/tables/tableGeometry.ts';
import type { Content, Opened } from '../../io/read/types.ts';
import type { Source } from '../../io/source.ts';
import type { RasterFigures } from '../protocol.ts';
import { candidatesIn } from './candidatesIn.ts';
import type { Desk, OpenLayer } from './desk.ts';
import { figuresOf } from './figures.ts';
import { mendOpened } from './mendOpened.ts';
import { readOptions } from './readOptions.ts';
import { yearsOnly } from './yearsOnly.ts';

const KIND_WORDS: Readonly<Record<Content['kind'], string>> = {
  raster: 'a raster',
  polygon: 'polygons',
  line: 'lines',
  point: 'points',
  table: 'a table',
};

/** Puts the layer on the desk in place of one with the same id. A failure leaves the desk as it was. */
export async function openLayer(
  desk: Desk,
  entry: LayerEntry,
  source: Source,
  work: Work,
): Promise<Result<OpenLayer>> {
  const definition = layerDefinition(entry.definition);
  if (!definition) {
    return fail(
      'plan',
      entry.title ?? entry.id,
      `has the definition "${entry.definition}", which is not known`,
      'Choose another kind of layer.',
    );
  }
  const file = await openSource(source, readOptions(entry, work));
  if (!file.ok) return file;
  const opened = await tableGeometry(file.value, entry.columns, entry.crs, work, entry.mend);
  if (!opened.ok) return opened;
  const content = opened.value.content;
  if (!takes(definition, content.kind)) {
    const wanted = KIND_WORDS[definition.geometry];
    return fail(
      'content',
      opened.value.file,
      `holds ${KIND_WORDS[content.kind]}, but ${definition.title.toLowerCase()} needs ${wanted}`,
      'Choose another kind of layer for this file.',
    );
  }
  if (content.kind === 'polygon') {
    work.progress?.(0, 1, 'outlines checked');
    await work.pause?.();
  }
  const layer = await understood(entry, definition, mendOpened(opened.value, entry.key), work);
  if (!layer.ok) return layer;
  forget(desk, entry.id);
  desk.layers.set(entry.id, layer.value);
  return layer;
}

/** Takes a layer off the desk, with all that was made of it. */
export function forget(desk: Desk, id: string): void {
  desk.layers.delete(id);
  desk.memo = new Map();
  desk.adjacency.clear();
}

async function understood(
  entry: LayerEntry,
  definition: LayerDefinition,
  opened: Opened,
  work: Work,
): Promise<Result<OpenLayer>> {
  const { content, file } = opened;
  const base = {
    entry,
    definition,
    opened,
    figures: null,
    zones: null,
    candidates: null,
    notes: opened.notes,
  };
  if (content.kind === 'raster') {
    if (entry.band > content.raster.bands.length) {
      return fail(
        'content',
        file,
        `has ${content.raster.bands.length} band(s), not ${entry.band}`,
        'Choose another band.',
      );
    }
    const unit = fromFileUnit(definition.unit, entry.unit);
    const inUnit = unit ? content.raster.inUnit(unit.factor, unit.offset) : content.raster;
    const raster = definition.unit === 'year' ? yearsOnly(inUnit) : inUnit;
    const figures = await figuresOf(raster, entry.band, definition.unit === 'class', work);
    if (!figures.ok) return figures;
    return ok({
      ...base,
      opened: { ...opened, content: { kind: 'raster', raster } },
      figures: figures.value,
      notes: [
        ...opened.notes,
        ...unknownUnit(definition, entry, file),
        ...implausible(definition, figures.value, file),
        ...foreignClasses(entry, definition, figures.value, opened),
      ],
    });
  }
  if (definition.id === 'zones' && content.kind === 'polygon') {
    const zones = zonesFrom(content.features, entry.key, entry.name, file);
    if (!zones.ok) return zones;
    return ok({ ...base, zones: zones.value.zones, notes: [...opened.notes, ...zones.value.notes] });
  }
  if (definition.id === 'candidates' || content.kind === 'table') {
    const read = await candidatesIn(content, entry, file, work);
    if (!read) return ok(base);
    if (!read.ok) return read;
    const { candidates, notes, offers } = read.value;
    const seen = offers.length > 0 ? { ...opened, offers: [...(opened.offers ?? []), ...offers] } : opened;
    if (definition.id === 'candidates')
      return ok({ ...base, opened: seen, candidates, notes: [...opened.notes, ...notes] });
    // Any other layer of points may come as a table too (an inventory): its rows are spots from here on.
    const cells = content.kind === 'table' ? cellsByLine(content.table) : null;
    const features = Array.from({ length: candidates.n }, (_, i) => ({
      lon: candidates.lon[i],
      lat: candidates.lat[i],
      attributes: {
        ...cells?.(candidates.text.row?.[i] ?? ''),
        id: candidates.id[i],
        species: candidates.speciesText[i],
      },
    }));
    return ok({
      ...base,
      opened: { ...seen, content: { kind: 'point', features } },
      notes: [...opened.notes, ...notes],
    });
  }
  return ok(base);
}

/** The filled cells of a row by the names of their columns; rows are asked for by their number in the file. */
function cellsByLine(table: Table): (line: string) => Record<string, string> {
  const rows = new Map(Array.from({ length: table.n }, (_, row) => [String(table.line(row)), row]));
  return (line) => {
    const row = rows.get(line);
    const cells: Record<string, string> = {};
    table.columns.forEach((name, column) => {
      const cell = row === undefined ? '' : table.cell(row, column).trim();
      if (cell !== '') cells[name] = cell;
    });
    return cells;
  };
}

/** A unit that is written down but not known changes nothing, which has to be said. */
function unknownUnit(definition: LayerDefinition, entry: LayerEntry, file: string): Note[] {
  const { unit } = definition;
  if (!entry.unit || entry.unit === (unit ?? '') || fromFileUnit(unit, entry.unit)) return [];
  return [
    {
      where: file,
      what: `its unit is written as "${entry.unit}", which is not known; its values are taken ${unit && unit !== '1' ? `in ${unit}` : 'as they stand'}`,
    },
  ];
}

function implausible(definition: LayerDefinition, seen: RasterFigures | null, file: string): Note[] {
  const limits = definition.range;
  const nothing =
    definition.unit === 'year' ? 'year from 1600 to 2100' : 'value at all (every cell is nodata)';
  if (!seen) return [{ where: file, what: `holds no ${nothing}` }];
  if (!limits || (seen.least >= limits[0] && seen.most <= limits[1])) return [];
  const unit = definition.unit && definition.unit !== 'class' ? ` ${definition.unit}` : '';
  return [
    {
      where: file,
      what: `holds values from ${round(seen.least)} to ${round(seen.most)}; ${definition.title.toLowerCase()} lies within ${limits[0]} and ${limits[1]}${unit}. Check the unit and the band`,
    },
  ];
}

/** Land cover whose values are not those of the legend by which ground is judged: said at once, and again when vetted. */
function foreignClasses(
  entry: LayerEntry,
  definition: LayerDefinition,
  seen: RasterFigures | null,
  { file, classes = [] }: Opened,
): Note[] {
  const what =
    definition.role === 'land cover' && seen !== null ? uncounted(entry, seen.classes, classes) : null;
  return what === null ? [] : [{ where: file, what }];
}

const round = (x: number): number => Number(x.toPrecision(4));
