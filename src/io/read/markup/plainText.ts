/** Text of a piece of HTML, such as the description of a KML placemark: nothing in it is run or loaded. */
import { resolve } from './xml.ts';

/** Elements whose content is not text. */
const UNSEEN = ['script', 'style', 'head', 'title', 'iframe', 'object'];
const BREAKS = /^\/?(br|p|div|li|ul|ol|tr|table|h[1-6]|hr|blockquote|dt|dd|center)$/;
const NAMED: Readonly<Record<string, string>> = {
  nbsp: ' ',
  deg: '°',
  ndash: '–',
  mdash: '—',
  times: '×',
  rsquo: '’',
  lsquo: '‘',
  eacute: 'é',
  plusmn: '±',
  sup2: '²',
};

/**
 * Tags taken out, breaks kept as lines, cells of a table parted by " | ", references resolved. Text without a tag is only
 * trimmed and resolved. Goes through the text once, whatever it holds.
 */
export function plainText(html: string): string {
  let out = '';
  let at = 0;
  while (at < html.length) {
    const open = html.indexOf('<', at);
    if (open < 0 || open === html.length - 1) break;
    out += html.slice(at, open);
    if (html.startsWith('<!--', open)) {
      const end = html.indexOf('-->', open);
      at = end < 0 ? html.length : end + 3;
      continue;
    }
    // "<" before anything but a name is a character ("height < 3 m").
    const tag = /^<(\/?[a-z][a-z\d]*)/i.exec(html.slice(open, open + 24))?.[1].toLowerCase();
    if (tag === undefined) {
      out += '<';
      at = open + 1;
      continue;
    }
    const end = html.indexOf('>', open);
    if (end < 0) {
      at = html.length;
      break;
    }
    at = end + 1;
    if (UNSEEN.includes(tag) && html[end - 1] !== '/') {
      const close = endOf(html, tag, at);
      at = close;
    } else if (BREAKS.test(tag)) out += '\n';
    else if (tag === '/td' || tag === '/th') out += ' | ';
  }
  out += html.slice(at);
  return resolve(
    out.replace(/&([a-z]{2,8}\d?);/gi, (whole, name: string) => NAMED[name.toLowerCase()] ?? whole),
  )
    .split('\n')
    .map((line) =>
      line
        .replace(/[^\S\n]+/g, ' ')
        .trim()
        .replace(/ ?\|$/, ''),
    )
    .filter((line) => line !== '')
    .join('\n');
}

/** Where the content of an unseen element ends: after its closing tag, else with the text. */
function endOf(html: string, tag: string, from: number): number {
  for (let at = html.indexOf('</', from); at >= 0; at = html.indexOf('</', at + 2)) {
    if (html.slice(at + 2, at + 2 + tag.length).toLowerCase() !== tag) continue;
    const end = html.indexOf('>', at);
    return end < 0 ? html.length : end + 1;
  }
  return html.length;
}
