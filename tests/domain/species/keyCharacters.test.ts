import { describe, expect, test } from 'vitest';
import { keyCharacters, PARTS } from '../../../src/domain/species/keyCharacters.ts';
import { LOOK_ALIKES, lookAlikes } from '../../../src/domain/species/lookAlikes.ts';
import { NAMED_HYBRIDS, OAKS } from '../../../src/domain/species/species.ts';

const indices = OAKS.map((_, i) => i);
/** The one oak of its section in the table has nothing of its section to be taken for. */
const alone = (i: number): boolean => OAKS.filter((o) => o.section === OAKS[i].section).length === 1;

describe('key characters', () => {
  test('every oak has a leaf, where it grows and two more that can be checked in the field', () => {
    for (const i of indices) {
      const c = keyCharacters(i);
      expect([OAKS[i].name, c?.leaf !== undefined, c?.site !== undefined]).toEqual([
        OAKS[i].name,
        true,
        true,
      ]);
      expect(Object.keys(c ?? {}).length, OAKS[i].name).toBeGreaterThanOrEqual(3);
    }
    expect(keyCharacters(-1)).toBeNull();
    expect(keyCharacters(OAKS.length)).toBeNull();
  });

  test('short lines without a full stop, and no range with a unit that would be converted by half', () => {
    const lines = indices.flatMap((i) => [
      ...Object.values(keyCharacters(i) ?? {}),
      ...lookAlikes(i).flatMap((l) => l.tells.flatMap((t) => [t.own, t.other])),
    ]);
    for (const line of lines) {
      expect(line.length, line).toBeLessThanOrEqual(150);
      expect(line).not.toMatch(/\.$|\d\s*(?:mm|cm|m|km)\b/);
    }
  });

  test('what makes the sections: bristles are of red oaks, never of white ones', () => {
    for (const i of indices.filter((k) => OAKS[k].section === 'white'))
      expect(keyCharacters(i)?.leaf?.replace(/(?:without|no) bristles?/, '')).not.toMatch(/bristle/);
  });
});

describe('look-alikes', () => {
  test('are of the same section, never the species itself, each named once', () => {
    for (const i of indices) {
      const others = lookAlikes(i).map((l) => l.species);
      expect(new Set(others).size).toBe(others.length);
      for (const o of others) {
        expect([OAKS[i].name, o >= 0, o !== i]).toEqual([OAKS[i].name, true, true]);
        expect([OAKS[i].name, OAKS[o].section]).toEqual([OAKS[i].name, OAKS[i].section]);
      }
    }
  });

  test('every oak has one, but for the one oak of its section', () => {
    for (const i of indices)
      expect([OAKS[i].name, lookAlikes(i).length > 0]).toEqual([OAKS[i].name, !alone(i)]);
  });

  test('both directions exist, with the sides exchanged', () => {
    for (const i of indices)
      for (const { species, tells } of lookAlikes(i)) {
        const back = lookAlikes(species).find((l) => l.species === i);
        expect(back?.tells).toEqual(tells.map(({ part, own, other }) => ({ part, own: other, other: own })));
      }
  });

  test('every pair names two known oaks and tells them apart by parts that are looked at', () => {
    for (const [a, b, tells] of LOOK_ALIKES) {
      for (const name of [a, b])
        expect(
          OAKS.some((o) => o.name === `Quercus ${name}`),
          name,
        ).toBe(true);
      expect(tells.length, `${a} ${b}`).toBeGreaterThan(0);
      expect(new Set(tells.map(([part]) => part)).size).toBe(tells.length);
      for (const [part, one, other] of tells) {
        expect(PARTS).toContain(part);
        expect(one).not.toBe(other);
      }
    }
  });

  test('white oak and its named hybrids with common neighbours can be told apart', () => {
    const white = lookAlikes(0).map((l) => OAKS[l.species].name.slice('Quercus '.length));
    for (const name of ['bebbiana', 'fernowii', 'jackiana', 'saulii'])
      expect(white).toContain(NAMED_HYBRIDS[name][1]);
  });
});
