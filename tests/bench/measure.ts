import { availableParallelism, cpus, totalmem } from 'node:os';

/** The machine and runtime that a measured number belongs to. */
export function machine(): string {
  const model = cpus()[0]?.model.trim() ?? 'unknown processor';
  const memory = (totalmem() / 2 ** 30).toFixed(0);
  return `${availableParallelism()} cores, ${model}, ${memory} GiB, node ${process.version}, ${process.platform} ${process.arch}`;
}

/** The value below which a share (0..1) of the samples lies; at least one sample. */
export function quantile(samples: readonly number[], share: number): number {
  const sorted = [...samples].sort((a, b) => a - b);
  const at = share * (sorted.length - 1);
  const low = sorted[Math.floor(at)] ?? Number.NaN;
  const high = sorted[Math.ceil(at)] ?? Number.NaN;
  return low + (high - low) * (at - Math.floor(at));
}

export interface MeasureOptions {
  /** Timed runs; a tenth as many, at least three, go first untimed. */
  runs: number;
  /** Calls in one timed run, for work much shorter than the clock's grain. */
  callsPerRun?: number;
  /** What the median should stay under, in milliseconds a call. */
  targetMs: number;
}

export interface Measured {
  medianMs: number;
  p95Ms: number;
}

function inWords(ms: number): string {
  return ms < 0.1 ? `${(ms * 1000).toFixed(2)} us` : `${ms.toFixed(2)} ms`;
}

/** Prints one line of a bench: what was measured, the numbers, and whether the target is met on this machine. */
export function report(
  name: string,
  measured: Measured,
  count: number,
  targetMs: number,
  judged: 'median' | 'p95',
): void {
  const value = judged === 'median' ? measured.medianMs : measured.p95Ms;
  const verdict = value < targetMs ? 'met' : 'MISSED';
  console.log(
    `${name}: median ${inWords(measured.medianMs)}, p95 ${inWords(measured.p95Ms)} over ${count}; target ${judged} < ${inWords(targetMs)}: ${verdict}`,
  );
}

/** Times `work` by the wall clock and prints one line. */
export function measure(
  name: string,
  work: () => unknown,
  { runs, callsPerRun = 1, targetMs }: MeasureOptions,
): Measured {
  let kept: unknown;
  for (let i = 0; i < Math.max(3, runs / 10); i++) kept = work();
  const samples: number[] = [];
  for (let run = 0; run < runs; run++) {
    const started = performance.now();
    for (let call = 0; call < callsPerRun; call++) kept = work();
    samples.push((performance.now() - started) / callsPerRun);
  }
  if (kept === undefined) console.warn(`${name}: the work gave no result`);
  const measured = { medianMs: quantile(samples, 0.5), p95Ms: quantile(samples, 0.95) };
  report(name, measured, runs, targetMs, 'median');
  return measured;
}
