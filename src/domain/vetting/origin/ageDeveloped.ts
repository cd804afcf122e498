import { ageAgainst, ageWords, begun } from './ageAgainst.ts';
import type { OriginInput, Piece } from './piece.ts';

const WORDS = [
  'older than the development',
  'as old as the development, within the error',
  'younger than the development',
] as const;

/** Settings in which people plant trees when they make them. */
const PLANTED_IN = new Set(['yard', 'campus', 'park', 'golf course', 'street verge']);

type Source = 'developedYear' | 'settingYear' | 'buildingYear';

/** The earliest known year in which the ground of a tree was built over, and the measure that tells it; null: none is known. */
function developed(
  { measures, settingNames }: OriginInput,
  row: number,
): { year: number; from: Source } | null {
  const setting = settingNames[measures.setting[row]] as string | undefined;
  const years: ReadonlyArray<readonly [Source, number]> = [
    ['developedYear', measures.developedYear[row]],
    ['settingYear', PLANTED_IN.has(setting ?? '') ? measures.settingYear[row] : NaN],
    ['buildingYear', measures.buildingYear[row]],
  ];
  let first: { year: number; from: Source } | null = null;
  for (const [from, year] of years) if (year < (first?.year ?? Infinity)) first = { year, from };
  return first;
}

function sinceWords(
  { measures, settingNames }: OriginInput,
  row: number,
  from: Source,
  year: number,
): string {
  switch (from) {
    case 'developedYear':
      return `ground developed ${year}`;
    case 'settingYear':
      return `${settingNames[measures.setting[row]]} since ${year}`;
    case 'buildingYear':
      return `nearest building of ${year}`;
  }
}

/**
 * Whether a tree is older than what people made of its ground: then it was there by itself, or planted in an earlier time.
 * Its age is that of its diameter with a wide error, so that "older" is said only where even the lowest age is.
 */
export const ageDeveloped: Piece = {
  id: 'ageDeveloped',
  title: 'Age against the development',
  theme: 'age',
  unit: '',
  from: 'developedYear',
  words: WORDS,
  fromAt: (input, row) => developed(input, row)?.from ?? 'developedYear',
  detail: (input, row) => {
    const age = ageWords(input.measures, input.settings, row);
    const since = developed(input, row);
    return [age, since ? sinceWords(input, row, since.from, since.year) : ''].filter(Boolean).join('; ');
  },
  check:
    'measure its diameter with the date, and find out when the ground was first developed (a layer of years, old air photos, the owner)',
  measure: (input) =>
    Float64Array.from({ length: input.candidates.n }, (_, row) =>
      ageAgainst(begun(input.measures, input.settings, row), developed(input, row)?.year ?? NaN),
    ),
};
