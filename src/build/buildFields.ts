import { FUELS, fuelName } from '../engine/index.ts';
import type { UnitSystem } from '../units/index.ts';
import { capital } from '../units/index.ts';
import { added, choice, curve, number, onOff, optional, text, typedCurve } from './field.ts';
import { ALTITUDES, studyFields } from './studyFields.ts';

/*
 * The one table of inputs: every field of the document in its place, with quantity, range in SI, start value, label, and name in
 * sentences. Types, schemas of files, start values, reading to SI, undo and the fields on the screen are made from it. In order:
 * quantity, range, start, label, and the name in sentences (where it is not the label) or more.
 *
 * Start values: a turbocharged 2.0 L four with direct injection on petrol, at sea level on a standard day with some humidity. They are
 * middling values of common practice (no source), a start to be replaced by the car's own.
 */

/** A tenth of a gram per second: below any flow that a loss was measured at. */
const FLOWS = [1e-4, 20] as const;
const DENSITIES = [0.05, 20] as const;
const SHARES = [0, 1] as const;
const ENGINE_SPEEDS = [100, 30_000] as const;

const fuelNames = (system: UnitSystem) =>
  Object.fromEntries(Object.values(FUELS).map(({ key }) => [key, capital(fuelName(key, system))])) as Record<
    keyof typeof FUELS,
    string
  >;

const air = {
  altitude: number('altitude', ALTITUDES, ['0', 'm'], 'Altitude'),
  barometer: {
    kind: choice(
      {
        standard: 'Standard atmosphere',
        'read-on-site': 'Barometer read on site',
        'weather-report': 'Weather report (sea level)',
      },
      'standard',
      'Pressure from',
      { name: 'kind of barometer', stacked: true },
    ),
    pressure: number('pressure-absolute', [3e4, 1.2e5], ['1013.25', 'hPa'], 'Pressure', {
      name: 'barometric pressure',
      us: ['29.92', 'inHg'],
    }),
  },
  temperature: number('temperature', [213.15, 338.15], ['20', 'degC'], 'Air temperature'),
  relativeHumidity: number('fraction', SHARES, ['50', '%'], 'Relative humidity'),
};

/**
 * With several turbos: whether each has this path for itself, its flow then that of one turbo. Common practice, no source: most V engines
 * have an inlet and an exhaust for each bank; coolers are of both kinds. Branch is the start for all three, for the flows that the start
 * values of the losses are given at are those of one turbo.
 */
const pathOf = (path: string, help: string) =>
  added(
    choice({ branch: 'Of each branch', shared: 'Shared by all turbos' }, 'branch', 'Loss and flow are', {
      name: `branch or shared ${path}`,
      stacked: true,
      help,
    }),
  );

