/**
 * Degrees as people write them: "-85.25", "85.25 W", "N 40°26'46\"", "40 26 46 N", "40 26.767", "40,446" (decimal comma).
 * Hemisphere letters or a leading minus give the sign. NaN where it is none of these, or minutes or seconds reach 60.
 */
export function degrees(text: string): number {
  // Most cells are plain numbers, and a table may have millions of them.
  if (/^-?\d+(?:\.\d+)?$/.test(text)) return Number(text);
  const clean = text.normalize('NFKC').trim().replace(/[−–]/g, '-');
  const letters = clean.match(/[NSEW]/gi) ?? [];
  if (clean === '' || letters.length > 1) return NaN;
  const bare = clean.replace(/^[NSEW]\s*|\s*[NSEW]$/i, '');
  const parts = bare
    .replace(/[°º'’′"”″:]/g, ' ')
    .replace(/(\d),(\d)/g, '$1.$2')
    .trim()
    .split(/\s+/);
  if (parts.length > 3 || !parts.every((p, i) => (i === 0 ? /^[+-]?\d+(\.\d+)?$/ : /^\d+(\.\d+)?$/).test(p)))
    return NaN;
  const [d, m = 0, s = 0] = parts.map(Number);
  if (
    m >= 60 ||
    s >= 60 ||
    (parts.length > 1 && !Number.isInteger(d)) ||
    (parts.length > 2 && !Number.isInteger(m))
  )
    return NaN;
  const size = Math.abs(d) + m / 60 + s / 3600;
  const minus = parts[0].startsWith('-');
  const south = /[SW]/i.test(letters[0] ?? '');
  // "-85 W" is meant as west; "-85 E" says two things at once.
  if (minus && letters.length > 0 && !south) return NaN;
  return minus || south ? -size : size;
}
