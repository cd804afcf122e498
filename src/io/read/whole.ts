import { fail, type Result } from '../../domain/base/result.ts';
import type { Source } from '../source.ts';

/** Bytes beyond which a file is not taken into memory whole: the features made of it take several times as much. */
export const MOST_WHOLE = 1e9;

/** All bytes of a file of a format that cannot be read by slices, where they are not too many. */
export async function whole(source: Source, most: number = MOST_WHOLE): Promise<Result<Uint8Array>> {
  if (source.size !== null && source.size > most) return tooLarge(source.name, source.size, most);
  const bytes = await source.readAll();
  return bytes.ok && bytes.value.length > most ? tooLarge(source.name, bytes.value.length, most) : bytes;
}

const tooLarge = (name: string, size: number, most: number): ReturnType<typeof fail> =>
  fail(
    'content',
    name,
    `is ${gigabytes(size)} GB; files of this kind are read up to ${gigabytes(most)} GB`,
    'Cut out the area that you need, or convert it to FlatGeobuf, which is read by area.',
  );

const gigabytes = (bytes: number): string => (bytes / 1e9).toFixed(1);
