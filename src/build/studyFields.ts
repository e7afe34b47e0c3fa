import { POWER_CORRECTION_NAMES } from '../engine/index.ts';
import { added, choice, number, onOff, optional, text } from './field.ts';

export const ALTITUDES = [-500, 6000] as const;

/** Half widths: 19 of 20 values lie within. */
const tolerance = (high: number, percent: string, label: string) =>
  number('fraction', [0, high], [percent, '%'], label, `tolerance of the ${label.toLowerCase()}`);
const kelvins = (high: number, start: string, label: string) =>
  number('temperature-difference', [0, high], [start, 'K'], label, `tolerance of the ${label.toLowerCase()}`);

const BREAKPOINTS = { rows: 2, stacked: true, most: 4000 } as const;

/** Of a day that is not the build's; empty: it is. */
const OF_DAY = { placeholder: 'as today' } as const;

/** Rows of cells as they were typed or pasted, tabs between the cells of a row. `readKnownVe` reads them. */
const typedRows = (name: string) => text('Rows', { name, most: 20_000 });

const sheetLine = (label: string, name: string) => text(label, { name, stacked: true, most: 80 });

/** What studies and the printed sheet are asked for: the part of the table of inputs (buildFields.ts) that is no part of the car. */
export const studyFields = {
  /** From sea level to the height of the highest paved passes; as many rows as a table on one page holds. */
  altitudes: added({
    from: number('altitude', ALTITUDES, ['0', 'm'], 'From', 'lowest altitude'),
    to: number('altitude', ALTITUDES, ['3000', 'm'], 'To', { name: 'highest altitude', us: ['10000', 'ft'] }),
    step: number('altitude', [10, 6500], ['500', 'm'], 'In steps of', { name: 'altitude step', us: ['2000', 'ft'] }),
    /** 'day': standard temperature plus the day's deviation from it. 'same': the day's temperature at every altitude. */
    temperature: choice(
      { day: 'As warm or cold as today', standard: 'Standard atmosphere', same: "Today's, at every altitude" },
      'day',
      'Air temperature',
      { name: 'temperature over altitude', stacked: true },
    ),
    shown: choice(
      { grid: 'Altitudes only', places: 'Places only', both: 'Altitudes and places' },
      'both',
      'In the charts and the table',
      { name: 'altitudes and places shown', first: ['both'], stacked: true },
    ),
  }),
  /** How the tuner's table is written. Pressures are rounded down to whole steps; the unit of the step is the table's. */
  calibration: added({
    pressureKind: choice({ gauge: 'Gauge (over ambient)', absolute: 'Absolute' }, 'gauge', 'Pressure is', {
      name: 'pressure kind of the calibration table',
    }),
    step: number('pressure-difference', [1, 1e5], ['0.01', 'bar'], 'Rounded down to steps of', {
      name: 'pressure step of the calibration table',
      units: ['bar', 'kPa', 'mbar', 'psi'],
      us: ['0.1', 'psi'],
    }),
    bladesPastSensor: number(
      'count',
      [1, 60],
      ['6', '1'],
      'Blades past the sensor',
      'number of blades past the sensor',
    ),
  }),
  /** How two candidates spool up. The volume is a middling one of a road car with an air cooler (common practice, no source). */
  spool: added({
    engineSpeed: number(
      'engine-speed',
      [100, 30_000],
      ['2500', 'rpm'],
      'At engine speed',
      'engine speed of the spool-up',
    ),
    from: number('pressure-gauge', [-9e4, 1e6], ['0', 'bar'], 'From a boost of', 'boost that the spool-up starts from'),
    chargeVolume: number('displacement', [0, 2], ['8', 'L'], 'Volume of the charge path', {
      name: 'volume of the charge path',
      help: 'From the compressor to the valves: pipes, cooler and manifold of the engine.',
    }),
  }),
  /**
   * The table of boost targets that a control unit holds. Breakpoints and the table that is there already are kept as they were typed or
   * pasted; `readControlTable` reads them. Temperatures are common practice (no source): a frosty morning and a summer's day.
   */
  controlTable: added({
    axis: choice(
      {
        kPa: 'Barometric pressure, kPa',
        hPa: 'Barometric pressure, hPa',
        psi: 'Barometric pressure, psi',
        inHg: 'Barometric pressure, inHg',
        m: 'Altitude, m',
        ft: 'Altitude, ft',
      },
      'kPa',
      'Second axis',
      { name: 'second axis of the control unit table', stacked: true, us: { start: 'psi' } },
    ),
    engineSpeeds: text('Engine speeds, rpm', { ...BREAKPOINTS, name: 'engine speeds of the control unit table' }),
    barometers: text('Breakpoints of the second axis', {
      ...BREAKPOINTS,
      name: 'second axis of the control unit table',
    }),
    kind: choice(
      {
        absolute: 'Absolute pressure',
        gauge: 'Gauge pressure (over ambient)',
        ratio: 'Pressure ratio (manifold over ambient)',
      },
      'absolute',
      'Target is',
      { name: 'kind of target of the control unit table', stacked: true },
    ),
    step: number('pressure-difference', [1, 1e5], ['1', 'kPa'], 'Rounded down to steps of', {
      name: 'pressure step of the control unit table',
      units: ['kPa', 'bar', 'mbar', 'psi', 'inHg'],
      us: ['0.1', 'psi'],
    }),
    ratioStep: number('pressure-ratio', [1e-4, 0.5], ['0.01', '1'], 'Rounded down to steps of', {
      name: 'ratio step of the control unit table',
    }),
    coldest: number('temperature', [213.15, 338.15], ['-10', 'degC'], 'Air temperature from', {
      name: 'lowest air temperature of the control unit table',
      us: ['15', 'degF'],
    }),
    warmest: number('temperature', [213.15, 338.15], ['35', 'degC'], '… to', {
      name: 'highest air temperature of the control unit table',
      us: ['95', 'degF'],
    }),
    layout: choice({ down: 'Down', across: 'Across' }, 'down', 'Engine speed runs', 'layout of the control unit table'),
    entered: text('The table that is there already', {
      name: 'table from the control unit',
      rows: 4,
      stacked: true,
      most: 60_000,
      placeholder: 'Paste it here',
    }),
  }),
  /** What the volumetric efficiency is worked out from outside a log. The units are those of the columns of the rows. */
  knownVe: added({
    meter: choice({ power: 'Dynamometer run', 'air-mass': 'Air-mass sensor' }, 'power', 'From', 'meter of the run'),
    at: choice(
      { crank: 'At the crankshaft', wheels: 'At the wheels' },
      'crank',
      'Power is',
      'where power was measured',
    ),
    correction: choice(POWER_CORRECTION_NAMES, 'none', 'Its sheet has it', 'correction of the dynamometer'),
    basis: choice({ gauge: 'Boost (over ambient)', absolute: 'Absolute' }, 'gauge', 'Manifold pressure is', {
      name: 'kind of manifold pressure of the run',
    }),
    airPressure: optional('pressure-absolute', [3e4, 1.2e5], ['', 'kPa'], 'Pressure on site', {
      name: 'ambient pressure of the run',
      ...OF_DAY,
    }),
    airTemperature: optional('temperature', [213.15, 338.15], ['', 'degC'], 'Air temperature', {
      name: 'air temperature of the run',
      ...OF_DAY,
    }),
    relativeHumidity: optional('fraction', [0, 1], ['', '%'], 'Relative humidity', {
      name: 'humidity of the run',
      ...OF_DAY,
    }),
    powerUnit: choice({ kW: 'kW', PS: 'PS', hp: 'hp' }, 'kW', 'Power in', {
      name: 'unit of power of the run',
      us: { start: 'hp' },
    }),
    flowUnit: choice({ 'g/s': 'g/s', 'kg/h': 'kg/h', 'kg/s': 'kg/s', 'lb/min': 'lb/min' }, 'g/s', 'Air in', {
      name: 'unit of air of the run',
      us: { start: 'lb/min' },
    }),
    pressureUnit: choice({ kPa: 'kPa', bar: 'bar', mbar: 'mbar', psi: 'psi' }, 'kPa', 'Pressure in', {
      name: 'unit of pressure of the run',
      us: { start: 'psi' },
    }),
    temperatureUnit: choice({ degC: '°C', K: 'K', degF: '°F' }, 'degC', 'Temperature in', {
      name: 'unit of temperature of the run',
      us: { start: 'degF' },
    }),
    bsfcUnit: choice({ 'g/kWh': 'g/kWh', 'lb/(hp h)': 'lb/(hp·h)' }, 'g/kWh', 'bsfc in', {
      name: 'unit of bsfc of the run',
      us: { start: 'lb/(hp h)' },
    }),
    powerRows: typedRows('rows of the dynamometer run'),
    airRows: typedRows('rows of the air-mass sensor'),
  }),
  /**
   * Half widths of common practice (no source): what separates a careful estimate from the engine as it stands. Those of the map are what
   * is lost by reading it off a printed sheet.
   */
  spread: added({
    tolerances: {
      volumetricEfficiency: tolerance(0.3, '3', 'Volumetric efficiency'),
      bsfc: tolerance(0.3, '4', 'Bsfc'),
      lambda: number('fraction', [0, 0.2], ['2', '%'], 'Lambda', 'tolerance of lambda'),
      mapFlow: tolerance(0.2, '1', 'Map flow'),
      mapPressureRatio: tolerance(0.1, '0.5', 'Map pressure ratio'),
      mapEfficiency: tolerance(0.1, '1.5', 'Map efficiency'),
      coolerEffectiveness: tolerance(0.3, '5', 'Cooler effectiveness'),
      airTemperature: kelvins(40, '5', 'Air temperature'),
      ambientPressure: tolerance(0.1, '0.5', 'Ambient pressure'),
      inletLoss: tolerance(0.9, '20', 'Inlet loss'),
      chargeLoss: tolerance(0.9, '20', 'Charge path loss'),
      turbineCapacity: added(tolerance(0.3, '3', 'Turbine capacity')),
      turbineEfficiency: added(tolerance(0.2, '3', 'Turbine efficiency')),
      turbineInletTemperature: added(kelvins(150, '30', 'Turbine inlet temperature')),
      exhaustLoss: added(tolerance(0.9, '25', 'Exhaust loss')),
      gateFlow: added(tolerance(0.6, '20', 'Wastegate flow')),
    },
    samples: number('count', [64, 16_384], ['1024', '1'], 'Samples', 'number of samples'),
    seed: number('count', [0, 1_000_000], ['1', '1'], 'Seed', { help: 'The same seed gives the same numbers.' }),
  }),
  /** What stands on the printed match sheet beside the numbers. */
  sheet: added({
    shopName: sheetLine('Shop', 'shop name'),
    car: sheetLine('Car', 'car'),
    customerReference: sheetLine('Customer ref.', 'customer reference'),
    /** As it shall stand on the sheet: the program reads no clock into it. */
    dateText: sheetLine('Date', 'date on the sheet'),
    preparedBy: sheetLine('Prepared by', 'name of who prepared the sheet'),
    remarks: text('Remarks', { name: 'remarks on the sheet', rows: 4, stacked: true, most: 800 }),
    paper: choice({ a4: 'A4', letter: 'US Letter' }, 'a4', 'Paper', { us: { start: 'letter' } }),
    controlTable: added(onOff(false, 'Table for the control unit', 'control unit table on the sheet')),
    /** Whether the shown candidate alone or both that are compared are printed. */
    candidates: choice(
      { one: 'The shown candidate', both: 'Both candidates' },
      'both',
      'Candidates',
      'candidates on the sheet',
    ),
  }),
};
