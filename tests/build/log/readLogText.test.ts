import { describe, expect, it } from 'vitest';
import { type LogText, readLogText } from '../../../src/build/index.ts';
import type { LogChannelKey } from '../../../src/match/log/types.ts';
import {
  bytesOf,
  type Drive,
  inventedDrive,
  PLAIN_NAMES,
  plainCells,
  type Style,
  utf16,
  writeLog,
} from './invented.ts';

const drive = inventedDrive();
const read = (style: Style = {}, hints = {}) => readLogText(bytesOf(writeLog(drive, style)), hints);
const channel = (log: LogText, key: LogChannelKey) =>
  log.channels.find((each) => each.key === key)?.values ?? new Float64Array();

const TRUTH: readonly (readonly [LogChannelKey, keyof Drive])[] = [
  ['engineSpeed', 'engineSpeedRpm'],
  ['manifoldPressure', 'manifoldPressurePa'],
  ['shaftSpeed', 'shaftSpeedRpm'],
  ['chargeTemperature', 'chargeTemperatureK'],
  ['throttle', 'throttle'],
];

/** The channels against what was written, to 1e-9; a shaft speed of 0 of the standing engine too. */
function expectTruth(log: LogText): void {
  expect(log.problems).toEqual([]);
  for (const [key, name] of TRUTH) {
    const values = channel(log, key);
    expect(values.length, key).toBe(drive.timeS.length);
    const worst = values.reduce((most, value, row) => {
      const true_ = drive[name][row]!;
      return Math.max(most, Math.abs(value - true_) / Math.max(Math.abs(true_), 1));
    }, 0);
    expect(worst, key).toBeLessThan(1e-9);
  }
  const time = log.timeS ?? new Float64Array();
  expect(time.every((value, row) => Math.abs(value - drive.timeS[row]!) < 1e-9)).toBe(true);
}

/** Factors from their definitions: lbf/in2 (0.45359237 kg, 9.80665 m/s2, 0.0254 m: NIST SP 811), bar, degrees Fahrenheit. */
const PSI = (0.45359237 * 9.80665) / 0.0254 ** 2;
const gaugePsi = (d: Drive, row: number) => {
  const cells = [...plainCells(d, row)];
  cells[2] = (d.manifoldPressurePa[row]! - 98_300) / PSI;
  return cells;
};
const usCells = (d: Drive, row: number) => {
  const cells = [...plainCells(d, row)];
  cells[2] = d.manifoldPressurePa[row]! / 1e5;
  cells[3] = d.shaftSpeedRpm[row]! / 1000;
  cells[4] = d.chargeTemperatureK[row]! * 1.8 - 459.67;
  cells[5] = d.throttle[row]!;
  return cells;
};
const clock = (seconds: number) => {
  const all = 43_000 + seconds;
  const part = (value: number) => String(Math.floor(value)).padStart(2, '0');
  return `${part(all / 3600)}:${part((all / 60) % 60)}:${(all % 60).toFixed(3).padStart(6, '0').replace('.', ',')}`;
};

