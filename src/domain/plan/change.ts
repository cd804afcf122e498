/**
 * Edits of the document. Each is a pure function plan -> Change; the document applies a Change and its inverse is the undo.
 * Plans are never altered in place: a Change holds both sides and unchanged parts are shared between them.
 */
import type { LayerEntry, Plan, Planting, Rules, SpreadChoice, Statement } from './schema.ts';
import type { Transform } from '../layers/definition.ts';

export interface Change {
  /** What was done, for the undo button: "Move the site". */
  readonly note: string;
  readonly before: Plan;
  readonly after: Plan;
}

export const inverse = (c: Change): Change => ({ note: c.note, before: c.after, after: c.before });

const change = (plan: Plan, note: string, part: Partial<Plan>): Change => ({
  note,
  before: plan,
  after: { ...plan, ...part },
});

/** The other edits of a planting stand on this one. */
export function editPlanting(plan: Plan, id: string, note: string, part: Partial<Planting>): Change {
  return change(plan, note, { plantings: plan.plantings.map((p) => (p.id === id ? { ...p, ...part } : p)) });
}

/** @throws where there is none: an edit names a planting that it was shown. */
export const plantingOf = (plan: Plan, id: string): Planting => {
  const planting = plan.plantings.find((p) => p.id === id);
  if (!planting) throw new Error(`no planting ${id}`);
  return planting;
};

export const setTitle = (plan: Plan, title: string): Change =>
  change(plan, 'Rename the workspace', { title });

export function setRule<R extends keyof Rules>(plan: Plan, id: string, rule: R, value: Rules[R]): Change {
  return editPlanting(plan, id, 'Change a rule', { rules: { ...plantingOf(plan, id).rules, [rule]: value } });
}

/** Ticks some variables of the match and unticks others, as one step. What was set for one stays for when it is ticked again. */
export function chooseVariables(
  plan: Plan,
  id: string,
  ids: readonly string[],
  on: boolean,
  note = 'Choose the variables',
): Change {
  const rest = plantingOf(plan, id).variables.filter((v) => on || !ids.includes(v));
  return editPlanting(plan, id, note, {
    variables: on ? [...rest, ...ids.filter((v) => !rest.includes(v))] : rest,
  });
}

/**
 * How a variable is compared.
 * @param usual its definition's transform: the plan names only what is otherwise.
 * @param sd where the spread is typed in: the standard deviation under the new transform; undefined = not known, so that the
 * old one, which would mean something else now, is taken out.
 */
export function setTransform(
  plan: Plan,
  id: string,
  variable: string,
  transform: Transform,
  usual: Transform,
  note: string,
  sd?: number,
): Change {
  const p = plantingOf(plan, id);
  const { [variable]: _old, ...others } = p.transforms;
  const part: Partial<Planting> = {
    transforms: transform === usual ? others : { ...others, [variable]: transform },
  };
  if (p.spread.kind !== 'typed') return editPlanting(plan, id, note, part);
  const { [variable]: _was, ...rest } = p.spread.sd;
  return editPlanting(plan, id, note, {
    ...part,
    spread: { kind: 'typed', sd: sd === undefined ? rest : { ...rest, [variable]: sd } },
  });
}

export const setSpread = (plan: Plan, id: string, spread: SpreadChoice): Change =>
  editPlanting(plan, id, 'Change what counts as an ordinary difference', { spread });

export const setParents = (plan: Plan, id: string, part: Partial<Planting['parents']>): Change =>
  editPlanting(plan, id, 'Change the parent set', { parents: { ...plantingOf(plan, id).parents, ...part } });

export const setScouting = (plan: Plan, id: string, part: Partial<Planting['scouting']>): Change =>
  editPlanting(plan, id, 'Change the scouting day', {
    scouting: { ...plantingOf(plan, id).scouting, ...part },
  });

/** Locks and bans exclude each other. */
export function setLock(plan: Plan, id: string, candidate: string, mark: 'lock' | 'ban' | 'none'): Change {
  const p = plantingOf(plan, id);
  const without = (list: readonly string[]): string[] => list.filter((c) => c !== candidate);
  const note =
    mark === 'lock' ? `Keep ${candidate}` : mark === 'ban' ? `Leave out ${candidate}` : `Free ${candidate}`;
  return editPlanting(plan, id, note, {
    locks: mark === 'lock' ? [...without(p.locks), candidate] : without(p.locks),
    bans: mark === 'ban' ? [...without(p.bans), candidate] : without(p.bans),
  });
}

export function setOverride(plan: Plan, id: string, override: Planting['overrides'][number]): Change {
  const rest = plantingOf(plan, id).overrides.filter((o) => o.candidate !== override.candidate);
  return editPlanting(plan, id, `Override ${override.candidate}`, { overrides: [...rest, override] });
}

export function dropOverride(plan: Plan, id: string, candidate: string): Change {
  return editPlanting(plan, id, `Take back the override of ${candidate}`, {
    overrides: plantingOf(plan, id).overrides.filter((o) => o.candidate !== candidate),
  });
}

