import { expect, test } from 'vitest';
import { placeFrom } from '../../../src/domain/candidates/table/placeFrom.ts';

/** 38° 2' 24.72" N is 38.0402; 84° 30' 13.32" W is -84.5037 (worked by hand). */
test.each([
  '38.0402, -84.5037',
  '38.0402 -84.5037',
  '38.0402;-84.5037',
  '38,0402; -84,5037',
  '-84.5037, 38.0402',
  'N 38.0402 W 84.5037',
  '38.0402 N, 84.5037 W',
  '84.5037W 38.0402N',
  `38°02'24.72"N 84°30'13.32"W`,
  'N 38° 2.412’, W 84° 30.222’',
  '38.0402, −84.5037',
])('"%s" is a place', (text) => {
  const place = placeFrom(text);
  expect(place?.lat).toBeCloseTo(38.0402, 6);
  expect(place?.lon).toBeCloseTo(-84.5037, 6);
});

test.each([
  '',
  '38.04',
  'by the spring',
  '138.04, -94.5',
  '38.04, -284.5',
  'N 38 75 W 84',
  '38.04 N 84.5 N 3',
])('"%s" is none', (text) => expect(placeFrom(text)).toBeNull());

test('a pair of another region stays latitude first', () => {
  expect(placeFrom('52.5, 13.4')).toEqual({ lat: 52.5, lon: 13.4 });
});
