/**
 * Seeded random numbers, the same on every machine: the Mersenne Twister MT19937 (Matsumoto & Nishimura 1998,
 * ACM TOMACS 8:3-30), seeded by the authors' init_genrand of 2002, with their 53-bit output genrand_res53.
 * Chosen because its numbers are published, so a result can be repeated with other tools.
 */
export type Random = () => number;

const N = 624;
const M = 397;

/**
 * Generator of numbers in [0, 1), each a multiple of 2^-53.
 * @param seed whole number 0 .. 2^32 - 1; other numbers are truncated and taken modulo 2^32.
 */
export function rng(seed: number): Random {
  const state = new Uint32Array(N);
  state[0] = seed >>> 0;
  for (let i = 1; i < N; i++) {
    const s = state[i - 1] ^ (state[i - 1] >>> 30);
    state[i] = Math.imul(1812433253, s) + i;
  }
  let at = N;

  function twist(): void {
    for (let i = 0; i < N; i++) {
      const y = (state[i] & 0x80000000) | (state[(i + 1) % N] & 0x7fffffff);
      state[i] = state[(i + M) % N] ^ (y >>> 1) ^ (y & 1 ? 0x9908b0df : 0);
    }
    at = 0;
  }

  function word(): number {
    if (at === N) twist();
    let y = state[at++];
    y ^= y >>> 11;
    y ^= (y << 7) & 0x9d2c5680;
    y ^= (y << 15) & 0xefc60000;
    y ^= y >>> 18;
    return y >>> 0;
  }

  return () => {
    const a = word() >>> 5;
    const b = word() >>> 6;
    return (a * 67108864 + b) / 9007199254740992;
  };
}

/** Whole number 0 .. n - 1, all equally likely (bias under n / 2^53). */
export function drawInteger(random: Random, n: number): number {
  return Math.floor(random() * n);
}

/** Puts the items in random order in place and returns them (Fisher & Yates; Durstenfeld 1964). */
export function shuffle<T extends { length: number; [i: number]: unknown }>(items: T, random: Random): T {
  for (let i = items.length - 1; i > 0; i--) {
    const j = drawInteger(random, i + 1);
    const held = items[i];
    items[i] = items[j];
    items[j] = held;
  }
  return items;
}
