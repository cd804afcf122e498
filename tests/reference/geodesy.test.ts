/**
 * Geodesics against published values: 1 mm on the ground, 1e-8 degrees.
 *
 * CASES: the 20 test cases that GeographicLib publishes with its libraries (test/geodesictest.js of the package
 * geographiclib-geodesic 2.2.0, read there), drawn from C. F. F. Karney's test set for the WGS 84 ellipsoid (GeodTest,
 * 2010, computed in high-precision arithmetic; Zenodo 32156, number from memory).
 */
import { describe, expect, it } from 'vitest';
import { geodesicDirect, geodesicInverse, geodesicMetres } from '../../src/domain/base/geodesy.ts';

/** lat1, lon1, azimuth1, lat2, lon2, azimuth2, metres. */
// prettier-ignore
const CASES: ReadonlyArray<readonly number[]> = [
  [35.60777, -139.44815, 111.09874842956033, -11.17491, -69.95921, 129.28927088970877, 8935244.56048183],
  [55.52454, 106.05087, 22.0200598809828, 77.03196, 197.18234, 109.11204111067151, 4105086.171392441],
  [-21.97856, 142.59065, -32.44456876433189, 41.84138, 98.56635, -41.84359951440466, 8394328.894657671],
  [-66.99028, 112.2363, 173.73491240878403, -12.70631, 285.90344, 2.512956620913668, 11150344.231208025],
  [-17.42761, 173.34268, -159.03355766119293, -15.84784, 5.93557, -20.78748465153699, 16076603.163118068],
  [32.84994, 48.28919, 150.492927788122, -56.28556, 202.29132, 48.11344939981676, 16727068.943816446],
  [6.96833, 52.74123, 92.58158538631771, -7.39675, 206.17291, 90.72169216592391, 17102477.249695837],
  [-50.56724, -16.30485, -105.43967990759016, -33.56571, -94.97412, -47.34854783565033, 6455670.511866869],
  [-58.93002, -8.90775, 140.96539790250068, -8.91104, 133.13503, 19.255429433416598, 11756066.021986462],
  [-68.82867, -74.28391, 93.77434776311487, -50.63005, -8.36685, 34.65564085411343, 3956936.926063544],
  [-10.62672, -32.0898, -86.42671328674776, 5.883, -134.31681, -80.47378097103487, 11470869.386456301],
  [-21.76221, 166.90563, 29.31942120693643, 48.72884, 213.97627, 43.50867194641017, 9098627.398655491],
  [-19.79938, -174.47484, 71.16727578017154, -11.99349, -154.35109, 65.58909977519923, 2319004.860116939],
  [-11.95887, -116.94513, 92.71261983045255, 4.57352, 7.16501, 78.64960934409585, 13834722.580140138],
  [-87.85331, 85.66836, -65.12031304024275, 66.48646, 16.09921, -4.888658719272296, 17286615.314714465],
  [1.74708, 128.32011, -101.58484363117385, -11.16617, 11.87109, -86.32579329643748, 12942901.124134742],
  [-25.72959, -144.90758, -153.6474686931172, -57.70581, -269.17879, -48.34398315887649, 9413446.745245311],
  [-41.22777, 122.32875, 14.285113402275739, -7.57291, 130.37946, 10.805303085187369, 3812686.035106021],
  [11.01307, 138.25278, 79.43682622782374, 6.62726, 247.05981, 103.70809021552266, 11911190.819018409],
  [-29.47124, 95.14681, -163.77913044168838, -27.46601, -69.15955, -15.90933594555497, 13487015.838114548],
];

const MILLIMETRE = 0.001;
/** Longitudes and azimuths are compared on the circle. */
const turn = (a: number, b: number): number => Math.abs(((a - b + 540) % 360) - 180);

describe('geodesics of the published GeographicLib test set', () => {
  it.each(CASES)('from %f, %f', (lat1, lon1, azimuth1, lat2, lon2, azimuth2, metres) => {
    expect(Math.abs(geodesicMetres(lon1, lat1, lon2, lat2) - metres)).toBeLessThan(MILLIMETRE);
    const line = geodesicInverse(lon1, lat1, lon2, lat2);
    expect(Math.abs(line.metres - metres)).toBeLessThan(MILLIMETRE);
    expect(turn(line.azimuth1, azimuth1)).toBeLessThan(1e-8);
    expect(turn(line.azimuth2, azimuth2)).toBeLessThan(1e-8);
    const end = geodesicDirect(lon1, lat1, azimuth1, metres);
    // 1e-8 degrees of latitude is 1.1 mm; at these latitudes a degree of longitude is no longer than one of latitude.
    expect(Math.abs(end.lat - lat2)).toBeLessThan(5e-9);
    expect(turn(end.lon, lon2)).toBeLessThan(5e-9);
  });

  it('short and nearly antipodal lines: GeodSolve4, 6, 9, 10, 11 of the same file (values to 0.5 mm)', () => {
    const near = (lat1: number, lon1: number, lat2: number, lon2: number, metres: number): void =>
      expect(Math.abs(geodesicMetres(lon1, lat1, lon2, lat2) - metres)).toBeLessThanOrEqual(0.0005);
    near(36.493349428792, 0, 36.49334942879201, 0.0000008, 0.072);
    near(88.202499451857, 0, -88.202499451857, 179.98102203299285, 20003898.214);
    near(56.320923501171, 0, -56.320923501171, 179.6647476717729, 19993558.287);
    near(52.784459512564, 0, -52.78445951256399, 179.63440746494379, 19991596.095);
    near(48.522876735459, 0, -48.52287673545898, 179.5997204562231, 19989144.774);
  });

  it('JFK to Paris, GeodSolve0 of the same file: 5853226 m, azimuths 53.47022 and 111.59367', () => {
    const line = geodesicInverse(-73.8, 40.6, 2.55, 49.01666667);
    expect(Math.abs(line.metres - 5853226)).toBeLessThan(0.5);
    expect(Math.abs(line.azimuth1 - 53.47022)).toBeLessThan(0.5e-5);
    expect(Math.abs(line.azimuth2 - 111.59367)).toBeLessThan(0.5e-5);
  });

  it('the direct problem worked in Karney 2013, table 2 (from memory): 10 000 km at 30 degrees from 40 N', () => {
    const end = geodesicDirect(0, 40, 30, 10_000_000);
    expect(Math.abs(end.lat - 41.79331020506)).toBeLessThan(1e-11);
    expect(Math.abs(end.lon - 137.84490004377)).toBeLessThan(1e-11);
  });
});
