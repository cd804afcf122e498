import { mendRings } from '../../domain/layers/rings.ts';
import type { Opened } from '../../io/read/types.ts';

/** A layer of polygons with its outlines mended where that is safe, and notes on what was and what was not; others as they are. */
export function mendOpened(opened: Opened, key = ''): Opened {
  const { content, file, notes } = opened;
  if (content.kind !== 'polygon') return opened;
  const mended = mendRings(content.features, file, key);
  if (mended.notes.length === 0) return opened;
  return {
    ...opened,
    content: { kind: 'polygon', features: mended.areas },
    notes: [...notes, ...mended.notes],
  };
}
