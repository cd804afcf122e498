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
    a: number;
    f: number;
  }
  const geodesic: { Geodesic: { WGS84: Ellipsoid; AREA: number; DISTANCE: number } };
  export default geodesic;
}
declare module 'us-atlas/counties-10m.json?url' {
  const url: string;
  export default url;
}
