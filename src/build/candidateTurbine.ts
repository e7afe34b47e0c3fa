import type { AuditFinding } from '../compressor/types.ts';
import { memory } from '../numerics/index.ts';
import type { Curve } from '../numerics/types.ts';
import { estimateCapacity } from '../turbine/index.ts';
import type { TurbineCapacity, TurbineEfficiencyInput, TurbineInput } from '../turbine/types.ts';
import { type CardNumber, cardNames, cardRules, getCardField } from './candidatePaths.ts';
import { readCard } from './candidateSurface.ts';
import type { Build, Candidate, MapDraft } from './document.ts';
import { fitTurbineDraft, type TurbineTables } from './fitTurbineDraft.ts';
import { InputReader } from './inputReader.ts';
import type { Problem } from './openFormat.ts';
import { pathOfPlace } from './pathOfPlace.ts';

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

function read(build: Build, candidate: Candidate, index: number): CandidateTurbine {
  const from = candidate.turbine.source;
  if (from === 'none') {
    return { from, sheet: null, capacity: null, findings: [], input: null, problems: [], notes: [] };
  }
  const reader = new InputReader(build);
  const path = `candidates[${index}]`;
  const swallowing = from === 'sheet' ? ofSheet(candidate, path, reader) : ofMeasurements(build, index, path, reader);
  const input = readInput(build, index, swallowing.capacity, reader);
  return { from, ...swallowing, input, problems: reader.problems, notes: reader.notes };
}

function ofSheet(candidate: Candidate, path: string, reader: InputReader): Capacity {
  const draft = candidate.turbineSheet;
  if (draft === null) {
    const message = `${candidate.name} has no turbine sheet yet. Choose one from the shelf.`;
    reader.problems.push({ path: `${path}.turbineSheet`, message });
    return { sheet: null, capacity: null, findings: [] };
  }
  const fit = fitTurbineDraft(draft);
  const said = (finding: AuditFinding): Problem => ({
    path: `${path}.turbineSheet${pathOfPlace(finding.place)}`,
    message: finding.message,
  });
  const errors = fit.findings.filter(({ severity }) => severity === 'error').map(said);
  if (fit.capacity === null) reader.problems.push(...(errors.length > 0 ? errors : [unusable(draft, path)]));
  reader.notes.push(...fit.findings.filter(({ severity }) => severity !== 'error').map(said));
  return fit;
}

function unusable(draft: MapDraft, path: string): Problem {
  return { path: `${path}.turbineSheet`, message: `The turbine sheet '${draft.name}' cannot be used yet.` };
}

function ofMeasurements(build: Build, index: number, path: string, reader: InputReader): Capacity {
  const none: Capacity = { sheet: null, capacity: null, findings: [] };
  const candidate = build.candidates[index];
  const card = readCard(build, index);
  if (candidate === undefined || card === null) return none;
  const { inducerM, exducerM, tipHeightM, caliperM } = card.turbine;
  const areaRadiusM = card.turbineAreaRadiusM ?? undefined;
  const needed = [
    { field: 'wheels.turbine.inducer', value: inducerM },
    { field: 'wheels.turbine.exducer', value: exducerM },
    { field: 'housing.turbineAreaRadius', value: areaRadiusM },
  ] as const;
  const missing = needed.filter(({ value }) => value === undefined);
  for (const { field } of missing) {
    const message = `To estimate the turbine of ${candidate.name}, measure the ${cardNames[field]} and enter it on the card.`;
    reader.problems.push({ path: `${path}.${field}`, message });
  }
  if (missing.length > 0) return none;
  const { entries } = candidate.turbine;
  const estimate = estimateCapacity({
    inducerM,
    exducerM,
    tipHeightM,
    caliperM,
    areaRadiusM,
    entries: isOneEntry(candidate) ? entries : 'all',
  });
  if (estimate.ok) {
    reader.notes.push(...estimate.notes.map((message) => ({ path: `${path}.turbine`, message })));
    return { ...none, capacity: estimate.capacity };
  }
  const message = `The turbine of ${candidate.name} cannot be estimated without: ${estimate.missing.join(', ')}.`;
  reader.problems.push({ path: `${path}.turbine`, message });
  return none;
}

