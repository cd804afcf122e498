import { fail, type Result } from '../../domain/base/result.ts';

export type Fetch = (url: string, init?: RequestInit) => Promise<Response>;

/**
 * Why an address gave no answer. A browser does not say: asking once more without wanting to see the answer ("no-cors")
 * tells a host that is silent from one that does not let pages of other sites read what it sends.
 * @param host as the user is shown it.
 */
export async function unanswered(
  { url, name }: { readonly url: string; readonly name: string },
  host: string,
  fetcher: Fetch,
  error: unknown,
): Promise<Result<never>> {
  const why = error instanceof Error ? error.message : String(error);
  const page = (globalThis as { location?: { readonly protocol: string } }).location;
  const say = (what: string, todo: string): Result<never> =>
    fail('unreadable', name, `cannot be fetched from ${host}${what}`, todo);
  if (page?.protocol === 'https:' && url.startsWith('http:') && !/^http:\/\/(localhost|127\.)/.test(url))
    return say(
      ': a page that came by https: may not ask addresses that begin with http:',
      'Use the address with https:, or download the file and add it from disk.',
    );
  if (!page)
    return say(
      ` (${why}): the host is not reachable, or does not allow other sites to read it (CORS)`,
      'Check the address and the network, or download the file and add it from disk.',
    );
  return (await answers(url, fetcher))
    ? say(
        ': the host answers, but does not allow pages of other sites to read it (CORS)',
        'Download the file and add it from disk, or ask the host to allow it.',
      )
    : say(` (${why}): the host is not reachable`, 'Check the address and the network.');
}

async function answers(url: string, fetcher: Fetch): Promise<boolean> {
  try {
    await fetcher(url, { method: 'HEAD', mode: 'no-cors', cache: 'no-store' });
    return true;
  } catch (error) {
    if (error instanceof TypeError) return false;
    throw error;
  }
}

export function hostOf(url: string): string {
  try {
    return new URL(url).host;
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    return url;
  }
}
