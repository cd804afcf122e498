import { describe, expect, it } from 'vitest';
import type { LayerEntry } from '../../src/domain/plan/schema.ts';
import { drawOrder, moved } from '../../src/state/drawOrder.ts';

const layer = (id: string, definition = id): LayerEntry => ({
  id,
  definition,
  band: 1,
  period: '',
  source: '',
  date: '',
  licence: '',
});
const ids = (layers: LayerEntry[], order: string[] = []) => drawOrder(layers, order).map((l) => l.id);

const LAYERS = [
  layer('zones'),
  layer('elevation'),
  layer('warm', 'mean-annual-temperature'),
  layer('wet', 'annual-precipitation'),
  layer('roads'),
  layer('settings'),
];

describe('the order of drawing', () => {
  it('puts pictures beneath lines, elevation beneath the other pictures, zones over all', () => {
    expect(ids(LAYERS)).toEqual(['elevation', 'wet', 'warm', 'settings', 'roads', 'zones']);
  });

  it('puts what is computed from elevation over it, wherever it stands in the plan', () => {
    expect(ids([layer('elevation'), layer('slope'), layer('zones')])).toEqual([
      'elevation',
      'slope',
      'zones',
    ]);
    expect(ids([layer('slope'), layer('elevation')])).toEqual(['elevation', 'slope']);
  });

  it('is the user’s where there is one, and a layer that came later takes its usual place', () => {
    const order = moved(LAYERS, [], 'settings', 1);
    expect(order).toEqual(['elevation', 'wet', 'warm', 'roads', 'settings', 'zones']);
    const later = [...LAYERS, layer('buildings')];
    expect(ids(later, order)).toEqual([
      'elevation',
      'wet',
      'warm',
      'roads',
      'settings',
      'buildings',
      'zones',
    ]);
  });

  it('moves nothing past the end of its sort', () => {
    expect(moved(LAYERS, [], 'zones', 1)).toEqual(ids(LAYERS));
    expect(moved(LAYERS, [], 'settings', -1)).toEqual(ids(LAYERS));
    expect(moved(LAYERS, [], 'warm', 1)).toEqual(ids(LAYERS));
  });

  it('leaves out what is no longer in the plan', () => {
    expect(ids([layer('roads')], ['gone', 'roads'])).toEqual(['roads']);
  });
});
