/** The basemap that the plan names, opened for the map; null where there is none. */
import { fail, ok, type Failure, type Result } from '../domain/base/result.ts';
import { tileTemplate } from '../domain/plan/basemap.ts';
import type { Basemap, Plan } from '../domain/plan/schema.ts';
import type { JobClient } from '../jobs/client.ts';
import type { BasemapView, Bytes } from '../jobs/protocol.ts';

/** Beyond it most hosts have no pictures; the map stretches the last ones. */
const FINEST = 19;

export class BasemapState {
  view = $state.raw<BasemapView | null>(null);
  failure = $state.raw<Failure | null>(null);
  #tiles: JobClient;
  #bytesOf: (basemap: Basemap) => Result<Bytes>;
  #key = '';

  constructor(tiles: JobClient, bytesOf: (basemap: Basemap) => Result<Bytes>) {
    this.#tiles = tiles;
    this.#bytesOf = bytesOf;
  }

  /** Forgets what is open, so that the next `sync` opens anew. */
  reset(): void {
    this.#key = '';
    this.view = null;
    this.failure = null;
  }

  /** Opens what the plan names, if it is another than before. */
  async sync({ basemap }: Plan): Promise<void> {
    const key = basemap ? JSON.stringify([basemap.kind, basemap.path, basemap.url]) : '';
    if (key === this.#key) return;
    this.reset();
    this.#key = key;
    if (!basemap) return;
    const opened = basemap.kind === 'xyz' ? pictures(basemap) : await this.#open(basemap);
    // Another one was chosen meanwhile.
    if (this.#key !== key) return;
    if (opened.ok) this.view = opened.value;
    else this.failure = opened.failure;
  }

  /** Tiles of an address do not come: said once, not for each. */
  trouble(why: string): void {
    this.failure ??= fail(
      'unreadable',
      'The basemap',
      `does not come (${why}): the host is not reachable, has no pictures here, or does not allow other sites to use them (CORS)`,
      'Check the address and the network, or use a file of tiles.',
    ).failure;
  }

  /** One tile of a file; null where it has none. */
  async tile(z: number, x: number, y: number): Promise<ArrayBuffer | null> {
    const result = await this.#tiles.run('basemapTile', { z, x, y }).result;
    if (!result.ok) this.failure = result.failure;
    return result.ok ? result.value : null;
  }

  async #open(basemap: Basemap): Promise<Result<BasemapView>> {
    const bytes = this.#bytesOf(basemap);
    return bytes.ok ? this.#tiles.run('openBasemap', { bytes: bytes.value }).result : bytes;
  }
}

function pictures(basemap: Basemap): Result<BasemapView> {
  const template = tileTemplate(basemap.url ?? '');
  if (!template.ok) return template;
  return ok({
    kind: 'raster',
    ...template.value,
    minZoom: 0,
    maxZoom: FINEST,
    extent: null,
    attribution: '',
    vectorLayers: [],
  });
}
