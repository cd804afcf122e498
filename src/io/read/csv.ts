import Papa from 'papaparse';
import { fail, ok, type Note } from '../../domain/base/result.ts';
import { tableOf } from '../../domain/base/table.ts';
import { decodeText } from './text.ts';
import type { Format } from './types.ts';

const MOST_NOTED = 5;

/** Tables of text: comma, semicolon or tab; cells as written ("007" stays "007"). */
export const csv: Format = {
  id: 'csv',
  title: 'CSV',
  extensions: ['csv', 'tsv', 'txt'],
  recognises(head, name) {
    if (!/\.(csv|tsv|txt)$/i.test(name) || head.length === 0) return false;
    // An error page, or another file of markup, that was saved under the name of a table.
    if (/^\s*<(!doctype|html|\?xml|kml|gpx)/i.test(decodeText(head).text)) return false;
    const utf16 = (head[0] === 0xff && head[1] === 0xfe) || (head[0] === 0xfe && head[1] === 0xff);
    return utf16 || !head.includes(0);
  },
  async read(source) {
    const bytes = await source.readAll();
    if (!bytes.ok) return bytes;
    const { text, notes } = decodeText(bytes.value, source.name);
    if (text.includes('\0'))
      return fail(
        'format',
        source.name,
        'is not a text table (it holds binary zeros)',
        'Export it again as CSV in UTF-8.',
      );
    const parsed = Papa.parse<string[]>(text, {
      skipEmptyLines: 'greedy',
      delimitersToGuess: [',', ';', '\t', '|'],
    });
    const [header, ...body] = parsed.data;
    if (!header || header.every((c) => c.trim() === ''))
      return fail('content', source.name, 'is an empty table', 'Give a table with a header row.');
    const columns = header.map((c, i) => c.trim() || `column ${i + 1}`);
    const found: Note[] = [...notes];
    const quotes = parsed.errors.find((e) => e.type === 'Quotes');
    if (quotes)
      found.push({
        where: `${source.name}, row ${(quotes.row ?? 0) + 1}`,
        what: 'has a quotation mark that is not closed; what follows may be in the wrong cells',
      });
    let ragged = 0;
    const rows = body.map((row, i) => {
      if (row.length === columns.length) return row;
      ragged++;
      if (ragged <= MOST_NOTED)
        found.push({
          where: `${source.name}, row ${i + 2}`,
          what: `has ${row.length} cells where the header has ${columns.length}`,
        });
      return row.length > columns.length
        ? row.slice(0, columns.length)
        : [...row, ...new Array<string>(columns.length - row.length).fill('')];
    });
    if (ragged > MOST_NOTED)
      found.push({
        where: source.name,
        what: `has ${ragged - MOST_NOTED} more rows with too few or too many cells`,
      });
    return ok({
      file: source.name,
      format: 'CSV',
      content: { kind: 'table', table: tableOf(columns, rows) },
      crs: null,
      extent: null,
      count: rows.length,
      notes: found,
    });
  },
};
