import { SETTINGS, settingOf } from '../../layers/settings.ts';
import { classify, type Piece } from './piece.ts';

/**
 * The kind of place: from the settings polygons, else from the candidate's own record. Outside all polygons and without a
 * record nothing is known: a settings layer never shows every yard and old field.
 */
export const setting: Piece = {
  id: 'setting',
  title: 'Setting',
  theme: 'ground use',
  unit: '',
  from: 'setting',
  words: SETTINGS,
  // Outside all polygons it comes from the record.
  fromAt: ({ measures }, row) => (measures.setting[row] < 0 ? '' : 'setting'),
  check: 'note what kind of place the tree stands in (burial ground, old field, yard, street verge ...)',
  measure: ({ candidates, measures, settingNames }) => {
    const value = classify(candidates.text.setting, candidates.n, SETTINGS, settingOf);
    const byIndex = settingNames.map((name) => (SETTINGS as readonly string[]).indexOf(name));
    for (let i = 0; i < candidates.n; i++) {
      const found = byIndex[measures.setting[i]] ?? -1;
      if (found >= 0) value[i] = found;
    }
    return value;
  },
};