describe('a log in many spellings gives the same columns in SI', () => {
  it.each<[string, Style]>([
    ['comma and point', {}],
    ['semicolon and point', { separator: ';' }],
    ['semicolon and comma', { separator: ';', decimal: ',' }],
    ['tab and comma', { separator: '\t', decimal: ',' }],
    ['bar', { separator: '|' }],
    ['line ends of other systems', { end: '\r\n' }],
    ['carriage returns alone', { end: '\r' }],
    ['a preamble', { preamble: ['Log of a drive', 'Driver: nobody, car: none', '', 'Rate: 20 Hz'] }],
    [
      'a row of units',
      {
        names: ['Time', 'Engine speed', 'MAP', 'Turbo speed', 'Charge temperature', 'Throttle'],
        units: ['s', 'rpm', 'kPa', '1/min', '°C', '%'],
      },
    ],
    [
      'bar, krpm, degrees Fahrenheit, shares',
      {
        names: ['Time (s)', 'RPM', 'Manifold pressure (bar abs)', 'Turbo speed (krpm)', 'Charge temp (°F)', 'TPS'],
        cells: usCells,
      },
    ],
    [
      'Hz of the shaft',
      {
        names: PLAIN_NAMES.with(3, 'Turbo speed [Hz]'),
        cells: (d, row) => plainCells(d, row).with(3, d.shaftSpeedRpm[row]! / 60),
      },
    ],
    [
      'milliseconds',
      {
        names: PLAIN_NAMES.with(0, 'Time'),
        cells: (d, row) => plainCells(d, row).with(0, Math.round(d.timeS[row]! * 1000)),
      },
    ],
    [
      'milliseconds by the header, slower than seconds would be',
      {
        names: PLAIN_NAMES.with(0, 'Time [ms]'),
        cells: (d, row) => plainCells(d, row).with(0, d.timeS[row]! * 1000),
      },
    ],
    [
      'a time of day with a decimal comma',
      {
        separator: ';',
        names: PLAIN_NAMES.with(0, 'Zeit'),
        cells: (d, row) => [clock(d.timeS[row]!), ...plainCells(d, row).slice(1)],
      },
    ],
    [
      'German names',
      {
        separator: ';',
        decimal: ',',
        names: [
          'Zeit [s]',
          'Motordrehzahl [1/min]',
          'Saugrohrdruck absolut [kPa]',
          'Turboladerdrehzahl [U/min]',
          'Ladelufttemperatur [°C]',
          'Drosselklappenwinkel [%]',
        ],
      },
    ],
    [
      'French names',
      {
        names: [
          'Temps (s)',
          'Régime moteur (tr/min)',
          'Pression collecteur (kPa)',
          'Régime turbo (tr/min)',
          'Température collecteur (°C)',
          'Papillon (%)',
        ],
      },
    ],
    [
      'Spanish names',
      {
        names: [
          'Tiempo (s)',
          'Régimen del motor (rpm)',
          'Presión colector (kPa)',
          'Velocidad turbo (rpm)',
          'Temperatura colector (°C)',
          'Mariposa (%)',
        ],
      },
    ],
    [
      'quotes',
      {
        names: PLAIN_NAMES.map((name) => `"${name}"`),
        cells: (d, row) => plainCells(d, row).map((cell) => `"${cell}"`),
      },
    ],
    [
      'a separator at the end of each line',
      { names: [...PLAIN_NAMES, ''], cells: (d, row) => [...plainCells(d, row), ''] },
    ],
  ])('%s', (_, style) => {
    expectTruth(read(style));
  });

  it('UTF-16 and Windows-1252', () => {
    expectTruth(readLogText(utf16(writeLog(drive))));
    const text = writeLog(drive, { names: PLAIN_NAMES.with(4, 'Charge temperature [°C]') });
    expectTruth(readLogText(Uint8Array.from(text, (char) => char.charCodeAt(0))));
  });

  it('gauge in psi, with the barometer given', () => {
    const style = { names: PLAIN_NAMES.with(2, 'Boost [psi]'), cells: gaugePsi };
    const log = read(style, { ambientPressurePa: 98_300 });
    expectTruth(log);
    expect(log.columns[2]).toMatchObject({ basis: 'gauge', unit: 'psi', role: 'manifoldPressure' });
    // Without a barometer it is asked, and the standard one taken meanwhile.
    const asked = read(style);
    expect(asked.questions.map(({ code }) => code)).toEqual(['weather']);
    expect(channel(asked, 'manifoldPressure')[0]! - drive.manifoldPressurePa[0]!).toBeCloseTo(101_325 - 98_300, 3);
  });
});

it('names as loggers shorten them: an abbreviated engine speed, an elapsed time', () => {
  const rows = Array.from({ length: 200 }, (_, i) => `${i * 50},${2000 + 20 * i},${100 + i / 2}`);
  const log = readLogText(bytesOf(['Elapsed (ms),Eng Spd (rpm),MAP (kPa)', ...rows].join('\n')));
  // Whether the pressure is gauge no row tells; of the others all is sure.
  expect(log.questions.map(({ column }) => column)).toEqual([2]);
  expect(log.timeS?.[199]).toBeCloseTo(9.95, 9);
  expect(channel(log, 'engineSpeed')[199]).toBeCloseTo(5980, 9);
});

