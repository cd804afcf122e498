import { describe, expect, it } from 'vitest';
import { relinkOf } from '../../src/domain/plan/relink.ts';
import type { LayerEntry } from '../../src/domain/plan/schema.ts';

const HASH = 'a'.repeat(64);
const layer = (part: Partial<LayerEntry>): LayerEntry => ({
  id: 'zones',
  definition: 'zones',
  path: 'files/Zones.fgb',
  band: 1,
  period: '',
  source: '',
  date: '',
  licence: '',
  ...part,
});

describe('relinking', () => {
  it('knows a renamed file by size and hash', () => {
    expect(
      relinkOf({ name: 'other.fgb', size: 9, sha256: HASH }, [layer({ size: 9, sha256: HASH })]),
    ).toEqual({
      kind: 'same',
      layer: 'zones',
      checked: true,
    });
  });

  it('says that another file of the same name is another', () => {
    const bySize = relinkOf({ name: 'zones.FGB', size: 1234, sha256: HASH }, [
      layer({ size: 9, sha256: HASH }),
    ]);
    expect(bySize).toMatchObject({
      kind: 'different',
      what: expect.stringMatching(/1,234 bytes.*9/) as string,
    });
    const byHash = relinkOf({ name: 'zones.fgb', size: 9, sha256: 'b'.repeat(64) }, [
      layer({ size: 9, sha256: HASH }),
    ]);
    expect(byHash).toMatchObject({
      kind: 'different',
      what: expect.stringContaining('another content') as string,
    });
  });

  it('takes a name where nothing else is on record, and says so', () => {
    expect(relinkOf({ name: 'zones.fgb', size: 9, sha256: HASH }, [layer({})])).toMatchObject({
      kind: 'same',
      checked: false,
    });
    // No hash can be made on a page that is not served securely: size and name are all there is.
    expect(
      relinkOf({ name: 'zones.fgb', size: 9, sha256: '' }, [layer({ size: 9, sha256: HASH })]),
    ).toMatchObject({
      kind: 'same',
      checked: false,
    });
  });

  it('leaves other files alone', () => {
    expect(relinkOf({ name: 'roads.fgb', size: 9, sha256: HASH }, [layer({ size: 8 })]).kind).toBe('none');
  });
});
