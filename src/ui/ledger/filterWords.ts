/** What the filters on origin are called on screen, in metric units. */
import { layerDefinition } from '../../../layers/index.ts';
import { capital } from '../format.ts';
import { pieceTitle, type OriginFilter } from './rowFilter.ts';

const DECIDED = { statement: 'Decided by a statement', record: 'Decided by an inventory' } as const;

/** What a source of evidence is called: its layer, or the thing to record at the tree. */
export const sourceTitle = (definition: string, pieces: readonly string[]): string =>
  definition === ''
    ? pieces.map(pieceTitle).join(', ')
    : (layerDefinition(definition)?.title ?? pieces.map(pieceTitle).join(', '));

/** The chip of a filter. */
export function filterWords(f: OriginFilter): string {
  switch (f.kind) {
    case 'verdict':
      return capital(f.verdict);
    case 'decided':
      return DECIDED[f.how];
    case 'themes':
      return f.n === 1 ? '1 theme measured' : `${f.n} themes measured`;
    case 'says':
      return f.says === 'not known'
        ? `Not known: ${pieceTitle(f.piece)}`
        : f.says === 'even'
          ? `Even: ${pieceTitle(f.piece)}`
          : `Speaks for ${f.says}: ${pieceTitle(f.piece)}`;
    case 'lacks':
      return `Not settled, nothing known from: ${sourceTitle(f.definition, f.pieces)}`;
    case 'hangs':
      return f.piece === '' ? 'Hangs on one piece' : `Hangs on: ${pieceTitle(f.piece)}`;
  }
}
