/**
 * How long the fuzz tests go on: `npm run fuzz` goes long with a seed of its own, which it prints; every other run goes through a short
 * share with a fixed seed. A run is repeated by LUGLINE_FUZZ_SEED; LUGLINE_FUZZ_ROUNDS sets the number of rounds of every test.
 */
const isLong = process.env.LUGLINE_FUZZ === 'long';
export const SEED = Number(process.env.LUGLINE_FUZZ_SEED ?? (isLong ? Date.now() % 2 ** 31 : 20264));

export function rounds(short: number, long: number): number {
  const asked = process.env.LUGLINE_FUZZ_ROUNDS;
  return asked === undefined ? (isLong ? long : short) : Number(asked);
}

export interface Chance {
  /** 0 up to, not including, 1. */
  share(): number;
  /** A whole number from 0 up to, not including, `below`. */
  below(below: number): number;
  one<T>(list: readonly [T, ...T[]]): T;
}

/** Numbers that follow from the seed alone: the generator 'mulberry32' (written down from memory; any even one would do). */
export function chance(seed: number): Chance {
  let state = seed >>> 0;
  const share = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
  const below = (limit: number) => Math.floor(share() * limit);
  return { share, below, one: (list) => list[below(list.length)] ?? list[0] };
}

/** Says what was done, so that a log shows how much was tried and with which seed. */
export function tell(what: string): void {
  console.info(`fuzz, seed ${SEED}: ${what}`);
}
