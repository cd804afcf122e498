/**
 * Bytes from anywhere behind one small interface: a File or Blob, an address with range requests, a path (CLI), memory.
 * Readers ask for slices and never for more than they need; a whole read is `read(0, size)`.
 */
import type { Note, Result } from '../domain/base/result.ts';

export interface Source {
  /** Name with extension as the user knows it. */
  readonly name: string;
  /** Bytes in all; null when the host does not say. */
  readonly size: number | null;
  /** Bytes [offset, offset + length), shorter at the end of the file. */
  read(offset: number, length: number): Promise<Result<Uint8Array>>;
  /** All bytes. */
  readAll(): Promise<Result<Uint8Array>>;
  /** Set for an address: readers that stream by themselves may use it in messages. */
  readonly url?: string;
  /**
   * A file that was brought along with this one and stands beside it ("zones.prj" beside "zones.shp"; letters' case does not
   * matter); null where there is none. For an address this asks the host, so readers ask only for what they cannot do without.
   */
  beside?(name: string): Promise<Source | null>;
  /** What the user should know of how the bytes came, so far (a host without ranges sent the whole file). */
  notes?(): readonly Note[];
}
