/**
 * A file at an address, read by range requests in blocks that are kept: headers and neighbouring tiles come in few
 * requests. A host that answers with the whole file instead is accepted for a small one and refused for a large one.
 */
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Source } from '../source.ts';

const BLOCK = 65_536;
const MOST_BLOCKS = 512;
/** Largest file that is taken whole from a host without ranges. */
export const MOST_WITHOUT_RANGES = 64 * 1024 * 1024;

type Fetch = (url: string, init?: RequestInit) => Promise<Response>;

export function urlSource(url: string, fetcher: Fetch = (u, init) => fetch(u, init)): Source {
  return new UrlSource(url, fetcher);
}

class UrlSource implements Source {
  readonly name: string;
  readonly url: string;
  size: number | null = null;
  #fetch: Fetch;
  #blocks = new Map<number, Promise<Result<Uint8Array>>>();
  #whole: Uint8Array | null = null;

  constructor(url: string, fetcher: Fetch) {
    this.url = url;
    this.name = decodeURIComponent(url.split(/[?#]/)[0].split('/').at(-1) ?? '') || url;
    this.#fetch = fetcher;
  }

  async read(offset: number, length: number): Promise<Result<Uint8Array>> {
    if (this.size !== null) length = Math.max(0, Math.min(length, this.size - offset));
    if (length === 0) return ok(new Uint8Array(0));
    const first = Math.floor(offset / BLOCK);
    const last = Math.floor((offset + length - 1) / BLOCK);
    const out = new Uint8Array(length);
    let filled = 0;
    // Runs of blocks that are not held yet are fetched in one request each.
    for (let b = first; b <= last && !this.#whole;) {
      let end = b;
      while (end <= last && !this.#blocks.has(end)) end++;
      if (end > b) this.#fetchRun(b, end);
      b = end + 1;
    }
    for (let b = first; b <= last; b++) {
      const block = await this.#block(b);
      if (!block.ok) {
        this.#blocks.delete(b);
        return block;
      }
      const from = Math.max(0, offset - b * BLOCK);
      const part = block.value.subarray(from, Math.min(block.value.length, offset + length - b * BLOCK));
      if (from > block.value.length) break;
      out.set(part, filled);
      filled += part.length;
      if (block.value.length < BLOCK) break;
    }
    this.#trim();
    return ok(filled === length ? out : out.subarray(0, filled));
  }

  async readAll(): Promise<Result<Uint8Array>> {
    if (this.#whole) return ok(this.#whole);
    const answer = await this.#request({});
    if (!answer.ok) return answer;
    return this.#body(answer.value);
  }

  async #block(b: number): Promise<Result<Uint8Array>> {
    if (this.#whole) return ok(this.#whole.subarray(b * BLOCK, (b + 1) * BLOCK));
    const held = this.#blocks.get(b);
    if (!held) throw new Error('block was not asked for');
    const result = await held;
    // The host may have sent everything meanwhile.
    return this.#whole ? ok((this.#whole as Uint8Array).subarray(b * BLOCK, (b + 1) * BLOCK)) : result;
  }

  #fetchRun(first: number, end: number): void {
    const run = this.#range(first * BLOCK, end * BLOCK);
    for (let b = first; b < end; b++) {
      const at = (b - first) * BLOCK;
      this.#blocks.set(
        b,
        run.then((r) => (r.ok ? ok(r.value.subarray(at, at + BLOCK)) : r)),
      );
    }
  }

  async #range(from: number, to: number): Promise<Result<Uint8Array>> {
    const answer = await this.#request({ Range: `bytes=${from}-${to - 1}` });
    if (!answer.ok) return answer;
    const response = answer.value;
    if (response.status === 206) {
      const total = /\/(\d+)$/.exec(response.headers.get('content-range') ?? '')?.[1];
      if (total !== undefined) this.size = Number(total);
      return this.#body(response);
    }
    const declared = Number(response.headers.get('content-length') ?? NaN);
    if (declared > MOST_WITHOUT_RANGES) {
      return fail(
        'unreadable',
        this.name,
        `is ${Math.round(declared / 1e6)} MB on a host (${this.#host()}) that does not send parts of files`,
        'Download the file and add it from disk.',
      );
    }
    const body = await this.#body(response);
    if (!body.ok) return body;
    this.#whole = body.value;
    this.size = body.value.length;
    this.#blocks.clear();
    return ok(body.value.subarray(from, to));
  }

  async #request(headers: Record<string, string>): Promise<Result<Response>> {
    try {
      // Past the browser's own cache: it would mix parts of the plain file with the packed whole of some servers.
      const response = await this.#fetch(this.url, { headers, cache: 'no-store' });
      if (response.ok) return ok(response);
      // Asked for a part beyond the end: the file is shorter than a block, or empty.
      if (response.status === 416)
        return ok(new Response(new Uint8Array(0), { status: 206, headers: response.headers }));
      const what = response.status === 404 ? 'is not there' : `is refused by the host`;
      return fail(
        'unreadable',
        this.name,
        `${what} (${this.#host()} answers ${response.status})`,
        'Check the address.',
      );
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error);
      return fail(
        'unreadable',
        this.name,
        `cannot be fetched from ${this.#host()} (${why}): the host is not reachable, or does not allow other sites to read it (CORS)`,
        'Check the address and the network, or download the file and add it from disk.',
      );
    }
  }

  async #body(response: Response): Promise<Result<Uint8Array>> {
    try {
      return ok(new Uint8Array(await response.arrayBuffer()));
    } catch (error) {
      return fail(
        'unreadable',
        this.name,
        `broke off while it was fetched (${error instanceof Error ? error.message : String(error)})`,
        'Try again.',
      );
    }
  }

  #host(): string {
    try {
      return new URL(this.url).host;
    } catch {
      return this.url;
    }
  }

  #trim(): void {
    for (const b of this.#blocks.keys()) {
      if (this.#blocks.size <= MOST_BLOCKS) return;
      this.#blocks.delete(b);
    }
  }
}
