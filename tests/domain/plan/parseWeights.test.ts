/** A user's table of weights: what is refused, in which words; what is said of one that can be used; one of before a piece came. */
import { describe, expect, test } from 'vitest';
import { sentence } from '../../../src/domain/base/result.ts';
import { answersOf } from '../../../src/domain/vetting/origin/answers.ts';
import { parseWeights } from '../../../src/domain/plan/parseWeights.ts';
import { pieces } from '../../../src/domain/vetting/origin/pieces.ts';
import { builtInWeights, classesOf, weightNotes } from '../../../src/domain/vetting/origin/weights.ts';
import { withBuiltIn } from '../../../src/domain/vetting/origin/withBuiltIn.ts';

const faults = (text: string): string[] => {
  const parsed = parseWeights(text, 'mine.json');
  return parsed.ok ? [] : parsed.faults.map(sentence);
};

test('the built-in table, written and read back, is itself and has nothing to note', () => {
  expect(parseWeights(JSON.stringify(builtInWeights), 'mine.json')).toEqual({
    ok: true,
    table: builtInWeights,
    notes: [],
  });
});

test.each([
  [
    '{',
    /^mine\.json: is not valid JSON \(.+\)\. Correct it, or save the table in use and start from that\.$/,
  ],
  [
    '3',
    /^mine\.json: is not a table of evidence weights\. It is an object with version, prior and pieces\.$/,
  ],
  ['{"kinstand": 1, "title": "x"}', /^mine\.json: is a plan file, not a table of evidence weights\. Open it/],
])('%s is refused', (text, words) => {
  expect(faults(text)).toEqual([expect.stringMatching(words)]);
});

test('a sentence for each fault: the entry, what is wrong, what belongs there', () => {
  const text = JSON.stringify({
    version: 'x',
    prior: -1,
    pieces: [
      { piece: 'building', steps: [{ below: 3, ratio: 0 }, { below: 'a', ratio: 2 }, {}], colour: 1 },
      { classes: { a: -2 } },
      7,
      { piece: 'road', steps: 'no' },
    ],
    other: {},
  });
  expect(faults(text)).toEqual([
    'mine.json: prior is -1. Give a number above 0: the odds of natural origin before any evidence.',
    'mine.json, entry "building", step 1: ratio is 0. Give a number above 0; over 1 speaks for natural origin.',
    'mine.json, entry "building", step 2: below is "a". Give a number, which the values of the step stay below.',
    'mine.json, entry "building", step 3: has no ratio. Add a number above 0; over 1 speaks for natural origin.',
    'mine.json, entry "building": has "colour", which is no part of a table of weights. Take it out.',
    'mine.json, entry 2 of pieces: has no piece. Add the id of a piece of evidence, such as building.',
    'mine.json, entry 2 of pieces: the ratio of "a" is -2. Give a number above 0; over 1 speaks for natural origin.',
    'mine.json, entry 3 of pieces: is 7. Give an object there.',
    'mine.json, entry "road": steps is "no". Give a list of steps, each with a ratio and all but the last with below.',
    'mine.json: has "other", which is no part of a table of weights. Take it out.',
  ]);
});

test('a table with an entry that this version has no piece for can be used, keeps it, and says so', () => {
  const moon = { piece: 'moon', note: '', classes: { full: 2 } };
  const parsed = parseWeights(
    JSON.stringify({ ...builtInWeights, pieces: [...builtInWeights.pieces, moon] }),
    'm',
  );
  expect(parsed.ok && parsed.table.pieces.at(-1)).toEqual(moon);
  expect(parsed.ok && parsed.notes.map((n) => n.what)).toEqual([
    'there is no piece of evidence "moon"; its weights are not used',
  ]);
});

describe('a table of before some pieces came to be', () => {
  const gone = ['pattern', 'ageDeveloped'].filter((id) => pieces.some((p) => p.id === id));
  const old = {
    ...builtInWeights,
    version: 'ours 3',
    note: 'By the district.',
    prior: 2,
    pieces: builtInWeights.pieces.filter((w) => !gone.includes(w.piece)),
  };
  test('leaves them at ×1, and one note names them', () => {
    expect(gone.length).toBeGreaterThan(0);
    expect(weightNotes(old).map((n) => n.what)).toEqual([
      expect.stringMatching(new RegExp(`^there are no weights for ${gone.join(', ')}: (it|they) counts? ×1`)),
    ]);
  });
  test('may take the built-in weights for them, under another version; its own stay', () => {
    const taken = withBuiltIn(old);
    expect(weightNotes(taken)).toEqual([]);
    expect(taken.version).toBe(`ours 3 with ${builtInWeights.version}`);
    expect(taken.note).toMatch(/^By the district\. Weights of .* are those of the table "built-in/);
    expect([taken.prior, taken.pieces.slice(0, old.pieces.length)]).toEqual([2, old.pieces]);
    expect(withBuiltIn(taken)).toBe(taken);
  });
});

test('answers are numbered as the rows of the table are listed', () => {
  for (const row of classesOf(builtInWeights)) {
    const { words } = pieces.find((p) => p.id === row.piece) ?? { words: null };
    const { ratios, logs, indexOf } = answersOf(
      builtInWeights.pieces.find((w) => w.piece === row.piece),
      words,
    );
    expect([row.piece, ...ratios]).toEqual([row.piece, ...row.classes.map((c) => c.ratio)]);
    expect([...logs]).toEqual(ratios.map(Math.log));
    row.classes.forEach((c, index) => {
      const value = words ? words.indexOf(c.word) : Number.isNaN(c.from) ? c.below - 0.001 : c.from;
      expect([row.piece, c, indexOf(value)]).toEqual([row.piece, c, index]);
    });
    expect(indexOf(NaN)).toBe(-1);
  }
});
