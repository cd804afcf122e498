/** Two digits of a part of a colour, 0 to 255. */
export const hex = (part: number): string =>
  Math.max(0, Math.min(255, Math.round(part) || 0))
    .toString(16)
    .padStart(2, '0');
