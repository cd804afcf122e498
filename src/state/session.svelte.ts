/** How the workspace is looked at: saved with it, but not undoable. */
import * as v from 'valibot';

export const STAGES = ['planting', 'layers', 'candidates', 'parents', 'scouting'] as const;
export type Stage = (typeof STAGES)[number];

/** Lets relief and water show through. */
const SURFACE_OPACITY = 0.75;

const SessionSchema = v.object({
  stage: v.optional(v.picklist(STAGES), 'parents'),
  plantingId: v.optional(v.string(), ''),
  units: v.optional(v.picklist(['metric', 'us']), 'us'),
  scheme: v.optional(v.picklist(['auto', 'light', 'dark']), 'auto'),
  ledgerOpen: v.optional(v.boolean(), true),
  ledgerHeight: v.optional(v.pipe(v.number(), v.minValue(96), v.maxValue(2000)), 240),
  panelOpen: v.optional(v.boolean(), true),
  showRuledOut: v.optional(v.boolean(), false),
  /** Layer ids drawn on the map. */
  shown: v.optional(v.array(v.string()), []),
  /** Layer id -> 0 to 1, where it is not the usual. */
  opacity: v.optional(v.record(v.string(), v.pipe(v.number(), v.minValue(0), v.maxValue(1))), {}),
  /** Layer ids as the user put them for drawing, bottom first; empty: the usual order. */
  order: v.optional(v.array(v.string()), []),
  /** The match surface: `least` null follows the planting's rule on match, opacity 0.1 to 1. */
  surface: v.optional(
    v.object({
      on: v.optional(v.boolean(), false),
      least: v.optional(v.nullable(v.pipe(v.number(), v.minValue(0), v.maxValue(1))), null),
      opacity: v.optional(v.pipe(v.number(), v.minValue(0.1), v.maxValue(1)), SURFACE_OPACITY),
    }),
    {},
  ),
});
export type SessionData = v.InferOutput<typeof SessionSchema>;
export type Units = SessionData['units'];

export class Session {
  stage = $state<Stage>('parents');
  plantingId = $state('');
  units = $state<Units>('us');
  scheme = $state<'auto' | 'light' | 'dark'>('auto');
  ledgerOpen = $state(true);
  ledgerHeight = $state(240);
  /** Narrow screens: the panel is a sheet from the foot that can be put away. */
  panelOpen = $state(true);
  showRuledOut = $state(false);
  shown = $state.raw<readonly string[]>([]);
  opacity = $state.raw<Readonly<Record<string, number>>>({});
  order = $state.raw<readonly string[]>([]);
  surface = $state.raw<Readonly<SessionData['surface']>>({
    on: false,
    least: null,
    opacity: SURFACE_OPACITY,
  });

  data(): SessionData {
    return {
      stage: this.stage,
      plantingId: this.plantingId,
      units: this.units,
      scheme: this.scheme,
      ledgerOpen: this.ledgerOpen,
      ledgerHeight: this.ledgerHeight,
      panelOpen: this.panelOpen,
      showRuledOut: this.showRuledOut,
      shown: [...this.shown],
      opacity: this.opacity,
      order: [...this.order],
      surface: this.surface,
    };
  }

  /** Takes what was saved; anything unreadable falls back to the defaults (a session holds no work). */
  restore(saved: unknown): void {
    const parsed = v.safeParse(SessionSchema, saved ?? {});
    Object.assign(this, parsed.success ? parsed.output : v.parse(SessionSchema, {}));
  }

  show(id: string, on: boolean): void {
    const rest = this.shown.filter((s) => s !== id);
    this.shown = on ? [...rest, id] : rest;
  }
}
