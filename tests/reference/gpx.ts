/**
 * What the schema of GPX 1.1 (http://www.topografix.com/GPX/1/1/gpx.xsd) says of structure, written from memory: the children
 * of each element in their order, which of them must be there or may repeat, and the ranges of the attributes.
 */
import type { Element } from './xml.ts';

const WAYPOINT =
  'ele time magvar geoidheight name cmt desc src link* sym type fix sat hdop vdop pdop ageofdgpsdata dgpsid extensions';
const CHILDREN: Readonly<Record<string, string>> = {
  gpx: 'metadata wpt* rte* trk* extensions',
  metadata: 'name desc author copyright link* time keywords bounds extensions',
  rte: 'name cmt desc src link* number type extensions rtept*',
  trk: 'name cmt desc src link* number type extensions trkseg*',
  trkseg: 'trkpt* extensions',
  wpt: WAYPOINT,
  rtept: WAYPOINT,
  trkpt: WAYPOINT,
};

/** Breaches of the schema, in words; none for a valid document. */
export function gpxBreaches(root: Element): string[] {
  const found: string[] = [];
  if (root.name !== 'gpx') found.push(`the root is ${root.name}`);
  if (root.attributes['xmlns'] !== 'http://www.topografix.com/GPX/1/1') found.push('the namespace is wrong');
  if (root.attributes['version'] !== '1.1') found.push('version is not 1.1');
  if (!root.attributes['creator']) found.push('creator is missing');
  check(root, found);
  return found;
}

function check(element: Element, found: string[]): void {
  const { name, attributes, children, text } = element;
  const model = CHILDREN[name];
  if (model === undefined) {
    if (children.length > 0) found.push(`${name} holds elements`);
    // xsd:dateTime in UTC.
    if (name === 'time' && !/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?Z$/.test(text))
      found.push(`time is ${text}`);
    return;
  }
  if (text.trim() !== '') found.push(`${name} holds text`);
  const order = model.split(' ');
  let place = 0;
  for (const child of children) {
    const next = order.findIndex((o, i) => i >= place && o.replace('*', '') === child.name);
    if (next < 0) found.push(`${child.name} stands wrongly in ${name}`);
    else place = order[next].endsWith('*') ? next : next + 1;
    check(child, found);
  }
  if (model !== WAYPOINT) return;
  const [lat, lon] = [attributes['lat'], attributes['lon']];
  const decimal = /^-?\d+(\.\d+)?$/;
  if (!decimal.test(lat ?? '') || Math.abs(Number(lat)) > 90) found.push(`lat is ${lat}`);
  if (!decimal.test(lon ?? '') || Number(lon) < -180 || Number(lon) >= 180) found.push(`lon is ${lon}`);
}
