import { describe, expect, it } from 'vitest';
import { geodesicMetres } from '../../../src/domain/base/geodesy.ts';
import { scoutingDay } from '../../../src/domain/scouting/day.ts';

const stop = (id: string, lon: number, lat: number) => ({ row: 0, id, title: id, lon, lat });
const base = {
  key: 'k',
  start: { lon: -82, lat: 39, name: 'Office' },
  end: null,
  leave: 450,
  hours: 9,
  stopMinutes: 20,
  kmh: 36,
  detour: 1.5,
};

describe('a scouting day by straight lines', () => {
  it('visits stops along a road in turn and times them', () => {
    const day = scoutingDay({
      ...base,
      stops: [stop('c', -82, 39.3), stop('a', -82, 39.1), stop('b', -82, 39.2)],
    });
    // Out and back along one meridian: every order that goes out and returns once is as short; the total is fixed.
    const there = geodesicMetres(-82, 39, -82, 39.3) * 1.5;
    expect(day.travelMetres).toBeCloseTo(2 * there, 3);
    expect(day.travelSeconds).toBeCloseTo((2 * there) / 10, 4);
    expect(day.boundSeconds).toBeCloseTo(day.travelSeconds, 6);
    expect(day.home).toBeCloseTo(450 * 60 + day.travelSeconds + 3 * 1200, 4);
    expect(day.stops[0].arrive).toBeCloseTo(450 * 60 + day.stops[0].travelSeconds, 6);
  });

  it('goes from a start to another end', () => {
    const day = scoutingDay({
      ...base,
      end: { lon: -82, lat: 39.4, name: 'Hut' },
      stops: [stop('b', -82, 39.2), stop('a', -82, 39.1), stop('c', -82, 39.3)],
    });
    expect(day.stops.map((s) => s.id)).toEqual(['a', 'b', 'c']);
    expect(day.lastLegMetres).toBeCloseTo(geodesicMetres(-82, 39.3, -82, 39.4) * 1.5, 3);
  });

  it('marks the stops that are not finished within the hours', () => {
    const day = scoutingDay({ ...base, hours: 1.5, stops: [stop('a', -82, 39.1), stop('b', -82, 39.2)] });
    expect(day.stops.map((s) => s.late)).toEqual([false, true]);
  });
});
