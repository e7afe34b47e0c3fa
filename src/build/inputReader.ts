import type { Curve, CurvePoint } from '../numerics/types.ts';
import { findUnit, formatQuantity, fromSi, parseQuantity } from '../units/index.ts';
import { getBuildField } from './buildPaths.ts';
import type { Build, Typed } from './document.ts';
import { fieldNames } from './fieldNames.ts';
import { type CurvePath, type FieldRule, fieldRules, type NumberPath } from './fieldRules.ts';
import type { Problem } from './openFormat.ts';

/** Reads fields of a build as SI numbers and gathers what cannot be read. A number that failed comes back as null. */
export class InputReader {
  readonly problems: Problem[] = [];
  readonly notes: Problem[] = [];
  readonly #build: Build;

  constructor(build: Build) {
    this.#build = build;
  }

  /** A number that must be there. */
  number(path: NumberPath): number | null {
    const value = this.typed(getBuildField(this.#build, path), fieldRules[path], path, fieldNames[path]);
    return value === undefined ? null : value;
  }

  /** A number that may stay empty: undefined then. */
  optional(path: NumberPath): number | undefined {
    return this.typed(getBuildField(this.#build, path), fieldRules[path], path, fieldNames[path]) ?? undefined;
  }

  /** undefined: empty and allowed to be; null: a problem was noted. */
  typed(typed: Typed, rule: FieldRule, path: string, name: string): number | null | undefined {
    if (typed.text.trim() === '') {
      if (rule.optional) return undefined;
      return this.#fail(path, `The ${name} is missing. Enter it.`);
    }
    return this.#read(typed.text, typed.unit, rule, path, name);
  }

  /**
   * A curve, its points sorted by engine speed. Empty rows are passed over; a row that cannot be read is left out with a note, as
   * long as another row remains.
   */
  curve(path: CurvePath): Curve | null {
    const curve = getBuildField(this.#build, path);
    const rule = fieldRules[path];
    const before = this.problems.length;
    const points = new Map<number, CurvePoint>();
    curve.rows.forEach((row, index) => {
      if (row.engineSpeed.trim() === '' && row.value.trim() === '') return;
      const point = this.#row(row, curve.unit, rule, `${path}.rows[${index}]`, `${fieldNames[path]}, row ${index + 1}`);
      if (point === null) return;
      if (points.has(point.engineSpeedRpm)) {
        this.#fail(
          `${path}.rows[${index}]`,
          `The ${fieldNames[path]} has two rows for ${point.engineSpeedRpm} rpm; the first is used. Remove one.`,
        );
      } else points.set(point.engineSpeedRpm, point);
    });
    if (points.size > 0) this.notes.push(...this.problems.splice(before));
    else if (this.problems.length === before)
      this.#fail(path, `The ${fieldNames[path]} is missing. Enter at least one row.`);
    return points.size === 0 ? null : [...points.values()].sort((a, b) => a.engineSpeedRpm - b.engineSpeedRpm);
  }

  #row(
    row: { engineSpeed: string; value: string },
    unit: string,
    rule: FieldRule,
    path: string,
    name: string,
  ): CurvePoint | null {
    const speedRule: FieldRule = { quantity: 'engine-speed', low: 0, high: 30_000 };
    const speed = { text: row.engineSpeed, unit: 'rpm' };
    const engineSpeedRpm = this.typed(speed, speedRule, `${path}.engineSpeed`, `engine speed of ${name}`);
    const value = this.typed({ text: row.value, unit }, { ...rule }, `${path}.value`, `value of ${name}`);
    return typeof engineSpeedRpm === 'number' && typeof value === 'number' ? { engineSpeedRpm, value } : null;
  }

  #read(text: string, unit: string, rule: FieldRule, path: string, name: string): number | null {
    const known = findUnit(rule.quantity, unit);
    if (known === null) return this.#fail(path, `The ${name} has a unit that is not known: '${unit}'. Choose one.`);
    const parsed = parseQuantity(text, rule.quantity, unit);
    if (!parsed.ok) return this.#fail(path, `The ${name}: ${parsed.message}`);
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
    return this.#fail(
      path,
      `The ${name} must be between ${bound(rule.low)} and ${bound(rule.high)}; '${text.trim()}' is not. Check number and unit.`,
    );
  }

  #fail(path: string, message: string): null {
    this.problems.push({ path, message });
    return null;
  }
}
