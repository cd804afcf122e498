/** Photos that were brought and are not in the plan yet: to which tree each belongs. Changes nothing until accepted. */
import type { Place } from '../domain/base/geo.ts';
import type { Failure, Result } from '../domain/base/result.ts';
import { frameMetres } from '../domain/base/localFrame.ts';
import type { Candidates } from '../domain/candidates/candidates.ts';
import type { FieldTexts } from '../domain/candidates/hand/editFields.ts';
import type { Change } from '../domain/plan/change.ts';
import { addPhotos, degreesText, handIds } from '../domain/plan/changeCandidates.ts';
import { freePath } from '../domain/plan/fresh.ts';
import type { Photo, Plan } from '../domain/plan/schema.ts';
import type { Bytes, Inspection } from '../jobs/protocol.ts';
import type { IntakeItem } from './intake.svelte.ts';

/** What shall become of a photo: "to" a candidate by its id, a "new" one, "with" another photo that becomes one, or "none" yet. */
export type PhotoFate =
  | { readonly kind: 'to'; readonly id: string }
  | { readonly kind: 'new' }
  | { readonly kind: 'with'; readonly photo: number }
  | { readonly kind: 'none' };

interface Facts extends Place {
  readonly date: string;
  /** Metres, degrees clockwise from north; NaN not recorded. */
  readonly accuracy: number;
  readonly direction: number;
}

export interface WaitingPhoto extends Facts {
  readonly id: number;
  readonly name: string;
  readonly blob: Blob;
  /** Set by the user; null: what the distance says. */
  readonly chosen: PhotoFate | null;
}

/** How near a candidate must stand for a photo to be of it, metres, until the user says another: 100 ft. */
const REACH = 30.48;
const FOLDER = 'photos/';

interface Parts {
  readonly plan: () => Plan;
  /** As edited, so that photos go to candidates that were set down a moment ago. */
  readonly candidates: () => Candidates | null;
  readonly editable: () => boolean;
  readonly apply: (change: Change) => void;
  readonly keep: (path: string, blob: Blob) => void;
  readonly paths: () => Iterable<string>;
  readonly inspect: (bytes: Bytes) => Promise<Result<Inspection>>;
  readonly fail: (failure: Failure) => void;
}

/** Pictures that a tree may be given, with a position or without. */
export const isPicture = (file: { readonly name: string }): boolean =>
  /\.(jpe?g|heic|heif|png|webp)$/i.test(file.name);

export class Photos {
  waiting = $state.raw<readonly WaitingPhoto[]>([]);
  /** Metres. */
  reach = $state(REACH);
  #parts: Parts;
  #next = 1;

  constructor(parts: Parts) {
    this.#parts = parts;
  }

