import { memo, useId, useLayoutEffect, useRef } from 'react';
import type { FitmentItem } from '../../../build/index.ts';
import { drawMapLegend, drawMapPlot, type MapPlotModel, printPalette } from '../../../plot/index.ts';
import { capital } from '../../../units/index.ts';
import { DataTable, Sentences, Terms } from '../../../widgets/index.ts';
import type { FactGroup } from '../model/inputFacts.ts';
import { type Paper, PX_PER_MM } from '../model/paper.ts';
import type { MapSource, PrintedMap } from '../model/printedMap.ts';
import { type CandidateBlock, SHEET_CAUTIONS, type SheetHead, type SheetRemark } from '../model/sheetModel.ts';
import type { TurbineBlock, WheelSheet } from '../model/turboSheet.ts';
import styles from './paper.module.css';

/** The head of the sheet: whose it is, for which car, when, by whom. What is not entered is a line to write on. */
export const TitleBlock = memo(function TitleBlock({
  head,
  candidates,
}: {
  head: SheetHead;
  candidates: readonly CandidateBlock[];
}) {
  return (
    <header className={styles.head}>
      <div className={styles.headRow}>
        <p className={styles.shop}>{head.shopName}</p>
        {head.isInvented && (
          <p className={styles.invented}>Invented for demonstration: no such car, place or turbo exists.</p>
        )}
        <p className={styles.sheetName}>Match sheet</p>
      </div>
      <dl className={styles.titleBlock}>
        <Entry title="Car" value={head.car} isWide />
        <Entry title="Customer reference" value={head.customerReference} isWide />
        <Entry title="Date" value={head.date} />
        <Entry title="Prepared by" value={head.preparedBy} />
        <Entry title="Candidates" value={candidates.map(({ letter, name }) => `${letter} ${name}`).join(', ')} isWide />
        <Entry title="Build" value={head.build} isWide />
        <Entry title="Program" value={`Lugline ${head.program}`} />
        <Entry title="Hash of the inputs" value={head.inputs} />
      </dl>
    </header>
  );
});

function Entry({ title, value, isWide = false }: { title: string; value: string; isWide?: boolean }) {
  return (
    <div data-wide={isWide || undefined}>
      <dt>{title}</dt>
      <dd>{value === '' ? '\u00a0' : value}</dd>
    </div>
  );
}

/** What was entered, in three columns, as it was typed. */
export const Facts = memo(function Facts({ groups }: { groups: readonly FactGroup[] }) {
  return (
    <div className={styles.facts}>
      {groups.map(({ title, facts }) => (
        <section key={title}>
          <h2>{title}</h2>
          <Terms of={facts} />
        </section>
      ))}
    </div>
  );
});

const SIGNS = { stop: '■', caution: '▲', note: '–', good: '✓' } as const;

/** Each candidate: its headline numbers, then what must be known, worst first. Signs and words tell the severity, not colour. */
export const CandidateFindings = memo(function CandidateFindings({
  candidates,
}: {
  candidates: readonly CandidateBlock[];
}) {
  const isPair = candidates.length > 1;
  return (
    <div className={styles.candidates} data-count={candidates.length}>
      {candidates.map((candidate) => (
        <section key={candidate.letter}>
          <h2>
            {candidate.letter} {candidate.name}
            {candidate.isEstimated && <strong> (estimate)</strong>}
          </h2>
          {candidate.problems.length === 0 && (
            <dl className={styles.headline}>
              {candidate.numbers.map(({ key, title, value, detail }) => (
                <div key={key}>
                  <dt>{title}</dt>
                  <dd>{value}</dd>
                  <dd className={styles.detail}>{detail}</dd>
                </div>
              ))}
            </dl>
          )}
          {isPair && <Findings candidate={candidate} />}
          {candidate.card !== '' && <p className={styles.card}>{candidate.card}</p>}
        </section>
      ))}
    </div>
  );
});

/** What must be known of a candidate, worst first. */
export function Findings({ candidate }: { candidate: CandidateBlock }) {
  return (
    <ul className={styles.findings}>
      {candidate.problems.map((problem) => (
        <li key={problem} data-severity="stop">
          <b>{SIGNS.stop} Missing.</b> {problem}
        </li>
      ))}
      {candidate.findings.map(({ id, severity, word, sentence }) => (
        <li key={id} data-severity={severity}>
          <b>
            {SIGNS[severity]} {word}.
          </b>{' '}
          {sentence}
        </li>
      ))}
      {candidate.more !== '' && <li>{candidate.more}</li>}
    </ul>
  );
}