describe('what is not sure is asked', () => {
  it('where an intake temperature was measured', () => {
    const style = { names: PLAIN_NAMES.with(4, 'IAT [degC]') };
    const log = read(style);
    const question = log.questions.find(({ code }) => code === 'station');
    expect(question?.column).toBe(4);
    const before = question?.choices.find(({ label }) => label.includes('before the compressor'));
    expect(read(style, before?.hints).columns[4]?.role).toBe('compressorInletTemperature');
  });

  it('whether a pressure is gauge, where no row tells', () => {
    const pull = inventedDrive({ off: false });
    const names = PLAIN_NAMES.with(2, 'Manifold pressure [kPa]');
    const log = readLogText(bytesOf(writeLog(pull, { names })));
    const question = log.questions.find(({ code }) => code === 'basis');
    expect(question?.choices.map(({ hints }) => hints.columns?.[2]?.basis)).toEqual(['absolute', 'gauge']);
    const gauge = readLogText(bytesOf(writeLog(pull, { names })), {
      ...question?.choices[1]?.hints,
      ambientPressurePa: 1e5,
    });
    expect(channel(gauge, 'manifoldPressure')[5]! - channel(log, 'manifoldPressure')[5]!).toBeCloseTo(1e5, 6);
    expect(gauge.questions.filter(({ code }) => code === 'basis')).toEqual([]);
  });

  it('says which rows decided between gauge and absolute', () => {
    expect(read().columns[2]).toMatchObject({
      basis: 'absolute',
      basisFrom: 'with the engine off it reads 98.3 kPa (line 2)',
    });
    const idling = inventedDrive();
    const from = idling.timeS.findIndex((time) => time >= 2);
    for (const key of Object.keys(idling) as (keyof Drive)[]) idling[key].splice(0, from);
    expect(readLogText(bytesOf(writeLog(idling))).columns[2]?.basisFrom).toMatch(
      /^at idle it reads 38\.\d kPa \(line 2\)$/,
    );
  });

  it('a comma that may part thousands', () => {
    const cells = (d: Drive, row: number) =>
      plainCells(d, row).map((cell, at) =>
        at === 3 ? `${60 + (row % 90)},${String(100 + (row % 800))}` : Math.round(cell),
      );
    const style = { separator: ';', cells };
    expect(read(style).questions[0]).toMatchObject({ code: 'decimal', taken: 0 });
    const thousands = read(style, { decimal: '.' });
    expect(channel(thousands, 'shaftSpeed')[200]).toBe((60 + (200 % 90)) * 1000 + 100 + (200 % 800));
  });

  it('a name that nothing is known of, by its range', () => {
    const log = read({ names: PLAIN_NAMES.with(3, 'ch07') });
    expect(log.columns[3]).toMatchObject({ role: 'shaftSpeed' });
    expect(log.columns[3]!.score).toBeLessThan(0.8);
    expect(log.questions.map(({ code, column }) => [code, column])).toEqual([['role', 3]]);
  });

  it('which of two columns of one name', () => {
    const names = [...PLAIN_NAMES, 'MAP [kPa]'];
    const log = read({ names, cells: (d, row) => [...plainCells(d, row), plainCells(d, row)[2]! + 1] });
    expect(log.problems.map(({ path }) => path)).toEqual(['Columns 3 and 7']);
    const question = log.questions.find(({ column }) => column === 6)!;
    const second = read(
      { names, cells: (d, row) => [...plainCells(d, row), plainCells(d, row)[2]! + 1] },
      question.choices[1]!.hints,
    );
    expect(channel(second, 'manifoldPressure')[0]! - channel(log, 'manifoldPressure')[0]!).toBeCloseTo(1000, 6);
  });

  it('every answer of every question is one that the reading takes', () => {
    const log = read({ names: ['t', 'n', 'p2', 'N', 'IAT', 'TPS'] });
    expect(log.questions.length).toBeGreaterThan(2);
    for (const { choices, taken } of log.questions) {
      expect(choices[taken]).toBeDefined();
      for (const { hints } of choices)
        expect(() => read({ names: ['t', 'n', 'p2', 'N', 'IAT', 'TPS'] }, hints)).not.toThrow();
    }
  });
});

