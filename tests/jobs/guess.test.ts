/**
 * Guesses from file names. The meaning of the names is common practice in the trade: the BIOCLIM list of nineteen variables
 * (BIO5 and BIO6 are the greatest and least of a month, not its mean), short names of climate normals, and the naming of
 * national data (from memory; the files are not here).
 */
import { describe, expect, it } from 'vitest';
import { guessDefinition, guessDefinitions, guessPeriod } from '../../src/jobs/handlers/guess.ts';

describe('what a file is', () => {
  it.each([
    ['raster', 'elevation.tif', 'elevation'],
    ['raster', 'USGS_DEM_n39w083.tif', 'elevation'],
    ['raster', 'slope.tif', 'slope'],
    ['raster', 'DEM_slope_degrees.tif', 'slope'],
    ['raster', 'northness.tif', 'northness'],
    ['raster', 'aspect_cos.tif', 'northness'],
    ['raster', 'dem-eastness.tif', 'eastness'],
    ['raster', 'tpi.tif', 'relative-position'],
    ['raster', 'elevation_tpi300.tif', 'relative-position'],
    ['raster', 'topographic_position_index.tif', 'relative-position'],
    ['raster', 'MAT.tif', 'mean-annual-temperature'],
    ['raster', 'wc2.1_30s_bio_1.tif', 'mean-annual-temperature'],
    ['raster', 'bio01_1991-2020.tif', 'mean-annual-temperature'],
    ['raster', 'tmean_30yr_normal_annual.tif', 'mean-annual-temperature'],
    ['raster', 'mean_annual_temperature.asc', 'mean-annual-temperature'],
    ['raster', 'MCMT.tif', 'coldest-month-temperature'],
    ['raster', 'coldest-month-temperature-2041-2070.tif', 'coldest-month-temperature'],
    ['raster', 'Normal_1991_2020_MWMT.tif', 'warmest-month-temperature'],
    ['raster', 'bio12.tif', 'annual-precipitation'],
    ['raster', 'MAP_1991_2020.tif', 'annual-precipitation'],
    ['raster', 'annual-precipitation-1991-2020.tif', 'annual-precipitation'],
    ['raster', 'growing-season-precipitation.tif', 'growing-season-precipitation'],
    ['raster', 'FFP.tif', 'frost-free-period'],
    ['raster', 'DD5.tif', 'growing-degree-days'],
    ['raster', 'gdd5_2041-2070.tif', 'growing-degree-days'],
    ['raster', 'phh2o_0-5cm_mean.tif', 'soil-ph'],
    ['raster', 'soil_pH.tif', 'soil-ph'],
    ['raster', 'aws0_100.tif', 'available-water'],
    ['raster', 'clay_0-30cm.tif', 'clay-share'],
    ['raster', 'nlcd_2021_land_cover_l48.tif', 'land-cover'],
    ['polygon', 'seed_zones.shp', 'zones'],
    ['polygon', 'SeedZones.gpkg', 'zones'],
    ['polygon', 'Quercus alba range.geojson', 'native-range'],
    ['line', 'tl_2023_21067_roads.shp', 'roads'],
    ['raster', 'first_built_year.tif', 'development'],
    ['raster', 'year-developed.tif', 'development'],
    ['raster', 'FBUY_V2.tif', 'development'],
    ['polygon', 'subdivisions.geojson', 'development'],
    ['polygon', 'building_footprints.shp', 'buildings'],
    ['point', 'street_trees.csv', 'inventory'],
    ['table', 'candidates.csv', 'candidates'],
  ] as const)('%s %s', (kind, name, definition) => {
    if (name === 'street_trees.csv') expect(guessDefinitions(kind, name, [])).toContain(definition);
    else expect(guessDefinition(kind, name, [])).toBe(definition);
  });

  it.each([
    'wc2.1_30s_bio_5.tif',
    'bio6.tif',
    'BIO10.tif',
    'bio_11.tif',
    'tmax.tif',
    'tmin_2041-2070.tif',
    'max temperature of warmest month.tif',
    'aspect.tif',
    'dem_aspect.tif',
    'slope_percent.tif',
    'slope_position_classes.tif',
    'roughness_dem.tif',
    'tmean_07.tif',
    'prec_01.tif',
    'ppt_jul.tif',
    'bio18.tif',
    'NFFD.tif',
    'frost_days.tif',
    'county_map.tif',
    'canopy_height.tif',
    'nlcd_tcc_conus_2021.tif',
    'nlcd_2019_impervious.tif',
    'awc.tif',
    'x.tif',
  ])('%s is guessed to be nothing, and may be anything that fits', (name) => {
    expect(guessDefinition('raster', name, [])).toBe('');
    expect(guessDefinitions('raster', name, []).length).toBeGreaterThan(10);
  });

  it('goes by the names of bands and fields too', () => {
    expect(guessDefinition('raster', 'stack.tif', ['MCMT'])).toBe('coldest-month-temperature');
    expect(guessDefinition('raster', 'stack.tif', ['MCMT', 'MWMT'])).toBe('');
    expect(guessDefinition('polygon', 'download.zip', ['ZONE', 'AREA'])).toBe('zones');
    expect(guessDefinition('polygon', 'orange_county.shp', [])).toBe('');
    // A year of building stands with houses and with parcels.
    expect(guessDefinition('polygon', 'county.shp', ['YEAR_BUILT'])).toBe('');
    expect(guessDefinition('polygon', 'buildings.shp', ['YEAR_BUILT'])).toBe('buildings');
  });
});

describe('which years', () => {
  it.each([
    ['Normal_1991_2020_MAT.tif', '1991-2020'],
    ['mat-1981-2010.tif', '1981-2010'],
    ['Normal_1961_1990Y.asc', '1961-1990'],
    ['tas 1981 to 2010.nc', '1981-2010'],
    ['bio1_20412070.tif', '2041-2070'],
    ['mat_2041-60.tif', '2041-2060'],
    ['wc2.1_30s_bioc_ACCESS-CM2_ssp245_2041-2060.tif', '2041-2060 SSP2-4.5'],
    ['ensemble_SSP5-8.5_2071_2100_MAT.tif', '2071-2100 SSP5-8.5'],
    ['mat_rcp45_2041-2070.tif', '2041-2070 RCP4.5'],
    ['mat_rcp8.5_2041-2070.tif', '2041-2070 RCP8.5'],
  ])('%s: %s', (name, period) => {
    expect(guessPeriod(name)).toBe(period);
  });

  it.each([
    'nlcd_2021.tif',
    'trees_2023-05.csv',
    'trees_2023-05-17.csv',
    'mat_20102020.tif',
    '2020_1991.tif',
    'tile_1024_4096.tif',
    'ssp245.tif',
    'elevation.tif',
  ])('%s tells none', (name) => {
    expect(guessPeriod(name)).toBe('');
  });
});
