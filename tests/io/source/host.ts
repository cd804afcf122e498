/** A stand-in for a host on the network: answers range requests as RFC 9110 section 14 says, and counts them. */
export interface Host {
  readonly fetch: (url: string, init?: RequestInit) => Promise<Response>;
  /** Range headers as asked for, 'all' for a request without one. */
  readonly asked: string[];
}

export function host(bytes: Uint8Array): Host {
  const asked: string[] = [];
  const fetch = (_url: string, init?: RequestInit): Promise<Response> => {
    const range = new Headers(init?.headers).get('range');
    asked.push(range ?? 'all');
    const match = /^bytes=(\d+)-(\d+)$/.exec(range ?? '');
    if (!match) return Promise.resolve(whole(bytes));
    const from = Number(match[1]);
    const to = Math.min(Number(match[2]) + 1, bytes.length);
    const total = String(bytes.length);
    if (from >= bytes.length)
      return Promise.resolve(
        new Response('no such range', { status: 416, headers: { 'content-range': `bytes */${total}` } }),
      );
    return Promise.resolve(
      new Response(bytes.slice(from, to), {
        status: 206,
        headers: { 'content-range': `bytes ${from}-${to - 1}/${total}` },
      }),
    );
  };
  return { fetch, asked };
}

export const whole = (bytes: Uint8Array): Response =>
  new Response(bytes.slice(), { status: 200, headers: { 'content-length': String(bytes.length) } });

/** Bytes that differ from place to place. */
export function pattern(length: number): Uint8Array {
  const bytes = new Uint8Array(length);
  for (let i = 0; i < length; i++) bytes[i] = (i * 31 + (i >> 8) * 7 + (i >> 16)) & 255;
  return bytes;
}
