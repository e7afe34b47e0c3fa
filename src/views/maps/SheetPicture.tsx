import { type ReactNode, useMemo, useState } from 'react';
import type { MapDraft, MapFitter } from '../../build/index.ts';
import type { AuditFinding, SheetPlace } from '../../compressor/index.ts';
import { MapPlot, type MapPlotHandlers, type MapPlotModel, type PlotPlace } from '../../plot/index.ts';
import { counted } from '../../units/index.ts';
import { Icon } from '../../widgets/index.ts';
import type { Target } from './desk.ts';
import { isBlankSheet, placeOnPlot } from './editDraft.ts';
import styles from './maps.module.css';
import { viewOf } from './sheetKinds/kinds.ts';

interface PictureProps {
  draft: MapDraft;
  /** The row under the pointer or the keyboard. */
  row: SheetPlace | null;
  /** The finding under the pointer or the keyboard. */
  pointed: SheetPlace | null;
  onShow: (target: Target) => void;
  /** The plot shows a pasted table that is not taken over yet. */
  isPreview: boolean;
  fitter: MapFitter;
  findings: readonly AuditFinding[];
  withIslandPoints: boolean;
}

/** What a finding shows as: what is only not entered yet is no error to the eye. */
export function weightOf({ severity, isLacking }: AuditFinding): AuditFinding['severity'] {
  return isLacking ? 'note' : severity;
}

/** The sign of a severity. */
export const AUDIT_ICON = { error: 'stop', warning: 'caution', note: 'note' } as const;

/** The fitted sheet over the entered points, with the places of the audit. */
export function SheetPicture(props: PictureProps) {
  const { draft, fitter, findings, row, pointed, onShow, isPreview, withIslandPoints } = props;
  const { kind, draw } = viewOf(draft);
  const drawing = useMemo(() => draw(draft, fitter, withIslandPoints), [draw, draft, fitter, withIslandPoints]);
  const { chart, describe } = drawing;
  const isBlank = isBlankSheet(draft);
  const strip = isBlank ? { words: 'Nothing is entered yet', help: '' } : drawing.strip;
  const isWrong = !isBlank && findings.some((finding) => weightOf(finding) === 'error');
  const places = useMemo(() => placesOf(draft, findings, pointed), [draft, findings, pointed]);
  const focus = useMemo(() => placeOnPlot(draft, row ?? undefined), [draft, row]);
  const model = useMemo<MapPlotModel>(
    // Where nothing is drawn there is nothing to explain.
    () => ({ chart, operatingLines: [], places, focus, wordsElsewhere: isBlank }),
    [chart, places, focus, isBlank],
  );
  const handlers = useMemo<MapPlotHandlers>(
    () => ({
      describe: ({ at }) => describe(at),
      onPlace: (id) => {
        const finding = findings[Number(id)];
        if (finding?.place) onShow({ place: finding.place, code: finding.code, column: finding.column });
      },
    }),
    [findings, describe, onShow],
  );
  return (
    <div className={styles.picture}>
      <div className={styles.plot}>
        <MapPlot model={model} handlers={handlers} kind={kind.toLowerCase()} label={`${kind} of ${draft.name}`} />
      </div>
      <p className={isWrong ? `${styles.strip} ${styles.unfit}` : styles.strip} role="status" title={strip.help}>
        {isPreview && <strong>Preview, not taken over yet. </strong>}
        {strip.words}
      </p>
    </div>
  );
}

function placesOf(draft: MapDraft, findings: readonly AuditFinding[], pointed: SheetPlace | null): PlotPlace[] {
  const target = pointed === null ? null : JSON.stringify(pointed);
  return findings.flatMap((finding, i): PlotPlace[] => {
    const isPointed = target !== null && JSON.stringify(finding.place) === target;
    if (finding.severity === 'note' && !isPointed) return [];
    const at = placeOnPlot(draft, finding.place);
    return at === null
      ? []
      : [{ id: String(i), at, severity: AUDIT_ICON[finding.severity], label: '', highlighted: isPointed }];
  });
}

/** While nothing is entered nothing is wrong: what a sheet needs, quietly. */
export function StillNeeded({ draft, findings }: { draft: MapDraft; findings: readonly AuditFinding[] }) {
  const { must, may } = viewOf(draft).needs;
  const lacks = (part: SheetPlace['part']) =>
    part !== 'reference' || findings.some(({ severity, place }) => severity === 'error' && place?.part === part);
  return (
    <section className={styles.audit} aria-label="Still needed">
      <h3 className={styles.auditTitle}>Still needed</h3>
      <ul>
        {must.flatMap(({ part, name }) =>
          lacks(part)
            ? [
                <li key={part} className={styles.needs}>
                  {name}
                </li>,
              ]
            : [],
        )}
      </ul>
      <p className={styles.needs}>As far as the sheet has it: {may}.</p>
    </section>
  );
}

interface FindingListProps {
  findings: readonly AuditFinding[];
  onShow: (target: Target) => void;
  /** The finding under the pointer or the keyboard, to be ringed on the plot. */
  onPoint: (place: SheetPlace | null) => void;
}

