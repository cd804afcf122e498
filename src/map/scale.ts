/** How long a scale bar is: pure. */
export type Units = 'metric' | 'us';

export interface Bar {
  readonly pixels: number;
  readonly label: string;
  /** Equal parts that it is divided into, each a round number. */
  readonly parts: number;
}

/** Metres of one pixel at the equator at zoom 0, tiles of 512 pixels: 2 pi * 6,378,137 m / 512. */
const EQUATOR = (2 * Math.PI * 6_378_137) / 512;
const FOOT = 0.3048;
const MILE = 5280 * FOOT;

/**
 * The longest bar of 1, 2 or 5 times a power of ten units that is no wider than `widest` pixels, on the map's middle
 * latitude (degrees) and zoom. Below a mile, feet; below a kilometre, metres.
 */
export function scaleBar(lat: number, zoom: number, units: Units, widest: number): Bar {
  const metresPerPixel = (EQUATOR * Math.cos((lat * Math.PI) / 180)) / 2 ** zoom;
  const metres = metresPerPixel * widest;
  const [unit, name] =
    units === 'us'
      ? metres >= MILE
        ? [MILE, 'mi']
        : [FOOT, 'ft']
      : metres >= 1000
        ? [1000, 'km']
        : [1, 'm'];
  const most = metres / unit;
  const power = 10 ** Math.floor(Math.log10(most));
  // The 1e-9 is for 5 * 0.1 and the like, which miss a round number by a rounding error.
  const leading = [5, 2, 1].find((d) => d * power <= most * (1 + 1e-9)) ?? 1;
  const length = leading * power;
  return {
    pixels: (length * unit) / metresPerPixel,
    label: `${length >= 1 ? Math.round(length).toLocaleString('en-US') : length.toPrecision(1)} ${name}`,
    parts: leading === 5 ? 5 : 4,
  };
}
