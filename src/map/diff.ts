/** What has to be done to a drawn map so that it shows another style: pure, applied by apply.ts. */
import type { LayerSpecification } from 'maplibre-gl';
import type { MapSource, MapStyle } from './mapStyle.ts';

export type Step =
  | { readonly do: 'remove layer'; readonly id: string }
  | { readonly do: 'remove source'; readonly id: string }
  | { readonly do: 'add source'; readonly id: string; readonly source: MapSource }
  | { readonly do: 'set data'; readonly id: string; readonly source: MapSource }
  | { readonly do: 'add layer'; readonly layer: LayerSpecification; readonly before: string | undefined }
  | { readonly do: 'paint' | 'layout'; readonly id: string; readonly name: string; readonly value: unknown }
  | { readonly do: 'filter'; readonly id: string; readonly value: unknown };

type Loose = LayerSpecification & {
  readonly source?: string;
  readonly filter?: unknown;
  readonly minzoom?: number;
  readonly maxzoom?: number;
  readonly paint?: Readonly<Record<string, unknown>>;
  readonly layout?: Readonly<Record<string, unknown>>;
};

const same = (a: unknown, b: unknown): boolean => a === b || JSON.stringify(a) === JSON.stringify(b);

/** Whether a source can go on with new data; anything else about it makes it a new source. */
function sameShape(a: MapSource, b: MapSource): boolean {
  if (a.kind === 'raster' || a.kind === 'basemap') return a.kind === b.kind && a.key === b.key;
  return a.kind === b.kind && same(a.options, b.options);
}

/** Of two sources of one shape. A Blob is never read to be compared: another Blob is other data. */
function sameData(a: MapSource, b: MapSource): boolean {
  if (a.kind === 'file') return b.kind === 'file' && a.blob === b.blob;
  return b.kind !== 'file' && a.key === b.key;
}

/** Steps in the order in which they have to be done: layers go before their sources, sources come before layers. */
export function diff(from: MapStyle, to: MapStyle): Step[] {
  const steps: Step[] = [];
  const renewed = new Set<string>();
  for (const [id, source] of Object.entries(from.sources)) {
    const next = to.sources[id];
    if (!next || !sameShape(source, next)) renewed.add(id);
  }
  const old = new Map(from.layers.map((l) => [l.id, l as Loose]));
  const kept = new Map<string, Loose>();
  const wanted = new Map(to.layers.map((l) => [l.id, l as Loose]));
  for (const layer of old.values()) {
    const next = wanted.get(layer.id);
    const stays =
      next !== undefined &&
      next.type === layer.type &&
      next.source === layer.source &&
      next.minzoom === layer.minzoom &&
      next.maxzoom === layer.maxzoom &&
      !renewed.has(layer.source ?? '');
    if (stays) kept.set(layer.id, layer);
    else steps.push({ do: 'remove layer', id: layer.id });
  }
  // Layers that stay keep their order unless the wish changed it; those out of it are taken off and put back.
  const ids = to.layers.map((l) => l.id);
  let last = -1;
  for (const id of [...kept.keys()]) {
    const at = ids.indexOf(id);
    if (at > last) last = at;
    else {
      kept.delete(id);
      steps.push({ do: 'remove layer', id });
    }
  }
  for (const id of renewed) steps.push({ do: 'remove source', id });
  for (const [id, source] of Object.entries(to.sources)) {
    const before = from.sources[id];
    if (!before || renewed.has(id)) steps.push({ do: 'add source', id, source });
    else if (!sameData(before, source)) steps.push({ do: 'set data', id, source });
  }
  // From the top down, so that the layer to put the next one before is there already.
  for (let i = to.layers.length - 1; i >= 0; i--) {
    const layer = to.layers[i] as Loose;
    const before = kept.get(layer.id);
    if (!before) {
      steps.push({ do: 'add layer', layer, before: to.layers[i + 1]?.id });
      continue;
    }
    if (!same(before.filter, layer.filter))
      steps.push({ do: 'filter', id: layer.id, value: layer.filter ?? null });
    for (const part of ['paint', 'layout'] as const) {
      const a = before[part] ?? {};
      const b = layer[part] ?? {};
      for (const name of new Set([...Object.keys(a), ...Object.keys(b)]))
        if (!same(a[name], b[name])) steps.push({ do: part, id: layer.id, name, value: b[name] });
    }
  }
  return steps;
}
