import { getDecoder } from 'geotiff';

/** TIFF compression codes. */
export const LERC = 34887;
export const ZSTD = 50000;

let ready: Promise<void> | null = null;

/**
 * Loads the library's unpackers of ZSTD and LERC. Both fetch a piece of WebAssembly out of their own text, from a data:
 * address; where the host sends the page's strict policy with the worker too, such a fetch is refused (connect-src), though
 * nothing is asked of any host. It is answered here while they load. Throws where the policy forbids WebAssembly itself.
 */
export function unpackersReady(): Promise<void> {
  ready ??= load().catch((error: unknown) => {
    ready = null;
    throw error;
  });
  return ready;
}

const OWN = 'data:application/wasm;base64,';

async function load(): Promise<void> {
  const { fetch } = globalThis;
  globalThis.fetch = (input, init) => {
    if (typeof input !== 'string' || !input.startsWith(OWN)) return fetch(input, init);
    const bytes = Uint8Array.from(atob(input.slice(OWN.length)), (c) => c.charCodeAt(0));
    return Promise.resolve(new Response(bytes));
  };
  try {
    const parameters = {} as Parameters<typeof getDecoder>[1];
    await Promise.all([getDecoder(ZSTD, parameters), getDecoder(LERC, parameters)]);
  } finally {
    globalThis.fetch = fetch;
  }
}
