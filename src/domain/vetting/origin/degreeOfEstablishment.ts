import { termOf } from './darwinCore.ts';
import { classify, type Piece } from './piece.ts';

/** Darwin Core degreeOfEstablishment, in the order of the vocabulary (d001 to d011). */
export const DEGREES_OF_ESTABLISHMENT = [
  'native',
  'captive',
  'cultivated',
  'released',
  'failing',
  'casual',
  'reproducing',
  'established',
  'colonising',
  'invasive',
  'widespreadInvasive',
] as const;

export const degreeOfEstablishment: Piece = {
  id: 'degreeOfEstablishment',
  title: 'Degree of establishment on record',
  theme: 'record',
  unit: '',
  from: '',
  words: DEGREES_OF_ESTABLISHMENT,
  check: 'record the degree of establishment (Darwin Core) if it is known',
  measure: ({ candidates }) =>
    classify(candidates.text.degreeOfEstablishment, candidates.n, DEGREES_OF_ESTABLISHMENT, (text) =>
      termOf(text, DEGREES_OF_ESTABLISHMENT, 'dwcdoe', 'd'),
    ),
};
