/** Files written by ncgen and GDAL (tests/fixtures/rasters/formats/make.py); a second reader of them is netcdfjs. */
import { readFileSync } from 'node:fs';
import { NetCDFReader } from 'netcdfjs';
import { describe, expect, it } from 'vitest';
import { cfDates } from '../../../src/io/read/rasters/cfTime.ts';
import { openSource } from '../../../src/io/read/formats.ts';
import type { Raster } from '../../../src/io/read/rasters/raster.ts';
import type { Opened, ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';
import { urlSource } from '../../../src/io/source/url.ts';
import type { Source } from '../../../src/io/source.ts';
import { host } from '../source/host.ts';

const folder = new URL('../../fixtures/rasters/formats/', import.meta.url);
const fixture = (file: string): Uint8Array => new Uint8Array(readFileSync(new URL(file, folder)));

async function open(source: Source, options: ReadOptions = {}): Promise<{ opened: Opened; raster: Raster }> {
  const opened = await openSource(source, options);
  if (!opened.ok) throw new Error(opened.failure.what);
  if (opened.value.content.kind !== 'raster') throw new Error('a raster was expected');
  return { opened: opened.value, raster: opened.value.content.raster };
}
const openFile = (file: string, options: ReadOptions = {}) =>
  open(memorySource(file, fixture(file)), options);

async function failureOf(file: string, bytes = fixture(file), options: ReadOptions = {}) {
  const opened = await openSource(memorySource(file, bytes), options);
  if (opened.ok) throw new Error('a failure was expected');
  return opened.failure;
}

/** Values at places, band by band. */
async function at(
  raster: Raster,
  band: number,
  places: Array<[lon: number, lat: number]>,
): Promise<number[]> {
  const { col, row } = raster.toPixel(
    Float64Array.from(places, (p) => p[0]),
    Float64Array.from(places, (p) => p[1]),
  );
  const values = await raster.sample(band, col, row, 'nearest');
  if (!values.ok) throw new Error(values.failure.what);
  return Array.from(values.value);
}

describe('months over degrees, latitudes from the south, longitudes from 0 to 360', () => {
  it('a variable is a part, a time step a band with its date', async () => {
    const { opened, raster } = await openFile('monthly.nc');
    expect(opened.parts).toEqual([
      { name: 'tmp', kind: 'raster', count: 4 },
      { name: 'pre', kind: 'raster', count: 4 },
    ]);
    expect(opened.part).toBe('tmp');
    // 15, 45.5, 76 and 106.5 days after 1 January 1961.
    expect(raster.bands.map((b) => b.description)).toEqual(
      ['1961-01-16', '1961-02-15', '1961-03-18', '1961-04-17'].map((d) => `air temperature (degC), ${d}`),
    );
    const other = await openFile('monthly.nc', { part: 'pre' });
    expect(other.opened.part).toBe('pre');
    expect(other.raster.bands[0].description).toBe('pre (mm), 1961-01-16');
  });

  it('every value is where CDL put it: packed numbers spread out, both ways of missing known', async () => {
    const { raster } = await openFile('monthly.nc');
    for (let m = 0; m < 4; m++)
      for (let j = 0; j < 7; j++) {
        const places = Array.from({ length: 11 }, (_, i): [number, number] => [
          -87.75 + 0.5 * i,
          36 + 0.5 * j,
        ]);
        const values = await at(raster, m + 1, places);
        values.forEach((v, i) => {
          // -999 is _FillValue, -888 missing_value.
          if (m === 1 && j === 2 && (i === 3 || i === 4)) expect(v).toBeNaN();
          else expect(v).toBeCloseTo((100 * m + 10 * j - 3 * i) * 0.1 + 5, 10);
        });
      }
    expect(raster.extent.map((x) => Number(x.toFixed(9)))).toEqual([-88, 35.75, -82.5, 39.25]);
  });

  it('says that WGS 84 was taken for degrees without a datum, unless the user says otherwise', async () => {
    expect((await openFile('monthly.nc')).opened.notes.map((n) => n.what)).toEqual([
      'does not name the datum of its degrees; WGS 84 is taken',
    ]);
    const { opened } = await openFile('monthly.nc', { crs: 'EPSG:4269' });
    expect(opened.crs).toBe('EPSG:4269');
    expect(opened.notes).toEqual([]);
  });
});

describe('stored numbers equal those that netcdfjs reads', () => {
  for (const [file, part] of [
    ['monthly.nc', 'pre'],
    ['lambert.nc', 'ph'],
    ['albers.nc', 'Band1'],
    ['albers.nc', 'Band2'],
  ])
    it(`${file}, ${part}`, async () => {
      const { raster } = await openFile(file, { part });
      const read = new NetCDFReader(fixture(file));
      const stored = (read.getDataVariable(part) as unknown as Array<number | number[]>).flat();
      const { width, height } = raster;
      // GDAL writes rows from the south, and so does the CDL of these.
      const own: number[] = [];
      for (let b = 1; b <= raster.bands.length; b++) {
        const picture = await raster.picture(b, [0, 0, width, height], width, height);
        if (!picture.ok) throw new Error(picture.failure.what);
        for (let r = height - 1; r >= 0; r--) own.push(...picture.value.slice(r * width, (r + 1) * width));
      }
      expect(own.length).toBe(stored.length);
      own.forEach((v, i) =>
        stored[i] === Math.fround(1e20) ? expect(v).toBeNaN() : expect(v).toBe(stored[i]),
      );
    });
});

describe('ways in which a grid may lie in the file', () => {
  it('around the whole earth from 0 to 360: turned to begin at the 180th meridian', async () => {
    const { raster } = await openFile('globe.nc');
    expect(raster.extent).toEqual([-180, -90, 180, 90]);
    // CDL: row j from the north, column i from 0 degrees, 100 j + i.
    expect(
      await at(raster, 1, [
        [-85, 35],
        [275, 35],
        [5, -5],
        [-175, 85],
        [175, -75],
      ]),
    ).toEqual([527, 527, 900, 18, 1617]);
    // Outside of the valid range 0 to 4000.
    expect(
      await at(raster, 1, [
        [5, 85],
        [-5, -85],
      ]),
    ).toEqual([NaN, NaN]);
    const counted = raster.toPlace(Float64Array.of(9.5), Float64Array.of(5.5));
    expect([counted.lon[0], counted.lat[0]]).toEqual([-85, 35]);
  });

  it('columns one after another; bytes without a sign; flags are classes', async () => {
    const { opened, raster } = await openFile('columns.nc');
    for (let i = 0; i < 6; i++)
      for (let j = 0; j < 4; j++)
        expect(await at(raster, 1, [[-85 + 0.25 * i, 38 + 0.25 * j]])).toEqual([(40 * i + 11 * j) % 256]);
    expect(raster.bands[0].dtype).toBe('UInt8');
    expect(opened.classes).toEqual([
      { value: 0, name: 'open water', colour: '#476ba0' },
      { value: 40, name: 'oak forest', colour: '#68aa63' },
      { value: 200, name: 'barren', colour: '#b2ada3' },
    ]);
  });

  it('a valid range of floats for packed numbers is one of values, not of stored numbers', async () => {
    const { raster } = await openFile('ranged.nc');
    const picture = await raster.picture(1, [0, 0, 4, 3], 4, 3);
    // CDL: stored 0, 100, ... 1100 from the north-west, scale 0.1, valid 20 to 80.
    const n = NaN;
    expect(picture.ok && [...picture.value]).toEqual([n, n, 20, 30, 40, 50, 60, 70, 80, n, n, n]);
  });

  it('64-bit data (CDF-5) with a type of its own', async () => {
    const { raster } = await openFile('cdf5.nc');
    expect(
      await at(raster, 1, [
        [-90, 40],
        [-87, 38],
      ]),
    ).toEqual([0, 55000]);
    expect(raster.bands[0].dtype).toBe('UInt16');
  });

  it('kilometres of a projection by CF names: placed as PROJ places them', async () => {
    const { opened, raster } = await openFile('lambert.nc');
    expect(opened.crs).toBe('lambert conformal conic');
    expect(raster.bands.map((b) => b.description)).toEqual(['ph, depth 5 cm', 'ph, depth 30 cm']);
    // echo "500000 100000" | cs2cs -f %.8f +proj=lcc +lat_1=33 +lat_2=45 +lat_0=39 +lon_0=-96 +ellps=GRS80 +towgs84=0,0,0
    // +to +proj=longlat +datum=WGS84 (PROJ 9.1.1)
    const { lon, lat } = raster.toPlace(Float64Array.of(0.5), Float64Array.of(4.5));
    expect(lon[0]).toBeCloseTo(-90.12949722, 7);
    expect(lat[0]).toBeCloseTo(39.75933002, 7);
  });

  it('numbers beyond 4 GB of a file with 64-bit offsets are read where they are', async () => {
    const small = fixture('globe.nc');
    const view = new DataView(small.buffer);
    const begin = small.length - 18 * 36 * 4;
    const field = Array.from({ length: begin - 8 }, (_, i) => i).find(
      (i) => view.getBigUint64(i) === BigInt(begin),
    );
    if (field === undefined) throw new Error('no offset found');
    const far = 5 * 2 ** 30;
    view.setBigUint64(field, BigInt(begin + far));
    const file = memorySource('far.nc', small);
    const asked: number[] = [];
    const { raster } = await open({
      ...file,
      size: small.length + far,
      read(offset, length) {
        asked.push(offset);
        return file.read(offset >= far ? offset - far : offset, length);
      },
    });
    expect(await at(raster, 1, [[-85, 35]])).toEqual([527]);
    expect(Math.max(...asked)).toBeGreaterThan(far);
  });

  it('by address: the header, the axes and one block are asked for, no more', async () => {
    const { fetch, asked } = host(fixture('albers.nc'));
    const { raster } = await open(urlSource('https://maps.invalid/albers.nc', fetch));
    await raster.sample(1, Float64Array.of(1), Float64Array.of(1), 'nearest');
    expect(asked).toEqual(['bytes=0-65535']);
  });
});

describe('files that are not read, each with its sentence', () => {
  it.each([
    ['refused-netcdf4.nc', 'format', /NetCDF-4 \(packed as HDF5\), which is not read/, /nccopy -k classic/],
    ['refused-uneven.nc', 'content', /not evenly spaced along lat/, /even grid/],
    ['refused-curved.nc', 'content', /cells of v have a latitude and longitude each/, /even grid/],
    ['refused-profile.nc', 'content', /no variable lies over latitude and longitude/, /GeoTIFF/],
  ])('%s', async (file, code, what, todo) => {
    const failure = await failureOf(file);
    expect(failure).toMatchObject({ code, where: file });
    expect(failure.what).toMatch(what);
    expect(failure.todo).toMatch(todo);
  });

  it('a variable that there is not: the others are named', async () => {
    const failure = await failureOf('monthly.nc', fixture('monthly.nc'), { part: 'rain' });
    expect(failure.what).toContain('no variable "rain"');
    expect(failure.todo).toContain('tmp, pre');
  });

  it('x and y without a grid mapping: asks, with the box as it stands in the file', async () => {
    const bytes = fixture('lambert.nc');
    // The attribute's name is spoilt: "grid_mapping" comes first as the start of "grid_mapping_name".
    const text = new TextDecoder('latin1').decode(bytes);
    const spot = text.indexOf('grid_mapping', text.indexOf('grid_mapping_name') + 20);
    bytes[spot] = 'G'.charCodeAt(0);
    const failure = await failureOf('lambert.nc', bytes);
    expect(failure.code).toBe('crs');
    expect(failure.coordinates).toEqual([498000, 98000, 522000, 118000]);
    const { opened } = await open(memorySource('lambert.nc', bytes), { crs: 'EPSG:5070' });
    expect(opened.crs).toBe('EPSG:5070');
  });

  it('cut among its cells', async () => {
    const whole = fixture('monthly.nc');
    const failure = await failureOf('monthly.nc', whole.slice(0, whole.length - 400));
    expect(failure.what).toMatch(/damaged or cut short \(tmp ends at byte \d+ of \d+\)/);
  });
});

describe('dates of a time axis', () => {
  // The rule of CF 1.11, section 4.4; dates of the standard calendar by GNU date -u -d '1900-01-01 +N days'.
  it.each([
    ['days since 1900-01-01', 'gregorian', 36523.5, '1999-12-31'],
    ['hours since 1970-01-01 00:00:00', undefined, 24 * 59 + 1, '1970-03-01'],
    ['hours since 1972-01-01 12:00', 'proleptic_gregorian', 24 * 59 + 11, '1972-02-29'],
    ['days since 2001-01-01', 'noleap', 365 * 3 + 59, '2004-03-01'],
    ['days since 2001-01-01', '365_day', 58, '2001-02-28'],
    ['days since 2001-01-01', '360_day', 59, '2001-02-30'],
    ['seconds since 1999-12-31 23:59:59', 'standard', 1, '2000-01-01'],
  ])('%s, %s: %d', (units, calendar, time, date) => {
    expect(cfDates(units, calendar)?.(time)).toBe(date);
  });

  it('is left as a number where the unit is not a length of days', () => {
    expect(cfDates('months since 1900-01-01')).toBeNull();
    expect(cfDates('days since 1900-01-01', 'none')).toBeNull();
    expect(cfDates('m')).toBeNull();
  });
});
