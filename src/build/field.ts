import type { Curve } from '../numerics/types.ts';
import { convertText, findUnit, type QuantityKey, type SiUnitOf, type UnitSystem, unitsOf } from '../units/index.ts';

/** A number as it was typed: conversion to SI happens in fieldReader.ts and nowhere else. */
export interface Typed {
  /** Exactly what was typed, readable as a number ('20,5', '1.8e5', '0.30'). */
  text: string;
  /** Unit key of src/units. */
  unit: string;
}

/** A curve over engine speed as a small table. One row is a constant. */
export interface TypedCurve {
  /** Unit of the values. */
  unit: string;
  /** engineSpeed in rpm. */
  rows: readonly { engineSpeed: string; value: string }[];
}

/** What a number means and what it can be, in SI. Bounds keep out slips of unit and sign, not unusual cars. */
export interface FieldRule {
  quantity: QuantityKey;
  /** Lowest and highest value in SI, both allowed. */
  low: number;
  high: number;
  /** May stay empty: then it does not apply. */
  optional?: boolean | undefined;
}

interface Shown {
  /** Beside the input. */
  label: string;
  /** In a sentence: 'change altitude', 'The altitude is missing'. */
  name: string;
  help?: string;
  /** Shown faintly while empty. */
  placeholder?: string;
  /** Label above the input, for what is too long beside it. */
  stacked?: true;
}

export interface NumberField<Q extends QuantityKey = QuantityKey> extends Shown, FieldRule {
  kind: 'number';
  quantity: Q;
  optional: boolean;
  /** Keys of the units to offer; all without it. */
  units?: readonly string[];
  start: Typed;
  /** Text and unit of the start value in US units, where it is not simply the other one converted. */
  us?: readonly [string, string];
}
interface OptionalField<Q extends QuantityKey = QuantityKey> extends NumberField<Q> {
  optional: true;
}
export interface CurveField<Q extends QuantityKey = QuantityKey> extends Shown, FieldRule {
  kind: 'curve';
  quantity: Q;
  start: TypedCurve;
}
export interface ChoiceField<K extends string | number = string | number> extends Shown {
  kind: 'choice';
  /** In the order in which problems of a file name them. */
  options: readonly { key: K; name: string }[];
  /** Options that stand first on the screen. */
  first: readonly K[];
  start: K;
  /** In a build in US units: what it starts with, and other names of options. */
  us?: { start?: K; names?: Readonly<Partial<Record<K, string>>> };
}
export interface SwitchField extends Shown {
  kind: 'switch';
  start: boolean;
}
interface TextField extends Shown {
  kind: 'text';
  start: string;
  /** More than 1: a box of that many lines. */
  rows?: number;
  /** Longest text that is taken. */
  most?: number;
}

/** One input of the program. */
export type Field = NumberField | CurveField | ChoiceField | SwitchField | TextField;
/** Inputs in groups, nested as the document is. */
export interface Fields {
  readonly [key: string]: Field | Fields;
}

/** What a field or a group of fields holds in the document. */
export type ValueOf<F> = F extends NumberField
  ? Typed
  : F extends CurveField
    ? TypedCurve
    : F extends ChoiceField<infer K>
      ? K
      : F extends SwitchField
        ? boolean
        : F extends TextField
          ? string
          : { [K in keyof F & string]: ValueOf<F[K]> };

/** Every field of a group by its place: 'air.altitude', 'chargePath.cooler.kind'. */
export type PathsOf<F> = {
  [K in keyof F & string]: F[K] extends Field ? K : `${K}.${PathsOf<F[K]>}`;
}[keyof F & string];

/** Every group in a group by its place: 'chargePath', 'chargePath.cooler'. */
export type GroupsOf<F> = {
  [K in keyof F & string]: F[K] extends Field ? never : K | `${K}.${GroupsOf<F[K]>}`;
}[keyof F & string];

/** The field or group at a path. */
export type At<F, P extends string> = P extends `${infer K}.${infer Rest}`
  ? K extends keyof F
    ? At<F[K], Rest>
    : never
  : P extends keyof F
    ? F[P]
    : never;

/** Paths of the fields of one kind. */
export type PathsOfKind<F, Kind extends Field> = {
  [P in PathsOf<F>]: At<F, P> extends Kind ? P : never;
}[PathsOf<F>];

