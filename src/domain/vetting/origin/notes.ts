import { classify, type Piece } from './piece.ts';

const WORDS = ['words of planting', 'words of wild growth'] as const;

const NOT_PLANTED =
  /\b(?:not|never|wasn'?t|isn'?t|no sign of being|unlikely to (?:be|have been))\s+(?:been\s+|a\s+)?planted\b|\bunplanted\b/g;
const PLANTED =
  /\bplanted\b|\bplanting\b|\bnursery\b|\bplant tag\b|\bstaked?\b|\bguy(?:ed| wires?)\b|\bmemorial tree\b|\blandscap\w*|\bornamental\b|\bin (?:a )?rows?\b|\bcultivar\b|\btransplant\w*/;
const WILD =
  /\bwild\b|\bnatural(?:ly)?\b|\bremnant\b|\bold.growth\b|\bvolunteer\b|\bself.sown\b|\bstump sprout\w*|\bcoppice\b|\bwolf tree\b|\bwitness tree\b|\bopen.grown\b/;

/**
 * Words in the collector's notes. Weak on purpose: the words may be about a neighbour ("pines planted beside it"), and only
 * a statement with a name and a date decides. Notes that speak for both, or for neither, tell nothing.
 */
export const notes: Piece = {
  id: 'notes',
  title: 'Words in the notes',
  theme: 'record',
  unit: '',
  from: '',
  words: WORDS,
  check: 'ask the owner whether the tree was planted, and record the answer as a statement',
  measure: ({ candidates }) => classify(candidates.text.notes, candidates.n, WORDS, wordOf),
};

function wordOf(text: string): (typeof WORDS)[number] | null {
  const lower = text.toLowerCase().replace(/’/g, "'");
  const rest = lower.replace(NOT_PLANTED, ' ');
  const wild = rest !== lower || WILD.test(rest);
  const planted = PLANTED.test(rest);
  return wild === planted ? null : wild ? 'words of wild growth' : 'words of planting';
}
