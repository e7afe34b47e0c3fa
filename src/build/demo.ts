import { memory } from '../numerics/index.ts';
import { sheetToDraft } from './compressorSheet.ts';
import { defaultBuild, defaultCandidate, emptyCard, workspaceOf } from './defaults.ts';
import factorySize from './demo/factory-size.json' with { type: 'json' };
import factorySizeTurbine from './demo/factory-size-turbine.json' with { type: 'json' };
import largeSingle from './demo/large-single.json' with { type: 'json' };
import largeSingleTurbine from './demo/large-single-turbine.json' with { type: 'json' };
import largerDropIn from './demo/larger-drop-in.json' with { type: 'json' };
import largerDropInTurbine from './demo/larger-drop-in-turbine.json' with { type: 'json' };
import small from './demo/small.json' with { type: 'json' };
import smallTurbine from './demo/small-turbine.json' with { type: 'json' };
import type { Build, Candidate, MapDraft, SavedPlace, Typed, Workspace } from './document.ts';
import { typedCurve } from './field.ts';
import type { CompressorFile, TurbineFile } from './schema.ts';
import { turbineSheetOfFile, turbineSheetToDraft } from './turbineFile.ts';

const typed = (text: string, unit: string): Typed => ({ text, unit });

/**
 * The build that a fresh profile opens with. Car, place, job and both turbos are invented and marked so; the figures are of the
 * kind that such a car has, shaped to show what the program is for: one turbo that is busy at sea level and over its speed up the
 * mountain, another that has room to spare at the top and less of it at the bottom.
 */
export function demoBuild(): Build {
  const plain = defaultBuild('demo', 'Demo: hill coupe, Varn Pass');
  return {
    ...plain,
    invented: true,
    notes: DEMO_NOTES,
    engine: {
      ...plain.engine,
      displacement: typed('1.95', 'L'),
      compressionRatio: typed('9.6', '1'),
      volumetricEfficiency: typedCurve(
        '%',
        ['2000', '88'],
        ['3000', '95'],
        ['4500', '98'],
        ['5500', '96'],
        ['6500', '89'],
      ),
      lambda: typedCurve('1', ['2000', '0.92'], ['4000', '0.86'], ['6500', '0.80']),
      bsfc: typedCurve('g/kWh', ['2000', '285'], ['4000', '295'], ['6500', '325']),
    },
    fuelSupply: {
      ...plain.fuelSupply,
      checked: true,
      injectorFlow: typed('980', 'cc/min'),
      injectorRatedPressure: typed('100', 'bar'),
      railPressure: typed('150', 'bar'),
      railReference: 'ambient',
      // A direct injector has only the intake and compression strokes to spray into.
      dutyLimit: typed('35', '%'),
    },
    air: {
      ...plain.air,
      altitude: typed('620', 'm'),
      temperature: typed('24', 'degC'),
      relativeHumidity: typed('45', '%'),
    },
    goal: {
      kind: 'gauge-boost',
      curves: {
        ...plain.goal.curves,
        'gauge-boost': typedCurve(
          'bar',
          ['2000', '0.10'],
          ['2500', '0.30'],
          ['3000', '0.95'],
          ['3500', '1.25'],
          ['5000', '1.40'],
          ['6500', '1.28'],
        ),
      },
    },
    limits: { ...plain.limits, compressorOutletTemperature: typed('180', 'degC') },
    places: [
      demoPlace('demo-pass', 'Varn Pass, hot day', '2050', '27', '35'),
      demoPlace('demo-coast', 'Ostra harbour, winter', '5', '4', '80'),
    ],
    candidates: demoCandidates(),
  };
}

function demoCandidates(): Candidate[] {
  return [
    {
      ...demoCandidate('demo-a', 'Factory size', demoMap(factorySize, 'demo-map-a')),
      ...demoTurbine(demoMap(factorySizeTurbine, 'demo-turbine-a'), '20.5'),
      wheels: demoWheels(['42.50', '56.00', '3.90'], ['47.20', '42.60', '7.00']),
      notes: 'Invented. Measured on the bench, out of the car.',
    },
    {
      ...demoCandidate('demo-b', 'Larger drop-in', demoMap(largerDropIn, 'demo-map-b')),
      ...demoTurbine(demoMap(largerDropInTurbine, 'demo-turbine-b'), '25.5'),
      wheels: demoWheels(['48.50', '61.50', '4.20'], ['50.10', '45.50', '7.40']),
      claim: { kind: 'flow', gain: typed('25', '%') },
      notes: 'Invented. The seller says: flows 25 % more.',
    },
  ];
}

const DEMO_NOTES =
  'Invented for demonstration: no such car, place or turbo exists. Job 0412: a four-cylinder hill coupe is to keep its boost from the valley (620 m) to the Varn Pass (2050 m). Try the altitude.';

const V6_NOTES =
  'Invented for demonstration: no such car or turbo exists. Job 0433: a V6 with two small turbos; would one large one do as well? Flows, speeds and margins are per turbo, air, fuel and power the engine’s. Each turbo has a filter of its own; cooler and exhaust are shared.';

/**
 * A second one, from the menu of builds: two small turbos against one large on the same engine. The two come in earlier; the large one
 * compresses with less waste and leaves less back-pressure at the top.
 */
