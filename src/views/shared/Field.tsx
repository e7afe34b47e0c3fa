import { useCallback } from 'react';
import {
  type Change,
  type ChoiceField,
  type CurveField,
  type CurvePath,
  type FieldPath,
  type FieldValue,
  fieldAt,
  type GroupPath,
  getField,
  isOfKind,
  type MapDraft,
  type NumberField,
  type PathsOfField,
  pathsIn,
  type SheetKindKey,
  setCurve,
  setField,
  type TypedCurve,
} from '../../build/index.ts';
import { selectActiveBuild, useApply, useBuildField, useFieldDraft, useLugline, useShelf } from '../../store/index.ts';
import { convertText, type UnitSystem } from '../../units/index.ts';
import { QuantityField, SelectField, SwitchField, TextLine, type TypedQuantity } from '../../widgets/index.ts';

type InputPath = Exclude<FieldPath, PathsOfField<CurveField>>;
type OwnedPath = Extract<InputPath, `${'candidate' | 'place' | 'map'}.${string}`>;

/** What of the table of inputs is otherwise where the field stands. */
interface Otherwise<P extends InputPath> {
  label?: string;
  help?: string | undefined;
  /** With a unit: what holds while the field is empty, shown in the field's own unit. */
  placeholder?: string | TypedQuantity;
  warning?: string | null;
  stacked?: true;
  /** Options that cannot be chosen now. */
  disabled?: readonly FieldValue<P>[];
  /** What entering a value does; left out: the field is set. */
  change?: (value: FieldValue<P>) => Change;
}
type FieldProps<P extends InputPath> = Otherwise<P> & { path: P } & (P extends OwnedPath
    ? { id: string }
    : { id?: undefined });

/**
 * One input of the open build, or of the candidate, place or map with that id, by its path in the table of inputs. It alone draws again
 * when what it holds changes.
 */
export function Field<P extends InputPath>(props: FieldProps<P>) {
  const { path, id, disabled, change } = props;
  const value: unknown = useLugline((state) => getField(state.workspace, path as FieldPath, id));
  const system = useLugline((state) => selectActiveBuild(state).units?.system ?? 'metric');
  const apply = useApply();
  const description = fieldAt(path as FieldPath);
  if (value === undefined) return null;
  const set = (next: unknown) => {
    const entered = next as FieldValue<P>;
    apply(change?.(entered) ?? setField<FieldPath>(path, entered as FieldValue<FieldPath>, id));
  };
  const { label = description.label, help = description.help, stacked = description.stacked } = props;
  const { placeholder = description.placeholder, warning } = props;
  const shown = { label, help, stacked, warning };
  switch (description.kind) {
    case 'number': {
      const typed = value as TypedQuantity;
      const faint = placeholderIn(placeholder, description, typed.unit);
      return <NumberInput {...shown} placeholder={faint} path={path} id={id} field={description} value={typed} />;
    }
    case 'choice': {
      const options = choiceOptions(description, (disabled ?? []) as readonly unknown[], system);
      const keyOf = new Map(description.options.map(({ key }) => [String(key), key]));
      return <SelectField {...shown} value={String(value)} options={options} onChange={(key) => set(keyOf.get(key))} />;
    }
    case 'switch':
      return <SwitchField label={label} help={help} value={value === true} onChange={set} />;
    case 'text': {
      const { rows, most } = description;
      const faint = typeof placeholder === 'string' ? placeholder : undefined;
      return (
        <TextLine {...shown} placeholder={faint} value={String(value)} rows={rows} maxLength={most} onChange={set} />
      );
    }
    case 'curve':
      return null;
  }
}

/** A number in the unit that the field has now: 160 krpm stands as 160000 in a field in rpm. Words stay as they are. */
function placeholderIn(
  placeholder: string | TypedQuantity | undefined,
  { quantity, start }: NumberField,
  unit: string,
): string | undefined {
  if (placeholder === undefined) return undefined;
  const typed = typeof placeholder === 'string' ? { text: placeholder, unit: start.unit } : placeholder;
  return convertText(typed.text, quantity, [typed.unit, unit], { share: 1e-4 });
}

