/** Which files stand beside which: the endings are those of the ESRI Shapefile Technical Description (1998), of world files, and of GDAL's auxiliary files. */
import { describe, expect, it } from 'vitest';
import { belongsTo, besideName, isSide, together } from '../../src/domain/plan/beside.ts';
import { freePaths } from '../../src/domain/plan/fresh.ts';

const files = (...names: string[]) => names.map((name) => ({ name }));

describe('files that belong together', () => {
  it('joins a shapefile whatever the case of its endings', () => {
    const { groups, loose } = together(
      files('Zones.SHP', 'Zones.dbf', 'zones.SHX', 'Zones.prj', 'Zones.cpg', 'Zones.shp.xml', 'notes.csv'),
    );
    expect(groups.map((g) => [g.main.name, g.beside.length])).toEqual([
      ['Zones.SHP', 5],
      ['notes.csv', 0],
    ]);
    expect(loose).toEqual([]);
  });

  it('gives a .prj to every file of its name, a table only to the shapefile', () => {
    const { groups } = together(
      files('hills.asc', 'hills.prj', 'hills.shp', 'hills.dbf', 'hills.tif', 'hills.tfw'),
    );
    const beside = Object.fromEntries(groups.map((g) => [g.main.name, g.beside.map((b) => b.name)]));
    expect(beside).toEqual({
      'hills.asc': ['hills.prj'],
      'hills.shp': ['hills.prj', 'hills.dbf'],
      'hills.tif': ['hills.prj', 'hills.tfw'],
    });
  });

  it('knows both ways of naming what GDAL writes beside a raster', () => {
    expect(belongsTo('cover.tif.aux.xml', 'cover.tif')).toBe(true);
    expect(belongsTo('cover.aux.xml', 'cover.tif')).toBe(true);
    expect(belongsTo('cover.tif.aux.xml', 'cover.asc')).toBe(false);
    expect(belongsTo('cover2.aux.xml', 'cover.tif')).toBe(false);
  });

  it('lists what has nothing to stand beside', () => {
    expect(together(files('zones.prj', 'other.shp')).loose).toEqual([{ name: 'zones.prj' }]);
    expect(isSide('.prj')).toBe(false);
  });

  it('renames along', () => {
    expect(besideName('zones.PRJ', 'zones.shp', 'zones 2.shp')).toBe('zones 2.PRJ');
    expect(besideName('a.tif.aux.xml', 'a.tif', 'b.tif')).toBe('b.tif.aux.xml');
  });
});

describe('paths in a workspace', () => {
  it('keeps one stem for a file and what stands beside it', () => {
    const taken = new Set(['zones.shp', 'zones.dbf', 'zones.prj']);
    expect(freePaths('zones.shp', ['zones.dbf', 'zones.PRJ'], taken)).toEqual({
      main: 'zones 2.shp',
      beside: ['zones 2.dbf', 'zones 2.PRJ'],
    });
  });

  it('does not let a file find another one’s .prj by accident', () => {
    expect(freePaths('zones.tif', [], new Set(['zones.shp', 'zones.prj'])).main).toBe('zones 2.tif');
    expect(freePaths('zones.tif', ['zones.prj'], new Set(['zones.asc'])).main).toBe('zones 2.tif');
  });

  it('leaves a free name as it is', () => {
    expect(freePaths('trees.csv', [], new Set(['zones.shp', 'zones.prj']))).toEqual({
      main: 'trees.csv',
      beside: [],
    });
  });
});
