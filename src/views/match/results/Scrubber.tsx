import { memo, type Ref, useImperativeHandle, useRef } from 'react';
import { LIMITS, type LimitKey, type OperatingPoint } from '../../../match/index.ts';
import { memory } from '../../../numerics/index.ts';
import { HATCH_TILE, HATCHES, plotFrame, writeText } from '../../../plot/index.ts';
import { formatNumber } from '../../../units/index.ts';
import { useResultUnits } from '../../shared/display.ts';
import styles from '../match.module.css';
import { PLACE_CELLS, type ReadOutKey, type ReadOutWords, readOutCells } from '../model/readOut.ts';
import type { Side } from '../model/side.ts';

export interface ReadOutHandle {
  show: (texts: ReadOutWords) => void;
}

interface Props {
  /** Both candidates, or the one there is. */
  sides: readonly Side[];
  points: readonly OperatingPoint[];
  /** Where the thumb stands: pointed at, else chosen. */
  engineSpeedRpm: number | null;
  onChoose: (engineSpeedRpm: number) => void;
  /** null: no read-out, only which engine speed it is. */
  ref: Ref<ReadOutHandle> | null;
}

const STEP_RPM = 50;
/** It begins and ends where the plot does, whatever the size of both. */
const { left, right } = plotFrame({ width: 1000, height: 500 }, 0);
const SIDES = { paddingLeft: left, paddingRight: 1000 - right };

/** One engine speed for everything on the page; its ticks show over which part of the line a limit is crossed or near. */
export function Scrubber({ sides, points, engineSpeedRpm, onChoose, ref }: Props) {
  const first = points[0]?.engineSpeedRpm;
  const last = points.at(-1)?.engineSpeedRpm;
  if (first === undefined || last === undefined || first === last) return <div className={styles.scrubber} />;
  const value = Math.min(Math.max(engineSpeedRpm ?? first, first), last);
  const spoken = sides.map(({ letter, results }) => limitWords(letter, results.findings, value)).join('');
  return (
    <div className={styles.scrubber} style={SIDES}>
      {ref !== null && <ReadOut ref={ref} />}
      <div className={styles.track}>
        {sides.map(({ index, letter, results }) => (
          <Ticks key={index} letter={letter} written={writtenTicks(results)} first={first} last={last} />
        ))}
        <Thumb
          first={first}
          last={last}
          value={value}
          said={`${formatNumber(value, 0)} rpm${spoken}`}
          onChoose={onChoose}
        />
        <span className={styles.thumb} style={{ left: `${(100 * (value - first)) / (last - first)}%` }} />
      </div>
      <p className="flex between soft small" aria-hidden="true">
        <span>{formatNumber(first, 0)}</span>
        <span>{ref === null ? `At ${formatNumber(value, 0)} rpm` : 'engine speed, rpm'}</span>
        <span>{formatNumber(last, 0)}</span>
      </p>
    </div>
  );
}

interface ThumbProps {
  first: number;
  last: number;
  value: number;
  /** The value in words, with what limits there. */
  said: string;
  onChoose: (engineSpeedRpm: number) => void;
}

const Thumb = memo(function Thumb({ first, last, value, said, onChoose }: ThumbProps) {
  return (
    <input
      type="range"
      aria-label="Engine speed"
      aria-valuetext={said}
      min={first}
      max={last}
      step={STEP_RPM}
      value={value}
      onChange={(event) => onChoose(Number(event.target.value))}
    />
  );
});

type Finding = Side['results']['findings'][number];

/** Which limit a finding is of, where its code is another word. */
const LIMIT_OF: Readonly<Record<string, LimitKey>> = {
  overspeed: 'shaft-speed',
  'speed-reserve': 'shaft-speed',
  'left-of-surge': 'surge-margin',
  choked: 'choke-margin',
  'turbine-limited': 'turbine',
  'turbine-never-holds': 'turbine',
  'gate-creep': 'gate',
  'gate-nearly-open': 'gate',
  'no-point-gate-too-small': 'gate',
};

const limitOf = ({ code }: Finding) => LIMITS[(LIMIT_OF[code] ?? code) as LimitKey] ?? null;

/** The worst that is said of an engine speed. */
function worstAt(findings: readonly Finding[], rpm: number): Finding | null {
  const isHere = ({ severity, rangeRpm, code }: Finding) =>
    (severity === 'stop' || severity === 'caution' || LIMIT_OF[code] === 'turbine') &&
    rangeRpm !== undefined &&
    rpm >= rangeRpm[0] &&
    rpm <= rangeRpm[1];
  return findings.find(isHere) ?? null;
}

