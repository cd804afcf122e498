import { localFrame } from '../base/localFrame.ts';
import type { Records } from './candidates.ts';

/** Two records nearer than this are one tree whatever their accuracy, metres. */
export const ONE_TREE = 5;
/** Accuracy radii count up to this, metres: two oaks 60 m apart are two oaks though both positions are poor. */
const CAP = 30;
/** Diameters that differ by more than this share are two trees. */
export const GROWTH = 0.15;

/**
 * Records that repeat an earlier one (ours): same species, nearer than the smaller of both accuracy radii (at most 30 m, at
 * least 5 m), and no diameters on record that differ by more than 15 %. The earliest record of a tree stands; each later one
 * names it. Without a species in the table, the names as written must be the same.
 *
 * @param apart whether two rows are known to be two trees, however near.
 * @returns row of the record repeated, -1 none.
 */
export function duplicates(
  records: Records,
  apart: (a: number, b: number) => boolean = () => false,
): Int32Array {
  const { n, lon, lat, accuracy, dbh } = records;
  const of = new Int32Array(n).fill(-1);
  const species = speciesKeys(records);
  const places = new Hashed(n);
  for (let i = 0; i < n; i++) {
    const { lonMetres, latMetres } = localFrame(lat[i]);
    // The smaller radius counts, so that nothing further than the own one is asked.
    const own = Math.max(ONE_TREE, Math.min(CAP, accuracy[i] || 0));
    const dx = own / Math.max(lonMetres, LEAST_METRES);
    const dy = own / latMetres;
    const top = bandOf(lat[i] + dy);
    let best = -1;
    for (let b = bandOf(lat[i] - dy); b <= top; b++) {
      const width = widthOf(b);
      const to = Math.floor((lon[i] + dx) / width);
      for (let c = Math.floor((lon[i] - dx) / width); c <= to; c++) {
        for (let j = places.first(b, c, species[i]); j >= 0; j = places.next[j]) {
          if (species[j] !== species[i] || (best >= 0 && j > best)) continue;
          const x = (lon[i] - lon[j]) * lonMetres;
          const y = (lat[i] - lat[j]) * latMetres;
          const radius = Math.max(ONE_TREE, Math.min(own, accuracy[j] || 0));
          if (x * x + y * y >= radius * radius || apart(i, j)) continue;
          if (!(Math.abs(dbh[i] - dbh[j]) > GROWTH * Math.max(dbh[i], dbh[j]))) best = j;
        }
      }
    }
    of[i] = best;
    // Only records that stand for themselves are asked: a crowd of repeats at one place stays cheap.
    if (best >= 0) continue;
    const band = bandOf(lat[i]);
    places.add(i, band, Math.floor(lon[i] / widthOf(band)), species[i]);
  }
  return of;
}

/** Degrees of latitude that are at least CAP wide everywhere. */
const BAND = CAP / 110_000;
/** Metres in a degree of longitude below which the cells no longer grow: 2 degrees from a pole. */
const LEAST_METRES = 4_000;

const bandOf = (lat: number): number => Math.floor(lat / BAND);
/** Degrees of longitude of the cells of a band, about CAP wide. */
const widthOf = (band: number): number =>
  CAP / Math.max(111_320 * Math.cos((band * BAND * Math.PI) / 180), LEAST_METRES);

/** Records by cell and species, in chains from the latest on. Cells may share a chain: what is found is still to be measured. */
class Hashed {
  readonly next: Int32Array;
  readonly #heads: Int32Array;
  readonly #mask: number;

  constructor(n: number) {
    const size = 2 ** Math.ceil(Math.log2(Math.max(2, n)));
    this.next = new Int32Array(n).fill(-1);
    this.#heads = new Int32Array(size).fill(-1);
    this.#mask = size - 1;
  }

  first(band: number, cell: number, species: number): number {
    return this.#heads[this.#slot(band, cell, species)];
  }

  add(i: number, band: number, cell: number, species: number): void {
    const slot = this.#slot(band, cell, species);
    this.next[i] = this.#heads[slot];
    this.#heads[slot] = i;
  }

  #slot(band: number, cell: number, species: number): number {
    let h = Math.imul(band, 73856093) ^ Math.imul(cell, 19349663) ^ Math.imul(species, 83492791);
    h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
    return (h ^ (h >>> 13)) & this.#mask;
  }
}

/** One number a species or hybrid; without a species in the table, one for each name as written. */
export function speciesKeys({ n, species, hybrid, speciesText }: Records): Int32Array {
  const names = new Map<string, number>();
  const keys = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    if (species[i] >= 0) keys[i] = species[i] * 1024 + hybrid[i] + 1;
    else {
      const name = speciesText[i].trim().toLowerCase();
      const known = names.get(name) ?? names.size;
      names.set(name, known);
      keys[i] = -1 - known;
    }
  }
  return keys;
}
