/** The nested brackets of well-known text (OGC 01-009, OGC 18-010), whatever their keywords mean. */
export interface WktNode {
  /** In capitals. */
  readonly keyword: string;
  readonly values: ReadonlyArray<string | number | WktNode>;
}

/** Deeper than any real system, shallower than the stack. */
const DEEPEST = 40;

/** null where the text is no such thing. Bare words (east, north) are kept as text. */
export function parseWkt(text: string): WktNode | null {
  let at = 0;
  const space = (): void => {
    while (at < text.length && /\s/.test(text[at])) at++;
  };
  const word = /[A-Za-z_]\w*/y;
  const number = /[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?/y;
  const quoted = /"((?:[^"]|"")*)"/y;
  const take = (pattern: RegExp): RegExpExecArray | null => {
    pattern.lastIndex = at;
    const found = pattern.exec(text);
    if (found) at = pattern.lastIndex;
    return found;
  };
  const value = (depth: number): string | number | WktNode | null => {
    space();
    const string = take(quoted);
    if (string) return string[1].replaceAll('""', '"');
    const digits = take(number);
    if (digits) return Number(digits[0]);
    const name = take(word)?.[0];
    if (name === undefined) return null;
    space();
    if (text[at] !== '[' && text[at] !== '(') return name;
    if (depth > DEEPEST) return null;
    at++;
    const values: Array<string | number | WktNode> = [];
    for (;;) {
      const next = value(depth + 1);
      if (next === null) return null;
      values.push(next);
      space();
      if (text[at] === ',') at++;
      else if (text[at] === ']' || text[at] === ')') {
        at++;
        return { keyword: name.toUpperCase(), values };
      } else return null;
    }
  };
  const root = value(0);
  space();
  // A second system after a comma is one of heights.
  const ends = at === text.length || text[at] === ',';
  return root !== null && typeof root === 'object' && ends ? root : null;
}

export const children = (node: WktNode, keywords: readonly string[]): WktNode[] =>
  node.values.filter((v): v is WktNode => typeof v === 'object' && keywords.includes(v.keyword));

export const child = (node: WktNode, keywords: readonly string[]): WktNode | null =>
  children(node, keywords)[0] ?? null;

/** The first text of a node, which is its name. */
export const nameOf = (node: WktNode | null): string | null => {
  const first = node?.values[0];
  return typeof first === 'string' ? first : null;
};

export const numbersOf = (node: WktNode): number[] =>
  node.values.filter((v): v is number => typeof v === 'number');
