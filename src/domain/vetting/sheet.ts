import { geodesicInverse } from '../base/geodesy.ts';
import type { Candidates } from '../candidates/candidates.ts';
import type { Role } from '../layers/definition.ts';
import type { Planting } from '../plan/schema.ts';
import { OAKS } from '../species/species.ts';
import { similarity } from './match/mess.ts';
import { transform } from './match/transform.ts';
import { furthest } from './origin/furthest.ts';
import { LEAST_MOVE, LIKELY_NATURAL, LIKELY_PLANTED } from './origin/odds.ts';
import { pieceOf } from './origin/pieces.ts';
import { ORIGIN_VERDICTS, type OriginColumns, type OriginVerdict, type Theme } from './origin/types.ts';
import { ANSWERS, NO_SITE, type Answer, type FindingColumn } from './rules/types.ts';
import { STANDINGS, type Provenance, type Standing, type Vetting } from './vetting.ts';
import { WEIGHT_PARTS, weightParts } from './weight.ts';

export interface SheetFinding {
  readonly rule: string;
  readonly title: string;
  readonly strength: 'must' | 'prefer';
  readonly answer: Answer;
  /** NaN unknown or a class. */
  readonly measure: number;
  readonly unit: string;
  /** The class in words; '' for numbers. */
  readonly word: string;
  readonly limit: string;
  readonly limits: Readonly<Record<string, number>>;
  /** With several sites the one that answer, measure and limit are about; '' with one, or where no one site is to be named. */
  readonly site: string;
  /** Set where the answer is not a pass. */
  readonly toCheck: string;
  readonly provenance: Provenance | null;
}

export interface SheetEvidence {
  readonly piece: string;
  readonly title: string;
  readonly theme: Theme;
  /** NaN for classes. */
  readonly value: number;
  readonly unit: string;
  /** The class in words; '' for numbers. */
  readonly word: string;
  /** Natural log of the ratio of the table, and of what counted after the discount of the theme. */
  readonly logRatio: number;
  readonly counted: number;
  /** "×3 for natural", "×5 for planted", "even". */
  readonly ratio: string;
  readonly countedRatio: string;
  /** More on the value, in words with metric units; '' where there is no more. */
  readonly detail: string;
  readonly provenance: Provenance | null;
}

export interface SheetUnknown {
  readonly piece: string;
  readonly title: string;
  readonly theme: Theme;
  readonly check: string;
  /** How far an answer could move the log odds at most, up or down. */
  readonly couldMove: number;
  /** The same in words: "could move the odds up to ×8". */
  readonly words: string;
}

export interface SheetVariable {
  readonly id: string;
  readonly title: string;
  readonly unit: string;
  readonly role: Role;
  /** Years of the candidate's value, and of the site's; '' where the variable has none. */
  readonly period: string;
  readonly sitePeriod: string;
  readonly atCandidate: number;
  /** At the site that the candidate is least like: of an area the mean, with its lowest and highest cell. */
  readonly atSite: number;
  readonly siteLow: number;
  readonly siteHigh: number;
  /** What that site has in the candidate's period, where `atSite` is of another; else NaN. */
  readonly atSiteNow: number;
  /** Candidate minus site in the file's unit. */
  readonly difference: number;
  /** "warmer", "colder"; '' where equal or unknown. */
  readonly word: string;
  /** Part of D². */
  readonly part: number;
  readonly limiting: boolean;
  /** Outside the range of the reference cells. */
  readonly novel: boolean;
  /**
   * Similarity of the candidate's value to those of the reference cells (Elith et al. 2010): 100 in their middle, below 0
   * outside their range; NaN without reference cells.
   */
  readonly similarity: number;
}

