import type { Note } from '../../base/result.ts';
import type { OriginWeights } from '../../plan/schema.ts';
import { pieceOf, pieces } from './pieces.ts';
import type { Theme } from './types.ts';

/**
 * The built-in table of weights. Likelihood ratios: how many times more often the value is met at trees that grew by
 * themselves than at planted ones. All of them are this project's judgement until they are re-fitted on trees of known
 * origin: no published table for mother trees was found, nor a published distance from buildings. They are kept modest, so
 * that no single measure of land use settles a tree.
 */
export const builtInWeights: OriginWeights = {
  version: 'built-in 2',
  note: 'Ours, by judgement; no published values were found. Edit them for your region, and re-fit them once enough trees have a settled origin.',
  prior: 1,
  pieces: [
    {
      piece: 'developed100',
      steps: [
        { below: 0.05, ratio: 2 },
        { below: 0.25, ratio: 1.2 },
        { below: 0.5, ratio: 0.6 },
        { below: 0.8, ratio: 0.3 },
        { ratio: 0.15 },
      ],
      note: 'Ours. Cells are 30 m wide and a country road alone makes a fifth of them developed, so the first steps are weak.',
    },
    {
      piece: 'developed500',
      steps: [
        { below: 0.05, ratio: 1.5 },
        { below: 0.25, ratio: 1.1 },
        { below: 0.5, ratio: 0.8 },
        { ratio: 0.5 },
      ],
      note: 'Ours. Says little of the tree itself; old trees outlive the suburbs that grow about them.',
    },
    {
      piece: 'cover',
      classes: {
        'closed forest': 3,
        'forest edge': 1.5,
        opening: 1.3,
        pasture: 1.1,
        'crop field': 0.9,
        'developed beside forest': 0.8,
        'developed, open space': 0.4,
        developed: 0.2,
      },
      note: 'Ours. Edges and openings are good places to look (common practice); open developed land beside forest often holds old field-edge oaks, so it is nearly even.',
    },
    {
      piece: 'setting',
      classes: {
        'burial ground': 1.5,
        orchard: 1.2,
        'old field': 2,
        'field edge': 2,
        opening: 1.5,
        woodland: 3,
        yard: 0.2,
        campus: 0.2,
        park: 0.4,
        'golf course': 0.3,
        'street verge': 0.05,
        plantation: 0.02,
      },
      note: 'Order by common practice (old burial grounds, orchards, field edges and openings are good places to look; yards and built-up areas are not); the numbers are ours.',
    },
    {
      piece: 'building',
      steps: [
        { below: 10, ratio: 0.2 },
        { below: 30, ratio: 0.35 },
        { below: 100, ratio: 1 },
        { below: 300, ratio: 1.5 },
        { ratio: 2 },
      ],
      note: 'Ours, after a rule of thumb (within about 30 m probably planted unless older than the building; 30 to 100 m even; further for natural). No published threshold was found.',
    },
    {
      piece: 'buildings100',
      steps: [{ below: 1, ratio: 1.3 }, { below: 3, ratio: 0.9 }, { below: 10, ratio: 0.5 }, { ratio: 0.25 }],
      note: 'Ours.',
    },
    {
      piece: 'road',
      steps: [{ below: 5, ratio: 0.5 }, { below: 17, ratio: 0.8 }, { below: 100, ratio: 1 }, { ratio: 1.3 }],
      note: 'Ours. Distance to the edge of the road: to its line less half the width that the layer gives, or that is usual for its class.',
    },
    {
      piece: 'roadRow',
      steps: [{ below: 4, ratio: 1 }, { below: 8, ratio: 0.2 }, { ratio: 0.1 }],
      note: 'Ours. A row of four or more along the road is planted more often than not; fence rows are the exception. To stand in no row says nothing.',
    },
    {
      piece: 'inventory',
      classes: { listed: 0.15, 'not listed': 1.1 },
      note: 'Ours. Inventories list trees that a town cares for, most of them planted; streets and parks hold some old natural ones too. An entry that says that the tree was planted decides by itself, whatever this weight.',
    },
    {
      piece: 'pattern',
      classes: { regular: 0.1, random: 1.2, clustered: 1.5 },
      note: 'Ours. Rows and even spacing are the surest sign of planting; a dense old wood may be even too, since its trees keep each other away. Seedlings round a mother and caches of jays give clusters, and so do clumps in a lawn.',
    },
    {
      piece: 'diameters',
      steps: [
        { below: 0.12, ratio: 0.4 },
        { below: 0.25, ratio: 0.8 },
        { below: 0.45, ratio: 1.1 },
        { ratio: 1.4 },
      ],
      note: 'Ours, weak on purpose. Trees planted together are of a size; so are natural ones that came up together after a fire, a cut or on an old field.',
    },
    {
      piece: 'regeneration',
      classes: { seen: 1.5, 'none seen': 0.8 },
      note: 'Ours. Planted trees have seedlings too, and mowing removes them everywhere.',
    },
    {
      piece: 'ageDeveloped',
      classes: {
        'older than the development': 4,
        'as old as the development, within the error': 1,
        'younger than the development': 0.5,
      },
      note: 'Ours. A tree that was there before its ground was built over was not planted with the buildings; farms and estates planted trees too. A younger one may be a seedling that came up by itself, so that it speaks weakly.',
    },
    {
      piece: 'ageBurialGround',
      classes: {
        'older than the burial ground': 2.5,
        'as old as the burial ground, within the error': 1,
        'younger than the burial ground': 0.6,
      },
      note: 'Ours. Burial grounds kept trees that stood there, and had trees planted among the graves; seedlings come up in them later as well.',
    },
    {
      piece: 'establishmentMeans',
      classes: {
        native: 1.5,
        nativeReintroduced: 0.1,
        introduced: 0.1,
        introducedAssistedColonisation: 0.05,
        vagrant: 0.5,
        nativeEndemic: 1.5,
      },
      note: 'Ours; words of Darwin Core. "native" speaks of the species at the place, hardly of the single tree. "uncertain" counts as not known.',
    },
    {
      piece: 'degreeOfEstablishment',
      classes: {
        native: 3,
        captive: 0.05,
        cultivated: 0.03,
        released: 0.1,
        failing: 0.3,
        casual: 0.3,
        reproducing: 0.8,
        established: 1,
        colonising: 1,
        invasive: 1,
        widespreadInvasive: 1,
      },
      note: 'Ours; words of Darwin Core. "casual" includes trees planted in the wild. A record without a value says nothing.',
    },
    {
      piece: 'notes',
      classes: { 'words of planting': 0.4, 'words of wild growth': 1.5 },
      note: 'Ours, weak on purpose: words may be about a neighbour. A statement with a name and a date decides instead.',
    },
    {
      piece: 'range',
      steps: [{ below: 1, ratio: 1.2 }, { below: 50_000, ratio: 0.7 }, { ratio: 0.1 }],
      note: 'Ours. Most planted trees stand inside the range too; far outside, nearly all are planted. Near means within 50 km: range maps are coarse.',
    },
  ],
};

