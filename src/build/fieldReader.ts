import type { LossInput } from '../engine/types.ts';
import type { Curve, CurvePoint } from '../numerics/types.ts';
import { findUnit, formatQuantity, fromSi, parseQuantity, quantities } from '../units/index.ts';
import { buildFields } from './buildFields.ts';
import type { Build, Problem } from './document.ts';
import {
  type At,
  type CurveField,
  type FieldRule,
  type Fields,
  type GroupsOf,
  isField,
  type NumberField,
  type PathsOfKind,
  type SiOf,
  siName,
  type Typed,
  type TypedCurve,
  valueAt,
} from './field.ts';

/** What was read and what cannot be: problems stand in the way, notes do not. Paths count from the build. */
interface Found {
  readonly problems: Problem[];
  readonly notes: Problem[];
}

const ROW_SPEED: FieldRule = { quantity: 'engine-speed', low: 0, high: 30_000 };

/** Reads fields as SI numbers and gathers what cannot be read. A number that failed comes back as null. */
export class FieldReader<F extends Fields> {
  readonly problems: Problem[];
  readonly notes: Problem[];
  readonly #fields: F;
  readonly #values: unknown;
  readonly #where: string;
  readonly #named: (name: string) => string;

  /**
   * @param values what holds the fields: a build, a candidate, a saved place
   * @param where path of it in the build, with the dot behind it
   * @param named the name of a field in a sentence, when it needs more than the table says
   */
  constructor(fields: F, values: unknown, found: Found, where = '', named = (name: string) => name) {
    this.problems = found.problems;
    this.notes = found.notes;
    this.#fields = fields;
    this.#values = values;
    this.#where = where;
    this.#named = named;
  }

  /** A number that must be there, also where the field may stay empty. */
  number(path: PathsOfKind<F, NumberField>): number | null {
    return this.#typed(path, false) ?? null;
  }

  /** A number that may stay empty: undefined then, and where it cannot be read. */
  optional(path: PathsOfKind<F, NumberField>): number | undefined {
    return this.#typed(path, true) ?? undefined;
  }

