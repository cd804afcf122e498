import { describe, expect, it } from 'vitest';
import { exaggerationOf } from '../../src/jobs/handlers/tile.ts';

describe('the height of drawn relief', () => {
  it('is doubled close by in mountains, and grows from afar', () => {
    expect(exaggerationOf(13, 1500)).toBe(2);
    expect(exaggerationOf(16, 1500)).toBe(2);
    expect(exaggerationOf(9, 1500)).toBeCloseTo(2 + 4 * 0.45, 12);
  });

  it('grows up to threefold where the ground is level, and is finite where it has one height only', () => {
    expect(exaggerationOf(13, 400)).toBe(4);
    expect(exaggerationOf(13, 20)).toBe(6);
    expect(exaggerationOf(13, 0)).toBe(6);
  });
});
