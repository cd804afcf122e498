import { classify, type Piece } from './piece.ts';

const WORDS = ['seen', 'none seen'] as const;

/** Seedlings and saplings of the species about the tree, as the notebook has them. */
export const regeneration: Piece = {
  id: 'regeneration',
  title: 'Natural regeneration',
  theme: 'structure',
  unit: '',
  from: '',
  words: WORDS,
  check: 'look for seedlings and saplings of the species about the tree',
  measure: ({ candidates }) => classify(candidates.text.regeneration, candidates.n, WORDS, wordOf),
};

function wordOf(text: string): (typeof WORDS)[number] | null {
  const plain = text.trim().toLowerCase();
  if (/^(?:no|n|none|absent|0|false|nil|none seen|no seedlings?)$/.test(plain)) return 'none seen';
  if (
    /^(?:yes|y|true|present|some|few|many|several|abundant|plenty|common|good|heavy|seen|[1-9]\d*)$/.test(
      plain,
    )
  )
    return 'seen';
  if (/\b(?:no|not|without|lacking)\b/.test(plain))
    return /\b(?:seedling|sapling|regen)/.test(plain) ? 'none seen' : null;
  return /\b(?:seedlings?|saplings?|regeneration|regenerating)\b/.test(plain) ? 'seen' : null;
}
