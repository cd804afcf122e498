import { describe, expect, test } from 'vitest';
import { drivable } from '../../../src/domain/layers/roads.ts';
import { SETTINGS, settingOf, settingOfArea } from '../../../src/domain/layers/settings.ts';

describe('roads', () => {
  test.each(['residential', 'track', 'primary_link', 'Service', 'unclassified'])(
    '%s is drivable',
    (highway) => {
      expect(drivable({ highway })).toBe(true);
    },
  );
  test.each(['footway', 'path', 'cycleway', 'steps', 'bridleway', 'pedestrian', 'construction', 'proposed'])(
    '%s is not',
    (highway) => {
      expect(drivable({ highway })).toBe(false);
    },
  );
  test('a layer without the tag, and a road closed to vehicles', () => {
    expect(drivable({ NAME: 'Mill Road' })).toBe(true);
    expect(drivable({ highway: null })).toBe(true);
    expect(drivable({ highway: 'track', motor_vehicle: 'no' })).toBe(false);
    expect(drivable({ HIGHWAY: 'path' })).toBe(false);
  });
});

describe('settings', () => {
  test('each kind is read from its own name', () => {
    for (const s of SETTINGS) expect([s, settingOf(s)]).toEqual([s, s]);
  });
  test.each([
    ['Old Cemetery', 'burial ground'],
    ['churchyard', 'burial ground'],
    ['City park', 'park'],
    ['parking lot', 'street verge'],
    ['Roadside', 'street verge'],
    ['school ground', 'campus'],
    ['front lawn', 'yard'],
    ['oak savanna', 'opening'],
    ['abandoned field', 'old field'],
    ['fence row', 'field edge'],
    ['bottomland forest', 'woodland'],
    ['Woodland Park', 'park'],
  ])('%s is %s', (text, setting) => {
    expect(settingOf(text)).toBe(setting);
  });
  test('other words are none', () => {
    for (const text of ['', 'quarry', 'unknown']) expect(settingOf(text)).toBeNull();
  });
  test('of an area: the usual attributes before its name', () => {
    expect(SETTINGS[settingOfArea({ name: 'Orchard Lane', KIND: 'cemetery' })]).toBe('burial ground');
    expect(SETTINGS[settingOfArea({ amenity: 'grave_yard' })]).toBe('burial ground');
    expect(SETTINGS[settingOfArea({ descr: 'old orchard', id: 3 })]).toBe('orchard');
    expect(settingOfArea({ id: 3, kind: null })).toBe(-1);
  });
});
