/** Coordinate systems of NetCDF files, as the CF conventions write them (CF 1.11, section 5.6 and appendix F). */
import { fail, type Result } from '../../../domain/base/result.ts';
import { crsFrom, crsFromProj, type Crs } from '../../crs/crs.ts';
import type { NcAttributes } from './netcdfHeader.ts';

const GIVE =
  'Give the coordinate system as an EPSG code, a WKT or a PROJ string, or convert the file to GeoTIFF.';

/** From the attributes of a grid mapping: a WKT where one is given, else the mapping's name and parameters. */
export async function crsFromMapping(mapping: NcAttributes, where: string): Promise<Result<Crs>> {
  for (const key of ['crs_wkt', 'spatial_ref']) {
    const wkt = mapping.get(key);
    if (typeof wkt === 'string' && wkt.trim() !== '') return crsFrom(wkt, where);
  }
  const name = mapping.get('grid_mapping_name');
  if (typeof name !== 'string') return fail('crs', where, 'has a grid mapping without a name', GIVE);
  const projection = projectionOf(name, mapping);
  if (projection === null)
    return fail('crs', where, `has the grid mapping "${name.slice(0, 60)}", which is not understood`, GIVE);
  return crsFromProj(`${projection} ${figureOf(mapping)} +no_defs`, name.replaceAll('_', ' '), where);
}

function projectionOf(name: string, mapping: NcAttributes): string | null {
  const all = (key: string): readonly number[] => {
    const value = mapping.get(key);
    return typeof value === 'object'
      ? value
      : typeof value === 'string' && value !== ''
        ? [Number(value)]
        : [];
  };
  const n = (key: string, otherwise = 0): number => all(key)[0] ?? otherwise;
  const metres = `+x_0=${n('false_easting')} +y_0=${n('false_northing')} +units=m`;
  const lat0 = `+lat_0=${n('latitude_of_projection_origin')}`;
  const [first, second = first] = all('standard_parallel');
  const cone = (proj: string): string | null =>
    first === undefined
      ? null
      : `+proj=${proj} +lat_1=${first} +lat_2=${second} ${lat0} +lon_0=${n('longitude_of_central_meridian')} ${metres}`;
  switch (name) {
    case 'latitude_longitude':
      return '+proj=longlat';
    case 'albers_conical_equal_area':
      return cone('aea');
    case 'lambert_conformal_conic':
      return cone('lcc');
    case 'lambert_azimuthal_equal_area':
      return `+proj=laea ${lat0} +lon_0=${n('longitude_of_projection_origin')} ${metres}`;
    case 'transverse_mercator':
      return `+proj=tmerc ${lat0} +lon_0=${n('longitude_of_central_meridian')} +k=${n('scale_factor_at_central_meridian', 1)} ${metres}`;
    case 'mercator': {
      const scale =
        first === undefined ? `+k=${n('scale_factor_at_projection_origin', 1)}` : `+lat_ts=${first}`;
      return `+proj=merc +lon_0=${n('longitude_of_projection_origin')} ${scale} ${metres}`;
    }
    case 'polar_stereographic': {
      const scale =
        first === undefined ? `+k=${n('scale_factor_at_projection_origin', 1)}` : `+lat_ts=${first}`;
      const lon = n('straight_vertical_longitude_from_pole', n('longitude_of_projection_origin'));
      return `+proj=stere ${lat0} +lon_0=${lon} ${scale} ${metres}`;
    }
    default:
      return null;
  }
}

/** The figure of the earth: the two systems in use by their flattening, else as given. WGS 84 where nothing is said. */
function figureOf(mapping: NcAttributes): string {
  const n = (key: string): number | null => {
    const value = mapping.get(key);
    return typeof value === 'object' && Number.isFinite(value[0]) ? value[0] : null;
  };
  const a = n('semi_major_axis') ?? n('earth_radius');
  if (a === null) return '+datum=WGS84';
  const b = n('semi_minor_axis');
  const inverse = n('inverse_flattening') ?? (b === null ? 0 : b === a ? 0 : a / (a - b));
  if (inverse === 0) return `+R=${a}`;
  if (Math.abs(a - 6378137) < 0.5 && Math.abs(inverse - 298.257222101) < 2e-7)
    return '+ellps=GRS80 +towgs84=0,0,0';
  if (Math.abs(a - 6378137) < 0.5 && Math.abs(inverse - 298.257223563) < 2e-7) return '+datum=WGS84';
  return `+a=${a} +rf=${inverse}`;
}
