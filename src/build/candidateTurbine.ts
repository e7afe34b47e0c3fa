import type { AuditFinding } from '../compressor/types.ts';
import { memory } from '../numerics/index.ts';
import type { Curve } from '../numerics/types.ts';
import { estimateCapacity } from '../turbine/index.ts';
import type { TurbineCapacity, TurbineEfficiencyInput, TurbineInput } from '../turbine/types.ts';
import { candidateReader, readCard } from './candidateSurface.ts';
import type { Build, Candidate, Problem } from './document.ts';
import { pathOfPlace } from './draftCells.ts';
import { type BuildReader, buildReader, readLoss } from './fieldReader.ts';
import { fieldAt } from './fields.ts';
import { fitTurbineDraft, type TurbineTables } from './turbineSheet.ts';

/** The turbine of a candidate: what it is computed with, or why it is left out. Paths count from the build. */
export interface CandidateTurbine {
  from: 'none' | 'sheet' | 'measured';
  /** The numbers of the candidate's turbine sheet; null where it has none, or one that cannot be read. */
  sheet: TurbineTables | null;
  /** null: see `problems`. */
  capacity: TurbineCapacity | null;
  /** What is wrong or doubtful with the turbine sheet; places count the rows of its tables. */
  findings: readonly AuditFinding[];
  /** null: no turbine data is chosen, or `problems` says what is missing and where. The compressor side is computed all the same. */
  input: TurbineInput | null;
  problems: readonly Problem[];
  /** Remarks that do not stand in the way. */
  notes: readonly Problem[];
}

type Capacity = Pick<CandidateTurbine, 'sheet' | 'capacity' | 'findings'>;

const known = memory<Candidate, CandidateTurbine>();

/**
 * What is known of a candidate's turbine, in SI; null when there is no such candidate. Never throws. Remembered while candidate and exhaust
 * are the same; a sheet is fitted once, whichever candidates carry it.
 */
export function candidateTurbine(build: Build, index: number): CandidateTurbine | null {
  const candidate = build.candidates[index];
  if (candidate === undefined) return null;
  return known(candidate, [index, build.exhaust], () => read(build, candidate, index));
}

type CardReader = ReturnType<typeof candidateReader>;

function read(build: Build, candidate: Candidate, index: number): CandidateTurbine {
  const from = candidate.turbine.source;
  if (from === 'none') {
    return { from, sheet: null, capacity: null, findings: [], input: null, problems: [], notes: [] };
  }
  const reader = buildReader(build);
  const card = candidateReader(candidate, index, reader);
  const fitted = from === 'sheet' ? ofSheet(candidate, card) : ofMeasurements(build, index, candidate, card);
  const input = readInput(build, index, candidate, fitted.capacity, reader, card);
  return { from, ...fitted, input, problems: reader.problems, notes: reader.notes };
}

const NO_CAPACITY: Capacity = { sheet: null, capacity: null, findings: [] };

function ofSheet(candidate: Candidate, card: CardReader): Capacity {
  const draft = candidate.turbineSheet;
  if (draft === null) {
    card.fail('turbineSheet', `${candidate.name} has no turbine sheet yet. Choose one from the shelf.`);
    return NO_CAPACITY;
  }
  const fit = fitTurbineDraft(draft);
  const isError = ({ severity }: AuditFinding) => severity === 'error';
  const pathOf = ({ place }: AuditFinding) => `turbineSheet${pathOfPlace(place)}`;
  if (fit.capacity === null) {
    const errors = fit.findings.filter(isError);
    for (const finding of errors) card.fail(pathOf(finding), finding.message);
    if (errors.length === 0) card.fail('turbineSheet', `The turbine sheet '${draft.name}' cannot be used yet.`);
  }
  for (const finding of fit.findings) if (!isError(finding)) card.note(pathOf(finding), finding.message);
  return fit;
}

function ofMeasurements(build: Build, index: number, candidate: Candidate, card: CardReader): Capacity {
  const measured = readCard(build, index);
  if (measured === null) return NO_CAPACITY;
  const { inducerM, exducerM, tipHeightM, caliperM } = measured.turbine;
  const areaRadiusM = measured.turbineAreaRadiusM ?? undefined;
  const needed = [
    { path: 'wheels.turbine.inducer', value: inducerM },
    { path: 'wheels.turbine.exducer', value: exducerM },
    { path: 'housing.turbineAreaRadius', value: areaRadiusM },
  ] as const;
  const missing = needed.filter(({ value }) => value === undefined);
  for (const { path } of missing) {
    const { name } = fieldAt(`candidate.${path}`);
    card.fail(path, `To estimate the turbine of ${candidate.name}, measure the ${name} and enter it on the card.`);
  }
  if (missing.length > 0) return NO_CAPACITY;
  const entries = isOneEntry(candidate) ? candidate.turbine.entries : 'all';
  const estimate = estimateCapacity({ inducerM, exducerM, tipHeightM, caliperM, areaRadiusM, entries });
  if (estimate.ok) {
    for (const message of estimate.notes) card.note('turbine', message);
    return { ...NO_CAPACITY, capacity: estimate.capacity };
  }
  card.fail('turbine', `The turbine of ${candidate.name} cannot be estimated without: ${estimate.missing.join(', ')}.`);
  return NO_CAPACITY;
}

