import { describe, expect, it } from 'vitest';
import { builtInWeights } from '../../src/domain/vetting/origin/weights.ts';
import {
  answerLines,
  answerTitle,
  barShare,
  brierWords,
  lackWords,
  leaningOf,
  leans,
  mostOf,
  priorWords,
  ratioOf,
  reach,
} from '../../src/ui/weights/weightWords.ts';

describe('a table of weights in words', () => {
  it('lists steps with their bounds, in the units of the user', () => {
    const lines = answerLines(
      {
        piece: 'building',
        steps: [{ below: 10, ratio: 0.2 }, { below: 30, ratio: 1 }, { ratio: 2 }],
        note: '',
      },
      null,
    );
    expect(lines.map((l) => answerTitle(l, 'm', 'metric'))).toEqual([
      'under 10 m',
      '10 m to 30 m',
      '30 m or more',
    ]);
    expect(lines.map((l) => answerTitle(l, 'm', 'us'))).toEqual([
      'under 33 ft',
      '33 ft to 98 ft',
      '98 ft or more',
    ]);
    expect(
      answerLines({ piece: 'x', steps: [{ ratio: 2 }], note: '' }, null).map((l) =>
        answerTitle(l, 'm', 'us'),
      ),
    ).toEqual(['any']);
  });

  it('names what is counted once, and not where the title does', () => {
    const lines = answerLines(
      { piece: 'x', steps: [{ below: 4, ratio: 1 }, { below: 8, ratio: 1 }, { ratio: 1 }], note: '' },
      null,
    );
    const titles = (unit: string): string[] => lines.map((l) => answerTitle(l, unit, 'us'));
    expect(titles('trees')).toEqual(['under 4 trees', '4 to 8 trees', '8 trees or more']);
    expect(titles('buildings')).toEqual(['under 4', '4 to 8', '8 or more']);
    expect(titles('')).toEqual(['under 4', '4 to 8', '8 or more']);
    expect(answerTitle({ ...lines[1], from: 0.05, below: 0.25 }, 'share', 'us')).toBe('5 % to 25 %');
  });

  it('lists every word of a piece: one without a ratio is even', () => {
    expect(
      answerLines({ piece: 'x', classes: { yard: 0.2 }, note: '' }, ['yard', 'toString']).map((l) => [
        l.word,
        l.ratio,
      ]),
    ).toEqual([
      ['yard', 0.2],
      ['toString', 1],
    ]);
    expect(answerLines(undefined, null)).toEqual([]);
  });

  it.each([
    [3, { times: 3, side: 'natural' }, '×3 for natural'],
    [0.2, { times: 5, side: 'planted' }, '×5 for planted'],
    [1, { times: 1, side: 'natural' }, 'even'],
  ] as const)('takes %s apart and puts it together', (ratio, leaning, words) => {
    expect(leaningOf(ratio)).toEqual(leaning);
    expect(ratioOf(leaning)).toBeCloseTo(ratio, 12);
    expect(leans(ratio)).toBe(words);
  });

  it('says how far a theme goes', () => {
    expect(reach([1.5, 0.02, 1])).toBe('up to ×1.5 for natural and ×50 for planted');
    expect(reach([2])).toBe('up to ×2 for natural');
    expect(reach([1])).toBe('even throughout');
  });

  it('draws bars by logarithms, none beyond the end', () => {
    expect(barShare(2, 4)).toBeCloseTo(0.5, 12);
    expect(barShare(0.25, 4)).toBeCloseTo(1, 12);
    expect(barShare(100, 4)).toBe(1);
    const most = mostOf(builtInWeights);
    for (const p of builtInWeights.pieces)
      for (const l of answerLines(p, p.classes ? Object.keys(p.classes) : null))
        expect(Math.max(l.ratio, 1 / l.ratio)).toBeLessThanOrEqual(most);
  });

  it('says the prior', () => {
    expect(priorWords(1)).toBe('as many natural as planted');
    expect(priorWords(2.5)).toBe('2.5 natural to 1 planted');
    expect(priorWords(0.25)).toBe('4 planted to 1 natural');
  });
});

describe('a fit in words', () => {
  it('says whether it does better on trees that it has not seen', () => {
    expect(brierWords({ before: 0.2, after: 0.1 })).toContain('comes nearer');
    expect(brierWords({ before: 0.1, after: 0.2 })).toContain('does worse');
    expect(brierWords({ before: 0.1, after: 0.1001 })).toContain('as well as');
  });
  it.each([
    [20, 12, ''],
    [0, 0, '0 of the 30 outcomes that a fit needs are on record, none of a natural or planted tree.'],
    [1, 0, '1 of the 30 outcomes that a fit needs is on record, none of a planted tree.'],
    [4, 9, '13 of the 30 outcomes that a fit needs are on record.'],
    [0, 40, 'Outcomes are on record, but none of a natural tree.'],
  ])('says of %i natural and %i planted what is lacking: "%s"', (natural, planted, words) =>
    expect(lackWords(natural, planted, 30)).toBe(words),
  );
});
