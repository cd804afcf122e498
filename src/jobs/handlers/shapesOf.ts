import type { Area, Spot, Track } from '../../domain/base/geo.ts';
import { areaShapes, spotShapes, trackShapes, type ShapeIndex } from '../../domain/layers/nearest.ts';
import { layersOf, type Desk } from './desk.ts';

interface Features {
  readonly polygon: Area;
  readonly line: Track;
  readonly point: Spot;
}

export interface Shapes<K extends keyof Features> {
  /** Of all layers of the definition, numbered on from layer to layer as the index numbers them. */
  readonly features: ReadonlyArray<Features[K]>;
  readonly index: ShapeIndex;
}

const BUILD: { [K in keyof Features]: (...layers: ReadonlyArray<ReadonlyArray<Features[K]>>) => ShapeIndex } =
  {
    polygon: areaShapes,
    line: trackShapes,
    point: spotShapes,
  };

/**
 * Shapes of all open layers of a definition, ready for distances; null where none is open. Built once: whoever asks after
 * one tree has them at once.
 */
export function shapesOf<K extends keyof Features>(
  desk: Desk,
  definition: string,
  kind: K,
): Shapes<K> | null {
  const layers = layersOf(desk, definition).filter(({ opened }) => opened.content.kind === kind);
  if (layers.length === 0) return null;
  // A layer that is opened or closed makes another memory (desk.ts): within one only the order of layers can change.
  const name = `shapes of ${definition}`;
  const key = JSON.stringify(layers.map((l) => l.entry.id));
  const held = desk.memo.get(name) as { key: string; shapes: Shapes<K> } | undefined;
  if (held?.key === key) return held.shapes;
  const lists = layers.flatMap(({ opened: { content } }) =>
    content.kind === kind ? [content.features as ReadonlyArray<Features[K]>] : [],
  );
  const shapes = { features: lists.flat(), index: BUILD[kind](...lists) };
  desk.memo.set(name, { key, shapes });
  return shapes;
}
