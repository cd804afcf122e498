import { describe, expect, it } from 'vitest';
import { geodesicDirect, geodesicMetres, geodesicRing } from '../../../src/domain/base/geodesy.ts';
import { frameMetres, localFrame } from '../../../src/domain/base/localFrame.ts';

describe('geodesics', () => {
  it('are the same both ways, zero in place, and not a number for a missing place', () => {
    expect(geodesicMetres(-83, 40, -82.99, 40.01)).toBeCloseTo(geodesicMetres(-82.99, 40.01, -83, 40), 9);
    expect(geodesicMetres(-83, 40, -83, 40)).toBe(0);
    expect(geodesicMetres(NaN, 40, -83, 40)).toBeNaN();
  });

  it('cross the date line by the short way', () => {
    expect(geodesicMetres(179.999, 10, -179.999, 10)).toBeLessThan(220);
  });

  it('a ring lies at its radius in even directions, the first place due north', () => {
    const ring = geodesicRing(-83, 40, 500);
    expect(ring).toHaveLength(12);
    for (const p of ring) expect(geodesicMetres(-83, 40, p.lon, p.lat)).toBeCloseTo(500, 6);
    expect(ring[0].lon).toBeCloseTo(-83, 12);
    expect(ring[0].lat).toBeGreaterThan(40);
    expect(ring[3].lon).toBeGreaterThan(-83); // east
  });
});

describe('metres in a degree', () => {
  it('are 111 131.8 m of latitude and 78 846.8 m of longitude at 45 degrees (WGS 84)', () => {
    // Radii of curvature by hand: e² = 0.00669437999014; w² = 1 - e²/2; N = a/w = 6388838.290; M = N (1 - e²)/w² = 6367381.816.
    const { lonMetres, latMetres } = localFrame(45);
    expect(latMetres).toBeCloseTo((6367381.816 * Math.PI) / 180, 3);
    expect(lonMetres).toBeCloseTo((6388838.29 * Math.SQRT1_2 * Math.PI) / 180, 3);
  });

  it.each([
    [1_000, 3e-9, 4e-5],
    [10_000, 3e-7, 4e-4],
    [100_000, 3e-5, 4e-3],
  ])('keep the error that is stated, at %i m', (metres, middle, end) => {
    for (let lat = 25; lat <= 50; lat += 5) {
      for (let azimuth = 0; azimuth < 360; azimuth += 15) {
        const p = geodesicDirect(-80, lat, azimuth, metres);
        for (const [at, allowed] of [
          [(lat + p.lat) / 2, middle],
          [lat, end],
        ]) {
          const f = localFrame(at);
          const flat = Math.hypot((p.lon + 80) * f.lonMetres, (p.lat - lat) * f.latMetres);
          expect(Math.abs(flat / metres - 1)).toBeLessThan(allowed);
        }
      }
    }
  });
});

it('measures near places in their own frame as the geodesic does', () => {
  for (const [lon, lat] of [
    [-82.2, 38.91],
    [-82.21, 38.9],
    [-82.15, 38.95],
  ]) {
    const exact = geodesicMetres(-82.2, 38.9, lon, lat);
    expect(Math.abs(frameMetres(-82.2, 38.9, lon, lat) / exact - 1)).toBeLessThan(2e-7);
  }
});
