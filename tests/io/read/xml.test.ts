/** The door for XML: encodings, references, gathering of elements, sentences with a line. */
import { describe, expect, it } from 'vitest';
import { readXml, resolve, textOf, type XmlNode } from '../../../src/io/read/markup/xml.ts';
import { rootOf } from '../../../src/io/read/markup/xmlText.ts';

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const bytesOf = (text: string): Uint8Array => Uint8Array.from(text, (c) => c.charCodeAt(0));
function utf16(text: string, little: boolean, mark: boolean): Uint8Array {
  const out: number[] = [];
  for (const c of (mark ? '\ufeff' : '') + text) {
    const [low, high] = [c.charCodeAt(0) & 255, c.charCodeAt(0) >> 8];
    out.push(...(little ? [low, high] : [high, low]));
  }
  return Uint8Array.from(out);
}

async function itemsOf(bytes: Uint8Array) {
  const items: { node: XmlNode; path: string }[] = [];
  const read = await readXml(bytes, 'a.xml', {
    open: (name) => name === 'item',
    element: (node, path) => items.push({ node, path: path.join('/') }),
  });
  return { read, items };
}

async function firstText(bytes: Uint8Array): Promise<string> {
  const { read, items } = await itemsOf(bytes);
  if (!read.ok) throw new Error(read.failure.what);
  return items[0].node.text;
}

async function failureOf(text: string) {
  const { read } = await itemsOf(utf8(text));
  if (read.ok) throw new Error('a failure was expected');
  return read.failure;
}

describe('encodings (XML 1.0, 4.3.3 and appendix F)', () => {
  const prolog = (encoding: string) => `<?xml version="1.0" encoding="${encoding}"?>`;
  const body = '<a><item>Chêne € é</item></a>';
  it.each([
    ['UTF-8', utf8(prolog('UTF-8') + body)],
    ['UTF-8 with a mark', utf8('\ufeff' + prolog('UTF-8') + body)],
    ['UTF-8 without a declaration', utf8(body)],
    ['UTF-16 little-endian with a mark', utf16(prolog('UTF-16') + body, true, true)],
    ['UTF-16 big-endian with a mark', utf16(prolog('UTF-16') + body, false, true)],
    ['UTF-16 little-endian without a mark', utf16(prolog('UTF-16') + body, true, false)],
    ['UTF-16 big-endian without a mark', utf16(prolog('UTF-16') + body, false, false)],
    ['UTF-8 that is declared as UTF-16', utf8(prolog('utf-16') + body)],
    ['Windows-1252', bytesOf(prolog('Windows-1252') + '<a><item>Ch\xeane \x80 \xe9</item></a>')],
    ['Windows-1252 that is declared as Latin-1', bytesOf(prolog('ISO-8859-1') + '<a><item>Ch\xeane \x80 \xe9</item></a>')], // prettier-ignore
    ['ISO-8859-15', bytesOf(prolog('ISO-8859-15') + '<a><item>Ch\xeane \xa4 \xe9</item></a>')],
  ])('%s', async (_, bytes) => {
    expect(await firstText(bytes)).toBe('Chêne € é');
    expect(rootOf(bytes.subarray(0, 512))).toBe('a');
  });

  it('notes bytes that are not the UTF-8 they should be', async () => {
    const { read, items } = await itemsOf(bytesOf('<a><item>\xe9</item></a>'));
    expect(items[0].node.text).toBe('é');
    expect(read).toMatchObject({ ok: true, value: { notes: [{ what: expect.stringMatching(/Windows-1252/) as string }] } }); // prettier-ignore
  });

  it('refuses an encoding that nobody knows', async () => {
    expect(await failureOf(prolog('x-mine') + body)).toMatchObject({
      code: 'format',
      where: 'a.xml',
      what: 'declares the encoding "x-mine", which is not known',
    });
  });
});