describe('mixture (14.7 of air-fuel ratio for lambda 1: common practice, no source)', () => {
  const lambda = 0.85;
  const named = (name: string, factor: number) =>
    read({
      names: ['Time', 'Engine speed', 'MAP', 'Turbo speed', 'Charge temperature', name],
      units: ['s', 'rpm', 'kPa', '1/min', '°C', ''],
      cells: (d, row) => [...plainCells(d, row).slice(0, 5), lambda * factor],
    });

  it.each([
    ['AFR', 14.7],
    ['AFR [-]', 14.7],
    ['Wideband A/F (:1)', 14.7],
    ['Air fuel ratio', 14.7],
    ['lambda', 1],
    ['Lambda [-]', 1],
    ['AFR', 1],
  ])("'%s' is read with %s for lambda 1, without asking", (name, factor) => {
    const log = named(name, factor);
    expect(channel(log, 'lambda')[10]).toBeCloseTo(lambda, 9);
    expect(log.questions.filter(({ code }) => code === 'unit')).toEqual([]);
  });

  it('asks where the name says lambda and the readings do not', () => {
    const log = named('lambda', 14.7);
    expect(channel(log, 'lambda')[10]).toBeCloseTo(lambda, 9);
    expect(log.questions.map(({ code, column, taken }) => [code, column, taken])).toContainEqual(['unit', 5, 0]);
  });
});

describe('names that leave something out', () => {
  it.each<[string, number, (rpm: number) => number]>([
    ['Turbo RPM x1000', 3, (rpm) => rpm / 1000],
    ['Compressor speed (RPM)', 3, (rpm) => rpm],
  ])("'%s' is the shaft speed", (name, column, cell) => {
    const log = read({
      names: PLAIN_NAMES.with(column, name),
      cells: (d, row) => plainCells(d, row).with(column, cell(d.shaftSpeedRpm[row]!)),
    });
    expect(channel(log, 'shaftSpeed')[200]).toBeCloseTo(drive.shaftSpeedRpm[200]!, 6);
  });

  it('take the quantity from their unit, and a number behind them for a second sensor', () => {
    const log = read({ names: PLAIN_NAMES.with(4, 'TLadeluft [°C]') });
    expect(log.columns[4]).toMatchObject({ role: 'chargeTemperature' });
    const numbered = read({ names: PLAIN_NAMES.with(4, 'IAT1 (C)') });
    expect(numbered.columns[4]).toMatchObject({ role: 'chargeTemperature' });
    expect(numbered.questions.map(({ code }) => code)).toContain('station');
  });
});

describe('a pickup that counts blades', () => {
  const counted = (blades: number, hints = {}) =>
    read(
      {
        names: PLAIN_NAMES.with(3, 'Turbo speed [Hz]'),
        cells: (d, row) => plainCells(d, row).with(3, (d.shaftSpeedRpm[row]! / 60) * blades),
      },
      hints,
    );

  it('is asked for their number, leaves out what would burst the wheel, and starts from the likeliest', () => {
    const log = counted(11);
    const question = log.questions.find(({ code }) => code === 'pulses')!;
    const top = Math.max(...drive.shaftSpeedRpm) * 11;
    const [first, taken] = [0, question.taken].map((at) => question.choices[at]!.hints.columns![3]!.pulsesPerTurn!);
    expect(top / first!).toBeLessThan(330e3);
    expect(first).toBeGreaterThan(1);
    const read10 = channel(log, 'shaftSpeed')[200]!;
    expect(read10).toBeCloseTo((drive.shaftSpeedRpm[200]! * 11) / taken!, 6);
    expect(Math.abs(Math.log(top / taken! / 150e3))).toBeLessThan(0.1);
    const answered = counted(11, { columns: { 3: { pulsesPerTurn: 11 } } });
    expect(channel(answered, 'shaftSpeed')[200]).toBeCloseTo(drive.shaftSpeedRpm[200]!, 6);
    expect(answered.questions.some(({ code }) => code === 'pulses')).toBe(false);
  });
});
