import { describe, expect, it } from 'vitest';
import { geodesicMetres } from '../../../src/domain/base/geodesy.ts';
import { ring, RING_POINTS, ringPlaces } from '../../../src/domain/vetting/match/ring.ts';

describe('the ring of a candidate', () => {
  it('is made for recorded radii only, twelve places each, at the radius', () => {
    const accuracy = Float64Array.of(NaN, 100, 0, 5000, 25_000, Infinity);
    const lon = new Float64Array(6).fill(-83);
    const lat = new Float64Array(6).fill(40);
    const r = ringPlaces(lon, lat, accuracy);
    expect([...r.rows]).toEqual([1, 3, 4]);
    expect(r.lon).toHaveLength(3 * RING_POINTS);
    r.rows.forEach((i, m) => {
      for (let p = 0; p < RING_POINTS; p++) {
        const at = m * RING_POINTS + p;
        expect(Math.abs(geodesicMetres(-83, 40, r.lon[at], r.lat[at]) / accuracy[i] - 1)).toBeLessThan(4e-4);
      }
      expect(r.lat[m * RING_POINTS]).toBeGreaterThan(40); // first due north
      expect(r.lon[m * RING_POINTS + 3]).toBeGreaterThan(-83); // fourth east
    });
  });

  it('gives the lowest and highest match of the place and its ring', () => {
    const match = Float64Array.of(0.5, 0.4, 0.9);
    const onRing = new Float64Array(2 * RING_POINTS).fill(0.45);
    onRing[3] = 0.1;
    onRing[7] = 0.8;
    // Candidate 2 is best where it stands: all its ring lies below.
    const r = ring(match, Int32Array.of(1, 2), onRing);
    expect([...r.low]).toEqual([0.5, 0.1, 0.45]);
    expect([...r.high]).toEqual([0.5, 0.8, 0.9]);
    expect([...r.missing]).toEqual([0, 0, 0]);
  });

  it('counts ring places without a value, and keeps an unknown match unknown', () => {
    const onRing = new Float64Array(2 * RING_POINTS).fill(0.3);
    onRing[0] = onRing[1] = NaN;
    const r = ring(Float64Array.of(0.5, NaN), Int32Array.of(0, 1), onRing);
    expect([...r.low]).toEqual([0.3, NaN]);
    expect([...r.high]).toEqual([0.5, NaN]);
    expect([...r.missing]).toEqual([2, 0]);
  });
});
