/** Flow units that tables come in. Those that a sheet cannot have are brought to one that it can, by an exact factor. */
export type PastedFlowUnit = keyof typeof pastedFlowUnits;

/** Label, and the sheet unit with the factor that leads to it. */
export const pastedFlowUnits = {
  'kg/s': { label: 'kg/s', sheet: 'kg/s', factor: 1 },
  'lb/min': { label: 'lb/min', sheet: 'lb/min', factor: 1 },
  'lb/s': { label: 'lb/s', sheet: 'lb/min', factor: 60 },
  'kg/min': { label: 'kg/min', sheet: 'kg/s', factor: 1 / 60 },
  'kg/h': { label: 'kg/h', sheet: 'kg/s', factor: 1 / 3600 },
  'g/s': { label: 'g/s', sheet: 'kg/s', factor: 1 / 1000 },
  'm3/s': { label: 'm³/s', sheet: 'm3/s', factor: 1 },
  'm3/min': { label: 'm³/min', sheet: 'm3/s', factor: 1 / 60 },
  'm3/h': { label: 'm³/h', sheet: 'm3/s', factor: 1 / 3600 },
  'l/s': { label: 'L/s', sheet: 'm3/s', factor: 1 / 1000 },
  cfm: { label: 'cfm', sheet: 'cfm', factor: 1 },
  kPa: { label: 'kg√K/(s·kPa)', sheet: 'kPa', factor: 1 },
  bar: { label: 'kg√K/(s·bar)', sheet: 'bar', factor: 1 },
  MPa: { label: 'kg√K/(s·MPa)', sheet: 'MPa', factor: 1 },
  Pa: { label: 'kg√K/(s·Pa)', sheet: 'kPa', factor: 1000 },
} as const;

/** What the flows of a sheet can be: a unit of flow, or the pressure of a flow parameter. */
export type SheetFlow = (typeof pastedFlowUnits)[PastedFlowUnit]['sheet'];

const VOLUMES: readonly string[] = ['m3/s', 'cfm'];
const PARAMETERS: readonly string[] = ['kPa', 'bar', 'MPa'];

/** The units that a table of such a sheet may come in: a compressor map has no flow parameter, a turbine sheet no volume. */
export function unitsFor(isTurbine: boolean): PastedFlowUnit[] {
  const never = isTurbine ? VOLUMES : PARAMETERS;
  return (Object.keys(pastedFlowUnits) as PastedFlowUnit[]).filter(
    (key) => !never.includes(pastedFlowUnits[key].sheet),
  );
}

/** The flow unit named in a heading such as 'corrected_flow_lbm_per_s' or 'Flow [lb/min]'. */
export function flowUnitIn(heading: string): PastedFlowUnit | null {
  const parameter = parameterIn(heading.toLowerCase());
  if (parameter !== null) return parameter;
  const words = heading
    .toLowerCase()
    .replace(/[_.]+/g, ' ')
    .trim()
    .replace(/ per /g, '/')
    .replaceAll('^', '')
    .replaceAll('³', '3');
  const patterns: readonly (readonly [PastedFlowUnit, RegExp])[] = [
    ['cfm', /\bcfm\b|ft3 ?\/ ?min/],
    ['lb/min', /lbs?m? ?\/ ?min|\bppm\b/],
    ['lb/s', /lbs?m? ?\/ ?s/],
    ['kg/min', /kg ?\/ ?min/],
    ['kg/h', /kg ?\/ ?h/],
    ['kg/s', /kg ?\/ ?s/],
    ['g/s', /(?<![k])g ?\/ ?s/],
    ['m3/min', /m3 ?\/ ?min/],
    ['m3/h', /m3 ?\/ ?h/],
    ['m3/s', /m3 ?\/ ?s/],
    ['l/s', /\bl ?\/ ?s/],
  ];
  return patterns.find(([, pattern]) => pattern.test(words))?.[0] ?? null;
}

/** 'kg √K / (s kPa)', 'kg*K^0.5/s/bar': a root of temperature over a pressure. */
function parameterIn(words: string): PastedFlowUnit | null {
  if (!/√ ?\(?[kt]|sqrt ?\(?[kt]|\bk ?\^? ?\(?(?:0?[.,]5|1\/2|½)|\bt ?\^ ?0?[.,]5/.test(words)) return null;
  if (/mpa/.test(words)) return 'MPa';
  if (/kpa/.test(words)) return 'kPa';
  if (/\bbar\b/.test(words)) return 'bar';
  return /\bpa\b/.test(words) ? 'Pa' : null;
}