export function demoV6(): Build {
  const plain = demoBuild();
  return {
    ...plain,
    id: 'demo-v6',
    name: 'Demo: V6, two small or one large',
    notes: V6_NOTES,
    engine: {
      ...plain.engine,
      displacement: typed('3.0', 'L'),
      cylinders: typed('6', '1'),
      compressionRatio: typed('9.8', '1'),
    },
    fuelSupply: { ...plain.fuelSupply, injectorCount: typed('6', '1') },
    air: { ...plain.air, altitude: typed('240', 'm'), temperature: typed('22', 'degC') },
    inletPath: { ...plain.inletPath, loss: typed('2.0', 'kPa') },
    chargePath: { ...plain.chargePath, of: 'shared', loss: typed('9', 'kPa'), atFlow: typed('0.32', 'kg/s') },
    exhaust: { ...plain.exhaust, of: 'shared', loss: typed('18', 'kPa'), atFlow: typed('0.34', 'kg/s') },
    goal: {
      ...plain.goal,
      curves: {
        ...plain.goal.curves,
        'gauge-boost': typedCurve(
          'bar',
          ['2000', '0.10'],
          ['2500', '0.35'],
          ['3000', '0.95'],
          ['3500', '1.10'],
          ['5500', '1.05'],
          ['6500', '0.90'],
        ),
      },
    },
    limits: { ...plain.limits, compressorOutletTemperature: typed('170', 'degC') },
    fitment: plain.fitment.slice(0, 8),
    places: [demoPlace('demo-v6-pass', 'Varn Pass', '2050', '27', '35')],
    candidates: [
      {
        ...demoCandidate('demo-v6-a', 'Two small', demoMap(small, 'demo-map-c')),
        ...demoTurbine(demoMap(smallTurbine, 'demo-turbine-c'), '18.5'),
        turboCount: 2,
        wheels: demoWheels(['36.50', '48.00', '3.40'], ['39.00', '35.00', '5.80']),
        notes: 'Invented. One for each bank.',
      },
      {
        ...demoCandidate('demo-v6-b', 'One large', demoMap(largeSingle, 'demo-map-d')),
        ...demoTurbine(demoMap(largeSingleTurbine, 'demo-turbine-d'), '32.5'),
        wheels: demoWheels(['59.50', '76.50', '5.30'], ['65.00', '59.00', '9.60']),
        claim: { kind: 'flow', gain: typed('10', '%') },
        notes: 'Invented. The seller says: flows 10 % more than the two together.',
      },
    ],
  };
}

/** A fresh profile: the demonstration build, its two maps and two turbine sheets. */
export function demoWorkspace(): Workspace {
  return workspaceOf([demoBuild()]);
}

function demoPlace(
  id: string,
  name: string,
  altitudeM: string,
  temperatureC: string,
  humidityPercent: string,
): SavedPlace {
  return {
    id,
    name,
    altitude: typed(altitudeM, 'm'),
    barometer: { kind: 'standard', pressure: typed('1013.25', 'hPa') },
    temperature: typed(temperatureC, 'degC'),
    relativeHumidity: typed(humidityPercent, '%'),
  };
}

/**
 * Invented: inducer, exducer and tip height of the compressor and of the turbine; both with six full blades and splitters, the turbines
 * with nine blades.
 */
function demoWheels(
  [inducer, exducer, tipHeight]: readonly [string, string, string],
  [turbineInducer, turbineExducer, turbineTipHeight]: readonly [string, string, string],
): Candidate['wheels'] {
  const { wheels } = emptyCard();
  const mm = (text: string) => typed(text, 'mm');
  return {
    ...wheels,
    compressor: {
      inducer: mm(inducer),
      exducer: mm(exducer),
      tipHeight: mm(tipHeight),
      fullBlades: typed('6', '1'),
      splitterBlades: typed('6', '1'),
    },
    turbine: {
      ...wheels.turbine,
      inducer: mm(turbineInducer),
      exducer: mm(turbineExducer),
      tipHeight: mm(turbineTipHeight),
      fullBlades: typed('9', '1'),
      splitterBlades: typed('0', '1'),
    },
  };
}

function demoCandidate(id: string, name: string, map: MapDraft): Candidate {
  return { ...defaultCandidate(id, name), map };
}

/** Invented: a single scroll with its gate inside, read off a sheet that has efficiencies; A/R in mm. */
function demoTurbine(
  turbineSheet: MapDraft,
  areaRadius: string,
): Pick<Candidate, 'turbine' | 'turbineSheet' | 'housing'> {
  const { turbine, housing } = emptyCard();
  return {
    turbineSheet,
    turbine: { ...turbine, source: 'sheet', efficiency: { ...turbine.efficiency, kind: 'sheet' } },
    housing: {
      ...housing,
      turbineAreaRadius: typed(areaRadius, 'mm'),
      scroll: 'single',
      bearing: 'journal',
      gate: 'internal',
    },
  };
}

/**
 * Each is read once, so that one fit, which goes by the identity of a map's tables, does for all workspaces that hold it. Not through the
 * schemas, which the first picture would wait for: `demo.test.ts` holds the result against theirs.
 */
const demoMaps = memory<object, MapDraft>();

function demoMap(json: object, id: string): MapDraft {
  return demoMaps(json, [id], () => {
    const file = json as CompressorFile | TurbineFile;
    if (file.kind !== 'turbine') return sheetToDraft(file, id);
    const sheet = turbineSheetOfFile(file);
    if (Array.isArray(sheet)) throw new Error('A demonstration sheet cannot be read: this is a fault of the program.');
    return turbineSheetToDraft(sheet, id);
  });
}
