import type { Assumption, AssumptionCode } from '../../build/index.ts';
import { type FuelKey, fuelName } from '../../engine/index.ts';
import { type ResultUnits, showResult } from '../../match/index.ts';
import { capital, formatNumber, formatQuantity, NO_BREAK_SPACE } from '../../units/index.ts';

type Values = Assumption['values'];
type Say = (values: Values, names: Assumption['names'], units: ResultUnits) => string;

const percent = (share: number | undefined, decimals = 0) =>
  `${formatNumber((share ?? Number.NaN) * 100, decimals)}${NO_BREAK_SPACE}%`;
const rpm = (value: number | undefined) => `${formatNumber(value ?? Number.NaN, 0)}${NO_BREAK_SPACE}rpm`;
const rangeWords = (from: number | undefined, to: number | undefined) =>
  from === to ? rpm(from) : `${formatNumber(from ?? Number.NaN, 0)} to ${rpm(to)}`;

const CURVES: Readonly<Record<string, { name: string; value: (v: number, units: ResultUnits) => string }>> = {
  volumetricEfficiency: { name: 'Volumetric efficiency', value: (v) => percent(v) },
  lambda: { name: 'Lambda', value: (v) => formatNumber(v, 2) },
  bsfc: { name: 'Bsfc', value: (v, units) => showResult(v, 'consumption', units) },
  goal: { name: 'The goal', value: () => '' },
  turbineTemperature: { name: 'Turbine inlet temperature', value: (v, units) => showResult(v, 'temperature', units) },
};

