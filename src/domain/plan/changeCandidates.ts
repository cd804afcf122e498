/** Edits of candidates by hand, as Changes of the plan. Files stay as they are; see domain/candidates/edits.ts for how they are laid on. */
import type { FieldTexts } from '../candidates/hand/editFields.ts';
import type { Change } from './change.ts';
import type { CandidateEdits, Photo, Plan } from './schema.ts';

const withEdits = (
  plan: Plan,
  note: string,
  part: Partial<CandidateEdits>,
  more: Partial<Plan> = {},
): Change => ({
  note,
  before: plan,
  after: { ...plan, ...more, candidates: { ...plan.candidates, ...part } },
});

const several = (n: number, one: string): string => (n === 1 ? one : `${n} candidates`);

/** "H1", "H2" ...: ids for candidates set down by hand that nothing else is called by. */
export function handIds(plan: Plan, ids: readonly string[], count: number): string[] {
  const taken = new Set([...ids, ...plan.candidates.added.map((f) => f['id']), ...plan.candidates.removed]);
  const made: string[] = [];
  for (let k = 1; made.length < count; k++) if (!taken.has(`H${k}`)) made.push(`H${k}`);
  return made;
}

/** Sets down new candidates; each has an id, a position and what else is known. */
export const addCandidates = (plan: Plan, candidates: readonly FieldTexts[]): Change =>
  withEdits(plan, `Add ${several(candidates.length, candidates[0]?.['id'] ?? '')}`, {
    added: [...plan.candidates.added, ...candidates],
  });

/**
 * Fields of candidates, and new candidates, in one step. What was set down by hand is edited in place; for the others the
 * fields are kept beside the file. An empty text means "not recorded", whatever the file says.
 */
export function changeCandidates(
  plan: Plan,
  changes: ReadonlyArray<{ readonly id: string; readonly fields: FieldTexts }>,
  added: readonly FieldTexts[] = [],
  note = '',
): Change {
  const byHand = new Map(plan.candidates.added.map((f, i) => [f['id'], i]));
  const now = [...plan.candidates.added];
  const changed = { ...plan.candidates.changed };
  for (const { id, fields } of changes) {
    const at = byHand.get(id);
    if (at === undefined) changed[id] = { ...changed[id], ...fields };
    else now[at] = { ...now[at], ...fields };
  }
  const words =
    note ||
    `${added.length > 0 && changes.length === 0 ? 'Add' : 'Change'} ${several(changes.length + added.length, changes[0]?.id ?? added[0]?.['id'] ?? '')}`;
  return withEdits(plan, words, { added: [...now, ...added], changed });
}

export const moveCandidate = (plan: Plan, id: string, lon: number, lat: number): Change =>
  changeCandidates(
    plan,
    [{ id, fields: { lon: degreesText(lon), lat: degreesText(lat) } }],
    [],
    `Move ${id}`,
  );

/** A hundredth of a metre. */
export const degreesText = (x: number): string => String(Number(x.toFixed(7)));

/** Takes the fields changed by hand back, so that the file's stand again; all of them where none is named. */
export function revertCandidate(plan: Plan, id: string, fields?: readonly string[]): Change {
  const { [id]: own, ...others } = plan.candidates.changed;
  const left = Object.fromEntries(Object.entries(own ?? {}).filter(([f]) => fields && !fields.includes(f)));
  return withEdits(plan, `Take back the changes of ${id}`, {
    changed: Object.keys(left).length > 0 ? { ...others, [id]: left } : others,
  });
}

/** Takes trees out, each with all of its records. What was set down by hand is gone with its fields; undo brings it back. */
export function removeCandidates(plan: Plan, ids: readonly string[]): Change {
  const { added, removed, merged } = plan.candidates;
  const out = new Set(ids);
  const byHand = new Set(added.map((f) => f['id']));
  const repeats = merged.flatMap((m) => (out.has(m.keep) && byHand.has(m.keep) ? m.repeats : []));
  return withEdits(plan, `Remove ${several(ids.length, ids[0] ?? '')}`, {
    added: added.filter((f) => !out.has(f['id'])),
    removed: [
      ...new Set([
        ...removed,
        ...ids.filter((id) => !byHand.has(id)),
        ...repeats.filter((id) => !byHand.has(id)),
      ]),
    ],
    // The records behind a tree set down by hand go with it.
    merged: merged.filter((m) => !(out.has(m.keep) && byHand.has(m.keep))),
  });
}

/** Brings removed candidates back. */
export const restoreCandidates = (plan: Plan, ids: readonly string[]): Change =>
  withEdits(plan, `Bring back ${several(ids.length, ids[0] ?? '')}`, {
    removed: plan.candidates.removed.filter((id) => !ids.includes(id)),
  });

export interface Merge {
  /** The record that stands for the tree. */
  readonly keep: string;
  readonly repeats: readonly string[];
  /** Fields taken from another record, in place of its own. */
  readonly fields: FieldTexts;
}

