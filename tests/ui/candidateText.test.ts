import { describe, expect, test } from 'vitest';
import { applyEdits } from '../../src/domain/candidates/hand/edits.ts';
import { freshPlan } from '../../src/domain/plan/fresh.ts';
import { areaText, cellText, recordText, troubles, typedText } from '../../src/ui/candidateText.ts';
import { make } from '../domain/candidates/make.ts';

const c = make([{ id: 'A', dbh: 55.88, accuracy: 6.096, text: { owner: 'Ash' } }, { id: 'B' }]);

describe('fields as text', () => {
  test('lengths come with the unit of the user, other fields as they are', () => {
    expect(cellText(c, 0, 'dbh', 'us')).toBe('22 in');
    expect(cellText(c, 0, 'dbh', 'metric')).toBe('55.9 cm');
    expect(cellText(c, 0, 'accuracy', 'us')).toBe('20 ft');
    expect(cellText(c, 0, 'owner', 'us')).toBe('Ash');
    expect(cellText(c, 1, 'dbh', 'us')).toBe('');
    expect(recordText({ dbh: '55.88' }, 'dbh', 'us')).toBe('22 in');
  });

  test('a bare number is in the unit of the user, another unit holds', () => {
    expect(typedText('dbh', ' 22 ', 'us')).toBe('22 in');
    expect(typedText('dbh', '56 cm', 'us')).toBe('56 cm');
    expect(typedText('crop', '3', 'us')).toBe('3');
    const kept = typedText('dbh', '22', 'us');
    const { candidates } = applyEdits(c, { ...freshPlan('').candidates, changed: { B: { dbh: kept } } });
    expect(candidates.dbh[1]).toBeCloseTo(55.88, 6);
  });

  test('what is not understood is said with the name of the field; a name of no oak is no mistake', () => {
    expect(troubles({ dbh: 'thick', lat: 'north', owner: 'x' })).toEqual([
      'Latitude: "north" is not a number of degrees',
      expect.stringMatching(/^Diameter: "thick" is not a diameter of a tree$/),
    ]);
    expect(troubles({ species: 'who knows', dbh: '' })).toEqual([]);
  });

  test('areas in acres (4,046.86 m²) or hectares', () => {
    expect(areaText(40468.564224, 'us')).toBe('10.0 acres');
    expect(areaText(39000, 'metric')).toBe('3.90 ha');
  });
});
