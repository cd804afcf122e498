/**
 * Coordinate systems by the names and parameters of the CF conventions (CF 1.11, appendix F) against PROJ 9.1.1: each place
 * is what `echo "X Y" | cs2cs -f %.9f PROJ-STRING +to +proj=longlat +datum=WGS84` printed for the string beside it.
 */
import { describe, expect, it } from 'vitest';
import { crsFromMapping } from '../../src/io/read/rasters/cfCrs.ts';

type Attributes = Record<string, string | number[]>;
const GRS80 = { semi_major_axis: [6378137], inverse_flattening: [298.257222101] };

const cases: Array<[proj: string, attributes: Attributes, x: number, y: number, lon: number, lat: number]> = [
  [
    '+proj=aea +lat_1=29.5 +lat_2=45.5 +lat_0=23 +lon_0=-96 +x_0=0 +y_0=0 +ellps=GRS80 +towgs84=0,0,0',
    {
      grid_mapping_name: 'albers_conical_equal_area',
      standard_parallel: [29.5, 45.5],
      longitude_of_central_meridian: [-96],
      latitude_of_projection_origin: [23],
      false_easting: [0],
      false_northing: [0],
      ...GRS80,
    },
    1000000,
    1800000,
    -84.367714127,
    38.677138325,
  ],
  [
    '+proj=lcc +lat_1=25 +lat_2=25 +lat_0=25 +lon_0=265 +x_0=0 +y_0=0 +R=6371229',
    {
      grid_mapping_name: 'lambert_conformal_conic',
      standard_parallel: [25],
      longitude_of_central_meridian: [265],
      latitude_of_projection_origin: [25],
      earth_radius: [6371229],
    },
    1000000,
    1800000,
    -83.5988395,
    40.605247635,
  ],
  [
    '+proj=laea +lat_0=45 +lon_0=-100 +R=6370997',
    {
      grid_mapping_name: 'lambert_azimuthal_equal_area',
      longitude_of_projection_origin: [-100],
      latitude_of_projection_origin: [45],
      semi_major_axis: [6370997],
      semi_minor_axis: [6370997],
    },
    1000000,
    -600000,
    -88.401890742,
    38.972479261,
  ],
  [
    '+proj=tmerc +lat_0=0 +lon_0=-87 +k=0.9996 +x_0=500000 +y_0=0 +ellps=GRS80 +towgs84=0,0,0',
    {
      grid_mapping_name: 'transverse_mercator',
      scale_factor_at_central_meridian: [0.9996],
      longitude_of_central_meridian: [-87],
      latitude_of_projection_origin: [0],
      false_easting: [500000],
      false_northing: [0],
      ...GRS80,
    },
    600000,
    4300000,
    -85.847712385,
    38.843134411,
  ],
  [
    '+proj=merc +lon_0=-90 +lat_ts=40 +datum=WGS84',
    { grid_mapping_name: 'mercator', longitude_of_projection_origin: [-90], standard_parallel: [40] },
    300000,
    3600000,
    -86.486866729,
    38.987277827,
  ],
  [
    '+proj=stere +lat_0=90 +lon_0=-80 +lat_ts=60 +R=6371200',
    {
      grid_mapping_name: 'polar_stereographic',
      straight_vertical_longitude_from_pole: [-80],
      latitude_of_projection_origin: [90],
      standard_parallel: [60],
      earth_radius: [6371200],
    },
    300000,
    -4800000,
    -76.423665625,
    45.95053813,
  ],
  [
    '+proj=stere +lat_0=90 +lon_0=-45 +k=0.994 +datum=WGS84',
    {
      grid_mapping_name: 'polar_stereographic',
      straight_vertical_longitude_from_pole: [-45],
      latitude_of_projection_origin: [90],
      scale_factor_at_projection_origin: [0.994],
      semi_major_axis: [6378137],
      inverse_flattening: [298.257223563],
    },
    -2800000,
    -3900000,
    -80.676408222,
    48.58632457,
  ],
];

const mapping = (attributes: Attributes) => crsFromMapping(new Map(Object.entries(attributes)), 'a.nc');

describe('grid mappings are placed as PROJ places them, within 0.01 m', () => {
  it.each(cases)('%s', async (_proj, attributes, x, y, lon, lat) => {
    const crs = await mapping(attributes);
    if (!crs.ok) throw new Error(crs.failure.what);
    const place = crs.value.inverse(Float64Array.of(x), Float64Array.of(y));
    const metres = Math.hypot(
      (place.lon[0] - lon) * 111_320 * Math.cos((lat * Math.PI) / 180),
      (place.lat[0] - lat) * 111_320,
    );
    expect(metres).toBeLessThan(0.01);
    const back = crs.value.forward(Float64Array.of(lon), Float64Array.of(lat));
    expect(Math.hypot(back.x[0] - x, back.y[0] - y)).toBeLessThan(0.01);
  });
});

describe('grid mappings that are not understood have their sentence', () => {
  it.each([
    [
      { grid_mapping_name: 'rotated_latitude_longitude', grid_north_pole_latitude: [39.25] },
      /rotated_latitude_longitude/,
    ],
    [{ grid_mapping_name: 'geostationary' }, /geostationary/],
    [{ grid_mapping_name: 'lambert_conformal_conic' }, /lambert_conformal_conic/],
    [{ long_name: 'crs' }, /without a name/],
  ] as Array<[Attributes, RegExp]>)('%o', async (attributes, what) => {
    const crs = await mapping(attributes);
    expect(crs).toMatchObject({ ok: false, failure: { code: 'crs', where: 'a.nc' } });
    if (!crs.ok) expect(crs.failure.what).toMatch(what);
  });

  it('a WKT goes before names and parameters', async () => {
    const crs = await mapping({
      grid_mapping_name: 'geostationary',
      crs_wkt:
        'GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433],AUTHORITY["EPSG","4326"]]',
    });
    expect(crs.ok && crs.value.name).toBe('EPSG:4326');
  });
});
