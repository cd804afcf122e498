/** Types for packages that ship none that hold under strict. */
declare module 'geographiclib-geodesic' {
  interface InverseResult {
    s12?: number;
    azi1?: number;
    azi2?: number;
    a12: number;
  }
  interface DirectResult {
    lat2?: number;
    lon2?: number;
    azi2?: number;
  }
  interface Ellipsoid {
    Inverse(lat1: number, lon1: number, lat2: number, lon2: number, outmask?: number): InverseResult;
    Direct(lat1: number, lon1: number, azi1: number, s12: number): DirectResult;
    Polygon(polyline: boolean): Polygon;
    a: number;
    f: number;
  }
  interface Polygon {
    AddPoint(lat: number, lon: number): void;
    Compute(reverse: boolean, sign: boolean): { number: number; perimeter: number; area?: number };
  }
  const geodesic: { Geodesic: { WGS84: Ellipsoid; AREA: number; DISTANCE: number } };
  export default geodesic;
}
declare module 'us-atlas/counties-10m.json?url' {
  const url: string;
  export default url;
}
declare module 'saxen' {
  /** Attributes as written, null-safe by name; false where the tag is not well-formed. */
  type Attributes = () => Readonly<Record<string, string>> | false;
  type Decode = (text: string) => string;
  type Context = () => { readonly line: number; readonly column: number };
  export class Parser {
    on(
      event: 'openTag',
      heard: (name: string, attributes: Attributes, decode: Decode, closed: boolean) => void,
    ): this;
    on(event: 'closeTag', heard: (name: string) => void): this;
    on(event: 'text', heard: (text: string) => void): this;
    on(event: 'cdata', heard: (text: string) => void): this;
    on(event: 'attention', heard: (markup: string) => void): this;
    on(event: 'error' | 'warn', heard: (error: Error, context: Context) => void): this;
    parse(xml: string): Error | null;
    write(xml: string): this;
    end(): Error | null;
    stop(): void;
  }
}
declare module 'sql.js/dist/sql-wasm-inline.js' {
  import init from 'sql.js';
  export default init;
}
