import type { Place } from '../../domain/base/geo.ts';

export interface GpxPoint extends Place {
  readonly name: string;
  readonly description?: string;
  readonly type?: string;
}

export interface Gpx {
  readonly name: string;
  readonly description: string;
  /** ISO time in UTC, given by the caller. */
  readonly time: string;
  readonly waypoints: readonly GpxPoint[];
  readonly route: { readonly name: string; readonly points: readonly GpxPoint[] } | null;
}

/**
 * GPX 1.1 (topografix.com/GPX/1/1): metadata, waypoints, one route, elements in the order of the schema. Places must be known;
 * the time is xsd:dateTime in UTC.
 */
export function gpx({ name, description, time, waypoints, route }: Gpx): string {
  const point = (tag: 'wpt' | 'rtept', indent: string, p: GpxPoint): string =>
    [
      `<${tag} lat="${p.lat.toFixed(7)}" lon="${longitude(p.lon)}">`,
      `  <name>${xml(p.name)}</name>`,
      ...(p.description ? [`  <desc>${xml(p.description)}</desc>`] : []),
      ...(p.type ? [`  <type>${xml(p.type)}</type>`] : []),
      `</${tag}>`,
    ]
      .map((line) => indent + line)
      .join('\n');
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    '<gpx version="1.1" creator="Kinstand" xmlns="http://www.topografix.com/GPX/1/1" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" xsi:schemaLocation="http://www.topografix.com/GPX/1/1 http://www.topografix.com/GPX/1/1/gpx.xsd">',
    '  <metadata>',
    `    <name>${xml(name)}</name>`,
    `    <desc>${xml(description)}</desc>`,
    `    <time>${xml(time)}</time>`,
    '  </metadata>',
    ...waypoints.map((p) => point('wpt', '  ', p)),
    ...(route
      ? [
          '  <rte>',
          `    <name>${xml(route.name)}</name>`,
          ...route.points.map((p) => point('rtept', '    ', p)),
          '  </rte>',
        ]
      : []),
    '</gpx>',
    '',
  ].join('\n');
}

/** The schema wants -180 <= lon < 180, also after rounding. */
function longitude(lon: number): string {
  const wrapped = lon >= -180 && lon < 180 ? lon : ((((lon + 180) % 360) + 360) % 360) - 180;
  const text = wrapped.toFixed(7);
  return text === '180.0000000' ? '-180.0000000' : text;
}

/** Characters that XML 1.0 cannot hold at all are left out, the five special ones escaped. */
export function xml(text: string): string {
  // eslint-disable-next-line no-control-regex
  const legal = text.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|\p{Surrogate}/gu, '');
  return legal
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&apos;');
}
