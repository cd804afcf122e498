import type { Box } from '../../../domain/base/geo.ts';
import type { Loaded } from './cells.ts';

/**
 * Values of the cells of a window (left, top, right, bottom; inside the image), row by row, with scale and offset; NaN where
 * missing. The same numbers as rawCell gives cell by cell.
 */
export function windowInto(loaded: Loaded, [left, top, right, bottom]: Box, out: Float64Array): void {
  const { level, blocks, masks, meta } = loaded;
  const { scale, offset } = meta;
  const nodata = meta.nodata ?? NaN;
  const plain = scale === 1 && offset === 0;
  const { width, blockWidth, blockHeight, across } = level;
  const wide = right - left;
  for (let by = Math.floor(top / blockHeight); by * blockHeight < bottom; by++) {
    for (let bx = Math.floor(left / blockWidth); bx * blockWidth < right; bx++) {
      const block = by * across + bx;
      const cells = blocks[block];
      if (!cells) throw new Error('a cell of a block that was not loaded');
      const mask = masks?.[block];
      const x = bx * blockWidth;
      const stride = Math.min(blockWidth, width - x);
      const from = Math.max(left, x);
      const n = Math.min(right, x + stride) - from;
      const last = Math.min(bottom, (by + 1) * blockHeight);
      for (let row = Math.max(top, by * blockHeight); row < last; row++) {
        const at = (row - by * blockHeight) * stride + from - x;
        const to = (row - top) * wide + from - left;
        if (plain) {
          // The usual case, and twice as fast.
          out.set(cells.subarray(at, at + n), to);
          if (nodata === nodata) for (let i = to; i < to + n; i++) if (out[i] === nodata) out[i] = NaN;
        } else
          for (let i = 0; i < n; i++) {
            const value = cells[at + i];
            out[to + i] = value === nodata ? NaN : value * scale + offset;
          }
        if (mask) for (let i = 0; i < n; i++) if (mask[at + i] === 0) out[to + i] = NaN;
      }
    }
  }
}
