import { fail, type Failure, type Result } from '../../../domain/base/result.ts';

/** A Failure on its way through code that knows exceptions only (a library, the decoding of blocks). */
export class ReadTrouble extends Error {
  readonly failure: Failure;
  constructor(failure: Failure) {
    super(failure.what);
    this.name = 'ReadTrouble';
    this.failure = failure;
  }
}

/** What is thrown while a raster is read, as a Failure with one plain sentence. Cancelled is passed on. */
export function trouble(error: unknown, file: string): Result<never> {
  if (error instanceof ReadTrouble) return { ok: false, failure: error.failure };
  if (error instanceof Error && error.name === 'Cancelled') throw error;
  if (error instanceof WebAssembly.CompileError)
    return fail(
      'format',
      file,
      'cannot be unpacked here: the host of this page forbids WebAssembly, which ZSTD and LERC need',
      "Allow 'wasm-unsafe-eval' in the policy that the host sends, or write the file again with deflate.",
    );
  const why = error instanceof Error ? error.message : String(error);
  if (/createImageBitmap/.test(why))
    return fail(
      'format',
      file,
      'is packed with WebP, which only a browser unpacks',
      'Write it again with deflate, LZW or ZSTD.',
    );
  if (/compression method/i.test(why)) {
    const code = /\d+/.exec(why)?.[0] ?? '';
    const name = PACKING[code] ?? `method ${code}`;
    return fail(
      'format',
      file,
      `is packed in a way that is not read (${name})`,
      'Write it again with deflate, LZW or ZSTD.',
    );
  }
  // What a library says of its own insides tells a person nothing.
  const inside = /undefined|\bNaN\b|\bnull\b|is not |Cannot /.test(why);
  return fail('format', file, `is damaged or cut short${inside ? '' : ` (${why})`}`, 'Get the file again.');
}

/** TIFF compression codes that files in the field may have and that are not unpacked. */
const PACKING: Readonly<Record<string, string>> = {
  2: 'CCITT',
  3: 'fax',
  4: 'fax',
  6: 'old JPEG',
  34712: 'JPEG 2000',
  34892: 'lossy JPEG',
  34925: 'LZMA',
  50002: 'JPEG XL',
};
