import { figuresOf, onTheOtherHalf } from './figures.ts';
import { judgeDemo, type JudgedDemo } from './judged.ts';
import { sectionOf } from './markdown.ts';
import { plotOf } from './plot.ts';

export interface Report {
  readonly demo: JudgedDemo;
  readonly section: string;
  readonly plot: string;
}

/** All that is said of how well origin is told apart on the demo. */
export async function report(): Promise<Report> {
  const demo = await judgeDemo();
  const all = figuresOf(demo.judged[0].origin, demo.natural, demo.rows);
  const { after } = onTheOtherHalf(demo);
  return {
    demo,
    section: sectionOf(demo),
    plot: plotOf('Origin told apart on the demo', [
      { title: 'built-in weights', bins: all.reliability, mark: 'dot' },
      { title: 're-fitted, other half', bins: after.reliability, mark: 'ring' },
    ]),
  };
}
