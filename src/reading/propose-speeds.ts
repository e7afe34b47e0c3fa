import { LEAST_PRESSURE_RATIO, rootHead, type SheetPoint } from '../compressor/index.ts';

/**
 * How far a speed by similarity may be wrong (standard uncertainty as a share): near its anchor, and away from it, where compressibility
 * bends the law N ~ sqrt(head): quickly at first, then no further. Set on the analytic machines of the tests; NASA's measured map
 * (HECC) keeps within it.
 */
const AT_ANCHOR = 0.004;
const FAR_FROM_ANCHOR = 0.045;
const BENT_WITHIN = 0.15;
/** Between two anchors the law is bent to fit both: the less is left, the nearer they are (ln speed). */
const ANCHORS_FAR_APART = 1.2;

/** @param away ln speed from the anchor. */
function uncertaintyAt(away: number): number {
  return AT_ANCHOR + FAR_FROM_ANCHOR * (1 - Math.exp(-Math.abs(away) / BENT_WITHIN));
}

/** Head coefficient near the top of a line, isentropic head over tip speed squared, and its spread (Dixon & Hall, ch. 7: 0.5 to 0.7). */
const HEAD_COEFFICIENT = 0.55;
const HEAD_COEFFICIENT_SPREAD = 0.08;
const CP = 1005;

/** A speed proposed for a line without a label, by its place among the lines. */
export interface ProposedSpeed {
  line: number;
  speedRpm: number;
  /** Standard uncertainty as a share of the speed. */
  uncertainty: number;
  /** The same rounded as a sheet would print it, where a round number lies within the uncertainty; else speedRpm rounded to 100. */
  roundedRpm: number;
}

/**
 * Speeds for lines without a label. Root of the head at a line's top grows with speed (similarity); lines with a label anchor the law,
 * and between two of them it is bent to fit both. Where the result comes close to even steps, as most sheets are printed, that is kept in
 * `roundedRpm`: a proposal to be looked at, never a reading.
 * @returns one proposal for every line without a speed, or null where nothing anchors them (no labelled line and no wheel).
 */
export function proposeSpeeds({
  lines,
  exducerMm,
  referenceTemperatureK,
}: {
  lines: readonly { speedRpm: number | null; points: readonly SheetPoint[] }[];
  /** For a first guess where no line has a speed at all. */
  exducerMm?: number | undefined;
  referenceTemperatureK: number;
}): ProposedSpeed[] | null {
  const heads = lines.map((line) => topRootHead(line.points));
  const anchors = lines
    .flatMap((line, i) =>
      line.speedRpm !== null && line.speedRpm > 0 && heads[i]! > 0
        ? [{ head: Math.log(heads[i]!), speed: Math.log(line.speedRpm) }]
        : [],
    )
    .sort((a, b) => a.head - b.head);
  const wanted = lines.flatMap((line, i) => (line.speedRpm === null && heads[i]! > 0 ? [i] : []));
  if (anchors.length === 0) {
    if (exducerMm === undefined || !(exducerMm > 0)) return null;
    return wanted.map((line) => fromWheel(line, heads[line]!, exducerMm, referenceTemperatureK));
  }
  return wanted.map((line) => {
    const { speed, uncertainty } = bySimilarity(Math.log(heads[line]!), anchors);
    return proposal(line, Math.exp(speed), uncertainty);
  });
}

function topRootHead(points: readonly SheetPoint[]): number {
  const ratio = Math.max(...points.map((p) => p.pressureRatio).filter(Number.isFinite));
  return ratio >= LEAST_PRESSURE_RATIO ? rootHead(ratio) : 0;
}

function bySimilarity(
  head: number,
  anchors: readonly { head: number; speed: number }[],
): { speed: number; uncertainty: number } {
  const above = anchors.findIndex((a) => a.head >= head);
  const [low, high] = above < 0 ? [anchors.at(-1)!, null] : [anchors[above - 1] ?? null, anchors[above]!];
  if (low && high && high.head - low.head > 1e-9) {
    const t = (head - low.head) / (high.head - low.head);
    const away = Math.min(t, 1 - t) * (high.speed - low.speed);
    return {
      speed: low.speed + t * (high.speed - low.speed),
      uncertainty: uncertaintyAt(away) * Math.min(1, (high.speed - low.speed) / ANCHORS_FAR_APART),
    };
  }
  const one = high ?? low!;
  // Beyond the outermost anchor the slope of the two outermost is carried on, if they say a believable one.
  const second = high ? anchors[1] : anchors.at(-2);
  const slope = second ? (one.speed - second.speed) / (one.head - second.head) : 1;
  const believable = slope > 0.8 && slope < 1.2 ? slope : 1;
  const away = believable * (head - one.head);
  return { speed: one.speed + away, uncertainty: uncertaintyAt(away) };
}

function fromWheel(line: number, head: number, exducerMm: number, temperatureK: number): ProposedSpeed {
  const tipSpeed = Math.sqrt((CP * temperatureK * head ** 2) / HEAD_COEFFICIENT);
  return proposal(
    line,
    (60_000 * tipSpeed) / (Math.PI * exducerMm),
    0.5 * (HEAD_COEFFICIENT_SPREAD / HEAD_COEFFICIENT),
  );
}

/** Round numbers a sheet is labelled with, coarsest first. */
const ROUND = [10_000, 5000, 2000, 1000, 500, 200, 100];

function proposal(line: number, speedRpm: number, uncertainty: number): ProposedSpeed {
  const room = uncertainty * speedRpm;
  const step = ROUND.find((s) => Math.abs(Math.round(speedRpm / s) * s - speedRpm) <= 0.5 * room) ?? 100;
  return { line, speedRpm, uncertainty, roundedRpm: Math.max(100, Math.round(speedRpm / step) * step) };
}
