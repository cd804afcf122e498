/** Typefaces of labels: the page's own, drawn by the browser; no glyph files are fetched. */

// Quoted, since a CSS family name with a digit in it is no plain identifier.
export const SERIF = ['"Source Serif 4 Variable"'];
export const SANS = ['"Source Sans 3 Variable"'];
