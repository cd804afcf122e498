import type { LayerView } from '../protocol.ts';
import type { OpenLayer } from './desk.ts';
import { fileFacts } from './fileFacts.ts';
import { mapGeojson } from './mapGeojson.ts';

/** What the screen is told of an open layer. */
export function viewOf(layer: OpenLayer): LayerView {
  const { entry, opened, figures, notes } = layer;
  const { content } = opened;
  const raster = content.kind === 'raster' ? content.raster : null;
  return {
    id: entry.id,
    file: opened.file,
    format: opened.format,
    crs: opened.crs,
    extent: opened.extent ?? extentOf(layer),
    count: layer.candidates?.n ?? opened.count,
    notes,
    geojson: raster || layer.candidates ? null : mapGeojson(layer),
    raster: raster
      ? {
          width: raster.width,
          height: raster.height,
          cellMetres: raster.cellMetres,
          low: figures?.low ?? NaN,
          high: figures?.high ?? NaN,
          figures,
        }
      : null,
    facts: fileFacts(opened),
  };
}

/** A table has no extent of its own; its places have one. */
function extentOf(layer: OpenLayer): LayerView['extent'] {
  const places = layer.candidates;
  if (!places || places.n === 0) return null;
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < places.n; i++) {
    box[0] = Math.min(box[0], places.lon[i]);
    box[1] = Math.min(box[1], places.lat[i]);
    box[2] = Math.max(box[2], places.lon[i]);
    box[3] = Math.max(box[3], places.lat[i]);
  }
  return box;
}
