import { type QuantityKey, unitOf } from '../../units/index.ts';
import type { PressureBasis } from './types.ts';

export type LogKind =
  | 'time'
  | 'rotation'
  | 'pressure'
  | 'temperature'
  | 'share'
  | 'lambda'
  | 'fuel-flow'
  | 'air-flow'
  | 'power'
  | 'road-speed';

/** A unit of a column: SI (rotation in rpm) = cell * toSi + offset. */
export interface LogUnit {
  readonly key: string;
  readonly label: string;
  readonly toSi: number;
  readonly offset: number;
  /** How logs write it, in small letters without blanks, points and degree signs. */
  readonly spellings: readonly string[];
}

const own = (key: string, label: string, toSi: number, ...spellings: string[]): LogUnit => ({
  key,
  label,
  toSi,
  offset: 0,
  spellings: [key.toLowerCase(), ...spellings],
});
const known = (quantity: QuantityKey, key: string, ...spellings: string[]): LogUnit => {
  const { label, toSi, offset } = unitOf(quantity, key);
  return { key, label, toSi, offset, spellings: [key.toLowerCase(), ...spellings] };
};

const massFlows = [
  known('mass-flow', 'kg/s', 'kgs', 'kg/sec'),
  known('mass-flow', 'g/s', 'gs', 'gps', 'g/sec'),
  known('mass-flow', 'kg/h', 'kgh', 'kg/hr'),
  known('mass-flow', 'lb/min', 'lbmin', 'lbs/min', 'ppm'),
];

/** Units in which logs hold each kind of column; the likeliest first. */
export const LOG_UNITS: Readonly<Record<LogKind, readonly LogUnit[]>> = {
  time: [
    own('s', 's', 1, 'sec', 'secs', 'second', 'seconds', 'sek', 'sekunden'),
    own('ms', 'ms', 1e-3, 'msec', 'milliseconds', 'millisekunden'),
    own('min', 'min', 60, 'minutes', 'minuten'),
  ],
  rotation: [
    known('rotational-speed', 'rpm', 'u/min', '1/min', 'min-1', 'min^-1', 'tr/min', 'r/min', 'rev/min', 'upm'),
    known('rotational-speed', 'krpm', 'rpmx1000', 'x1000rpm', 'rpm*1000', '1000rpm', 'rpm/1000'),
    // Turns a second, or pulses of a pickup: the question of blades decides.
    own('Hz', 'Hz', 60, 'hz', '1/s'),
  ],
  pressure: [
    known('pressure-absolute', 'kPa'),
    known('pressure-absolute', 'bar'),
    known('pressure-absolute', 'psi', 'lb/in2', 'lbs/in2', 'lbf/in2'),
    known('pressure-absolute', 'mbar'),
    known('pressure-absolute', 'hPa'),
    known('pressure-absolute', 'Pa'),
    own('MPa', 'MPa', 1e6, 'mpa'),
    known('pressure-absolute', 'inHg', '"hg'),
    known('pressure-absolute', 'mmHg', 'torr'),
    known('pressure-gauge', 'inH2O', '"h2o', 'inwc'),
  ],
  temperature: [
    known('temperature', 'degC', 'c', 'celsius', 'gradc'),
    known('temperature', 'degF', 'f', 'fahrenheit'),
    known('temperature', 'K', 'kelvin'),
  ],
  share: [known('fraction', '%', 'pct', 'percent', 'prozent', 'pc'), known('fraction', '1', '-')],
  lambda: [
    known('lambda', '1', '-', 'lambda', 'λ', 'la'),
    // Common practice, no source: gauges show lambda times the petrol figure 14.7, whatever the fuel.
    own('AFR', 'AFR (14.7 at lambda 1)', 1 / 14.7, 'afr', 'a/f', ':1'),
  ],
  'fuel-flow': [
    ...massFlows,
    known('fuel-volume-flow', 'L/h', 'l/hr', 'lph'),
    known('fuel-volume-flow', 'cc/min', 'ccm', 'cm3/min', 'ml/min'),
  ],
  'air-flow': massFlows,
  power: [
    known('power', 'kW'),
    known('power', 'hp', 'bhp', 'whp'),
    known('power', 'PS', 'cv', 'ch'),
    own('W', 'W', 1, 'w', 'watt'),
  ],
  'road-speed': [
    own('km/h', 'km/h', 1 / 3.6, 'km/h', 'kmh', 'kph'),
    own('mph', 'mph', 1609.344 / 3600, 'mph', 'mi/h'),
    known('speed', 'm/s', 'mps'),
  ],
};

/** True for a unit that holds a volume, of which the mass needs a density. */
export const isVolumeUnit = (unit: string): boolean => unit === 'L/h' || unit === 'cc/min';

/** The unit that a header or a units row writes, of any kind or of one; with 'a' and 'g' behind a pressure as absolute and gauge. */
export function readUnit(
  text: string,
  kind?: LogKind,
): { kind: LogKind; unit: LogUnit; basis: PressureBasis | null } | null {
  const plain = text
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[\s°.]|\^(?=\d)|^deg(?=.)/g, '')
    .replaceAll('₂', '2');
  if (plain === '') return null;
  const kinds = kind === undefined ? (Object.keys(LOG_UNITS) as LogKind[]) : [kind];
  const find = (spelled: string, within: readonly LogKind[]) => {
    for (const each of within) {
      const unit = LOG_UNITS[each].find((one) => one.spellings.includes(spelled));
      if (unit !== undefined) return { kind: each, unit };
    }
    return null;
  };
  const whole = find(plain, kinds);
  if (whole !== null) return { ...whole, basis: null };
  const marked = /^(.*?)[_-]?\(?(abs|absolute|absolut|a|gauge|gage|g|rel|relative|relativ|ü)\)?$/.exec(plain);
  const pressure = marked === null || !kinds.includes('pressure') ? null : find(marked[1] ?? '', ['pressure']);
  return pressure === null ? null : { ...pressure, basis: marked?.[2]?.startsWith('a') ? 'absolute' : 'gauge' };
}

/** The unit with that key, or the first of its kind. */
export function logUnit(kind: LogKind, key: string): LogUnit {
  const units = LOG_UNITS[kind];
  return units.find((unit) => unit.key === key) ?? units[0]!;
}
