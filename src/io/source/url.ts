/**
 * A file at an address, read by range requests in blocks that are kept: headers and neighbouring tiles come in few
 * requests. A host that answers with the whole file instead is accepted for a small one and refused for a large one.
 */
import { fail, ok, type Note, type Result } from '../../domain/base/result.ts';
import type { Source } from '../source.ts';

const BLOCK = 65_536;
const MOST_BLOCKS = 512;
/** Largest file that is taken whole from a host without ranges. */
export const MOST_WITHOUT_RANGES = 64 * 1024 * 1024;

/** Files taken whole are worth a word from this size on. */
const WORTH_A_NOTE = 1_000_000;

type Block = Promise<Result<Uint8Array>>;
type Fetch = (url: string, init?: RequestInit) => Promise<Response>;

export function urlSource(url: string, fetcher: Fetch = (u, init) => fetch(u, init)): Source {
  return new UrlSource(url, fetcher);
}

class UrlSource implements Source {
  readonly name: string;
  readonly url: string;
  size: number | null = null;
  #fetch: Fetch;
  #blocks = new Map<number, Block>();
  #whole: Uint8Array | null = null;

  constructor(url: string, fetcher: Fetch) {
    this.url = url;
    this.name = plain(url.split(/[?#]/)[0].split('/').at(-1) ?? '') || url;
    this.#fetch = fetcher;
  }

  async read(offset: number, length: number): Promise<Result<Uint8Array>> {
    if (this.size !== null) length = Math.max(0, Math.min(length, this.size - offset));
    if (length === 0) return ok(new Uint8Array(0));
    const first = Math.floor(offset / BLOCK);
    const last = Math.floor((offset + length - 1) / BLOCK);
    const out = new Uint8Array(length);
    let filled = 0;
    // Kept here as well: another reader may push blocks out of the store while this one waits.
    const asked = this.#whole ? [] : this.#ask(first, last);
    for (let b = first; b <= last; b++) {
      const answer = await asked[b - first];
      // The host may have sent everything meanwhile.
      const whole = this.#whole;
      const block = whole ? ok(whole.subarray(b * BLOCK, (b + 1) * BLOCK)) : answer;
      if (!block.ok) return block;
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

  async beside(name: string): Promise<Source | null> {
    const address = new URL(this.url);
    address.pathname = address.pathname.replace(/[^/]*$/, encodeURIComponent(name));
    const source = new UrlSource(address.href, this.#fetch);
    const head = await source.read(0, 1);
    return head.ok && head.value.length > 0 ? source : null;
  }

  notes(): readonly Note[] {
    const whole = this.#whole;
    if (!whole || whole.length < WORTH_A_NOTE) return [];
    return [
      {
        where: this.name,
        what: `was fetched whole (${(whole.length / 1e6).toFixed(1)} MB): ${this.#host()} does not send parts of files`,
      },
    ];
  }

  /** Blocks first to last. Runs of blocks that are not held yet are fetched in one request each. */
  #ask(first: number, last: number): Block[] {
    for (let b = first; b <= last;) {
      let end = b;
      while (end <= last && !this.#blocks.has(end)) end++;
      if (end > b) this.#fetchRun(b, end);
      b = end + 1;
    }
    return Array.from({ length: last - first + 1 }, (_, i) => this.#blocks.get(first + i) as Block);
  }

  #fetchRun(first: number, end: number): void {
    const run = this.#range(first * BLOCK, end * BLOCK);
    for (let b = first; b < end; b++) {
      const at = (b - first) * BLOCK;
      const block: Block = run.then((r) => {
        if (r.ok) return ok(r.value.subarray(at, at + BLOCK));
        // Not kept: the next reader asks again.
        if (this.#blocks.get(b) === block) this.#blocks.delete(b);
        return r;
      });
      this.#blocks.set(b, block);
    }
  }

  async #range(from: number, to: number): Promise<Result<Uint8Array>> {
    const answer = await this.#request({ Range: `bytes=${from}-${to - 1}` });
    if (!answer.ok) return answer;
    const response = answer.value;
    if (response.status === 206) {
      // RFC 9110, section 14.4. The header may be withheld by the browser (CORS).
      const range = response.headers.get('content-range') ?? '';
      const total = /\/(\d+)$/.exec(range)?.[1];
      const start = /^bytes (\d+)-/.exec(range)?.[1];
      if (start !== undefined && Number(start) !== from)
        return fail(
          'unreadable',
          this.name,
          `cannot be read in parts: ${this.#host()} sends other bytes than those asked for`,
          'Download the file and add it from disk.',
        );
      if (total !== undefined) this.size = Number(total);
      return this.#body(response);
    }
    const declared = Number(response.headers.get('content-length') ?? NaN);
    if (declared > MOST_WITHOUT_RANGES) {
      await response.body?.cancel();
      return this.#tooLarge(`${Math.round(declared / 1e6)} MB`);
    }
    const body = await this.#body(response, MOST_WITHOUT_RANGES);
    if (!body.ok) return body;
    this.#whole = body.value;
    this.size = body.value.length;
    this.#blocks.clear();
    return ok(body.value.subarray(from, to));
  }

  #tooLarge(size: string): Result<never> {
    return fail(
      'unreadable',
      this.name,
      `is ${size} on a host (${this.#host()}) that does not send parts of files`,
      'Download the file and add it from disk.',
    );
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

  /** @param most bytes after which a host that does not say how many there are is cut off. */
  async #body(response: Response, most = Infinity): Promise<Result<Uint8Array>> {
    try {
      if (most === Infinity || !response.body) return ok(new Uint8Array(await response.arrayBuffer()));
      const reader = response.body.getReader();
      const chunks: Uint8Array[] = [];
      let length = 0;
      for (let next = await reader.read(); !next.done; next = await reader.read()) {
        chunks.push(next.value);
        length += next.value.length;
        if (length <= most) continue;
        await reader.cancel();
        return this.#tooLarge(`more than ${Math.round(most / 1e6)} MB`);
      }
      const bytes = new Uint8Array(length);
      let at = 0;
      for (const chunk of chunks) {
        bytes.set(chunk, at);
        at += chunk.length;
      }
      return ok(bytes);
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

/** Without per cent signs where they encode something. */
function plain(name: string): string {
  try {
    return decodeURIComponent(name);
  } catch (error) {
    if (!(error instanceof URIError)) throw error;
    return name;
  }
}
