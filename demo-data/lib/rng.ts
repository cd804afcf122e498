/**
 * Seeded numbers, one independent stream a name, so that a change in one part of the demo leaves the others as they are.
 * Only integer arithmetic and exactly rounded operations: the same on every machine.
 */
export interface Rng {
  /** Uniform in [0, 1). */
  next(): number;
  /** Uniform in [low, high). */
  between(low: number, high: number): number;
  /** Integer in [low, high]. */
  int(low: number, high: number): number;
  /** Roughly normal, mean 0, standard deviation 1 (sum of twelve uniforms, no logarithm). */
  normal(): number;
  pick<T>(list: readonly T[]): T;
  chance(p: number): boolean;
}

/** 32-bit hash of a text (FNV-1a). */
export function hashText(text: string): number {
  let h = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193);
  return h >>> 0;
}

/** Hash of two integers and a seed to [0, 1). */
export function hash2(x: number, y: number, seed: number): number {
  let h = Math.imul(x, 0x27d4eb2d) ^ Math.imul(y, 0x165667b1) ^ Math.imul(seed, 0x9e3779b1);
  h = Math.imul(h ^ (h >>> 15), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return ((h ^ (h >>> 16)) >>> 0) / 4294967296;
}

export function rng(name: string): Rng {
  let a = hashText('demo:' + name);
  const next = (): number => {
    a = (a + 0x6d2b79f5) | 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  return {
    next,
    between: (low, high) => low + (high - low) * next(),
    int: (low, high) => low + Math.floor((high - low + 1) * next()),
    normal: () => {
      let s = -6;
      for (let i = 0; i < 12; i++) s += next();
      return s;
    },
    pick: (list) => list[Math.floor(list.length * next())],
    chance: (p) => next() < p,
  };
}
