import type { Measured, WheelAtSpeed, WheelRatios } from '../../compressor/index.ts';
import { knownShaftSpeed, type ResultUnits } from '../../match/index.ts';
import type { CandidateFigures, WheelResults } from '../../store/index.ts';
import { formatNumber, fromSi, NO_BREAK_SPACE, NO_NUMBER } from '../../units/index.ts';

/** What a row is about. */
export type DerivedKind = 'ratio' | 'area' | 'speed' | 'full-blade-pass' | 'all-blade-pass';

/** A number with its unit apart from it, so that a row may say the unit once. */
export interface FigureText {
  number: string;
  unit: string;
}

/** One row of what follows from the measurements: compressor and turbine wheel. */
export interface DerivedRow {
  kind: DerivedKind;
  title: string;
  /** Where several candidates share the row: without the shaft speed, which is that of one. */
  shared: string;
  compressor: string;
  turbine: string;
  figures: readonly FigureText[];
}

const NONE: FigureText = { number: NO_NUMBER, unit: '' };

/** '58.69 ± 0.23 mm²' */
export function figureText({ number, unit }: FigureText): string {
  return unit === '' ? number : `${number}${NO_BREAK_SPACE}${unit}`;
}

/** Lengths measured in inches give areas in square inches; speeds of tips are in the chosen unit. */
interface DerivedUnits {
  lengths: 'mm' | 'in';
  results: Pick<ResultUnits, 'speed'>;
}

/** What follows at once from both wheels; '–' where a measurement is missing. */
export function derivedRows(figures: CandidateFigures, { lengths, results }: DerivedUnits): readonly DerivedRow[] {
  const rowOf = (
    kind: DerivedKind,
    [title, shared = title]: readonly [string, string?],
    read: (wheel: WheelResults) => FigureText,
  ): DerivedRow => {
    const pair = [read(figures.compressor), read(figures.turbine)] as const;
    return { kind, title, shared, compressor: figureText(pair[0]), turbine: figureText(pair[1]), figures: pair };
  };
  const perLength = fromSi(1, 'wheel-length', lengths);
  const area = (of: Measured | null) => measured(of, perLength ** 2, `${lengths}²`, lengths === 'mm' ? 0 : 3);
  const perSpeed = fromSi(1, 'speed', results.speed);
  const speed = (at: WheelAtSpeed | null) => measured(at?.tipSpeedMPerS ?? null, perSpeed, results.speed, 1);
  const [rated, fastest] = [shaftWords('rated', figures), shaftWords('fastest', figures)];
  return [
    rowOf('ratio', ['Trim'], ({ figures: of }) => measured(of.trim, 1, '', 1)),
    rowOf('area', ['Inducer area'], ({ figures: of }) => area(of.inducerAreaM2)),
    rowOf('area', ['Exducer area'], ({ figures: of }) => area(of.exducerAreaM2)),
    rowOf('area', ['Passage at the tip'], ({ figures: of }) => area(of.tipPassageAreaM2)),
    rowOf('speed', [`Tip speed, ${rated}`, 'Tip speed, rated'], (wheel) => speed(wheel.rated)),
    rowOf('speed', [`Tip speed, ${fastest}`, 'Tip speed, fastest now'], (wheel) => speed(wheel.fastest)),
    rowOf('full-blade-pass', ['Blade pass there, full blades'], (wheel) =>
      frequency(wheel.fastest?.fullBladePassHz ?? null),
    ),
    rowOf('all-blade-pass', ['Blade pass there, all blades'], (wheel) =>
      frequency(wheel.fastest?.allBladePassHz ?? null),
    ),
  ];
}

function shaftWords(which: 'rated' | 'fastest', { compressor }: CandidateFigures): string {
  const at = compressor[which];
  const name = which === 'rated' ? 'rated' : 'fastest now';
  if (at === null) return name;
  // The rated speed is the maker's own number.
  const rpm = which === 'rated' ? at.shaftSpeedRpm : knownShaftSpeed(at.shaftSpeedRpm);
  return `${name} (${formatNumber(rpm, 0)}${NO_BREAK_SPACE}rpm)`;
}

function frequency(hz: number | null): FigureText {
  return hz === null ? NONE : { number: formatNumber(hz / 1000, 2), unit: 'kHz' };
}

const RATIOS: readonly { key: keyof WheelRatios; title: string }[] = [
  { key: 'inducerDiameter', title: 'Inducer diameter' },
  { key: 'exducerDiameter', title: 'Exducer diameter' },
  { key: 'inducerArea', title: 'Inducer area' },
  { key: 'exducerArea', title: 'Exducer area' },
  { key: 'tipPassageArea', title: 'Passage at the tip' },
  { key: 'trim', title: 'Trim' },
];

/** How much more or less each measure of this candidate is than that of the other. */
export function ratioRows(ratios: { compressor: WheelRatios; turbine: WheelRatios }): readonly DerivedRow[] {
  return RATIOS.map(({ key, title }) => ({
    kind: 'ratio',
    title,
    shared: title,
    figures: [],
    compressor: gainWords(ratios.compressor[key]),
    turbine: gainWords(ratios.turbine[key]),
  }));
}

/** As many decimals as say something: the width keeps one digit, two where the first is a one. */
function decimalsOf(width: number, most: number): number {
  if (!(width > 0) || !Number.isFinite(width)) return most;
  const exponent = Math.floor(Math.log10(width));
  const leading = width / 10 ** exponent;
  return Math.min(most, Math.max(0, (leading < 2 ? 1 : 0) - exponent));
}

/**
 * A measured number with what it may be off: '58.69 ± 0.23' and 'mm²'. `perSi` turns SI into the unit shown.
 * @param most decimals at the most, also those of an exact number
 */
function measured(of: Measured | null, perSi: number, unit: string, most: number): FigureText {
  if (of === null || !Number.isFinite(of.value)) return NONE;
  const width = of.plusMinus * perSi;
  const decimals = decimalsOf(width, most);
  const value = formatNumber(of.value * perSi, decimals);
  const off = width > 0 ? `${NO_BREAK_SPACE}±${NO_BREAK_SPACE}${formatNumber(width, decimals)}` : '';
  return { number: `${value}${off}`, unit };
}

/** A ratio as what it means: '+13.4 ± 0.5 %'. */
export function gainWords(ratio: Measured | null): string {
  if (ratio === null) return NO_NUMBER;
  const text = figureText(measured({ value: ratio.value - 1, plusMinus: ratio.plusMinus }, 100, '%', 1));
  return ratio.value > 1 ? `+${text}` : text;
}
