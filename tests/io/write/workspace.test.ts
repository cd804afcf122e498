import { describe, expect, it } from 'vitest';
import { strFromU8, unzipSync } from 'fflate';
import { unpackWorkspace } from '../../../src/io/read/workspace.ts';
import { packWorkspace } from '../../../src/io/write/workspace.ts';
import { plan } from './vetted.ts';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const files = [
  { path: 'zones.fgb', bytes: Uint8Array.from({ length: 5000 }, (_, i) => i % 7) },
  { path: 'rasters/elevation.tif', bytes: Uint8Array.from({ length: 4000 }, () => 1) },
  { path: 'leer é.csv', bytes: new Uint8Array(0) },
];

describe('a workspace as one file', () => {
  it('comes back as it was packed', () => {
    const back = unpackWorkspace(packWorkspace(plan, files), 'w.zip');
    expect(back).toEqual({ ok: true, value: { plan: JSON.parse(JSON.stringify(plan)) as unknown, files } });
  });

  it('begins with plan.json, stores what is packed already and packs the rest', () => {
    const zip = packWorkspace(plan, files);
    // The first local header: its name stands at byte 30.
    expect(strFromU8(zip.subarray(30, 39))).toBe('plan.json');
    const methods: Record<string, [number, boolean]> = {};
    unzipSync(zip, {
      filter: (f) => {
        methods[f.name] = [f.compression, f.size < f.originalSize];
        return false;
      },
    });
    expect(methods['rasters/elevation.tif']).toEqual([0, false]);
    expect(methods['zones.fgb']).toEqual([8, true]);
  });

  it('gives the same bytes for the same workspace', () => {
    expect(packWorkspace(plan, files)).toEqual(packWorkspace(plan, files));
  });

  it('does not let a file take the place of the plan or of another', () => {
    expect(() => packWorkspace(plan, [{ path: 'plan.json', bytes: bytes('x') }])).toThrow(/twice/);
    expect(() => packWorkspace(plan, [files[0], files[0]])).toThrow(/twice/);
  });
});
