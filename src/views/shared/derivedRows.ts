import type { Measured, WheelAtSpeed, WheelRatios } from '../../compressor/index.ts';
import type { CandidateFigures, WheelResults } from '../../store/index.ts';
import { formatNumber, fromSi, NO_BREAK_SPACE, NO_NUMBER } from '../../units/index.ts';

/** What a row is about. */
export type DerivedKind = 'ratio' | 'area' | 'speed' | 'full-blade-pass' | 'all-blade-pass';

/** One row of what follows from the measurements: compressor and turbine wheel. */
export interface DerivedRow {
  kind: DerivedKind;
  title: string;
  compressor: string;
  turbine: string;
}

/** Lengths measured in inches give areas in square inches. */
export interface DerivedUnits {
  lengths: 'mm' | 'in';
}

const rowOf = (
  kind: DerivedKind,
  title: string,
  figures: CandidateFigures,
  words: (wheel: WheelResults) => string,
): DerivedRow => ({
  kind,
  title,
  compressor: words(figures.compressor),
  turbine: words(figures.turbine),
});

/** What follows at once from both wheels; '–' where a measurement is missing. */
export function derivedRows(figures: CandidateFigures, { lengths }: DerivedUnits): readonly DerivedRow[] {
  const perLength = fromSi(1, 'wheel-length', lengths);
  const area = (of: Measured | null) => measuredWords(of, perLength ** 2, `${lengths}²`, lengths === 'mm' ? 0 : 3);
  const speed = (at: WheelAtSpeed | null) => measuredWords(at?.tipSpeedMPerS ?? null, 1, 'm/s', 1);
  return [
    rowOf('ratio', 'Trim', figures, ({ figures: of }) => measuredWords(of.trim, 1, '', 1)),
    rowOf('area', 'Inducer area', figures, ({ figures: of }) => area(of.inducerAreaM2)),
    rowOf('area', 'Exducer area', figures, ({ figures: of }) => area(of.exducerAreaM2)),
    rowOf('area', 'Passage at the tip', figures, ({ figures: of }) => area(of.tipPassageAreaM2)),
    rowOf('speed', `Tip speed, ${shaftWords('rated', figures)}`, figures, ({ rated }) => speed(rated)),
    rowOf('speed', `Tip speed, ${shaftWords('fastest', figures)}`, figures, ({ fastest }) => speed(fastest)),
    rowOf('full-blade-pass', 'Blade pass there, full blades', figures, ({ fastest }) =>
      frequency(fastest?.fullBladePassHz ?? null),
    ),
    rowOf('all-blade-pass', 'Blade pass there, all blades', figures, ({ fastest }) =>
      frequency(fastest?.allBladePassHz ?? null),
    ),
  ];
}

function shaftWords(which: 'rated' | 'fastest', { compressor }: CandidateFigures): string {
  const at = compressor[which];
  const name = which === 'rated' ? 'rated' : 'fastest now';
  return at === null
    ? name
    : `${name} (${formatNumber(Math.round(at.shaftSpeedRpm / 10) * 10, 0)}${NO_BREAK_SPACE}rpm)`;
}

function frequency(hz: number | null): string {
  return hz === null ? NO_NUMBER : `${formatNumber(hz / 1000, 2)}${NO_BREAK_SPACE}kHz`;
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
 * A measured number with what it may be off: '58.69 ± 0.23 mm²'. `perSi` turns SI into the unit shown.
 * @param most decimals at the most, also those of an exact number
 */
export function measuredWords(measured: Measured | null, perSi: number, unit: string, most = 3): string {
  if (measured === null || !Number.isFinite(measured.value)) return NO_NUMBER;
  const width = measured.plusMinus * perSi;
  const decimals = decimalsOf(width, most);
  const label = unit === '' ? '' : `${NO_BREAK_SPACE}${unit}`;
  const value = formatNumber(measured.value * perSi, decimals);
  return width > 0
    ? `${value}${NO_BREAK_SPACE}±${NO_BREAK_SPACE}${formatNumber(width, decimals)}${label}`
    : `${value}${label}`;
}

/** A ratio as what it means: '+13.4 ± 0.5 %'. */
export function gainWords(ratio: Measured | null): string {
  if (ratio === null) return NO_NUMBER;
  const text = measuredWords({ value: ratio.value - 1, plusMinus: ratio.plusMinus }, 100, '%', 1);
  return ratio.value > 1 ? `+${text}` : text;
}