/** The audit, worst first; each leads to its cell and its place on the plot. */
export function FindingList({ findings, onShow, onPoint }: FindingListProps) {
  const listed = useMemo(() => findingList(findings), [findings]);
  const [open, setOpen] = useState<string | null>(null);
  return (
    <section className={styles.audit} aria-label="Audit of the sheet">
      <h3 className={styles.auditTitle}>
        Audit <span className={styles.auditCount}>{countWords(findings)}</span>
      </h3>
      <ul>
        {listed.map((finding) => {
          const others = open === finding.key ? finding.others : [];
          return [
            <Entry finding={finding} key={finding.key} onShow={onShow} onPoint={onPoint} />,
            ...others.map((other) => (
              <Entry finding={other} key={`${finding.key} ${other.message}`} onShow={onShow} onPoint={onPoint} />
            )),
            finding.others.length > 0 && (
              <li key={`${finding.key} more`}>
                <button
                  type="button"
                  className={styles.more}
                  aria-expanded={open === finding.key}
                  onClick={() => setOpen(open === finding.key ? null : finding.key)}
                >
                  {open === finding.key ? 'Show fewer' : `${finding.others.length} more like this`}
                </button>
              </li>
            ),
          ];
        })}
      </ul>
    </section>
  );
}

type EntryProps = ListedFinding | AuditFinding;

function Entry({ finding, onShow, onPoint }: { finding: EntryProps } & Pick<FindingListProps, 'onShow' | 'onPoint'>) {
  const { message, place, code, column } = finding;
  const severity = weightOf(finding);
  if (place === undefined) return <FindingLine severity={severity} message={message} />;
  const rest = { onEnter: () => onPoint(place), onLeave: () => onPoint(null) };
  const show = () => onShow({ place, code, column });
  return <FindingLine severity={severity} message={message} title="Go to its cell" onPress={show} {...rest} />;
}

interface FindingLineProps {
  severity: AuditFinding['severity'];
  message: string;
  /** The sign alone, without the word for those who hear it. */
  isUnsaid?: boolean;
  /** Leads to its place; left out: it has none. */
  onPress?: (() => void) | undefined;
  title?: string;
  /** Pointer or keyboard come to rest on it, and leave. */
  onEnter?: () => void;
  onLeave?: () => void;
  /** What can be done about it. */
  children?: ReactNode;
}

/** One finding with its sign. */
export function FindingLine({
  severity,
  message,
  isUnsaid,
  onPress,
  title,
  onEnter,
  onLeave,
  children,
}: FindingLineProps) {
  const content = (
    <>
      <span className={styles[severity]}>
        <Icon name={AUDIT_ICON[severity]} />
        {!isUnsaid && <span className={styles.hidden}>{severity}: </span>}
      </span>
      <span>{message}</span>
    </>
  );
  const rest = { onMouseEnter: onEnter, onMouseLeave: onLeave, onFocus: onEnter, onBlur: onLeave };
  return (
    <li>
      {onPress === undefined ? (
        <div className={styles.finding}>{content}</div>
      ) : (
        <button type="button" className={styles.finding} title={title} onClick={onPress} {...rest}>
          {content}
        </button>
      )}
      {children}
    </li>
  );
}

/** Findings as they are listed: many of one kind stand as one with the number of the others. */
interface ListedFinding extends AuditFinding {
  key: string;
  /** Of the same kind, not listed unless asked for. */
  others: readonly AuditFinding[];
}

const MOST_ALIKE = 3;

/** Worst first, as given; from the fourth of one kind and severity on they are gathered behind the third. */
export function findingList(findings: readonly AuditFinding[]): ListedFinding[] {
  const listed: (ListedFinding & { others: AuditFinding[] })[] = [];
  const count = new Map<string, number>();
  for (const finding of findings) {
    const kind = `${finding.severity} ${finding.code}`;
    const n = (count.get(kind) ?? 0) + 1;
    count.set(kind, n);
    if (n > MOST_ALIKE) {
      listed.findLast((l) => l.key.startsWith(`${kind} `))?.others.push(finding);
      continue;
    }
    const key = `${kind} ${JSON.stringify(finding.place ?? null)} ${finding.message}`;
    listed.push({ ...finding, key, others: [] });
  }
  return listed;
}

/** '1 still needed, 2 errors, 1 warning, 3 notes'; 'Nothing doubtful found' for none. */
export function countWords(findings: readonly AuditFinding[]): string {
  const lacking = findings.filter(({ isLacking }) => isLacking).length;
  const words = (['error', 'warning', 'note'] as const).flatMap((severity) => {
    const n = findings.filter((f) => f.severity === severity && !f.isLacking).length;
    return n === 0 ? [] : [counted(n, severity)];
  });
  if (lacking > 0) words.unshift(`${lacking} still needed`);
  return words.length === 0 ? 'Nothing doubtful found' : words.join(', ');
}