const WORDS: Readonly<Record<AssumptionCode, Say>> = {
  'steady-full-load': () => 'Steady state at full load: no spool-up, transients, knock or heat soak.',
  'no-turbine': () => 'No turbine is computed: it may not drive the compressor to the goal.',
  'humidity-similarity': () => 'Humidity changes the gas constant; its effect on similarity is left out.',
  'engine-figures-entered': () => 'Volumetric efficiency, lambda and bsfc are as entered, not measured here.',
  'standard-pressure': ({ altitudeM }, _names, units) =>
    `Air pressure of the standard atmosphere at ${showResult(altitudeM, 'altitude', units)}; no barometer read.`,
  'weather-report-pressure': ({ altitudeM }, _names, units) =>
    `Air pressure from a weather report, turned back from sea level to ${showResult(altitudeM, 'altitude', units)}.`,
  'inlet-heating': ({ heatingK }, _names, units) =>
    `The air is taken to warm by ${showResult(heatingK, 'warming', units)} on its way to the compressor.`,
  'cooler-constant': ({ effectiveness }) =>
    `The cooler keeps one effectiveness, ${percent(effectiveness)}, at every flow.`,
  'cooler-recovery': ({ recoveryK }, _names, units) =>
    `The cooling air is taken to be ${showResult(recoveryK, 'warming', units)} warmer than the ambient air.`,
  'no-cooler': () => 'No charge cooler: the charge reaches the engine as hot as it leaves the compressor.',
  'driveline-loss': ({ share }) =>
    `Power at the wheels is ${percent(share, 1)} less than at the crankshaft, at every speed.`,
  'fuel-preset': (_values, { fuel }, { system }) =>
    `${capital(fuel === undefined ? 'the fuel' : fuelName(fuel as FuelKey, system))}: usual air-fuel ratio, heating value and density of that fuel.`,
  'fuel-supply-not-checked': () => 'Injectors and fuel pump were not checked.',
  'map-estimated': (v, { donor }) =>
    `ESTIMATE. The map is not this turbo's own: it is that of “${donor ?? ''}”, scaled to ${percent(v.sizeRatio, 1)} of its size for the measured wheel. ` +
    `Flow may be ${percent(Math.max(v.surgeFlowBand ?? 0, v.chokeFlowBand ?? 0))} off, pressure ratio ${percent(v.pressureRatioBand)}, ` +
    `efficiency ${percent(v.efficiencyBand, 1)}, speed ${percent(v.correctedSpeedBand)}.`,
  calipers: ({ uncertaintyM }, _names, { system }) =>
    `Wheels are measured with calipers to ± ${system === 'us' ? formatQuantity(uncertaintyM ?? Number.NaN, 'wheel-length', 'in', { decimals: 3 }) : formatQuantity(uncertaintyM ?? Number.NaN, 'wheel-length', 'mm', { decimals: 2 })}; widths are worst cases.`,
  'limit-missing': () => 'No maximum shaft speed is known: nothing is said about overspeed.',
  'limit-from-map': ({ limitRpm }) => `The maximum shaft speed, ${rpm(limitRpm)}, is that of the map’s sheet.`,
  'map-source-missing': (_values, { map, kind }) =>
    `Where the ${kind ?? 'map'} “${map ?? ''}” comes from is not recorded.`,
  'invented-data': (_values, { map, kind }) => `Invented for demonstration: ${kind ?? 'map'} “${map ?? ''}”.`,
  'efficiency-assumed': ({ efficiency }) =>
    `The map has no efficiency: ${percent(efficiency)} is assumed everywhere; temperatures and power rest on it.`,
  'map-extended': ({ points, of, fromRpm, toRpm }) =>
    `EXTENDED: ${formatNumber(points ?? 0, 0)} of ${formatNumber(of ?? 0, 0)} points (${rangeWords(fromRpm, toRpm)}) lie beyond the map: surge and choke are a guess.`,
  'turbine-estimated': ({ band }) =>
    `ESTIMATE. The flow capacity of the turbine is worked out from its wheel and the A/R of its housing; it may be ${percent(band)} off.`,
  'turbine-extended': ({ points, of, fromRpm, toRpm }) =>
    `EXTENDED: ${formatNumber(points ?? 0, 0)} of ${formatNumber(of ?? 0, 0)} points (${rangeWords(fromRpm, toRpm)}) lie beyond the points of the turbine sheet.`,
  'turbine-efficiency-number': ({ efficiency }) =>
    `The turbine is taken to have an efficiency of ${percent(efficiency, 1)} everywhere.`,
  'turbine-efficiency-parabola': ({ best, optimum }) =>
    `The turbine’s efficiency is taken from a parabola over U/C0: ${percent(best, 1)} at ${formatNumber(optimum ?? Number.NaN, 2)}, less to both sides.`,
  'turbine-temperature-estimated': ({ lowestK, highestK }, _names, units) =>
    `Turbine inlet temperature estimated, not measured${temperatureRange(lowestK, highestK, units)}.`,
  'twin-scroll-steady': () => 'Both entries of the twin scroll are taken together in steady flow: pulses are left out.',
  'breathing-corrected': ({ backPressureRatio }) =>
    `Volumetric efficiency is corrected for back-pressure, taken as measured at p3/p_m ${formatNumber(backPressureRatio ?? Number.NaN, 2)}.`,
  'equal-turbos': ({ count }, { branch, shared }) => {
    const losses = [branch ? `of each branch: ${branch}` : '', shared ? `shared by all: ${shared}` : ''].filter(
      (words) => words !== '',
    );
    return `Air and exhaust are split evenly between ${formatNumber(count ?? Number.NaN, 0)} equal turbos. Losses ${losses.join('; ')}.`;
  },
  'curve-held': ({ fromRpm, toRpm, value }, { curve }, units) => {
    const known = CURVES[curve ?? ''];
    const shown = known?.value(value ?? Number.NaN, units) ?? '';
    const kept = shown === '' ? 'its last value' : `its last value, ${shown},`;
    return `${known?.name ?? curve} is not entered from ${rangeWords(fromRpm, toRpm)}: ${kept} is kept there.`;
  },
};

function temperatureRange(lowestK: number | undefined, highestK: number | undefined, units: ResultUnits): string {
  if (lowestK === undefined || highestK === undefined) return '';
  const shown = (kelvins: number) => showResult(kelvins, 'temperature', units);
  return lowestK === highestK ? `, ${shown(lowestK)}` : `, ${shown(lowestK)} to ${shown(highestK)}`;
}

/** One assumption, estimate or extension as a sentence; the same on screen and on paper. */
export function assumptionWords({ code, values, names }: Assumption, units: ResultUnits): string {
  return WORDS[code](values, names, units);
}
