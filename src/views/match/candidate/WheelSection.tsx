import type { Candidate } from '../../../build/index.ts';
import { selectCandidateFigures, useLugline } from '../../../store/index.ts';
import { CardField } from './CardField.tsx';
import styles from './card.module.css';
import { doubtWords } from './model/doubtWords.ts';

interface Props {
  candidate: Candidate;
  wheel: 'compressor' | 'turbine';
  index: number;
}

const WORDS = {
  compressor: {
    title: 'Compressor wheel',
    inducer: 'Compressor inducer',
    exducer: 'Compressor exducer',
    tipHeight: 'Compressor tip height',
    fullBlades: 'Compressor full blades',
    splitterBlades: 'Compressor splitters',
    hint: 'Inducer: the smaller diameter, where the air comes in. Tip height: at the exducer.',
  },
  turbine: {
    title: 'Turbine wheel',
    inducer: 'Turbine inducer',
    exducer: 'Turbine exducer',
    tipHeight: 'Turbine tip height',
    fullBlades: 'Turbine full blades',
    splitterBlades: 'Turbine splitters',
    hint: 'Inducer: the larger diameter, where the exhaust comes in. Tip height: at the inducer.',
  },
} as const;

/** One wheel by calipers. What cannot be true of such a wheel is said where it was typed. */
export function WheelSection({ candidate, wheel, index }: Props) {
  const words = WORDS[wheel];
  const figures = useLugline((state) => selectCandidateFigures(state, index)?.[wheel].figures ?? null);
  return (
    <section className={styles.section} aria-label={words.title}>
      <h3 className={styles.title}>{words.title}</h3>
      <CardField candidate={candidate} path={`wheels.${wheel}.inducer`} label={words.inducer} />
      <CardField candidate={candidate} path={`wheels.${wheel}.exducer`} label={words.exducer} />
      <CardField candidate={candidate} path={`wheels.${wheel}.tipHeight`} label={words.tipHeight} />
      <CardField
        candidate={candidate}
        path={`wheels.${wheel}.fullBlades`}
        label={words.fullBlades}
        placeholder="none"
      />
      <CardField
        candidate={candidate}
        path={`wheels.${wheel}.splitterBlades`}
        label={words.splitterBlades}
        placeholder="none"
      />
      {wheel === 'compressor' && (
        <CardField
          candidate={candidate}
          path="wheels.caliperUncertainty"
          label="Calipers read to ±"
          placeholder="0.05"
        />
      )}
      <p className={styles.hint}>{words.hint}</p>
      {(figures?.doubts ?? []).map((doubt) => (
        <p key={doubt} className={styles.doubt} role="status">
          {doubtWords(doubt, wheel)}
        </p>
      ))}
    </section>
  );
}
