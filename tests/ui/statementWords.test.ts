import { expect, it } from 'vitest';
import type { Statement } from '../../src/domain/plan/schema.ts';
import { originLine, statementWords } from '../../src/ui/parts/statementWords.ts';

const said: Statement = {
  candidate: 'a',
  origin: 'planted',
  reason: 'nursery tag',
  by: 'A. Sample',
  date: '2030-05-01',
  how: 'scouted',
};

it('a statement says what, how it is known, why, who and when; one of old plans was told', () => {
  expect(statementWords(said)).toBe(
    'planted, seen at the tree while scouting: “nursery tag”. A. Sample, 2030-05-01',
  );
  const { how: _how, ...old } = said;
  expect(statementWords({ ...old, by: '', date: '' })).toBe(
    'planted, told by somebody who knows: “nursery tag”',
  );
});

it('a stop says what was seen, or what is on record, of its origin: the latest decides', () => {
  const told: Statement = { ...said, how: 'told', origin: 'natural' };
  expect(originLine([])).toBe('Origin as seen: not recorded');
  expect(originLine([told, said])).toBe('Origin as seen: planted');
  expect(originLine([said, told])).toBe('Origin on record: natural');
});
