import { termOf } from './darwinCore.ts';
import { classify, type Piece } from './piece.ts';

/** Darwin Core establishmentMeans, in the order of the vocabulary (e001 to e007). */
export const ESTABLISHMENT_MEANS = [
  'native',
  'nativeReintroduced',
  'introduced',
  'introducedAssistedColonisation',
  'vagrant',
  'uncertain',
  'nativeEndemic',
] as const;

/** "uncertain" is an answer that tells nothing: not known. */
export const establishmentMeans: Piece = {
  id: 'establishmentMeans',
  title: 'Establishment means on record',
  theme: 'record',
  unit: '',
  from: '',
  words: ESTABLISHMENT_MEANS,
  check: 'record the establishment means (Darwin Core) if it is known',
  measure: ({ candidates }) =>
    classify(candidates.text.establishmentMeans, candidates.n, ESTABLISHMENT_MEANS, (text) => {
      const term = termOf(text, ESTABLISHMENT_MEANS, 'dwcem', 'e');
      return term === 'uncertain' ? null : term;
    }),
};