/** Options for a list, those that stand first on the screen first. */
function choiceOptions({ options, first, us }: ChoiceField, disabled: readonly unknown[], system: UnitSystem) {
  const names = system === 'us' ? us?.names : undefined;
  const rank = ({ key }: { key: string | number }) => (first.includes(key) ? first.indexOf(key) : first.length);
  return options
    .toSorted((a, b) => rank(a) - rank(b))
    .map(({ key, name }) => ({
      key: String(key),
      name: names?.[key] ?? name,
      ...(disabled.includes(key) && { isDisabled: true }),
    }));
}

interface NumberInputProps {
  label: string;
  help?: string | undefined;
  placeholder?: string | undefined;
  warning?: string | null | undefined;
  path: FieldPath;
  id: string | undefined;
  field: NumberField;
  value: TypedQuantity;
}

function NumberInput({ path, id, field, ...shown }: NumberInputProps) {
  const apply = useApply();
  const [draft, keepDraft] = useFieldDraft(useDraftPlace(path, id));
  const onChange = useCallback(
    (next: TypedQuantity) => apply(setField<FieldPath>(path, next as FieldValue<FieldPath>, id)),
    [apply, path, id],
  );
  const { quantity, low, high, optional, units } = field;
  return (
    <QuantityField
      {...shown}
      quantity={quantity}
      min={Number.isFinite(low) ? low : undefined}
      max={Number.isFinite(high) ? high : undefined}
      allowEmpty={optional}
      units={units}
      draft={draft}
      onDraft={keepDraft}
      onChange={onChange}
    />
  );
}

/** Where the unread text of a field is kept, on disk too: fields of different builds do not share it, a map is the same in all. */
function useDraftPlace(path: string, id: string | undefined): string {
  const buildId = useLugline((state) => state.workspace.activeBuildId);
  const [owner, ...inner] = path.split('.');
  switch (id === undefined ? 'build' : owner) {
    case 'map':
      return `map.${id}.${inner.join('.')}`;
    case 'candidate':
      return `${buildId}/candidate/${id}/${inner.join('.')}`;
    case 'place':
      return `${buildId}/place/${id}/${inner.at(-1)}`;
    default:
      return `${buildId}/${path}`;
  }
}

interface FieldsOfProps {
  group: GroupPath;
  /** Of the candidate, place or map whose fields they are. */
  id?: string;
  except?: FieldPath;
}

/** The fields of a group in the order of the table; further groups in it are passed over. */
export function FieldsOf({ group, id, except }: FieldsOfProps) {
  const paths = pathsIn(group).filter((path) => path !== except) as OwnedPath[];
  return paths.map((path) => <Field key={path} path={path} id={id as string} />);
}

interface FieldMessagesProps {
  of: readonly { path?: string; message: string }[];
  className?: 'callout' | 'callout-stop';
}

/** What is to be said of fields beside their own messages; spoken when it comes. */
export function FieldMessages({ of, className = 'callout-stop' }: FieldMessagesProps) {
  return of.map(({ path = '', message }) => (
    <p key={path + message} className={className} role="status">
      {message}
    </p>
  ));
}

const NO_SHEET = '';

interface SheetChoiceProps {
  kind: SheetKindKey;
  /** The sheet that the candidate carries. */
  kept: MapDraft | null;
  label: string;
  /** Instead of a sheet; and where there is none to choose. */
  none: string;
  noneYet?: string;
  unnamed: string;
  help?: string | undefined;
  stacked?: true;
  onChoose: (id: string | null) => void;
}

/** Which sheet of the shelf is the candidate's. One that was taken off the shelf stays with the candidate, and must still be named. */
export function SheetChoice({ kind, kept, none, noneYet = none, unnamed, onChoose, ...shown }: SheetChoiceProps) {
  const shelf = useShelf().filter(isOfKind(kind));
  const sheets = kept === null || shelf.some(({ id }) => id === kept.id) ? shelf : [...shelf, kept];
  const options = [
    { key: NO_SHEET, name: sheets.length === 0 ? noneYet : none },
    ...sheets.map(({ id, name }) => ({ key: id, name: name.trim() || unnamed })),
  ];
  return (
    <SelectField
      {...shown}
      value={kept?.id ?? NO_SHEET}
      options={options}
      onChange={(id) => onChoose(id === NO_SHEET ? null : id)}
    />
  );
}

/** A curve of the open build, and how its rows are entered. */
export function useCurve(path: CurvePath) {
  const curve = useBuildField(path);
  const apply = useApply();
  const field: CurveField = fieldAt(path);
  return { curve, apply, field, setRows: (rows: TypedCurve['rows']) => apply(setCurve(path, rows)) };
}
