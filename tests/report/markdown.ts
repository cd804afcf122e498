/** The report on how well origin is told apart, as a section of README.md. */
import { KINDS } from '../../demo-data/lib/truth.ts';
import { ORIGIN_VERDICTS, type ReliabilityBin } from '../../src/domain/vetting/origin/types.ts';
import { builtInWeights } from '../../src/domain/vetting/origin/weights.ts';
import { byKind, figuresOf, onTheOtherHalf, SEED, type Figures } from './figures.ts';
import type { JudgedDemo } from './judged.ts';

export const TITLE = '## How well origin is told apart on the demo';
export const PLOT = 'public/origin-reliability.svg';

const percent = (x: number): string => (Number.isNaN(x) ? '–' : `${(100 * x).toFixed(1)} %`);
const sum = (counts: readonly number[]): number => counts.reduce((a, b) => a + b, 0);
const table = (head: readonly string[], rows: ReadonlyArray<readonly (string | number)[]>): string =>
  [head, head.map((_, i) => (i === 0 ? '---' : '---:')), ...rows]
    .map((cells) => `| ${cells.join(' | ')} |`)
    .join('\n');

export function sectionOf(demo: JudgedDemo): string {
  const all = figuresOf(demo.judged[0].origin, demo.natural, demo.rows);
  const halves = onTheOtherHalf(demo);
  const planted = demo.rows.filter((i) => !demo.natural[i]).length;
  return [
    TITLE,
    [
      `The demo knows what it invented: \`demo-data/truth.json\` says of each of its ${demo.rows.length} trees (${demo.rows.length - planted} natural, ${planted} planted, hard cases of both among them) how it came to stand where it does. The app never reads that file, it is not in the built app, and most records of hard cases hold nothing but position, species, diameter and a few looks.`,
      `The figures are those of \`node src/cli/ts.mjs tests/report/origin.ts\` (\`--write\` puts them here), with the weights "${builtInWeights.version}"; a test holds this section against what it prints now. They speak of an invented country with as many hard cases as could be thought of, by the same people who thought of the weights. They do not say how often the program is right on yours: re-fit the weights on trees whose origin you know.`,
    ].join(' '),
    `Of the planted trees **${percent(all.plantedKept)}** are not called natural; of the natural ones **${percent(all.naturalFound)}** are.`,
    table(
      ['Trees', ...ORIGIN_VERDICTS, 'all'],
      (
        [
          ['natural', all.judged[0]],
          ['planted', all.judged[1]],
          ['natural, decided by a record', all.decided[0]],
          ['planted, decided by a record', all.decided[1]],
        ] as const
      )
        .filter(([, counts]) => sum(counts) > 0)
        .map(([name, counts]) => [name, ...counts, sum(counts)]),
    ),
    'With less to go by, and with weights fitted anew:',
    table(
      [
        'Judged',
        'planted not called natural',
        'natural called natural',
        'unsettled or not enough evidence',
        'Brier score',
      ],
      [
        ...demo.judged.map(({ what, origin }) => line(what, figuresOf(origin, demo.natural, demo.rows))),
        line(`all layers, on a random half (seed ${SEED})`, halves.before),
        line(`the same half, weights re-fitted on the other ${halves.fittedOn} trees`, halves.after),
      ],
    ),
    '"What is written of the tree" is its setting, regeneration, establishment and notes in the notebook, statements, and the years of planting in inventories. Brier scores (0 best, 0.25 for always one half) and reliability are of the trees that no record decides.',
    `![Predicted probability of natural origin against the share of trees that were natural](${PLOT})`,
    table(
      ['Predicted', 'trees', 'mean prediction', 'natural', '95 % interval (Wilson 1927)'],
      all.reliability.map((b: ReliabilityBin) => [
        `${percent0(b.from)} to ${percent0(b.to)}`,
        b.n,
        percent(b.predicted),
        percent(b.observed),
        b.n === 0 ? '–' : `${percent(b.low)} to ${percent(b.high)}`,
      ]),
    ),
    `<details><summary>Kind by kind, most often mistaken first</summary>`,
    table(
      ['Kind', 'how it came there', ...ORIGIN_VERDICTS],
      byKind(demo).map(({ kind, natural, verdicts }) => [
        `${natural ? 'natural' : 'planted'}: ${kind}`,
        KINDS[kind as keyof typeof KINDS].how,
        ...verdicts,
      ]),
    ).replace('| --- | ---: |', '| --- | --- |'),
    '</details>',
  ].join('\n\n');
}

const percent0 = (x: number): string => `${Math.round(100 * x)} %`;

function line(what: string, f: Figures): Array<string | number> {
  const count = (verdict: number): number =>
    f.judged[0][verdict] + f.judged[1][verdict] + f.decided[0][verdict] + f.decided[1][verdict];
  const n = sum(f.judged[0]) + sum(f.judged[1]) + sum(f.decided[0]) + sum(f.decided[1]);
  return [
    what,
    percent(f.plantedKept),
    percent(f.naturalFound),
    percent((count(1) + count(3)) / n),
    f.brier.toFixed(3),
  ];
}

/** The section as README.md holds it now; '' where it has none. */
export function sectionIn(readme: string): string {
  const from = readme.indexOf(TITLE);
  if (from < 0) return '';
  const to = readme.indexOf('\n## ', from);
  return readme.slice(from, to < 0 ? undefined : to).trim();
}

/** README.md with the section put in its place, or anew before the limits. */
export function withSection(readme: string, section: string): string {
  const old = sectionIn(readme);
  if (old) return readme.replace(old, () => section);
  return readme.replace('## Limits\n', () => `${section}\n\n## Limits\n`);
}