export interface SheetMatch {
  readonly match: number;
  readonly low: number;
  readonly high: number;
  readonly d2: number;
  readonly k: number;
  readonly sigma: number;
  readonly variables: readonly SheetVariable[];
  /** Parts of D² summed by role, in the order in which the roles come among the variables; together they are d2. */
  readonly groups: ReadonlyArray<{ readonly role: Role; readonly part: number }>;
  /** The lowest similarity over the variables, and the title of the variable that has it ('' unknown). */
  readonly mess: number;
  readonly unlike: string;
  /** Every site of the planting, with the move of seed to it in km. */
  readonly sites: ReadonlyArray<{ readonly name: string; readonly match: number; readonly km: number }>;
  /** The site that the candidate is least like, which the figures above are about; '' where there is one, or unknown. */
  readonly site: string;
  /** Cells of that site's area that its values are means of; 0 for a point and for an area smaller than a cell. */
  readonly siteCells: number;
  /** What the spread was taken from: "within 6 zones". */
  readonly from: string;
  /** The rule's answer differs between places of the accuracy ring. */
  readonly uncertain: boolean;
}

export interface VettingSheet {
  readonly id: string;
  readonly row: number;
  /** Scientific name, or the text of the file where it is not in the table. */
  readonly species: string;
  readonly standing: Standing;
  /** null where the standing follows from the findings; the reason is '' when the overrides were not handed in. */
  readonly override: {
    readonly reason: string;
    readonly by: string;
    readonly date: string;
    readonly without: Standing;
  } | null;
  readonly findings: readonly SheetFinding[];
  readonly match: SheetMatch | null;
  readonly origin: {
    readonly verdict: OriginVerdict;
    readonly probability: number;
    readonly logOdds: number;
    readonly themes: number;
    /** Who decided by statement, when and why; '' where nobody did. */
    readonly decidedBy: string;
    readonly tableVersion: string;
  };
  /** Strongest first. */
  readonly evidenceFor: readonly SheetEvidence[];
  readonly evidenceAgainst: readonly SheetEvidence[];
  /** Measured, and even. */
  readonly evidenceEven: readonly SheetEvidence[];
  /** Not known, the one that could move the odds furthest first. */
  readonly notKnown: readonly SheetUnknown[];
  /** What to do next, most pressing first. */
  readonly checkNext: readonly string[];
  /** NaN when not eligible. */
  readonly weight: number;
  /** Parts of the weight, NaN not known and left out of its mean. */
  readonly weightParts: ReadonlyArray<{
    readonly part: (typeof WEIGHT_PARTS)[number];
    readonly value: number;
  }>;
}

export interface SheetContext {
  readonly overrides?: Planting['overrides'];
}

/** All that is known of one candidate for one planting, as a record for the screen and the exports. */
export function sheet(
  vetting: Vetting,
  candidates: Candidates,
  row: number,
  context: SheetContext = {},
): VettingSheet {
  const { origin } = vetting;
  const findings = vetting.findings.rules.map((rule) => findingOf(vetting, rule, row));
  const known = origin.evidence.flatMap((_, e) => sheetEvidence(vetting, candidates, e, row) ?? []);
  const strongest = [...known].sort((a, b) => Math.abs(b.counted) - Math.abs(a.counted));
  const notKnown = unknownsOf(vetting, row);
  const decided = origin.decided[row] !== 0;
  const override = (context.overrides ?? []).filter((o) => o.candidate === candidates.id[row]).at(-1);
  const name = OAKS[candidates.species[row]]?.name ?? candidates.speciesText[row];
  const other = OAKS[candidates.hybrid[row]]?.name;
  return {
    id: candidates.id[row],
    row,
    species: other === undefined ? name : `${name} × ${other.replace('Quercus', 'Q.')}`,
    standing: STANDINGS[vetting.standing[row]],
    override:
      vetting.overridden[row] === 1
        ? {
            reason: override?.reason ?? '',
            by: override?.by ?? '',
            date: override?.date ?? '',
            without: withoutOverride(findings),
          }
        : null,
    findings,
    match: matchOf(vetting, candidates, findings, row),
    origin: {
      verdict: ORIGIN_VERDICTS[origin.verdict[row]],
      probability: origin.probability[row],
      logOdds: origin.logOdds[row],
      themes: origin.themes[row],
      decidedBy: origin.decidedBy[row],
      tableVersion: origin.tableVersion,
    },
    evidenceFor: strongest.filter((e) => e.counted > 0),
    evidenceAgainst: strongest.filter((e) => e.counted < 0),
    evidenceEven: strongest.filter((e) => e.counted === 0),
    notKnown,
    checkNext: checksOf(findings, decided ? [] : notKnown.filter((u) => mayTurn(origin, row, u.couldMove))),
    weight: vetting.weight[row],
    weightParts: weightParts(vetting.match, origin, candidates, row).map((value, p) => ({
      part: WEIGHT_PARTS[p],
      value,
    })),
  };
}