/** How the SI unit is written behind a name: displacementM3, atDensityKgPerM3. */
const SUFFIXES = {
  Pa: 'Pa',
  K: 'K',
  m: 'M',
  'm²': 'M2',
  'm³': 'M3',
  'kg/s': 'KgPerS',
  'm³/s': 'M3PerS',
  'kg/m³': 'KgPerM3',
  rpm: 'Rpm',
  'm/s': 'MPerS',
  W: 'W',
  N·m: 'Nm',
  'kg/J': 'KgPerJ',
  kg: 'Kg',
  'kg·m²': 'KgM2',
  s: 'S',
  '1': '',
} as const satisfies Record<SiUnitOf<QuantityKey>, string>;

type SiName<K extends string, Q extends QuantityKey> = `${K}${(typeof SUFFIXES)[SiUnitOf<Q>]}`;

/** Numbers and curves of a group in SI, each under its name with its unit; what may stay empty can be absent. */
export type SiOf<F> = {
  [K in keyof F & string as F[K] extends OptionalField ? never : SiKey<F, K>]: F[K] extends CurveField ? Curve : number;
} & {
  [K in keyof F & string as F[K] extends OptionalField ? SiKey<F, K> : never]?: number;
};
type SiKey<F, K extends keyof F & string> = F[K] extends NumberField<infer Q> | CurveField<infer Q>
  ? SiName<K, Q>
  : never;

export function siName(key: string, siUnit: string): string {
  return `${key}${SUFFIXES[siUnit as keyof typeof SUFFIXES]}`;
}

/** Marks what came after the first files: where an older file has none of it, the start values hold. */
export const ADDED = Symbol('added');

export function added<F extends Field | Fields>(part: F): F {
  return { ...part, [ADDED]: true };
}

/** How a field is called in a sentence, where that is not its label, or more about it. */
type More<F extends Field> = string | Partial<Omit<F, 'kind' | 'start' | 'label'>>;

function shown<F extends Field>(label: string, more: More<F> = {}) {
  const name = label.charAt(0).toLowerCase() + label.slice(1);
  return { label, name, ...(typeof more === 'string' ? { name: more } : more) };
}

/**
 * A number that must be there.
 * @param range lowest and highest in SI, both allowed
 * @param start text and unit that a new build has
 */
export function number<Q extends QuantityKey>(
  quantity: Q,
  [low, high]: readonly [number, number],
  [text, unit]: readonly [string, string],
  label: string,
  more?: More<NumberField>,
): NumberField<Q> {
  return { kind: 'number', low, high, start: { text, unit }, optional: false, ...shown(label, more), quantity };
}

/** A number that may stay empty: then it does not apply, or was not measured. */
export function optional<Q extends QuantityKey>(
  quantity: Q,
  range: readonly [number, number],
  start: readonly [string, string],
  label: string,
  more?: More<NumberField>,
): OptionalField<Q> {
  return { placeholder: 'none', ...number(quantity, range, start, label, more), optional: true };
}

/** A curve over engine speed; `rows`: engine speed in rpm and value, as typed. */
export function curve<Q extends QuantityKey>(
  quantity: Q,
  [low, high]: readonly [number, number],
  start: TypedCurve,
  label: string,
  more?: More<CurveField>,
): CurveField<Q> {
  return { kind: 'curve', low, high, start, ...shown(label, more), quantity };
}

export function typedCurve(unit: string, ...rows: readonly (readonly [string, string])[]): TypedCurve {
  return { unit, rows: rows.map(([engineSpeed, value]) => ({ engineSpeed, value })) };
}

/** One of several. Keys that read as numbers are numbers where the start value is one. */
export function choice<const K extends string | number>(
  names: Readonly<Record<K, string>>,
  start: NoInfer<K>,
  label: string,
  more?: More<ChoiceField<NoInfer<K>>>,
): ChoiceField<K> {
  const keyOf = (key: string) => (typeof start === 'number' ? Number(key) : key) as K;
  const options = Object.entries<string>(names).map(([key, name]) => ({ key: keyOf(key), name }));
  return { kind: 'choice', first: [], ...shown(label, more), options, start };
}

export function onOff(start: boolean, label: string, more?: More<SwitchField>): SwitchField {
  return { kind: 'switch', start, ...shown(label, more) };
}

