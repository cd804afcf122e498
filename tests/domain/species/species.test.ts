import { describe, expect, test } from 'vitest';
import { CODES } from '../../../src/domain/species/codes.ts';
import { AMBIGUOUS, NAMED_HYBRIDS, OAKS, resolveSpecies } from '../../../src/domain/species/species.ts';

const nameOf = (text: string): string | undefined => OAKS[resolveSpecies(text).species]?.name;

describe('the table', () => {
  test('each name, synonym and common name leads back to its own row', () => {
    OAKS.forEach((oak, i) => {
      const names = [
        oak.name,
        oak.common,
        ...oak.synonyms.map((s) => `Quercus ${s}`),
        ...oak.alsoCalled.map((c) => `${c} oak`),
      ];
      for (const name of names)
        expect([name, resolveSpecies(name).species, resolveSpecies(name).hybrid]).toEqual([name, i, -1]);
    });
  });

  test('no name stands twice and none is both known and ambiguous', () => {
    const common = OAKS.flatMap((o) => [o.common.replace(/ oak$/, ''), ...o.alsoCalled]).map((c) =>
      c.toLowerCase(),
    );
    expect(new Set(common).size).toBe(common.length);
    expect(common.filter((c) => c in AMBIGUOUS)).toEqual([]);
    const latin = OAKS.flatMap((o) => [o.name.slice(8), ...o.synonyms]);
    expect(new Set(latin).size).toBe(latin.length);
  });

  test('named hybrids have both parents in the table, of one section', () => {
    for (const [name, parents] of Object.entries(NAMED_HYBRIDS)) {
      const r = resolveSpecies(`Quercus × ${name}`);
      expect([OAKS[r.species]?.name, OAKS[r.hybrid]?.name]).toEqual(parents.map((p) => `Quercus ${p}`));
      expect(OAKS[r.species].section).toBe(OAKS[r.hybrid].section);
    }
  });

  test('white-section and live oaks ripen in one season, the others in two', () => {
    for (const o of OAKS)
      expect([o.name, o.seasons]).toEqual([o.name, o.section === 'red' || o.section === 'turkey' ? 2 : 1]);
  });
});

test.each([
  ['Quercus alba', 'Quercus alba'],
  ['quercus ALBA', 'Quercus alba'],
  ['  Quercus_alba ', 'Quercus alba'],
  ['Q. alba', 'Quercus alba'],
  ['Q.alba', 'Quercus alba'],
  ['Q alba L.', 'Quercus alba'],
  ['Quercus alba L.', 'Quercus alba'],
  ['Quercus macrocarpa Michx.', 'Quercus macrocarpa'],
  ['Quercus muehlenbergii Engelm.', 'Quercus muehlenbergii'],
  ['Quercus muhlenbergii', 'Quercus muehlenbergii'],
  ['Quercus imbricaria (Michx.) Someone ex Other, 1801', 'Quercus imbricaria'],
  ['Quercus rubra L. var. borealis (F. Michx.) Farw.', 'Quercus rubra'],
  ['Quercus falcata var. pagodifolia Elliott', 'Quercus pagoda'],
  ['Quercus prinus', 'Quercus montana'],
  ['Quercus nuttallii', 'Quercus texana'],
  ['alba', 'Quercus alba'],
  ['northern red oak', 'Quercus rubra'],
  ['Northern Red Oak', 'Quercus rubra'],
  ['N. red oak', 'Quercus rubra'],
  ['No. red oak', 'Quercus rubra'],
  ['S. red oak', 'Quercus falcata'],
  ['bur-oak', 'Quercus macrocarpa'],
  ['white oak tree', 'Quercus alba'],
  ['Oak, white', 'Quercus alba'],
  ['swamp white oak', 'Quercus bicolor'],
  ['chinquapin oak', 'Quercus muehlenbergii'],
  ["Shumard's oak", 'Quercus shumardii'],
  ['pin oak', 'Quercus palustris'],
])('%s is %s', (text, name) => {
  expect(nameOf(text)).toBe(name);
});

test.each([
  ['red oak', /northern red, southern red/],
  ['laurel oak', /laurifolia and Q. hemisphaerica/],
  ['oak', /genus only/],
  ['Quercus', /genus only/],
  ['Quercus sp.', /genus only/],
  ['', /no species recorded/],
  ['Quercus cf. alba', /with doubt/],
  ['white oak?', /with doubt/],
  ['Quercus rubra/velutina', /with doubt/],
  ['white or bur oak', /with doubt/],
  ['Quercus notanoak', /not in the table/],
  ['Quercus alba banana', /not part of a name/],
  ['Carya ovata', /not in the table/],
  ['white pine', /not in the table/],
  ['hybrid oak', /without its parents/],
  ['Quercus × imaginaria', /not in the table/],
  ['Q. alba x alba', /same species/],
  ['Q. alba x ?', /with doubt/],
  ['constructor', /not in the table/],
])('"%s" is not guessed', (text, why) => {
  const r = resolveSpecies(text);
  expect([r.species, r.hybrid]).toEqual([-1, -1]);
  expect(r.note).toMatch(why);
});

test.each([
  ['Q. alba x Q. macrocarpa', 'alba', 'macrocarpa'],
  ['Quercus alba × macrocarpa', 'alba', 'macrocarpa'],
  ['Quercus alba ×macrocarpa', 'alba', 'macrocarpa'],
  ['Quercus × bebbiana C.K. Schneid.', 'alba', 'macrocarpa'],
  ['Q. xbebbiana', 'alba', 'macrocarpa'],
  ['white oak x bur oak', 'alba', 'macrocarpa'],
  ['northern red oak X black oak', 'rubra', 'velutina'],
])('hybrid %s', (text, a, b) => {
  const r = resolveSpecies(text);
  expect([OAKS[r.species]?.name.slice(8) ?? '', OAKS[r.hybrid]?.name.slice(8) ?? '']).toEqual([a, b]);
});

test('names that older works used otherwise carry a note', () => {
  expect(resolveSpecies('Q. prinus L.').note).toMatch(/montana/);
  expect(resolveSpecies('Quercus texana').note).toMatch(/Nuttall/);
  expect(resolveSpecies('Quercus alba').note).toBe('');
});

describe('codes of inventories', () => {
  test('each stands for an oak of the table and says so', () => {
    for (const [code, epithet] of Object.entries(CODES)) {
      expect([code, nameOf(code)]).toEqual([code, `Quercus ${epithet}`]);
      expect(resolveSpecies(code).note).toContain(epithet);
    }
  });
  // The letters are told by the name itself: two of the genus, two of the epithet.
  test('letters fit the epithet or a synonym', () => {
    for (const [code, epithet] of Object.entries(CODES)) {
      if (!code.startsWith('QU')) continue;
      const oak = OAKS.find((o) => o.name === `Quercus ${epithet}`);
      const names = [epithet, ...(oak?.synonyms ?? [])];
      expect([code, names.some((n) => n.startsWith(code.slice(2, 4).toLowerCase()))]).toEqual([code, true]);
    }
  });
  test('four letters that fit several are not guessed', () => {
    expect(resolveSpecies('QUMA').note).toMatch(/macrocarpa.*marilandica/);
    expect(resolveSpecies('QUPR').species).toBe(-1);
    expect(resolveSpecies('QUXX').note).toMatch(/not a code/);
    expect(resolveSpecies('QUMA9').species).toBe(-1);
    expect(resolveSpecies('899').species).toBe(-1);
    expect(nameOf('qual')).toBe('Quercus alba');
    expect(nameOf('QUCO')).toBe('Quercus coccinea');
  });
});