/** Figures of one entry of two; a scroll known to be single has but one, so that they are those of all of it. */
function isOneEntry({ turbine, housing }: Candidate): boolean {
  return turbine.entries === 'one' && housing.scroll !== 'single';
}

function readInput(
  build: Build,
  index: number,
  candidate: Candidate,
  capacity: TurbineCapacity | null,
  reader: BuildReader,
  card: CardReader,
): TurbineInput | null {
  const { gate } = candidate.housing;
  if (gate === 'variable-vanes') {
    card.fail(
      'housing.gate',
      'Turbines with variable vanes are not computed. Choose another gate if this one has none.',
    );
  }
  const efficiency = readEfficiency(build, index, candidate, capacity, card);
  const mechanicalEfficiency = candidate.turbine.includesBearing ? 1 : card.number('turbine.mechanicalEfficiency');
  const exhaustLoss = readLoss(build, reader, 'exhaust');
  const temperature = readTemperature(build, reader);
  const gateAreaM2 = gate === 'none' ? undefined : readGate(candidate, card);
  const measuredBackPressureRatio = reader.number('exhaust.measuredBackPressureRatio');
  if (
    reader.problems.length > 0 ||
    capacity === null ||
    efficiency === null ||
    mechanicalEfficiency === null ||
    exhaustLoss === null ||
    temperature === null ||
    measuredBackPressureRatio === null
  ) {
    return null;
  }
  // An estimate has taken the entries into its area.
  const doubled = candidate.turbine.source === 'sheet' && isOneEntry(candidate);
  return {
    capacity,
    efficiency,
    mechanicalEfficiency,
    exhaustLoss,
    ...temperature,
    measuredBackPressureRatio,
    hasGate: gate !== 'none',
    ...(gateAreaM2 === undefined ? {} : { gateAreaM2 }),
    ...(doubled ? { capacityFactor: 2 } : {}),
  };
}

/** Effective area of the open gate; undefined where nothing is entered, and where a problem is. */
function readGate({ name, wastegate }: Candidate, card: CardReader): number | undefined {
  const areaM2 = card.optional('wastegate.area');
  const diameterM = card.optional('wastegate.diameter');
  if (areaM2 !== undefined) {
    if (wastegate.diameter.text.trim() !== '')
      card.note('wastegate.area', `The effective area of the wastegate of ${name} is used; its diameter is not.`);
    return areaM2;
  }
  if (diameterM === undefined) return undefined;
  const flowCoefficient = card.number('wastegate.flowCoefficient');
  return flowCoefficient === null ? undefined : flowCoefficient * (Math.PI / 4) * diameterM * diameterM;
}

function readEfficiency(
  build: Build,
  index: number,
  { name, turbine }: Candidate,
  capacity: TurbineCapacity | null,
  card: CardReader,
): TurbineEfficiencyInput | null {
  const { kind } = turbine.efficiency;
  const onSheet = capacity?.lines.some(({ points }) => points.some((p) => p.efficiency !== null)) ?? false;
  if (onSheet && kind !== 'sheet') {
    card.note(
      'turbine.efficiency.kind',
      `The turbine sheet of ${name} has efficiencies, but those of the card are used. Choose the sheet's if they are meant.`,
    );
  }
  switch (kind) {
    case 'sheet':
      if (onSheet) return { kind: 'sheet' };
      if (turbine.source === 'sheet' && capacity === null) return null;
      return card.fail(
        'turbine.efficiency.kind',
        `There is no turbine sheet with efficiencies to take that of ${name} from. Enter them with its points, or choose a number or a parabola over U/C0.`,
      );
    case 'number': {
      const value = card.number('turbine.efficiency.value');
      return value === null ? null : { kind: 'number', value };
    }
    case 'speed-ratio': {
      const best = card.number('turbine.efficiency.best');
      const optimum = card.number('turbine.efficiency.optimum');
      const wheelDiameterM = readCard(build, index)?.turbine.inducerM;
      if (wheelDiameterM === undefined) {
        return card.fail(
          'wheels.turbine.inducer',
          `The parabola over U/C0 needs the turbine inducer diameter of ${name}. Measure it and enter it on the card.`,
        );
      }
      return best === null || optimum === null ? null : { kind: 'speed-ratio', best, optimum, wheelDiameterM };
    }
  }
}

function readTemperature(build: Build, reader: BuildReader): { inletTemperatureK?: Curve } | null {
  if (build.exhaust.inletTemperature.kind === 'estimated') return {};
  const inletTemperatureK = reader.curve('exhaust.inletTemperature.curve');
  return inletTemperatureK === null ? null : { inletTemperatureK };
}