function limitWords(letter: string, findings: readonly Finding[], rpm: number): string {
  const worst = worstAt(findings, rpm);
  if (worst === null) return '';
  const name = limitOf(worst)?.name.toLowerCase() ?? 'operating point';
  return `, ${letter}: ${name} ${worst.severity === 'stop' ? 'crossed' : 'near'}`;
}

interface Tick {
  rpm: number;
  severity: 'stop' | 'caution' | 'note' | 'good';
  hatch: keyof typeof HATCHES | null;
  name: string;
}

function ticksOf({ points, findings }: Side['results']): readonly Tick[] {
  return points.map(({ engineSpeedRpm: rpm, status }) => {
    const worst = worstAt(findings, rpm);
    if (worst === null) return { rpm, severity: status === 'ok' ? 'good' : 'note', hatch: null, name: '' };
    const { hatch = 'crossed', name = 'No operating point' } = limitOf(worst) ?? {};
    const severity = worst.severity === 'stop' || worst.severity === 'caution' ? worst.severity : 'note';
    return { rpm, severity, hatch, name };
  });
}

const known = memory<Side['results'], string>();

/** As one text, which is the same while all ticks are: then they are not drawn again. */
function writtenTicks(results: Side['results']): string {
  return known(results, [], () => JSON.stringify(ticksOf(results)));
}

interface TicksProps {
  letter: string;
  written: string;
  first: number;
  last: number;
}

/** One tick an engine speed that is computed: low where the goal holds, high, coloured and hatched where a limit does not. */
const Ticks = memo(function Ticks({ letter, written, first, last }: TicksProps) {
  const ticks = JSON.parse(written) as readonly Tick[];
  const share = (rpm: number) => (100 * (rpm - first)) / (last - first);
  const width = 70 / Math.max(ticks.length, 1);
  const hatches = [...new Set(ticks.flatMap(({ hatch }) => hatch ?? []))];
  return (
    <div className={styles.tickRow} data-candidate={letter}>
      <b>{letter}</b>
      <svg aria-hidden="true">
        <defs>
          {hatches.map((hatch) => (
            <pattern
              key={hatch}
              id={`tick-${letter}-${hatch}`}
              width={HATCH_TILE}
              height={HATCH_TILE}
              patternUnits="userSpaceOnUse"
            >
              <path d={HATCHES[hatch].d} stroke="var(--paper)" strokeWidth={HATCHES[hatch].width} fill="none" />
            </pattern>
          ))}
        </defs>
        {ticks.map(({ rpm, severity, hatch, name }) => {
          const high = hatch === null ? 24 : 100;
          const box = {
            x: `${share(rpm) - width / 2}%`,
            y: `${(100 - high) / 2}%`,
            width: `${width}%`,
            height: `${high}%`,
          };
          return (
            <g key={rpm} data-severity={severity}>
              <title>{name}</title>
              <rect {...box} fill="currentColor" />
              {hatch !== null && <rect {...box} fill={`url(#tick-${letter}-${hatch})`} />}
            </g>
          );
        })}
      </svg>
    </div>
  );
});

/**
 * What the thumb stands on, or what is pointed at on the map. It is written straight into the page: the pointer moves more often than
 * React need know. Every number has its fixed place.
 */
const ReadOut = memo(function ReadOut({ ref }: { ref: Ref<ReadOutHandle> }) {
  const units = useResultUnits();
  const box = useRef<HTMLElement>(null);
  useImperativeHandle(ref, () => ({ show: (texts) => write(box.current, texts) }), []);
  return (
    <section ref={box} className={styles.readOut} aria-label="Read-out">
      <b data-part="heading" />
      <dl>
        {readOutCells(units).map(({ key, title }, at) => (
          <div key={key} data-place={at >= PLACE_CELLS || undefined}>
            <dt>{title}</dt>
            <dd data-part={key} />
          </div>
        ))}
      </dl>
      <span data-part="remark" />
    </section>
  );
});

const parts = memory<HTMLElement, readonly HTMLElement[]>();

function write(box: HTMLElement | null, texts: ReadOutWords): void {
  if (box === null) return;
  box.toggleAttribute('data-anywhere', texts.isPlace === true);
  for (const element of parts(box, [], () => [...box.querySelectorAll<HTMLElement>('[data-part]')])) {
    const part = element.dataset.part as 'heading' | 'remark' | ReadOutKey;
    writeText(element, part === 'heading' || part === 'remark' ? texts[part] : texts.cells[part]);
  }
}
