/**
 * An invented drive for tests of reading: engine off, idle, one pull, idle. The figures follow simple rules and match no car; only their
 * form (ranges, rates, noise) is that of a log.
 */
export interface Drive {
  timeS: number[];
  engineSpeedRpm: number[];
  manifoldPressurePa: number[];
  shaftSpeedRpm: number[];
  chargeTemperatureK: number[];
  throttle: number[];
}

/** A generator of numbers from 0 to 1 that gives the same ones every time (mulberry32). */
export function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

export function inventedDrive({ rateHz = 20, barometerPa = 98_300, noise = 0.002, off = true } = {}): Drive {
  const chance = seeded(7);
  const shaken = (value: number) => value * (1 + noise * (chance() + chance() + chance() - 1.5));
  const drive: Drive = {
    timeS: [],
    engineSpeedRpm: [],
    manifoldPressurePa: [],
    shaftSpeedRpm: [],
    chargeTemperatureK: [],
    throttle: [],
  };
  const add = (timeS: number, rpm: number, pa: number, shaft: number, kelvin: number, throttle: number) => {
    drive.timeS.push(timeS);
    drive.engineSpeedRpm.push(rpm === 0 ? 0 : shaken(rpm));
    drive.manifoldPressurePa.push(shaken(pa));
    drive.shaftSpeedRpm.push(shaft === 0 ? 0 : shaken(shaft));
    drive.chargeTemperatureK.push(shaken(kelvin));
    drive.throttle.push(throttle);
  };
  const seconds = off ? 16 : 9;
  const from = off ? 5 : 0;
  for (let row = 0; row < seconds * rateHz; row += 1) {
    const t = row / rateHz;
    const share = Math.min(Math.max((t - from) / 9, 0), 1);
    const isPull = t >= from && t < from + 9;
    if (off && t < 1.5) add(t, 0, barometerPa, 0, 300, 0);
    else if (!isPull) add(t, 850, 38_000, 14_000, 303, 0.03);
    else add(t, 2400 + 4100 * share, 120e3 + 115e3 * Math.min(3 * share, 1), 60e3 + 95e3 * share, 305 + 20 * share, 1);
  }
  return drive;
}

export interface Style {
  separator?: string;
  decimal?: string;
  names?: readonly string[];
  /** From SI (absolute Pa, rpm, K, share, s) to the cells. */
  cells?: (drive: Drive, row: number) => readonly (number | string)[];
  units?: readonly string[];
  preamble?: readonly string[];
  end?: string;
}

export const PLAIN_NAMES = [
  'Time [s]',
  'Engine speed [rpm]',
  'MAP [kPa]',
  'Turbo speed [rpm]',
  'Charge temperature [degC]',
  'Throttle [%]',
];

export function plainCells(drive: Drive, row: number): readonly number[] {
  return [
    drive.timeS[row]!,
    drive.engineSpeedRpm[row]!,
    drive.manifoldPressurePa[row]! / 1000,
    drive.shaftSpeedRpm[row]!,
    drive.chargeTemperatureK[row]! - 273.15,
    drive.throttle[row]! * 100,
  ];
}

export function writeLog(drive: Drive, style: Style = {}): string {
  const {
    separator = ',',
    decimal = '.',
    names = PLAIN_NAMES,
    cells = plainCells,
    units,
    preamble = [],
    end = '\n',
  } = style;
  const rows = drive.timeS.map((_, row) =>
    cells(drive, row)
      .map((cell) => (typeof cell === 'string' ? cell : String(Number(cell.toPrecision(15))).replace('.', decimal)))
      .join(separator),
  );
  return [
    ...preamble,
    names.join(separator),
    ...(units === undefined ? [] : [units.join(separator)]),
    ...rows,
    '',
  ].join(end);
}

export const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);

export function utf16(text: string): Uint8Array {
  const bytes = new Uint8Array(2 + 2 * text.length);
  bytes.set([0xff, 0xfe]);
  for (let at = 0; at < text.length; at += 1) {
    bytes[2 + 2 * at] = text.charCodeAt(at) & 0xff;
    bytes[3 + 2 * at] = text.charCodeAt(at) >> 8;
  }
  return bytes;
}
