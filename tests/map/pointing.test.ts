import { describe, expect, it } from 'vitest';
import { hit, REACH } from '../../src/map/hit.ts';
import { inOrder, rank } from '../../src/map/order.ts';
import { scaleBar } from '../../src/map/scale.ts';

describe('a click near trees', () => {
  const eligible = { layer: 'point eligible', row: 1, x: 100, y: 100 };
  it('means the nearest within reach, and a finger reaches 16 pixels', () => {
    const other = { layer: 'point check', row: 2, x: 110, y: 100 };
    expect(hit([eligible, other], 104, 100, REACH.mouse)).toBe(1);
    expect(hit([eligible, other], 106, 100, REACH.mouse)).toBe(2);
    expect(hit([eligible], 100, 116, REACH.touch)).toBe(1);
    expect(hit([eligible], 100, 116.5, REACH.touch)).toBeNull();
    expect(hit([eligible], 100, 110, REACH.mouse)).toBeNull();
    expect(hit([], 0, 0, REACH.touch)).toBeNull();
  });
  it('means the member where a member and its own dot lie on one another', () => {
    const member = { layer: 'member', row: 1, x: 100, y: 100 };
    const out = { layer: 'point out', row: 9, x: 100, y: 100 };
    expect(hit([out, eligible, member], 101, 101, REACH.mouse)).toBe(1);
    expect(hit([out, { ...eligible, row: 4 }], 101, 101, REACH.mouse)).toBe(4);
  });
});

describe('the order of layers', () => {
  it('puts zones over the ground and members over dots, and keeps the order within a slot', () => {
    const ids = ['member', 'zone line/z', 'raster/b', 'point out', 'raster/a', 'paper'];
    expect(inOrder(ids.map((id) => ({ id }))).map((l) => l.id)).toEqual([
      'paper',
      'raster/b',
      'raster/a',
      'zone line/z',
      'point out',
      'member',
    ]);
  });
  it('knows no layer that it was not told of', () => {
    expect(() => rank('surprise')).toThrow('surprise');
  });
});

describe('the scale bar', () => {
  it('is as long as it says: at the equator, zoom 0, a pixel is 78,271.5 m', () => {
    // 2 pi * 6,378,137 m over 512 pixels = 78,271.517 m; the longest round bar within 130 pixels (10,175 km) is 10,000 km.
    const bar = scaleBar(0, 0, 'metric', 130);
    expect(bar.label).toBe('10,000 km');
    expect(bar.pixels).toBeCloseTo(10_000_000 / 78_271.517, 3);
  });
  it('is a round length that fits, in the units of the screen, at every zoom and latitude', () => {
    for (let zoom = 0; zoom <= 19; zoom += 0.37) {
      for (const lat of [0, 25, 39, 50]) {
        for (const units of ['metric', 'us'] as const) {
          const bar = scaleBar(lat, zoom, units, 130);
          expect(bar.pixels).toBeLessThanOrEqual(130 * (1 + 1e-9));
          // Of 1, 2, 5 the next is at most 2.5 times as long; below a whole mile feet go on to 5,000.
          expect(bar.pixels).toBeGreaterThan(130 / 2.5 - 1e-6);
          expect(bar.label).toMatch(units === 'us' ? / (mi|ft)$/ : / k?m$/);
          const number = Number(bar.label.replace(/[^\d.]/g, ''));
          expect([1, 2, 5]).toContain(Math.round(number / 10 ** Math.floor(Math.log10(number) + 1e-12)));
        }
      }
    }
  });
  it('passes from feet to miles and from metres to kilometres', () => {
    // At 39 degrees and zoom 15 a pixel is 78,271.5 * cos 39 / 2^15 = 1.856 m: 130 are 241 m or 792 ft.
    expect(scaleBar(39, 15, 'us', 130).label).toBe('500 ft');
    expect(scaleBar(39, 11, 'us', 130).label).toBe('2 mi');
    expect(scaleBar(39, 15, 'metric', 130).label).toBe('200 m');
    expect(scaleBar(39, 10, 'metric', 130).label).toBe('5 km');
  });
});