/** A likelihood ratio in words: "×3 for natural", "×5 for planted" (never a fraction), "even" within half a per cent. */
export function ratioWords(logRatio: number): string {
  const size = Math.exp(Math.abs(logRatio));
  if (size < 1.005) return 'even';
  return `×${times(size)} for ${logRatio > 0 ? 'natural' : 'planted'}`;
}

/** Two significant digits, more where the number is large: 1.5, 3, 12, 150. */
const times = (size: number): string =>
  size >= 10 ? String(Math.round(size)) : String(Number(size.toPrecision(2)));

function findingOf(vetting: Vetting, rule: FindingColumn, row: number): SheetFinding {
  const value = rule.measure[row];
  const answer = ANSWERS[rule.answer[row]];
  const site = rule.sites?.site[row] ?? NO_SITE;
  const asked = site === NO_SITE ? null : rule.sites;
  return {
    rule: rule.rule,
    title: rule.title,
    strength: rule.strength,
    answer,
    measure: rule.words ? NaN : value,
    unit: rule.unit,
    word: rule.words && !Number.isNaN(value) ? rule.words[value] : '',
    limit: asked?.limits[site] ?? rule.limit,
    limits: rule.limits,
    site: asked ? vetting.sites[site].name : '',
    toCheck: answer === 'pass' ? '' : (asked?.toCheck[site] ?? rule.toCheck),
    provenance: provenanceOf(vetting, rule.from),
  };
}

const provenanceOf = (vetting: Pick<Vetting, 'provenance'>, from: string): Provenance | null =>
  from === '' ? null : (vetting.provenance[from as keyof Vetting['provenance']] ?? null);

/** What is said of evidence that was weighed: of a vetting, or of an origin that was judged with no planting. */
export type Weighed = Pick<Vetting, 'measures' | 'settingNames' | 'evidence' | 'provenance' | 'origin'>;

/** @param index of the piece in the evidence. @returns null where it is not known of the row. */
export function sheetEvidence(
  vetting: Weighed,
  candidates: Candidates,
  index: number,
  row: number,
): SheetEvidence | null {
  const { measures, settingNames, evidence: settings } = vetting;
  const input = { candidates, measures, settingNames, settings };
  const column = vetting.origin.evidence[index];
  const piece = pieceOf(column.piece);
  const value = column.value[row];
  if (!piece || Number.isNaN(value)) return null;
  return {
    piece: piece.id,
    title: piece.title,
    theme: piece.theme,
    value: column.words ? NaN : value,
    unit: piece.unit,
    word: column.words ? column.words[value] : '',
    logRatio: column.logRatio[row],
    counted: column.counted[row],
    ratio: ratioWords(column.logRatio[row]),
    countedRatio: ratioWords(column.counted[row]),
    provenance: provenanceOf(vetting, piece.fromAt?.(input, row) ?? piece.from),
    detail: piece.detail?.(input, row) ?? '',
  };
}

/** Pieces that are not known, by the furthest that any answer in the table could move the log odds after discounts. */
function unknownsOf(vetting: Vetting, row: number): SheetUnknown[] {
  const { origin, weights } = vetting;
  const moves = furthest(origin, weights, row);
  const found = origin.evidence.flatMap((e, p): SheetUnknown[] => {
    const piece = pieceOf(e.piece);
    if (!piece || !Number.isNaN(e.value[row]) || e.idle?.[row] === 1) return [];
    const couldMove = moves[p];
    return [
      {
        piece: piece.id,
        title: piece.title,
        theme: piece.theme,
        check: piece.check,
        couldMove,
        words:
          couldMove < LEAST_MOVE
            ? 'could hardly move the odds'
            : `could move the odds up to ×${times(Math.exp(couldMove))}`,
      },
    ];
  });
  return found.sort((a, b) => b.couldMove - a.couldMove);
}

