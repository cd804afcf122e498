import { SETTINGS } from '../../layers/settings.ts';
import { ageAgainst, ageWords, begun } from './ageAgainst.ts';
import type { OriginInput, Piece } from './piece.ts';
import { setting } from './setting.ts';

const WORDS = [
  'older than the burial ground',
  'as old as the burial ground, within the error',
  'younger than the burial ground',
] as const;

/** The year in which the burial ground opened that a tree stands in; NaN where it stands in none, or the year is not known. */
const opened = ({ measures, settingNames }: OriginInput, row: number): number =>
  settingNames[measures.setting[row]] === 'burial ground' ? measures.settingYear[row] : NaN;

/** Old burial grounds kept trees that stood there before them, and people planted others about the graves. */
export const ageBurialGround: Piece = {
  id: 'ageBurialGround',
  title: 'Age against the burial ground',
  theme: 'age',
  unit: '',
  from: 'settingYear',
  words: WORDS,
  detail: (input, row) => {
    const age = ageWords(input.measures, input.settings, row);
    const year = opened(input, row);
    return [age, Number.isNaN(year) ? '' : `burial ground since ${year}`].filter(Boolean).join('; ');
  },
  check:
    'in a burial ground: measure its diameter with the date, and find out when the ground opened (the oldest stones, the deed)',
  // Where the tree is known to stand in another kind of place.
  idle: (input) =>
    Uint8Array.from(setting.measure(input), (kind) =>
      Number.isNaN(kind) || SETTINGS[kind] === 'burial ground' ? 0 : 1,
    ),
  measure: (input) =>
    Float64Array.from({ length: input.candidates.n }, (_, row) =>
      ageAgainst(begun(input.measures, input.settings, row), opened(input, row)),
    ),
};