export function text(label: string, more?: More<TextField>): TextField {
  return { kind: 'text', start: '', ...shown(label, more) };
}

export function isField(part: Field | Fields): part is Field {
  return typeof part.kind === 'string';
}

/** What a new document in that system of units holds at a field or in a group. */
export function startOf<F extends Field | Fields>(part: F, system: UnitSystem = 'metric'): ValueOf<F> {
  const value = isField(part)
    ? startOfField(part, system)
    : Object.fromEntries(Object.entries(part).map(([key, inner]) => [key, startOf(inner, system)]));
  return value as ValueOf<F>;
}

/** A start value is a round middling figure, and stays one in other units. */
const ROUND = 4e-3;

function startOfField(field: Field, system: UnitSystem): unknown {
  if (system === 'metric') return field.start;
  if (field.kind === 'choice') return field.us?.start ?? field.start;
  if (field.kind === 'number' && field.us !== undefined) return { text: field.us[0], unit: field.us[1] };
  return field.kind === 'number' || field.kind === 'curve' ? converted(field, field.start, system, ROUND) : field.start;
}

/** The unit that a field has in a system. */
function unitIn(field: NumberField | CurveField, system: UnitSystem): string {
  const { quantity, start } = field;
  if (system === 'metric') return start.unit;
  const own = field.kind === 'number' ? field.us?.[1] : undefined;
  return own ?? unitsOf(quantity, 'us').find((unit) => unit.system === 'us')?.key ?? start.unit;
}

/** Whether a unit is not one of a system. Shaft speeds in krpm are as good in one as in the other. */
function isForeign(field: NumberField | CurveField, unit: string, system: UnitSystem): boolean {
  const here = findUnit(field.quantity, unit);
  const there = findUnit(field.quantity, unitIn(field, system));
  if (here === null || here.key === there?.key || here.system === system) return false;
  return here.system !== 'both' || there?.system === system;
}

/** A number or curve in the unit of a system; `share` of each value may be lost for fewer digits. */
function converted<T extends Typed | TypedCurve>(
  field: NumberField | CurveField,
  typed: T,
  system: UnitSystem,
  share: number,
): T {
  if (!isForeign(field, typed.unit, system)) return typed;
  const unit = unitIn(field, system);
  const convert = (text: string) => convertText(text, field.quantity, [typed.unit, unit], { share });
  if ('rows' in typed)
    return { ...typed, unit, rows: typed.rows.map((row) => ({ ...row, value: convert(row.value) })) };
  return { ...typed, unit, text: convert(typed.text) };
}

/** Less than anybody knows of what is typed; brings 2034 ft back to 620 m. */
const CONVERTED = 1e-4;

/** Everything typed in a group of fields, in the units of a system: what has a unit of it already stays as it was typed. */
export function inSystem<V>(fields: Fields, values: V, system: UnitSystem): V {
  let next = values as Readonly<Record<string, unknown>>;
  for (const [key, field] of Object.entries(fields)) {
    const value = next[key];
    if (value === undefined || value === null) continue;
    let changed: unknown = value;
    if (!isField(field)) changed = inSystem(field, value, system);
    else if (field.kind === 'number' || field.kind === 'curve') {
      const typed = value as Typed | TypedCurve;
      const isStart = JSON.stringify(typed) === JSON.stringify(startOfField(field, system === 'us' ? 'metric' : 'us'));
      changed =
        isStart && isForeign(field, typed.unit, system)
          ? startOfField(field, system)
          : converted(field, typed, system, CONVERTED);
    }
    if (changed !== value) next = { ...next, [key]: changed };
  }
  return next as V;
}

/** The value, or the field, at a path. */
export function valueAt(whole: unknown, path: string): unknown {
  let value = whole;
  for (const key of path.split('.')) value = (value as Record<string, unknown>)[key];
  return value;
}

/** `whole` with the value at a path replaced; what does not change is shared. */
export function withValueAt<T>(whole: T, path: string, value: unknown): T {
  return replaced(whole, path.split('.'), value) as T;
}

function replaced(whole: unknown, [key, ...rest]: readonly string[], value: unknown): unknown {
  if (key === undefined) return value;
  const group = whole as Record<string, unknown>;
  const next = replaced(group[key], rest, value);
  return next === group[key] ? whole : { ...group, [key]: next };
}