  /** All numbers and curves of a group under their names with the SI unit; null: one that must be there failed. Further groups are passed over. */
  group<P extends GroupsOf<F>, Not extends string = never>(path: P, except?: Not): Omit<SiOf<At<F, P>>, Not> | null {
    const read: [string, unknown][] = [];
    for (const [key, field] of Object.entries(valueAt(this.#fields, path) as Fields)) {
      if (key === except || !isField(field) || (field.kind !== 'number' && field.kind !== 'curve')) continue;
      const at = `${path}.${key}`;
      const value =
        field.kind === 'curve'
          ? this.curve(at as PathsOfKind<F, CurveField>)
          : (this.#typed(at, field.optional) ?? (field.optional ? undefined : null));
      if (value !== undefined) read.push([siName(key, quantities[field.quantity].siUnit), value]);
    }
    return read.some(([, value]) => value === null) ? null : (Object.fromEntries(read) as Omit<SiOf<At<F, P>>, Not>);
  }

  /**
   * A curve, its points sorted by engine speed. Empty rows are passed over; a row that cannot be read is left out with a note, as
   * long as another row remains.
   */
  curve(path: PathsOfKind<F, CurveField>): Curve | null {
    const field = valueAt(this.#fields, path) as CurveField;
    const { rows, unit } = valueAt(this.#values, path) as TypedCurve;
    const name = this.#named(field.name);
    const before = this.problems.length;
    const points = new Map<number, CurvePoint>();
    rows.forEach((row, index) => {
      if (row.engineSpeed.trim() === '' && row.value.trim() === '') return;
      const at = `${path}.rows[${index}]`;
      const ofRow = `${name}, row ${index + 1}`;
      const speed = { text: row.engineSpeed, unit: 'rpm' };
      const engineSpeedRpm = this.#read(speed, ROW_SPEED, `${at}.engineSpeed`, `engine speed of ${ofRow}`);
      const value = this.#read({ text: row.value, unit }, field, `${at}.value`, `value of ${ofRow}`);
      if (engineSpeedRpm === null || value === null) return;
      if (points.has(engineSpeedRpm)) {
        this.fail(at, `The ${name} has two rows for ${engineSpeedRpm} rpm; the first is used. Remove one.`);
      } else points.set(engineSpeedRpm, { engineSpeedRpm, value });
    });
    if (points.size > 0) this.notes.push(...this.problems.splice(before));
    else if (this.problems.length === before) this.fail(path, `The ${name} is missing. Enter at least one row.`);
    return points.size === 0 ? null : [...points.values()].sort((a, b) => a.engineSpeedRpm - b.engineSpeedRpm);
  }

  /**
   * Even steps between two numbers of a group with `from`, `to` and `step`, rising.
   * @param most more than these are no table but a load on the machine
   * @param of what they are, for a sentence: 'engine speed'
   */
  steps(group: GroupsOf<F>, most: number, of: string): number[] | null {
    const [from, to, step] = ['from', 'to', 'step'].map((key) =>
      this.number(`${group}.${key}` as PathsOfKind<F, NumberField>),
    );
    if (from == null || to == null || step == null) return null;
    if (to < from) return this.fail(`${group}.to`, `The highest ${of} is below the lowest. Change one of them.`);
    if ((to - from) / step > most) {
      return this.fail(`${group}.step`, `This step gives more than ${most} ${of}s. Enter a larger one.`);
    }
    const values: number[] = [];
    // Counted, not added up: 0.1 ten times is not 1. The highest always has a value of its own.
    for (let i = 0; from + i * step < to - 1e-6 * step; i += 1) values.push(from + i * step);
    return [...values, to];
  }

  fail(path: string, message: string): null {
    this.problems.push({ path: this.#where + path, message });
    return null;
  }

  note(path: string, message: string): void {
    this.notes.push({ path: this.#where + path, message });
  }

  /** undefined: empty and allowed to be; null: a problem was noted. */
  #typed(path: string, isOptional: boolean): number | null | undefined {
    const typed = valueAt(this.#values, path) as Typed;
    const field = valueAt(this.#fields, path) as NumberField;
    if (isOptional && typed.text.trim() === '') return undefined;
    return this.#read(typed, field, path, this.#named(field.name));
  }

  #read({ text, unit }: Typed, rule: FieldRule, path: string, name: string): number | null {
    if (text.trim() === '') return this.fail(path, `The ${name} is missing. Enter it.`);
    const known = findUnit(rule.quantity, unit);
    if (known === null) return this.fail(path, `The ${name} has a unit that is not known: '${unit}'. Choose one.`);
    const parsed = parseQuantity(text, rule.quantity, unit);
    if (!parsed.ok) return this.fail(path, `The ${name}: ${parsed.message}`);
    // A bound typed in another unit must not fail by a rounding of the conversion.
    const slack = 1e-9 * Math.max(Math.abs(rule.low), Math.abs(rule.high));
    if (parsed.si >= rule.low - slack && parsed.si <= rule.high + slack)
      return Math.min(Math.max(parsed.si, rule.low), rule.high);
    const bound = (si: number) => {
      const decimals = Math.max(
        known.decimals,
        Math.min(6, Math.ceil(-Math.log10(Math.abs(fromSi(si, rule.quantity, unit)) || 1))),
      );
      return formatQuantity(si, rule.quantity, unit, { decimals });
    };
    return this.fail(
      path,
      `The ${name} must be between ${bound(rule.low)} and ${bound(rule.high)}; '${text.trim()}' is not. Check number and unit.`,
    );
  }
}

export type BuildReader = FieldReader<typeof buildFields>;

/** A reader of the fields of a build, with lists of its own. */
export function buildReader(build: Build): BuildReader {
  return new FieldReader(buildFields, build, { problems: [], notes: [] });
}

/** A pressure loss with the flow and density that it was measured at, of a branch or shared. */
export function readLoss(
  build: Build,
  reader: BuildReader,
  part: 'inletPath' | 'chargePath' | 'exhaust',
): LossInput | null {
  const lossPa = reader.number(`${part}.loss`);
  const atMassFlowKgPerS = reader.number(`${part}.atFlow`);
  const atDensityKgPerM3 = reader.number(`${part}.atDensity`);
  if (lossPa === null || atMassFlowKgPerS === null || atDensityKgPerM3 === null) return null;
  return { of: build[part].of, lossPa, atMassFlowKgPerS, atDensityKgPerM3 };
}
