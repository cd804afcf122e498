/** A small strict reader of XML 1.0 without a document type: enough to check what the program writes. Throws on what is not well formed. */
export interface Element {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly Element[];
  readonly text: string;
}

const ENTITIES: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" };

export function parseXml(source: string): Element {
  // XML 1.0, production 2: the characters that a document may hold.
  if (/[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/u.test(source))
    throw new Error('a character that XML cannot hold');
  let at = 0;
  const take = (pattern: RegExp, what: string): RegExpExecArray => {
    const sticky = new RegExp(pattern.source, 'uy');
    sticky.lastIndex = at;
    const found = sticky.exec(source);
    if (!found) throw new Error(`${what} expected at ${at}: ${source.slice(at, at + 30)}`);
    at = sticky.lastIndex;
    return found;
  };
  const decoded = (text: string): string => {
    if (/&(?!(?:amp|lt|gt|quot|apos);)/.test(text)) throw new Error(`a bare ampersand in ${text}`);
    return text.replace(/&(\w+);/g, (_, name: string) => ENTITIES[name]);
  };
  const element = (): Element => {
    const [, name] = take(/<([\w:]+)/, 'an element');
    const attributes: Record<string, string> = {};
    for (;;) {
      const [, attribute, value, end] = take(
        /\s*(?:([\w:]+)="([^"<]*)"|(\/?>))/,
        'an attribute or the end of the tag',
      );
      if (end === '/>') return { name, attributes, children: [], text: '' };
      if (end === '>') break;
      if (attribute in attributes) throw new Error(`attribute ${attribute} twice`);
      attributes[attribute] = decoded(value);
    }
    const children: Element[] = [];
    let text = '';
    for (;;) {
      text += decoded(take(/[^<]*/, 'text')[0]);
      if (source.startsWith('</', at)) break;
      children.push(element());
    }
    take(new RegExp(`</${name}>`), `</${name}>`);
    return { name, attributes, children, text };
  };
  take(/<\?xml version="1\.0" encoding="UTF-8"\?>\s*/, 'the XML declaration');
  const root = element();
  take(/\s*$/, 'the end');
  return root;
}