/** Every field of a build by its place. */
export const buildFields = {
  /** Customer, plate, job number, whatever the shop writes. */
  notes: text('Customer, plate, job, remarks', { name: 'notes', rows: 5, stacked: true }),
  engine: {
    displacement: number('displacement', [5e-5, 0.2], ['2.0', 'L'], 'Displacement', { us: ['122', 'in3'] }),
    cylinders: number('count', [1, 24], ['4', '1'], 'Cylinders', 'number of cylinders'),
    strokesPerCycle: choice({ 2: 'Two-stroke', 4: 'Four-stroke' }, 4, 'Working cycle', {
      name: 'strokes per cycle',
      first: [4],
    }),
    compressionRatio: number('compression-ratio', [4, 30], ['9.8', '1'], 'Compression ratio'),
    injection: choice(
      { port: 'Port, ahead of the valve', direct: 'Direct, into the cylinder' },
      'direct',
      'Injection',
      {
        first: ['direct'],
        stacked: true,
      },
    ),
    fuel: choice(fuelNames('metric'), 'petrol', 'Fuel', {
      us: { names: fuelNames('us') },
      help: 'Another fuel scales the bsfc curve by heating value: the same share of the heat becomes work.',
    }),
    volumetricEfficiency: curve(
      'volumetric-efficiency',
      [0.05, 2],
      typedCurve('%', ['2000', '90'], ['3500', '97'], ['5000', '98'], ['6500', '90']),
      'Volumetric efficiency',
    ),
    lambda: curve('lambda', [0.4, 12], typedCurve('1', ['2000', '0.90'], ['6500', '0.82']), 'Lambda'),
    bsfc: curve(
      'bsfc',
      // 100 to 1,500 g/kWh.
      [100 / 3.6e9, 1500 / 3.6e9],
      typedCurve('g/kWh', ['2000', '290'], ['4000', '300'], ['6500', '335']),
      'Brake specific fuel consumption',
      'bsfc',
    ),
    drivelineLoss: number('fraction', [0, 0.6], ['15', '%'], 'Driveline loss'),
  },
  fuelSupply: {
    checked: onOff(false, 'Check injectors and pump', 'fuel supply check'),
    injectorCount: number('count', [1, 48], ['4', '1'], 'Injectors', 'number of injectors'),
    injectorFlow: optional('fuel-volume-flow', [1e-8, 1e-3], ['', 'cc/min'], 'Flow of one injector', {
      name: 'injector flow',
      placeholder: 'to be found',
    }),
    injectorRatedPressure: number(
      'pressure-difference',
      [1e4, 1e8],
      ['', 'bar'],
      '… rated at',
      'rated pressure of the injectors',
    ),
    railPressure: number('pressure-gauge', [1e4, 4e8], ['', 'bar'], 'Rail pressure'),
    railReference: choice(
      { manifold: 'Over manifold pressure', ambient: 'Over ambient pressure' },
      'manifold',
      'Rail pressure is',
      { name: 'rail pressure reference', stacked: true },
    ),
    dutyLimit: number('fraction', [0.05, 1], ['85', '%'], 'Duty limit', 'injector duty limit'),
    pumpFlow: optional('fuel-volume-flow', [1e-7, 1e-2], ['', 'L/h'], 'Pump flow at that pressure', {
      name: 'pump flow',
      us: ['', 'gal/h'],
    }),
  },
  air,
  inletPath: {
    loss: number('pressure-difference', [0, 1e5], ['2.5', 'kPa'], 'Pressure loss', {
      name: 'inlet loss',
      us: ['10', 'inH2O'],
    }),
    atFlow: number('mass-flow', FLOWS, ['0.20', 'kg/s'], '… at air flow', 'flow of the inlet loss'),
    atDensity: number('density', DENSITIES, ['1.20', 'kg/m3'], '… at air density', 'density of the inlet loss'),
    of: pathOf(
      'inlet path',
      'Most V engines have a filter and a pipe for each bank: the flow beside the loss is then that of one turbo. Shared: one filter for all, and the flow of the engine.',
    ),
    heating: number('temperature-difference', [-50, 150], ['5', 'K'], 'Heating on the way in', 'inlet heating'),
  },
  chargePath: {
    loss: number('pressure-difference', [0, 3e5], ['8', 'kPa'], 'Pressure loss', 'charge path loss'),
    atFlow: number('mass-flow', FLOWS, ['0.20', 'kg/s'], '… at air flow', 'flow of the charge path loss'),
    atDensity: number('density', DENSITIES, ['2.0', 'kg/m3'], '… at air density', 'density of the charge path loss'),
    of: pathOf(
      'charge path',
      "Branch: a cooler for each turbo, and the flow beside the loss that of one. Shared: the pipes join ahead of one cooler, and the flow is the engine's.",
    ),
    cooler: {
      kind: choice({ none: 'No cooler', air: 'Air to air', water: 'Air to water' }, 'air', 'Charge cooler', {
        first: ['air', 'water'],
      }),
      effectiveness: number('fraction', SHARES, ['75', '%'], 'Effectiveness', 'cooler effectiveness'),
      /** Effectiveness falls between two flows. */
      falling: onOff(false, 'Falls with flow', 'falling cooler effectiveness'),
      atLowFlow: number('mass-flow', [0, 20], ['0.10', 'kg/s'], '… entered at flow', 'low flow of the cooler'),
      atHighFlow: number('mass-flow', FLOWS, ['0.25', 'kg/s'], '… at high flow', 'high flow of the cooler'),
      effectivenessAtHighFlow: number(
        'fraction',
        SHARES,
        ['68', '%'],
        'Effectiveness there',
        'cooler effectiveness at the high flow',
      ),
      /** Air cooler: how much warmer than ambient the air is that reaches it. */
      recovery: number(
        'temperature-difference',
        [-50, 150],
        ['5', 'K'],
        'Air is warmer than ambient by',
        'recovery rise before the cooler',
      ),
      waterTemperature: number(
        'temperature',
        [233.15, 423.15],
        ['45', 'degC'],
        'Water temperature',
        'cooler water temperature',
      ),
    },
  },
  /**
   * What the turbine hangs in; used where a candidate has turbine data. Common practice, no source: 15 kPa at 0.20 kg/s is an exhaust
   * system of a sporting road car. The density is that of exhaust at ambient pressure and 1173 K (900 degC), at which the loss is
   * reckoned: 101.3 kPa / (287 J/(kg K) x 1173 K) = 0.30 kg/m3.
   */
  exhaust: added({
    loss: number('pressure-difference', [0, 3e5], ['15', 'kPa'], 'Pressure loss', {
      name: 'exhaust loss',
      help: 'Of the whole system behind the turbine: pipes, catalyst, silencer.',
    }),
    atFlow: number('mass-flow', FLOWS, ['0.20', 'kg/s'], '… at exhaust flow', 'flow of the exhaust loss'),
    atDensity: number('density', DENSITIES, ['0.30', 'kg/m3'], '… at gas density', {
      name: 'density of the exhaust loss',
      help: 'Of the hot gas while it was measured: about a quarter of that of air.',
    }),
    of: pathOf(
      'exhaust',
      'Most V engines have a pipe and a catalyst for each bank. Shared: one system for all, and the flow of the engine.',
    ),
    inletTemperature: {
      /** 'estimated': by the engine's energy balance. 'entered': the curve. */
      kind: choice({ estimated: 'Estimated', entered: 'Entered' }, 'estimated', 'Turbine inlet temperature', {
        name: 'kind of turbine inlet temperature',
        stacked: true,
      }),
      curve: curve('temperature', [500, 1600], typedCurve('degC', ['2000', '900']), 'Turbine inlet temperature'),
    },
    measuredBackPressureRatio: number(
      'pressure-ratio',
      [0.3, 5],
      ['1', '1'],
      'Back-pressure ratio of vol. efficiency',
      {
        name: 'back-pressure ratio of the volumetric efficiency',
        help: 'The cylinders fill less as back-pressure rises. The curve is taken as measured at this p3/p_m, turbine inlet over manifold pressure, and corrected from there. 1: the two were equal.',
      },
    ),
  }),
  goal: {
    kind: choice(
      {
        'gauge-boost': 'Gauge boost',
        'manifold-pressure': 'Manifold pressure, absolute',
        'brake-power': 'Power at the crankshaft',
        'wheel-power': 'Power at the wheels',
      },
      'gauge-boost',
      'Goal over engine speed',
      { name: 'kind of goal', stacked: true },
    ),
    curves: {
      'gauge-boost': curve(
        'pressure-gauge',
        [-1e5, 2e6],
        typedCurve('bar', ['2000', '0.5'], ['3000', '1.0'], ['6500', '1.0']),
        'Gauge boost',
        'boost goal',
      ),
      'manifold-pressure': curve(
        'pressure-absolute',
        [1e3, 2.2e6],
        typedCurve('kPa', ['2000', '150'], ['3000', '200'], ['6500', '200']),
        'Manifold pressure, absolute',
        'manifold pressure goal',
      ),
      'brake-power': curve(
        'power',
        [1, 1e7],
        typedCurve('kW', ['2000', '60'], ['4000', '140'], ['6500', '200']),
        'Power at the crankshaft',
        'brake power goal',
      ),
      'wheel-power': curve(
        'power',
        [1, 1e7],
        typedCurve('kW', ['2000', '50'], ['4000', '120'], ['6500', '170']),
        'Power at the wheels',
        'wheel power goal',
      ),
    },
  },
  engineSpeeds: {
    from: number('engine-speed', ENGINE_SPEEDS, ['2000', 'rpm'], 'From', 'lowest engine speed'),
    to: number('engine-speed', ENGINE_SPEEDS, ['6500', 'rpm'], 'To', 'highest engine speed'),
    step: number('engine-speed', [1, 30_000], ['250', 'rpm'], 'In steps of', 'engine speed step'),
  },
  limits: {
    shaftSpeedReserve: optional('fraction', [0, 0.5], ['3', '%'], 'Shaft speed reserve'),
    surgeMargin: optional('fraction', SHARES, ['10', '%'], 'Least surge margin', 'surge margin limit'),
    chokeMargin: optional('fraction', SHARES, ['5', '%'], 'Least choke margin', 'choke margin limit'),
    compressorOutletTemperature: optional(
      'temperature',
      [273.15, 700],
      ['', 'degC'],
      'Compressor outlet temp.',
      'outlet temperature limit',
    ),
    manifoldPressure: optional(
      'pressure-absolute',
      [1e4, 2.2e6],
      ['', 'kPa'],
      'Manifold pressure, absolute',
      'manifold pressure limit',
    ),
    brakePower: optional('power', [1, 1e7], ['', 'kW'], 'Power at the crankshaft', 'brake power limit'),
    torque: added(
      optional('torque', [1, 1e5], ['', 'Nm'], 'Torque of gearbox or clutch', {
        name: 'torque limit',
        help: 'At the crankshaft: what gearbox, clutch or driveline bear.',
      }),
    ),
    backPressureRatio: added(
      optional('pressure-ratio', [0.5, 10], ['', '1'], 'Back-pressure ratio', {
        name: 'back-pressure ratio limit',
        help: 'p3/p_m: pressure ahead of the turbine over that in the manifold. Held where the turbine is known, like the next.',
      }),
    ),
    turbineInletTemperature: added(
      optional('temperature', [600, 1500], ['', 'degC'], 'Turbine inlet temp.', 'turbine inlet temperature limit'),
    ),
    /** Studies over altitude keep off what is extended above the top speed line. */
    stayBelowTopLine: added(onOff(true, 'Stay below the top speed line', 'limit of the top speed line')),
  },
  ...studyFields,
};

/** Fields of a saved place; its air is under the rules of the day's. */
export const placeFields = {
  name: text('Name'),
  ...air,
  barometer: { ...air.barometer, pressure: { ...air.barometer.pressure, name: 'pressure' } },
};
