/** Names and colours of the classes of a raster, from an attribute table, names of categories, or a table of colours. */
import { hex } from './hex.ts';
import type { Opened } from '../types.ts';

type Classes = NonNullable<Opened['classes']>;

export interface AttributeColumn {
  readonly name: string;
  /** What the column is for, in GDAL's numbers (GDALRATFieldUsage); 0 where it is not said. */
  readonly usage: number;
  readonly cells: readonly string[];
}

const NAME = 2;
const MIN = 3;
const MIN_MAX = 5;
const COLOURS = [6, 7, 8] as const;
/** Names of columns in the tables that agencies bring with land cover, where their use is not said (common practice). */
const VALUE_NAMES = /^(value|code|class_?(value|code|id)|gridcode)$/i;
const NAME_NAMES = [/^(class_?names?|names?|labels?)$/i, /class|name|label|descr|type|legend|cover|veg/i];
const COLOUR_NAMES = [/^(r|red)$/i, /^(g|green)$/i, /^(b|blue)$/i];
/** More classes than any legend has. */
const MOST = 4096;

/** Rows with a whole number as their value and a name. Empty where the table has no such columns. */
export function classesFromTable(
  columns: readonly AttributeColumn[],
  colours: readonly string[] = [],
): Classes {
  const value =
    columns.find((c) => c.usage === MIN_MAX) ??
    columns.find((c) => VALUE_NAMES.test(c.name)) ??
    columns.find((c) => c.usage === MIN);
  if (!value) return [];
  const words = columns.filter((c) => c !== value && c.cells.some((cell) => /[^\s\d.,+-]/.test(cell)));
  const name =
    words.find((c) => c.usage === NAME) ??
    NAME_NAMES.map((pattern) => words.find((c) => pattern.test(c.name))).find((c) => c !== undefined) ??
    words[0];
  if (!name) return [];
  const parts = COLOURS.map(
    (usage, i) => columns.find((c) => c.usage === usage) ?? columns.find((c) => COLOUR_NAMES[i].test(c.name)),
  );
  // Some tables count colours from 0 to 1.
  const all = parts.flatMap((c) => c?.cells.map(Number) ?? []);
  const scale = all.some((x) => x > 1) || all.every((x) => Number.isInteger(x)) ? 1 : 255;
  const classes: Array<Classes[number]> = [];
  for (let i = 0; i < Math.min(value.cells.length, MOST); i++) {
    const code = Number(value.cells[i] === '' ? NaN : value.cells[i]);
    const title = name.cells[i];
    if (!Number.isInteger(code) || title === '') continue;
    const [r, g, b] = parts.map((c) => (c ? Number(c.cells[i]) * scale : NaN));
    const own = Number.isNaN(r + g + b) ? (colours[code] ?? null) : `#${hex(r)}${hex(g)}${hex(b)}`;
    classes.push({ value: code, name: title, colour: own });
  }
  return classes;
}

/** Names by position; a class without a name is left out. */
export function classesFromNames(names: readonly string[], colours: readonly string[] = []): Classes {
  return names
    .slice(0, MOST)
    .flatMap((name, value) => (name === '' ? [] : [{ value, name, colour: colours[value] ?? null }]));
}

/** Where only colours are given a class is named by its number. Black stands for values that are not used. */
export function classesFromColours(colours: readonly string[]): Classes {
  return colours
    .slice(0, MOST)
    .flatMap((colour, value) => (colour === '#000000' ? [] : [{ value, name: String(value), colour }]));
}