/** What several people say of a tree stands side by side; the same person's word, known in the same way, replaces the old one. */
export function setStatement(plan: Plan, statement: Statement): Change {
  const said = ({ candidate, by, how = 'told' }: Statement): string => JSON.stringify([candidate, by, how]);
  const rest = plan.statements.filter((s) => said(s) !== said(statement));
  return change(plan, `Record the origin of ${statement.candidate}`, { statements: [...rest, statement] });
}

export const dropStatement = (plan: Plan, statement: Statement): Change =>
  change(plan, `Take back the statement on ${statement.candidate}`, {
    statements: plan.statements.filter((s) => s !== statement),
  });

/**
 * Adds layers (one gesture, one step). A raster of numbers becomes a variable of every planting when `variables` names it.
 */
export function addLayers(plan: Plan, layers: readonly LayerEntry[], variables: readonly string[]): Change {
  const note = layers.length === 1 ? `Add ${layers[0].title ?? layers[0].id}` : `Add ${layers.length} layers`;
  return change(plan, note, {
    layers: [...plan.layers, ...layers],
    plantings: plan.plantings.map((p) => ({ ...p, variables: [...p.variables, ...variables] })),
  });
}

/** Parts given as undefined are taken out of the entry. */
export function editLayer(
  plan: Plan,
  id: string,
  part: { readonly [K in keyof LayerEntry]?: LayerEntry[K] | undefined },
  note = 'Change a layer',
): Change {
  const edited = (l: LayerEntry): LayerEntry =>
    Object.fromEntries(Object.entries({ ...l, ...part }).filter(([, v]) => v !== undefined)) as LayerEntry;
  return change(plan, note, { layers: plan.layers.map((l) => (l.id === id ? edited(l) : l)) });
}

/** A planting that knows nothing of a layer as a variable; the same object where it knew nothing. */
function withoutVariable(p: Planting, id: string): Planting {
  const { [id]: transform, ...transforms } = p.transforms;
  const sd = p.spread.kind === 'typed' ? p.spread.sd : {};
  const banded = p.rules.tolerance.some((t) => t.variable === id);
  if (!p.variables.includes(id) && transform === undefined && !(id in sd) && !banded) return p;
  const { [id]: _sd, ...rest } = sd;
  return {
    ...p,
    variables: p.variables.filter((v) => v !== id),
    transforms,
    spread: p.spread.kind === 'typed' ? { kind: 'typed', sd: rest } : p.spread,
    rules: { ...p.rules, tolerance: p.rules.tolerance.filter((t) => t.variable !== id) },
  };
}

/** Another definition: what was chosen for the old one no longer says anything. */
export function redefineLayer(plan: Plan, id: string, definition: string, title: string): Change {
  const edited = editLayer(
    plan,
    id,
    {
      definition,
      title,
      key: undefined,
      name: undefined,
      year: undefined,
      contacts: undefined,
      classes: undefined,
      unit: undefined,
    },
    'Change what a layer is',
  );
  return {
    ...edited,
    after: {
      ...edited.after,
      plantings: plan.plantings.map((p) => withoutVariable(p, id)),
    },
  };
}

/** Sets by hand how two zones touch, or takes that back (null): what the shapes say holds again. */
export function setContact(
  plan: Plan,
  id: string,
  a: string,
  b: string,
  contact: 'edge' | 'corner' | 'none' | null,
): Change {
  const layer = plan.layers.find((l) => l.id === id);
  const rest = (layer?.contacts ?? []).filter((c) => !((c.a === a && c.b === b) || (c.a === b && c.b === a)));
  const contacts = contact === null ? rest : [...rest, { a, b, contact }];
  return editLayer(
    plan,
    id,
    { contacts: contacts.length > 0 ? contacts : undefined },
    contact === null ? `Take back the contact of ${a} and ${b}` : `Set the contact of ${a} and ${b}`,
  );
}

/** Sets the kind of ground of one value of a land-cover raster; null: as the usual legend has it. */
export function setGround(plan: Plan, id: string, value: number, ground: string | null): Change {
  const { [String(value)]: _old, ...rest } = plan.layers.find((l) => l.id === id)?.classes ?? {};
  const classes = ground === null ? rest : { ...rest, [String(value)]: ground };
  return editLayer(
    plan,
    id,
    { classes: Object.keys(classes).length > 0 ? classes : undefined },
    `Set the ground of class ${value}`,
  );
}

/** Takes a layer out, and all that plantings say of it as a variable. */
export function removeLayer(plan: Plan, id: string): Change {
  const layer = plan.layers.find((l) => l.id === id);
  return change(plan, `Remove ${layer?.title ?? id}`, {
    layers: plan.layers.filter((l) => l.id !== id),
    plantings: plan.plantings.map((p) => withoutVariable(p, id)),
  });
}

export const addPlanting = (plan: Plan, planting: Planting): Change =>
  change(plan, `Add ${planting.title}`, { plantings: [...plan.plantings, planting] });

export const removePlanting = (plan: Plan, id: string): Change =>
  change(plan, `Remove ${plantingOf(plan, id).title}`, {
    plantings: plan.plantings.filter((p) => p.id !== id),
  });
