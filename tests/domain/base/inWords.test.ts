import { expect, it } from 'vitest';
import { inWords } from '../../../src/domain/base/inWords.ts';

it('lists names as a sentence does', () => {
  expect(inWords([])).toBe('');
  expect(inWords(['a'])).toBe('a');
  expect(inWords(['a', 'b'])).toBe('a and b');
  expect(inWords(['a', 'b', 'c'])).toBe('a, b and c');
});
