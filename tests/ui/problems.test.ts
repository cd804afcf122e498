import { describe, expect, it } from 'vitest';
import type { FailureCode } from '../../src/domain/base/result.ts';
import { HEADINGS } from '../../src/ui/problems.ts';

/** Every code, held complete by the type: a code that is added to FailureCode and not here does not compile. */
const CODES: Record<FailureCode, true> = {
  unreadable: true,
  format: true,
  crs: true,
  content: true,
  plan: true,
  newer: true,
  variables: true,
  usage: true,
  storage: true,
  graphics: true,
  cancelled: true,
};

describe('headings of trouble', () => {
  it('has one of its own for every code', () => {
    expect(Object.keys(HEADINGS).sort()).toEqual(Object.keys(CODES).sort());
    expect(new Set(Object.values(HEADINGS)).size).toBe(Object.keys(CODES).length);
  });
  it('is in sentence case and leaves the full stop to the sentence', () => {
    for (const heading of Object.values(HEADINGS)) expect(heading).toMatch(/^[A-Z][^A-Z.]+$/);
  });
});
