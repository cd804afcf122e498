import { describe, expect, it } from 'vitest';
import { aspectDegrees, slopeDegrees } from '../../../src/domain/layers/terrain.ts';

/** A plane that rises `east` per metre eastward and `north` per metre northward, on cells of dx by dy. */
function plane(east: number, north: number, dx: number, dy: number): Float64Array {
  return Float64Array.from(
    { length: 9 },
    (_, i) => 300 + east * dx * ((i % 3) - 1) - north * dy * (Math.floor(i / 3) - 1),
  );
}

describe('slope and aspect', () => {
  it('of a plane are its own, whatever the shape of the cells', () => {
    for (const [dx, dy] of [
      [10, 10],
      [30, 20],
      [8, 90],
    ])
      for (let facing = 0; facing < 360; facing += 15) {
        const tan = Math.tan((20 * Math.PI) / 180);
        // Facing downhill: the ground rises the other way.
        const east = -tan * Math.sin((facing * Math.PI) / 180);
        const north = -tan * Math.cos((facing * Math.PI) / 180);
        const w = plane(east, north, dx, dy);
        expect(slopeDegrees(w, 0, dx, dy)).toBeCloseTo(20, 9);
        const turn = Math.abs(aspectDegrees(w, 0, dx, dy) - facing) % 360;
        expect(Math.min(turn, 360 - turn)).toBeLessThan(1e-8);
      }
  });

  it('ground that falls to the north faces 0, east 90, south 180, west 270', () => {
    expect(aspectDegrees(plane(0, -0.1, 10, 10), 0, 10, 10)).toBeCloseTo(0, 9);
    expect(aspectDegrees(plane(-0.1, 0, 10, 10), 0, 10, 10)).toBeCloseTo(90, 9);
    expect(aspectDegrees(plane(0, 0.1, 10, 10), 0, 10, 10)).toBeCloseTo(180, 9);
    expect(aspectDegrees(plane(0.1, 0, 10, 10), 0, 10, 10)).toBeCloseTo(270, 9);
  });

  it('flat ground has slope 0 and no aspect', () => {
    const w = new Float64Array(9).fill(250);
    expect(slopeDegrees(w, 0, 30, 30)).toBe(0);
    expect(aspectDegrees(w, 0, 30, 30)).toBeNaN();
  });

  it('a missing cell anywhere in the window, the middle too, leaves both unknown', () => {
    for (let i = 0; i < 9; i++) {
      const w = plane(0.1, 0.2, 30, 30);
      w[i] = NaN;
      expect(slopeDegrees(w, 0, 30, 30)).toBeNaN();
      expect(aspectDegrees(w, 0, 30, 30)).toBeNaN();
    }
  });

  it('reads the window that it is told to', () => {
    const w = Float64Array.from([...new Float64Array(9).fill(1), ...plane(1, 0, 10, 10)]);
    expect(slopeDegrees(w, 9, 10, 10)).toBeCloseTo(45, 9);
  });
});
