import { fail, ok } from '../../domain/base/result.ts';
import { chooseParents } from '../../domain/parents/choose.ts';
import { number, one, readOptions } from '../arguments.ts';
import type { Verb } from '../verb.ts';
import { openPoints } from '../open.ts';

export const choose: Verb = {
  name: 'choose',
  usage: 'choose --points F --weight FIELD --spacing M --count K',
  help: [
    'The K points with the greatest total weight that are at least M metres apart (WGS 84 ellipsoid), proven.',
    'Where K cannot be had: the largest number that can, proven, and the heaviest set of that number (status "fewer").',
    'Points whose weight is empty, zero or negative are never chosen.',
    'JSON: {status:"optimal"|"within"|"fewer", total, bound, members:[id], largest}.',
  ].join('\n'),
  async run(args) {
    const options = readOptions('choose', args, ['points', 'weight', 'spacing', 'count']);
    if (!options.ok) return options;
    const read = (name: string) => one(options.value, 'choose', name);
    const [path, field, spacingText, countText] = [
      read('points'),
      read('weight'),
      read('spacing'),
      read('count'),
    ];
    if (!path.ok) return path;
    if (!field.ok) return field;
    if (!spacingText.ok) return spacingText;
    if (!countText.ok) return countText;
    const spacing = number(spacingText.value, 'choose', 'spacing', 0);
    if (!spacing.ok) return spacing;
    const count = number(countText.value, 'choose', 'count', 1);
    if (!count.ok) return count;
    if (!Number.isInteger(count.value))
      return fail('usage', 'choose', `--count is ${count.value}`, 'Give a whole number.');
    const points = await openPoints(path.value);
    if (!points.ok) return points;
    const texts = points.value.field(field.value);
    if (!texts)
      return fail(
        'content',
        path.value,
        `has no field "${field.value}"`,
        'Name the field that holds the weight.',
      );
    const weight = new Float64Array(texts.length);
    for (let i = 0; i < texts.length; i++) {
      weight[i] = texts[i].trim() === '' ? NaN : Number(texts[i]);
      if (texts[i].trim() !== '' && !Number.isFinite(weight[i])) {
        return fail(
          'content',
          `${path.value}, point ${points.value.id[i]}`,
          `the weight "${texts[i]}" is not a number`,
          'Correct it or leave it empty.',
        );
      }
    }
    const { id, lon, lat } = points.value;
    const set = chooseParents({
      lon,
      lat,
      weight,
      id,
      spacing: spacing.value,
      count: count.value,
      locks: [],
      bans: [],
    });
    const members = set.members.map((r) => id[r]);
    const json = {
      status: set.status,
      total: set.total,
      bound: set.bound,
      members,
      largest: set.largest < 0 ? null : set.largest,
      largestBound: set.largestBound,
    };
    return ok({ json, lines: [`${set.status}: total ${set.total}, bound ${set.bound}`, ...members] });
  },
};
