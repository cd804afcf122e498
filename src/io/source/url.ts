/**
 * A file at an address, read by range requests in blocks that are kept: headers and neighbouring tiles come in few
 * requests. A host that answers with the whole file instead is accepted for a small one and refused for a large one.
 */
import { fail, ok, type Note, type Result } from '../../domain/base/result.ts';
import type { Source } from '../source.ts';
import { hostOf, unanswered, type Fetch } from './unanswered.ts';

const BLOCK = 65_536;
const MOST_BLOCKS = 512;
/** Largest file that is taken whole from a host without ranges. */
export const MOST_WITHOUT_RANGES = 64 * 1024 * 1024;

/** Files taken whole are worth a word from this size on. */
const WORTH_A_NOTE = 1_000_000;

type Block = Promise<Result<Uint8Array>>;

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
  /** Host to which the address leads by a redirect. */
  #ledTo: string | null = null;

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
    if (response.status === 416) {
      // Asked for a part beyond the end: the file is shorter than a block, or empty.
      const total = /^bytes \*\/(\d+)$/.exec(response.headers.get('content-range') ?? '')?.[1];
      if (total !== undefined) this.size = Number(total);
      await response.body?.cancel();
      return ok(new Uint8Array(0));
    }
    if (response.status === 206) return this.#part(response, from, to);
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

  /** A part as it was asked for (RFC 9110, section 14.4). Headers may be withheld by the browser (CORS). */
  async #part(response: Response, from: number, to: number): Promise<Result<Uint8Array>> {
    const cannot = async (why: string): Promise<Result<never>> => {
      await response.body?.cancel();
      return fail(
        'unreadable',
        this.name,
        `cannot be read in parts: ${this.#host()} ${why}`,
        'Download the file and add it from disk.',
      );
    };
    // A part of the packed file, which the browser unpacks, or fails to, as if it were the whole.
    const packed = response.headers.get('content-encoding');
    if (packed !== null && packed !== 'identity') return cannot(`packs the parts that it sends (${packed})`);
    if (/^multipart\//i.test(response.headers.get('content-type') ?? ''))
      return cannot('sends several parts at once where one was asked for');
    const range = response.headers.get('content-range');
    const [, start, end, total] = /^bytes (\d+)-(\d+)\/(\d+|\*)$/.exec(range ?? '') ?? [];
    if (range !== null && start === undefined)
      return cannot(`says of a part that it is "${range.slice(0, 40)}"`);
    if (start !== undefined && Number(start) !== from)
      return cannot('sends other bytes than those asked for');
    if (total !== undefined && total !== '*') {
      if (this.size !== null && this.size !== Number(total))
        return fail(
          'unreadable',
          this.name,
          `was changed on ${this.#host()} while it was read (it had ${this.size} bytes, now ${total})`,
          'Open it again.',
        );
      this.size = Number(total);
    }
    const body = await this.#body(response, MOST_WITHOUT_RANGES);
    if (!body.ok) return body;
    const wanted = Math.min(to, this.size ?? from + body.value.length) - from;
    if (body.value.length === wanted && (end === undefined || Number(end) - from + 1 === wanted)) return body;
    return fail(
      'unreadable',
      this.name,
      body.value.length < wanted
        ? `broke off while it was fetched from ${this.#host()} (${body.value.length} of ${wanted} bytes came)`
        : `cannot be read in parts: ${this.#host()} sends other bytes than those asked for`,
      body.value.length < wanted ? 'Try again.' : 'Download the file and add it from disk.',
    );
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
    let response: Response;
    try {
      // Past the browser's own cache: it would mix parts of the plain file with the packed whole of some servers.
      response = await this.#fetch(this.url, { headers, cache: 'no-store' });
    } catch (error) {
      return unanswered(this, this.#host(), this.#fetch, error);
    }
    if (response.redirected && hostOf(response.url) !== hostOf(this.url)) this.#ledTo = hostOf(response.url);
    const { status } = response;
    if (response.ok || status === 416) return ok(response);
    await response.body?.cancel();
    return fail(
      'unreadable',
      this.name,
      `${status === 404 || status === 410 ? 'is not there' : 'is refused by the host'} (${this.#host()} answers ${status})`,
      status === 401 || status === 403
        ? 'Check the address; if it needs a sign-in, download the file and add it from disk.'
        : status === 429 || status >= 500
          ? 'Try again later.'
          : 'Check the address.',
    );
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
        `broke off while it was fetched from ${this.#host()} (${error instanceof Error ? error.message : String(error)})`,
        'Try again.',
      );
    }
  }

  #host(): string {
    return this.#ledTo === null ? hostOf(this.url) : `${this.#ledTo} (to which ${hostOf(this.url)} leads)`;
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