export interface PieceClasses {
  readonly piece: string;
  readonly title: string;
  readonly theme: Theme;
  readonly unit: string;
  readonly note: string;
  /** In order: a class, or a step with its bounds (from included, below not; NaN open). */
  readonly classes: ReadonlyArray<{
    readonly word: string;
    readonly from: number;
    readonly below: number;
    readonly ratio: number;
  }>;
}

/** A table of weights as rows to show and edit, in the order of the pieces; a piece without an entry counts ×1 always. */
export function classesOf(table: OriginWeights): PieceClasses[] {
  return pieces.map(({ id, title, theme, unit, words }) => {
    const weight = table.pieces.find((p) => p.piece === id);
    const steps = weight?.steps ?? [];
    return {
      piece: id,
      title,
      theme,
      unit,
      note: weight?.note ?? '',
      classes: words
        ? words
            .filter((w) => weight?.classes && Object.hasOwn(weight.classes, w))
            .map((word) => ({ word, from: NaN, below: NaN, ratio: weight?.classes?.[word] ?? 1 }))
        : steps.map((s, i) => ({
            word: '',
            from: steps[i - 1]?.below ?? NaN,
            below: s.below ?? NaN,
            ratio: s.ratio,
          })),
    };
  });
}

/** What is wrong with a user's table: entries that no piece reads, and steps that cannot be reached. */
export function weightNotes(table: OriginWeights): Note[] {
  const where = `origin weights ${table.version}`;
  const notes: Note[] = [];
  const seen = new Set<string>();
  for (const { piece, steps, classes } of table.pieces) {
    const known = pieceOf(piece);
    if (!known) {
      notes.push({ where, what: `there is no piece of evidence "${piece}"; its weights are not used` });
      continue;
    }
    if (seen.has(piece)) notes.push({ where, what: `"${piece}" stands twice; the first is used` });
    seen.add(piece);
    const { words } = known;
    if (words ? !classes : !steps) {
      notes.push({ where, what: `"${piece}" needs ${words ? 'classes' : 'steps'}; it counts ×1 until then` });
    }
    for (const word of Object.keys(classes ?? {})) {
      if (words && !words.includes(word))
        notes.push({ where, what: `"${piece}" has no class "${word}" (${words.join(', ')})` });
    }
    (steps ?? []).forEach((s, i, all) => {
      const before = all[i - 1];
      if (before && !((before.below ?? Infinity) < (s.below ?? Infinity))) {
        notes.push({
          where,
          what: `step ${i + 1} of "${piece}" cannot be reached: steps must rise, and only the last is open`,
        });
      }
    });
  }
  const missing = pieces.filter((p) => !seen.has(p.id)).map((p) => p.id);
  if (missing.length > 0) {
    notes.push({
      where,
      what: `there are no weights for ${missing.join(', ')}: ${missing.length === 1 ? 'it counts' : 'they count'} ×1 until the table has them (the built-in table has weights to start from)`,
    });
  }
  return notes;
}