/** Figures of one entry of two; a scroll known to be single has but one, so that they are those of all of it. */
function isOneEntry({ turbine, housing }: Candidate): boolean {
  return turbine.entries === 'one' && housing.scroll !== 'single';
}

function readInput(
  build: Build,
  index: number,
  capacity: TurbineCapacity | null,
  reader: InputReader,
): TurbineInput | null {
  const candidate = build.candidates[index];
  if (candidate === undefined) return null;
  const path = `candidates[${index}]`;
  const { gate } = candidate.housing;
  if (gate === 'variable-vanes') {
    const message = 'Turbines with variable vanes are not computed. Choose another gate if this one has none.';
    reader.problems.push({ path: `${path}.housing.gate`, message });
  }
  const efficiency = readEfficiency(build, index, capacity, reader);
  const mechanicalEfficiency = candidate.turbine.includesBearing
    ? 1
    : cardNumber(candidate, 'turbine.mechanicalEfficiency', path, reader);
  const exhaustLoss = readExhaustLoss(reader);
  const temperature = readTemperature(build, reader);
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
    ...(doubled ? { capacityFactor: 2 } : {}),
  };
}

function readEfficiency(
  build: Build,
  index: number,
  capacity: TurbineCapacity | null,
  reader: InputReader,
): TurbineEfficiencyInput | null {
  const candidate = build.candidates[index];
  if (candidate === undefined) return null;
  const path = `candidates[${index}]`;
  const number = (field: CardNumber) => cardNumber(candidate, field, path, reader);
  const { kind } = candidate.turbine.efficiency;
  const has = capacity?.lines.some(({ points }) => points.some((p) => p.efficiency !== null)) ?? false;
  if (has && kind !== 'sheet') {
    const message = `The turbine sheet of ${candidate.name} has efficiencies, but those of the card are used. Choose the sheet's if they are meant.`;
    reader.notes.push({ path: `${path}.turbine.efficiency.kind`, message });
  }
  switch (kind) {
    case 'sheet': {
      if (has) return { kind: 'sheet' };
      if (candidate.turbine.source === 'sheet' && capacity === null) return null;
      const message = `There is no turbine sheet with efficiencies to take that of ${candidate.name} from. Enter them with its points, or choose a number or a parabola over U/C0.`;
      reader.problems.push({ path: `${path}.turbine.efficiency.kind`, message });
      return null;
    }
    case 'number': {
      const value = number('turbine.efficiency.value');
      return value === null ? null : { kind: 'number', value };
    }
    case 'speed-ratio': {
      const best = number('turbine.efficiency.best');
      const optimum = number('turbine.efficiency.optimum');
      const wheelDiameterM = readCard(build, index)?.turbine.inducerM;
      if (wheelDiameterM === undefined) {
        const message = `The parabola over U/C0 needs the turbine inducer diameter of ${candidate.name}. Measure it and enter it on the card.`;
        reader.problems.push({ path: `${path}.wheels.turbine.inducer`, message });
      }
      if (best === null || optimum === null || wheelDiameterM === undefined) return null;
      return { kind: 'speed-ratio', best, optimum, wheelDiameterM };
    }
  }
}

/** A number of the card that the turbine cannot do without. */
function cardNumber(candidate: Candidate, field: CardNumber, path: string, reader: InputReader): number | null {
  const { optional: _needed, ...rule } = cardRules[field];
  return reader.typed(getCardField(candidate, field), rule, `${path}.${field}`, cardNames[field]) ?? null;
}

function readExhaustLoss(reader: InputReader): TurbineInput['exhaustLoss'] | null {
  const lossPa = reader.number('exhaust.loss');
  const atMassFlowKgPerS = reader.number('exhaust.atFlow');
  const atDensityKgPerM3 = reader.number('exhaust.atDensity');
  if (lossPa === null || atMassFlowKgPerS === null || atDensityKgPerM3 === null) return null;
  return { lossPa, atMassFlowKgPerS, atDensityKgPerM3 };
}

function readTemperature(build: Build, reader: InputReader): { inletTemperatureK?: Curve } | null {
  if (build.exhaust.inletTemperature.kind === 'estimated') return {};
  const inletTemperatureK = reader.curve('exhaust.inletTemperature.curve');
  return inletTemperatureK === null ? null : { inletTemperatureK };
}
