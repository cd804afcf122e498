/**
 * Terms of the Darwin Core vocabularies of establishment (TDWG 2021): a value is the term, its label, or its address
 * (http://rs.tdwg.org/dwcem/values/e003). Null where it is none of them.
 */
export function termOf(
  text: string,
  terms: readonly string[],
  namespace: string,
  letter: string,
): string | null {
  const address = text.trim().match(new RegExp(`(?:${namespace}/values/)?\\b${letter}(\\d{3})\\W*$`, 'i'));
  if (address) return terms[Number(address[1]) - 1] ?? null;
  const plain = text.toLowerCase().replace(/[^a-z]/g, '');
  return terms.find((t) => t.toLowerCase() === plain) ?? null;
}
