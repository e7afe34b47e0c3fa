import { describe, expect, it } from 'vitest';
import { resultUnits, type SpoolTime } from '../../../src/match/index.ts';
import type { SpoolReading } from '../../../src/store/index.ts';
import { spoolWords } from '../../../src/views/shared/spoolUp.ts';

const units = resultUnits({});
const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const time = (timeS: number): SpoolReading => {
  const spool: SpoolTime = {
    status: 'ok',
    engineSpeedRpm: 4500,
    timeS,
    band: 0.3,
    rankBand: 0.1,
    fromPa: 101_000,
    toPa: 220_000,
    fromShaftRpm: 46_530,
    toShaftRpm: 146_370,
    rotorJ: 2800,
    fillingJ: 600,
  };
  return { spool, problem: null };
};

describe('two spool-ups in words', () => {
  it('are ranked with their band, each as a range, and called an estimate', () => {
    const { headline, lines, note } = spoolWords([0, 1], [time(0.5), time(0.8)], units);
    expect(plain(headline)).toBe(
      'Spool-up at 4500 rpm from 101 kPa absolute to the goal: B takes about 60 % longer than A (±14 %).',
    );
    expect(plain(lines[0]!)).toBe(
      'A: about 0.50 s (0.35 s to 0.65 s), the shaft from 46\u202f530 rpm to 146\u202f400 rpm.',
    );
    expect(note).toMatch(/^ESTIMATE .* never a promise.*dynamometer, not on the road\.$/);
    expect(plain(spoolWords([0, 1], [time(0.5), time(1.6)], units).headline)).toContain(
      'B takes about 3.2 times as long as A',
    );
    expect(plain(spoolWords([0, 1], [time(0.5), time(0.35)], units).headline)).toContain(
      'B takes about 30 % less time',
    );
    expect(plain(spoolWords([0, 1], [time(0.5), time(0.55)], units).headline)).toContain(
      'A and B cannot be told apart within ±14 %.',
    );
  });

  it('say why they are not compared, and still what is known of the other', () => {
    const missing: SpoolReading = { spool: null, problem: 'The turbine of B is not known: complete it on its card.' };
    const { headline, lines } = spoolWords([0, 1], [time(0.5), missing], units);
    expect(headline).toBe('Spool-up: not compared.');
    expect(lines[1]).toBe('B: The turbine of B is not known: complete it on its card.');
    const short: SpoolReading = { spool: { status: 'not-reached', message: '' }, problem: null };
    expect(spoolWords([0, 1], [short, time(1)], units).lines[0]).toContain(
      'choose a higher one, above both boost thresholds.',
    );
  });
});