  /** Takes photos that the intake has looked into: one place each, with date, accuracy and direction where the camera wrote them. */
  bring(items: readonly IntakeItem[]): void {
    const more = items.flatMap(({ bytes, inspection }): WaitingPhoto[] => {
      const facts = inspection && factsOf(inspection);
      if (bytes.kind !== 'blob' || !facts) return [];
      return [{ id: this.#next++, name: bytes.name, blob: bytes.blob, ...facts, chosen: null }];
    });
    this.waiting = [...this.waiting, ...more];
  }

  /** Gives pictures to a tree. One without a position takes the tree's; what is no picture is said and left out. */
  async attach(files: readonly File[], candidate: string, place: Place): Promise<void> {
    const found: Array<{ file: File; facts: Facts }> = [];
    for (const file of files) {
      const result = await this.#parts.inspect({ kind: 'blob', name: file.name, blob: file });
      const facts = result.ok ? factsOf(result.value) : null;
      if (facts) found.push({ file, facts });
      else if (isPicture(file) && (result.ok || result.failure.code === 'content'))
        found.push({ file, facts: { ...place, date: '', accuracy: NaN, direction: NaN } });
      else if (!result.ok) this.#parts.fail(result.failure);
    }
    if (found.length === 0 || !this.#parts.editable()) return;
    const plan = this.#parts.plan();
    const photos = this.#kept(
      found.map(({ file, facts }) => ({ name: file.name, blob: file, ...facts, candidate })),
    );
    this.#parts.apply(addPhotos(plan, photos, []));
  }

  choose(id: number, chosen: PhotoFate | null): void {
    this.waiting = this.waiting.map((p) => (p.id === id ? { ...p, chosen } : p));
  }

  putAway(id: number): void {
    this.waiting = this.waiting.filter((p) => p.id !== id);
  }

  clear(): void {
    this.waiting = [];
  }

  /** Candidates about a photo, nearest first. */
  near(photo: Place, most: number): ReadonlyArray<{ readonly row: number; readonly metres: number }> {
    const c = this.#parts.candidates();
    if (!c) return [];
    // Of a long table only the few nearest are kept while it is gone through.
    const best: Array<{ row: number; d: number }> = [];
    const shrink = Math.cos((photo.lat * Math.PI) / 180);
    for (let row = 0; row < c.n; row++) {
      const d = ((c.lon[row] - photo.lon) * shrink) ** 2 + (c.lat[row] - photo.lat) ** 2;
      if (best.length === most && d >= best[most - 1].d) continue;
      if (best.length === most) best.pop();
      const place = best.findIndex((b) => b.d > d);
      best.splice(place < 0 ? best.length : place, 0, { row, d });
    }
    return best.map(({ row }) => ({
      row,
      metres: frameMetres(c.lon[row], c.lat[row], photo.lon, photo.lat),
    }));
  }

  /**
   * What becomes of each photo in turn: what the user chose, else the nearest candidate within reach, else an earlier photo
   * within reach that becomes a new candidate, else a new candidate.
   */
  get fates(): ReadonlyMap<number, PhotoFate> {
    const c = this.#parts.candidates();
    const fates = new Map<number, PhotoFate>();
    for (const photo of this.waiting) {
      const [nearest] = this.near(photo, 1);
      if (photo.chosen) fates.set(photo.id, photo.chosen);
      else if (c && nearest && nearest.metres <= this.reach)
        fates.set(photo.id, { kind: 'to', id: c.id[nearest.row] });
      else {
        const first = this.waiting.find(
          (p) =>
            fates.get(p.id)?.kind === 'new' && frameMetres(p.lon, p.lat, photo.lon, photo.lat) <= this.reach,
        );
        fates.set(photo.id, first ? { kind: 'with', photo: first.id } : { kind: 'new' });
      }
    }
    return fates;
  }

  /** Puts all photos that wait into the plan, with the candidates that they make: one step back. */
  accept(): void {
    if (this.waiting.length === 0 || !this.#parts.editable()) return;
    const plan = this.#parts.plan();
    const { fates } = this;
    const makes = this.waiting.filter((p) => fates.get(p.id)?.kind === 'new');
    const ids = handIds(plan, this.#parts.candidates()?.id ?? [], makes.length);
    const idOf = new Map(makes.map((p, i) => [p.id, ids[i]]));
    const candidates = makes.map((p): FieldTexts => ({
      id: idOf.get(p.id) ?? '',
      lat: degreesText(p.lat),
      lon: degreesText(p.lon),
      ...(p.accuracy > 0 ? { accuracy: String(p.accuracy) } : {}),
      ...(p.date ? { date: p.date.slice(0, 10) } : {}),
    }));
    const candidateOf = (p: WaitingPhoto): string => {
      const fate = fates.get(p.id);
      if (fate?.kind === 'to') return fate.id;
      if (fate?.kind === 'new') return idOf.get(p.id) ?? '';
      return fate?.kind === 'with' ? (idOf.get(fate.photo) ?? '') : '';
    };
    const photos = this.#kept(this.waiting.map((p) => ({ ...p, candidate: candidateOf(p) })));
    this.waiting = [];
    this.#parts.apply(addPhotos(plan, photos, candidates));
  }

  /** Keeps the files in the workspace, each under a path of its own. */
  #kept(
    photos: ReadonlyArray<Facts & { readonly name: string; readonly blob: Blob; readonly candidate: string }>,
  ): Photo[] {
    // A path stands for one content for good: a removed photo may be wanted again by undo.
    const taken = new Set(
      [...this.#parts.paths(), ...this.#parts.plan().photos.map((p) => p.path)].flatMap((path) =>
        path.startsWith(FOLDER) ? [path.slice(FOLDER.length)] : [],
      ),
    );
    return photos.map(({ name, blob, lon, lat, date, accuracy, direction, candidate }): Photo => {
      const free = freePath(name, taken);
      taken.add(free);
      this.#parts.keep(FOLDER + free, blob);
      return {
        path: FOLDER + free,
        lon,
        lat,
        candidate,
        date,
        ...(accuracy >= 0 ? { accuracy } : {}),
        ...(direction >= 0 && direction <= 360 ? { direction } : {}),
        note: '',
      };
    });
  }
}

/** Place, time, accuracy and direction of a photo that was looked into; null where it has no place. */
function factsOf({ sample }: Inspection): Facts | null {
  const at = sample?.places?.[0];
  if (!sample || !at) return null;
  const said = (name: string): string => sample.rows[0]?.[sample.columns.indexOf(name)] ?? '';
  const number = (name: string): number => (said(name) === '' ? NaN : Number(said(name)));
  return {
    lon: at[0],
    lat: at[1],
    date: said('date'),
    accuracy: number('accuracy'),
    direction: number('direction'),
  };
}