/**
 * Makes one tree of several records, in one step. What the plan says of a repeat (kept in the set, left out, override,
 * statements, photos) is said of the record that stands from then on; an override only where that has none.
 */
export function mergeCandidates(plan: Plan, merges: readonly Merge[]): Change {
  const to = new Map(merges.flatMap((m) => m.repeats.map((r) => [r, m.keep] as const)));
  const { merged, apart } = plan.candidates;
  const groups = new Map(merged.map((m) => [m.keep, m.repeats]));
  for (const { keep, repeats } of merges) {
    // Records behind a repeat follow it.
    const all = repeats.flatMap((r) => [r, ...(groups.get(r) ?? [])]);
    for (const r of repeats) groups.delete(r);
    groups.set(keep, [...(groups.get(keep) ?? []), ...all]);
  }
  const fields = merges
    .filter((m) => Object.keys(m.fields).length > 0)
    .map((m) => ({ id: m.keep, fields: m.fields }));
  const base = fields.length > 0 ? changeCandidates(plan, fields).after : plan;
  const follow = (id: string): string => to.get(id) ?? id;
  const ids = (list: readonly string[]): string[] => [...new Set(list.map(follow))];
  const first = <T extends { readonly candidate: string }>(list: readonly T[]): T[] => {
    const own = new Set(list.map((x) => x.candidate));
    return list.flatMap((x) => {
      const keep = to.get(x.candidate);
      if (keep === undefined) return [x];
      if (own.has(keep)) return [];
      own.add(keep);
      return [{ ...x, candidate: keep }];
    });
  };
  const pairs = new Set(merges.flatMap((m) => [m.keep, ...m.repeats]));
  return {
    note:
      merges.length === 1
        ? `Merge ${[merges[0].keep, ...merges[0].repeats].join(', ')}`
        : `Merge ${merges.length} groups of records`,
    before: plan,
    after: {
      ...base,
      plantings: base.plantings.map((p) => ({
        ...p,
        locks: ids(p.locks),
        // Kept and left out exclude each other; a tree that is kept stays kept.
        bans: ids(p.bans).filter((id) => !to.size || !ids(p.locks).includes(id)),
        overrides: first(p.overrides),
      })),
      // Several people may have said something: nothing of it is lost.
      statements: base.statements.map((s) =>
        to.has(s.candidate) ? { ...s, candidate: follow(s.candidate) } : s,
      ),
      photos: base.photos.map((p) => (to.has(p.candidate) ? { ...p, candidate: follow(p.candidate) } : p)),
      candidates: {
        ...base.candidates,
        merged: [...groups].map(([keep, repeats]) => ({ keep, repeats: [...repeats] })),
        // Said to be two trees before, and one tree now.
        apart: apart.filter(([a, b]) => !(pairs.has(a) && pairs.has(b))),
      },
    },
  };
}

/** The records of a tree stand for themselves again. */
export const unmerge = (plan: Plan, keep: string): Change =>
  withEdits(plan, `Take ${keep} apart again`, {
    merged: plan.candidates.merged.filter((m) => m.keep !== keep),
  });

/** So many trees as there are ids: no two of them are called the same again. */
export function setApart(plan: Plan, ids: readonly string[]): Change {
  const known = new Set(plan.candidates.apart.map(([a, b]) => JSON.stringify([a, b].sort())));
  const pairs = ids.flatMap((a, i) => ids.slice(i + 1).map((b): [string, string] => [a, b]));
  return withEdits(plan, `Note that ${ids.join(' and ')} are ${ids.length} trees`, {
    apart: [...plan.candidates.apart, ...pairs.filter((p) => !known.has(JSON.stringify([...p].sort())))],
  });
}

/** Whether they are two trees is open again. */
export const dropApart = (plan: Plan, a: string, b: string): Change =>
  withEdits(plan, `Ask again whether ${a} and ${b} are one tree`, {
    apart: plan.candidates.apart.filter(([x, y]) => !((x === a && y === b) || (x === b && y === a))),
  });

/** Photos with the candidates made of them, in one step. */
export const addPhotos = (plan: Plan, photos: readonly Photo[], candidates: readonly FieldTexts[]): Change =>
  withEdits(
    plan,
    photos.length === 1 ? 'Add a photo' : `Add ${photos.length} photos`,
    { added: [...plan.candidates.added, ...candidates] },
    { photos: [...plan.photos, ...photos] },
  );

export function editPhoto(plan: Plan, path: string, part: Partial<Photo>, note: string): Change {
  return {
    note,
    before: plan,
    after: { ...plan, photos: plan.photos.map((p) => (p.path === path ? { ...p, ...part } : p)) },
  };
}

export const removePhoto = (plan: Plan, path: string): Change => ({
  note: 'Remove a photo',
  before: plan,
  after: { ...plan, photos: plan.photos.filter((p) => p.path !== path) },
});