function matchOf(
  vetting: Vetting,
  candidates: Candidates,
  findings: readonly SheetFinding[],
  row: number,
): SheetMatch | null {
  const m = vetting.match;
  if (!m) return null;
  const least = findings.find((f) => f.rule === 'match')?.limits.least ?? NaN;
  const reading = vetting.sites[m.site[row]].reading;
  const at = (values: readonly number[] | undefined, i: number): number => values?.[i] ?? NaN;
  return {
    match: m.match[row],
    low: m.low[row],
    high: m.high[row],
    d2: m.d2[row],
    k: m.k,
    sigma: m.sigma[row],
    uncertain: m.low[row] < least && m.high[row] >= least,
    mess: m.mess[row],
    unlike: m.variables[m.unlike[row]]?.title ?? '',
    sites: vetting.sites.map(({ name, lon, lat }, s) => ({
      name,
      match: m.bySite[s][row],
      km: geodesicInverse(candidates.lon[row], candidates.lat[row], lon, lat).metres / 1000,
    })),
    site: vetting.sites.length > 1 && !Number.isNaN(m.match[row]) ? vetting.sites[m.site[row]].name : '',
    siteCells: reading?.cells ?? 0,
    from: vetting.spread?.from ?? '',
    groups: [...new Set(m.roles)].map((role) => ({
      role,
      part: m.parts.reduce((sum, part, i) => (m.roles[i] === role ? sum + part[row] : sum), 0),
    })),
    variables: m.variables.map((v, i) => {
      const atSite = at(reading?.values, i);
      const difference = m.values[i][row] - atSite;
      return {
        id: v.id,
        title: v.title,
        unit: v.unit,
        role: m.roles[i],
        period: v.period,
        sitePeriod: m.sitePeriods[i],
        atCandidate: m.values[i][row],
        atSite,
        siteLow: at(reading?.low, i),
        siteHigh: at(reading?.high, i),
        atSiteNow: m.sitePeriods[i] === v.period ? NaN : at(reading?.now, i),
        difference,
        word: difference > 0 ? v.words[0] : difference < 0 ? v.words[1] : '',
        part: m.parts[i][row],
        limiting: m.limiting[row] === i,
        novel: ((m.novel[row] >>> i) & 1) === 1,
        similarity: similarity(
          vetting.spread?.reference[i] ?? NO_CELLS,
          transform(Float64Array.of(m.values[i][row]), v.transform).values[0],
        ),
      };
    }),
  };
}

const NO_CELLS = new Float64Array(0);

function withoutOverride(findings: readonly SheetFinding[]): Standing {
  const must = findings.filter((f) => f.strength === 'must').map((f) => f.answer);
  return must.includes('fail') ? 'ruled out' : must.includes('unknown') ? 'needs a check' : 'eligible';
}

/** Whether the log odds could come to another verdict by so much; without enough evidence any more of it may. */
function mayTurn({ logOdds, verdict }: OriginColumns, row: number, couldMove: number): boolean {
  const toNatural = logit(LIKELY_NATURAL) - logOdds[row];
  const toPlanted = logOdds[row] - logit(LIKELY_PLANTED);
  switch (ORIGIN_VERDICTS[verdict[row]]) {
    case 'likely natural':
      return couldMove > -toNatural;
    case 'likely planted':
      return couldMove > -toPlanted;
    case 'unsettled':
    case 'not enough evidence':
      return couldMove >= LEAST_MOVE;
  }
}

const logit = (p: number): number => Math.log(p / (1 - p));

/** What holds the tree back first (unknown under must), then what its origin may hang on, then preferences that are not known. */
function checksOf(findings: readonly SheetFinding[], notKnown: readonly SheetUnknown[]): string[] {
  const open = (strength: 'must' | 'prefer'): string[] =>
    findings.filter((f) => f.strength === strength && f.answer === 'unknown').map((f) => f.toCheck);
  const origin = notKnown.map((u) => u.check);
  return [...new Set([...open('must'), ...origin, ...open('prefer')])];
}
