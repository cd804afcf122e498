import type { Candidates } from '../../domain/candidates/candidates.ts';
import { probabilityOf } from '../../domain/vetting/origin/odds.ts';
import { pieceOf } from '../../domain/vetting/origin/pieces.ts';
import { ORIGIN_VERDICTS } from '../../domain/vetting/origin/types.ts';
import { sheetEvidence, type Weighed } from '../../domain/vetting/sheet.ts';
import type { Cell } from './csv.ts';
import { columnName, degrees, figure, speciesOf } from './vetting.ts';

/**
 * Origin of one candidate with all evidence on it, as a record for JSON. `odds` and `evidence_probability` are what the
 * evidence says; `probability` and `verdict` follow a decision on record where there is one (`decided`).
 */
export function originRecord(weighed: Weighed, candidates: Candidates, row: number): Record<string, unknown> {
  const { origin } = weighed;
  const decided = origin.decided[row];
  return {
    id: candidates.id[row],
    species: speciesOf(candidates, row),
    lon: degrees(candidates.lon[row]),
    lat: degrees(candidates.lat[row]),
    odds: figure(Math.exp(origin.logOdds[row])),
    evidence_probability: figure(probabilityOf(origin.logOdds[row])),
    probability: figure(origin.probability[row]),
    verdict: ORIGIN_VERDICTS[origin.verdict[row]],
    decided: decided === 0 ? null : decided === 1 ? 'natural' : 'planted',
    ...(decided === 0 ? {} : { decided_by: origin.decidedBy[row] }),
    themes: origin.themes[row],
    evidence: origin.evidence.flatMap((_, e) => {
      const found = sheetEvidence(weighed, candidates, e, row);
      if (!found) return [];
      return [
        {
          piece: found.piece,
          title: found.title,
          theme: found.theme,
          ...(found.word === '' ? { value: figure(found.value), unit: found.unit } : { word: found.word }),
          ratio: figure(Math.exp(found.logRatio)),
          counted: figure(Math.exp(found.counted)),
          ...(found.detail === '' ? {} : { detail: found.detail }),
          // null: it stands in the candidate's own record.
          from: found.provenance,
        },
      ];
    }),
    not_known: origin.evidence.flatMap((e) =>
      Number.isNaN(e.value[row]) && e.idle?.[row] !== 1 ? [e.piece] : [],
    ),
  };
}

/** Columns of the same as a table: for each piece its value, its ratio in the weight table, and what of it counted. */
export function originColumns(
  { origin }: Weighed,
  candidates: Candidates,
): Array<{ readonly name: string; readonly cell: (row: number) => Cell }> {
  return [
    { name: 'id', cell: (row) => candidates.id[row] },
    { name: 'species', cell: (row) => speciesOf(candidates, row) },
    { name: 'lon', cell: (row) => degrees(candidates.lon[row]) },
    { name: 'lat', cell: (row) => degrees(candidates.lat[row]) },
    { name: 'verdict', cell: (row) => ORIGIN_VERDICTS[origin.verdict[row]] },
    { name: 'probability', cell: (row) => figure(origin.probability[row]) },
    { name: 'decided_by', cell: (row) => origin.decidedBy[row] },
    { name: 'odds', cell: (row) => figure(Math.exp(origin.logOdds[row])) },
    { name: 'themes', cell: (row) => origin.themes[row] },
    ...origin.evidence.flatMap(({ piece, value, words, logRatio, counted }) => {
      const title = pieceOf(piece)?.title ?? piece;
      const name = columnName(title);
      const known = (row: number, x: number): Cell => (Number.isNaN(value[row]) ? null : figure(Math.exp(x)));
      return [
        {
          name: columnName(title, pieceOf(piece)?.unit),
          cell: (row: number) =>
            Number.isNaN(value[row]) ? null : words ? words[value[row]] : figure(value[row]),
        },
        { name: `${name}_ratio`, cell: (row: number) => known(row, logRatio[row]) },
        { name: `${name}_counted`, cell: (row: number) => known(row, counted[row]) },
      ];
    }),
    { name: 'weights', cell: () => origin.tableVersion },
  ];
}