/** A longer list stands in two columns. */
const LONG = 14;

/** What is needed to fit it: boxes to tick by hand. */
export const Fitment = memo(function Fitment({ items }: { items: readonly FitmentItem[] }) {
  return (
    <section>
      <h2>
        Fitment <small>ticked by hand when at hand</small>
      </h2>
      {items.length === 0 ? (
        <p className={styles.note}>No parts are listed.</p>
      ) : (
        <ul className={styles.fitment} data-count={items.length > LONG ? 2 : 1}>
          {items.map(({ id, part, detail }) => (
            <li key={id}>
              <span className={styles.box} aria-hidden="true" />
              <span>
                {part.trim() === '' ? '\u00a0' : part}
                {detail.trim() !== '' && <em> {detail}</em>}
              </span>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
});

/** What the exhaust drives: what each line comes to, and where its turbine's numbers come from. */
export const Turbines = memo(function Turbines({
  blocks,
  spool,
}: {
  blocks: readonly TurbineBlock[];
  spool: readonly string[];
}) {
  return (
    <section>
      <h2>
        Turbine <small>steady flow; p3 before the turbine, p_m in the manifold</small>
      </h2>
      <div className={styles.turbines} data-count={blocks.length}>
        {blocks.map(({ letter, results, basis }) => (
          <p key={letter}>
            {blocks.length > 1 && <b>{letter} </b>}
            {results.length > 0 && <b>{sentence(results)} </b>}
            {basis}
          </p>
        ))}
      </div>
      {spool.length > 0 && <p className={styles.note}>{spool.join(' ')}</p>}
    </section>
  );
});

function sentence(parts: readonly string[]): string {
  const text = parts.join('; ');
  return `${capital(text)}.`;
}

/** What a road log says of the car that was built. */
export const MeasuredOnRoad = memo(function MeasuredOnRoad({ sentences }: { sentences: readonly string[] }) {
  return (
    <section>
      <h2>
        Measured on the road{' '}
        <small>with the sensors of the car; pulls belong on a dynamometer or a closed course</small>
      </h2>
      <div className={styles.turbines} data-count={1}>
        <Sentences as="p" of={sentences} />
      </div>
    </section>
  );
});

/** Wheel measurements and what follows from them. */
export const Wheels = memo(function Wheels({ wheels }: { wheels: WheelSheet }) {
  return (
    <section>
      <h2>Wheels as measured</h2>
      {wheels.isEmpty ? (
        <p className={styles.note}>No wheel was measured.</p>
      ) : (
        <DataTable
          className={styles.wheels}
          head={[<td key="corner">&nbsp;</td>, ...wheels.columns]}
          rows={wheels.rows.map(({ title, cells }) => ({ key: title, name: title, cells }))}
        />
      )}
    </section>
  );
});

/** Where each map comes from, with the hash of its data; and the shop's own remarks. */
export const Sources = memo(function Sources({ sources, notes }: { sources: readonly MapSource[]; notes: string }) {
  return (
    <div className={styles.halves} data-single={notes === '' || undefined}>
      <section>
        <h2>Maps and turbine sheets</h2>
        <ul className={styles.sources} data-many={(sources.length > 2 && notes === '') || undefined}>
          {sources.map(({ letter, name, hash, words }) => (
            <li key={`${letter} ${name}`}>
              <b>
                {letter} {name}
              </b>
              , data <code>{hash ?? 'not complete'}</code>. {words}
            </li>
          ))}
          {sources.length === 0 && <li>No map is chosen.</li>}
        </ul>
      </section>
      {notes !== '' && (
        <section>
          <h2>Remarks</h2>
          <p className={styles.ownWords}>{notes}</p>
        </section>
      )}
    </div>
  );
});

/** Every assumption, estimate and extension that the numbers rest on. */
export const Remarks = memo(function Remarks({ remarks }: { remarks: readonly SheetRemark[] }) {
  return (
    <section>
      <h2>Estimates, extensions and assumptions</h2>
      <ol className={styles.remarks}>
        {remarks.map(({ kind, letters, words }) => (
          <li key={`${letters}${words}`} data-kind={kind}>
            {letters !== '' && <b>{letters}: </b>}
            {words}
          </li>
        ))}
      </ol>
    </section>
  );
});

/** Cautions, deference, and lines to sign on. */
export const Closing = memo(function Closing({ head }: { head: SheetHead }) {
  return (
    <section className={styles.closing}>
      <div className={styles.cautions}>
        <p>
          <b>Caution.</b> {SHEET_CAUTIONS.join(' ')}
        </p>
      </div>
      <div className={styles.signatures}>
        <p>Prepared by{head.preparedBy === '' ? '' : `: ${head.preparedBy}`}, date</p>
        <p>Checked by, date</p>
        <p>Customer, date</p>
      </div>
    </section>
  );
});

/** The drawing's own text is 12 px, which is 9 pt; on paper it is made this much smaller: 7 pt alone, 6.3 pt where two stand side by side. */
const SHRINK = { one: 0.78, two: 0.7 };
const GAP_MM = 5;

interface Props {
  maps: readonly PrintedMap[];
  paper: Paper;
  heightMm: number;
}

/** The maps with their operating lines, in greys, drawn at the size of the paper under one legend. Two stand on equal axes. */
export const MapFigures = memo(function MapFigures({ maps, paper, heightMm }: Props) {
  const widthMm = paper.widthMm - 2 * paper.sideMm;
  const eachMm = maps.length > 1 ? (widthMm - GAP_MM) / 2 : widthMm;
  const shrink = maps.length > 1 ? SHRINK.two : SHRINK.one;
  return (
    <div className={styles.mapBand}>
      <div className={styles.maps} data-count={maps.length}>
        {maps.map(({ letter, title, model, missing }) => (
          <figure key={letter}>
            <figcaption>{title}</figcaption>
            {model === null ? (
              <p className={styles.missing} style={{ height: `${heightMm}mm` }}>
                {missing}
              </p>
            ) : (
              <Drawing
                model={model}
                label={`Compressor map of candidate ${letter} with its operating line`}
                widthMm={eachMm}
                heightMm={heightMm}
                shrink={shrink}
              />
            )}
          </figure>
        ))}
      </div>
      <Legend maps={maps} widthMm={widthMm} shrink={shrink} />
    </div>
  );
});

interface DrawingProps {
  model: MapPlotModel;
  label: string;
  widthMm: number;
  heightMm: number;
  shrink: number;
}

/** What stands in a drawing of one size. */
interface Drawn {
  nodes: readonly Node[];
  viewBox: string;
}

const Drawing = memo(function Drawing({ model, label, widthMm, heightMm, shrink }: DrawingProps) {
  const ref = useRef<SVGSVGElement>(null);
  const id = useId();
  // The search for the layout of the sheet asks for the least height and then for the one that fits, at every letter that is typed.
  const kept = useRef<{ model: MapPlotModel; bySize: Map<string, Drawn> }>({ model, bySize: new Map() });
  useLayoutEffect(() => {
    const svg = ref.current;
    if (svg === null) return;
    const size = { width: (widthMm * PX_PER_MM) / shrink, height: (heightMm * PX_PER_MM) / shrink };
    if (kept.current.model !== model || kept.current.bySize.size > 3) kept.current = { model, bySize: new Map() };
    const { bySize } = kept.current;
    const key = `${size.width} ${size.height}`;
    const before = bySize.get(key);
    svg.replaceChildren(...(before?.nodes ?? []));
    if (before !== undefined) svg.setAttribute('viewBox', before.viewBox);
    else {
      drawMapPlot(svg, model, printPalette, size, id, 'apart');
      bySize.set(key, { nodes: [...svg.childNodes], viewBox: svg.getAttribute('viewBox') ?? '' });
    }
    svg.setAttribute('width', `${widthMm}mm`);
    svg.setAttribute('height', `${heightMm}mm`);
  }, [model, widthMm, heightMm, shrink, id]);
  return <svg ref={ref} className={styles.drawing} role="img" aria-label={label} />;
});

const Legend = memo(function Legend({
  maps,
  widthMm,
  shrink,
}: Omit<Props, 'paper' | 'heightMm'> & { widthMm: number; shrink: number }) {
  const ref = useRef<SVGSVGElement>(null);
  useLayoutEffect(() => {
    const svg = ref.current;
    if (svg === null) return;
    const models = maps.flatMap(({ model }) => model ?? []);
    const heightPx = drawMapLegend(svg, models, printPalette, (widthMm * PX_PER_MM) / shrink);
    svg.setAttribute('width', `${widthMm}mm`);
    svg.setAttribute('height', `${(heightPx * shrink) / PX_PER_MM}mm`);
  }, [maps, widthMm, shrink]);
  return <svg ref={ref} className={styles.drawing} role="img" aria-label="What the lines of the maps are" />;
});