describe('content', () => {
  it('gives asked elements whole, with their place', async () => {
    const { items } = await itemsOf(
      utf8(
        '<r><!-- no --><g:list><x:item id="1" x:kind=\'a &amp; b\'>one<!-- c --> <b>two</b><![CDATA[ <three> ]]></x:item></g:list><item/></r>',
      ),
    );
    expect(items.map((i) => i.path)).toEqual(['r/list', 'r']);
    const { node } = items[0];
    expect(node.text).toBe('one  <three> ');
    expect([node.attribute('id'), node.attribute('kind'), node.attribute('no')]).toEqual([
      '1',
      'a & b',
      null,
    ]);
    expect([textOf(node, 'b'), textOf(node, 'c')]).toEqual(['two', null]);
  });

  it('resolves references once, and leaves unknown ones as they are written', () => {
    expect(resolve('&lt;b&gt; &amp;lt; &quot;&apos; &#233;&#xE9;&#x1F333; &nbsp; &lol; & a&b')).toBe(
      '<b> &lt; "\' éé🌳 &nbsp; &lol; & a&b',
    );
    expect(resolve('&#0;&#xD800;&#x110000;&#99999999;')).toBe('&#0;&#xD800;&#x110000;&#99999999;');
  });

  it('gives the same whether a piece ends within a tag, a text or a comment', async () => {
    const filler = (n: number) => '<!-- ' + '.'.repeat(n) + ' -->';
    for (const n of [499_960, 499_970, 499_980, 499_985, 499_990, 499_999]) {
      const text = `<a>${filler(n - 20)}<item name="oak"><b>white</b><!-- ${'-'.repeat(9)}. -->oak</item></a>`;
      const { items } = await itemsOf(utf8(text));
      expect(items).toHaveLength(1);
      expect([items[0].node.attribute('name'), items[0].node.text, textOf(items[0].node, 'b')]).toEqual(['oak', 'oak', 'white']); // prettier-ignore
    }
  });
});

describe('what is not well-formed', () => {
  it.each([
    ['<a>\n<item>\n</a>', 3, /not well-formed XML \(closing tag mismatch\)/],
    ['<a>\n<b>\n\n', 4, /ends too soon/],
    ['<a>\n<b x="1', 2, /ends too soon/],
    ['<a>\n<![CDATA[ ', 2, /ends too soon/],
    ['just text', 1, /ends too soon \(missing start tag\)/],
    ['<a></a></a>', 1, /not well-formed/],
    ['<a><1/></a>', 1, /not well-formed/],
  ])('%j: a sentence with line %i', async (text, line, what) => {
    const failure = await failureOf(text);
    expect(failure.where).toBe(`a.xml, line ${line}`);
    expect(failure.what).toMatch(what);
  });

  it('tells the line also far into a long file', async () => {
    const text = '<a>\n' + '<item>x</item>\n'.repeat(60_000) + '<item></wrong>\n</a>';
    expect((await failureOf(text)).where).toBe('a.xml, line 60002');
  });

  it('passes slips in attributes over with a note', async () => {
    const { read, items } = await itemsOf(utf8('<a>\n<item id=5 name="x"/>\n<item name="y" name="z"/></a>'));
    expect(items.map((i) => i.node.attribute('name'))).toEqual(['x', 'y']);
    if (!read.ok) throw new Error(read.failure.what);
    expect(read.value.notes).toEqual([
      { where: 'a.xml, line 2', what: expect.stringMatching(/not well-formed.*1 more/) as string },
    ]);
  });
});

describe('bombs', () => {
  it.each([
    [
      'entities in entities',
      '<!DOCTYPE lolz [\n <!ENTITY lol "lol">\n <!ENTITY lol2 "&lol;&lol;">\n]>\n<a>&lol2;</a>',
    ],
    ['a foreign file', '<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/passwd">]><a>&x;</a>'],
    ['a parameter entity', '<!DOCTYPE a [<!ENTITY % p SYSTEM "http://example.org/p.dtd"> %p;]><a/>'],
    ['other definitions first', '<!DOCTYPE a [ <!ELEMENT a (b)> <!ENTITY x "y"> ]><a>&x;</a>'],
    ['a definition in the content', '<a><!ENTITY x "y"></a>'],
  ])('%s: refused', async (_, text) => {
    expect((await failureOf('<?xml version="1.0"?>' + text)).what).toMatch(/^defines entities of its own/);
  });

  it('does not fetch a type that is only named', async () => {
    const text = '<!DOCTYPE a SYSTEM "http://example.org/a.dtd"><a><item>&x;</item></a>';
    expect(await firstText(utf8(text))).toBe('&x;');
  });

  it('refuses elements deep within each other', async () => {
    expect((await failureOf('<a>'.repeat(100_000))).what).toMatch(/more than 200 deep/);
    expect((await failureOf('<item>'.repeat(100_000))).what).toMatch(/more than 200 deep/);
  });

  it('refuses more bytes than fit', async () => {
    const { read } = await itemsOf(new Uint8Array(200_000_001));
    expect(read).toMatchObject({ ok: false, failure: { what: 'is 200 MB of XML; up to 200 MB are read' } });
  });
});
