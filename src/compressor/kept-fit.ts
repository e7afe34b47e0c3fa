import { codesOf, hashOf } from '../numerics/index.ts';
import type { FoundProcess, LogHyper } from './gaussian-process.ts';
import type { KeptFit, MapSheet } from './types.ts';

/*
 * A surface's search takes most of its fit; what it finds is some two hundred numbers. They can be kept and given back, for the very
 * sheet they were found on: everything else is worked out of the sheet again, so that the surface is the same to the last digit.
 */

/**
 * Raise it with every change of what a fit finds (covariance, priors, search, noise, coordinates): fits kept by an older program are then
 * searched for anew. `kept-fit.test.ts` fails where that was forgotten.
 */
const FIT_VERSION = 1;

const HEAD = 2;
const HYPER = 6;

export function packed(speed: FoundProcess, efficiency: FoundProcess | null): KeptFit {
  const flat = (found: FoundProcess | null) =>
    found === null ? [0, 0] : [found.weights.length, found.candidate, ...found.hyper, ...found.weights];
  return Float64Array.from([...flat(speed), ...flat(efficiency)]);
}

/** What was packed; null for what is not there or has not the form of it. */
export function unpacked(kept: KeptFit | undefined): [FoundProcess | null, FoundProcess | null] {
  const [speed, end] = processAt(kept, 0);
  return [speed, processAt(kept, end)[0]];
}

function processAt(kept: KeptFit | undefined, at: number): [FoundProcess | null, number] {
  const count = kept?.[at] ?? 0;
  const from = at + HEAD + HYPER;
  const end = from + count;
  if (kept === undefined || !(Number.isInteger(count) && count > 0 && end <= kept.length)) return [null, at + HEAD];
  const numbers = kept.subarray(at + 1, end);
  if (!numbers.every(Number.isFinite)) return [null, end];
  const hyper = [...kept.subarray(at + HEAD, from)] as unknown as LogHyper;
  return [{ candidate: kept[at + 1]!, hyper, weights: kept.slice(from, end) }, end];
}

/** Name of a sheet's fit: a hash of every number that the search depends on, and of the search itself. Not of names, limits and wheel. */
export function fitKey({ reference, flowUnit, speedLines, islands }: MapSheet): string {
  const text = JSON.stringify([FIT_VERSION, reference, flowUnit, speedLines, islands ?? []]);
  return hashOf(codesOf(text));
}

/** Seal of a fit that is kept under a key: one number changed, or another key, makes another. */
export function sealOf(key: string, kept: KeptFit): string {
  const bytes = new Uint8Array(kept.buffer, kept.byteOffset, kept.byteLength);
  const codes = new Uint16Array(key.length + bytes.length);
  codes.set(codesOf(key));
  codes.set(bytes, key.length);
  return hashOf(codes);
}

/** A fit from a store, for the sheet of this key; undefined where it is not one that `sealOf` sealed for it. */
export function keptFit(key: string, stored: unknown): KeptFit | undefined {
  const { numbers, seal } = (stored ?? {}) as { numbers?: unknown; seal?: unknown };
  if (!(numbers instanceof Float64Array)) return undefined;
  const kept = numbers as KeptFit;
  return seal === sealOf(key, kept) ? kept : undefined;
}
