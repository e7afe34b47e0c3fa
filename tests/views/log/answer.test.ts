import { beforeAll, describe, expect, it } from 'vitest';
import { LogReader } from '../../../src/app/studies/computeLog.ts';
import { demoBuild } from '../../../src/build/demo.ts';
import { resultUnits } from '../../../src/match/index.ts';
import type { RoadLogResult, ShaftHighest } from '../../../src/match/types.ts';
import { draftOfFile, type LogStudy } from '../../../src/store/index.ts';
import { logAnswer } from '../../../src/views/log/model/answer.ts';
import { nuisanceWords } from '../../../src/views/shared/logSentences.ts';

/** Expected: what each changed fact says, by hand; numbers are those put in. */
const units = resultUnits({});
let demo: LogStudy;
beforeAll(async () => {
  const build = demoBuild();
  const record = draftOfFile('log', 'demo.csv', '2026-05-01T08:00:00.000Z', 'demo-a', true);
  demo = { ...(await new LogReader().study({ build, candidateIndex: 0, record, bytes: null })), build };
});

function answer(
  changed: Partial<RoadLogResult>,
  highest: Partial<ShaftHighest> = {},
  text: Partial<LogStudy['text']> = {},
) {
  const result = demo.result!;
  const study = {
    ...demo,
    text: { ...demo.text, ...text },
    result: { ...result, highest: { ...result.highest!, ...highest }, ...changed },
  };
  const { said, next } = logAnswer(study, units)!;
  const [worst] = said;
  const sentence = said.map((part) => part.sentence).join(' ');
  return { ...worst!, next, sentence: sentence.replaceAll('\u00a0', ' ') };
}

describe('the answer of a road log', () => {
  it('of the invented log: the air that the car lacks first, the shaft then, and what to do', () => {
    const { severity, sentence, next, place } = answer({});
    expect(severity).toBe('caution');
    expect(sentence).toMatch(
      /^Near \d\d00 rpm the engine draws [45]\.\d % less air than entered\. The shaft stayed under its limit by [\d\u202f]+ rpm \(\d+\.\d %\)\.$/,
    );
    expect(next).toMatch(/take it$/);
    expect(place).toBe('take');
  });

  it('a shaft over its limit goes before everything, with how much and when', () => {
    const over = answer({}, { shaftSpeedRpm: 180_000, limitRpm: 172_000, timeS: 12.34, engineSpeedRpm: 4850, row: 7 });
    expect(over.severity).toBe('stop');
    expect(over.sentence).toMatch(
      /^The shaft went over its limit by 8000 rpm \(4\.7 %\) at 12\.3 s, 4850 rpm of the engine\. /,
    );
    expect(over.next).toMatch(/^Lower the boost/);
    expect(over.place).toEqual({ row: 7, timeS: 12.34 });
  });

  it('says that the shaft stayed under its limit only where every row, what lies between, and the reserve say so', () => {
    const stayed = /stayed under its limit by [\d\u202f]+ rpm \([\d.]+ %\)(;|\.)/;
    const limit = { limitRpm: 172_000, reserve: 0.03, betweenRowsRpm: 0 };
    expect(answer({}, { ...limit, shaftSpeedRpm: 160_000 }).sentence).toMatch(stayed);
    expect(answer({}, { ...limit, shaftSpeedRpm: 171_000 }).sentence).toMatch(/less than the reserve of 3\.0 %/);
    expect(answer({}, { ...limit, shaftSpeedRpm: 160_000, betweenRowsRpm: 13_000 }).sentence).toMatch(
      /may have been over it between two/,
    );
    const none = { limitRpm: null, shaftSpeedRpm: 160_000 };
    expect(answer({}, none).sentence).toMatch(/no limit is entered/);
    const pegged = [{ code: 'pegged', channel: 'shaftSpeed', count: 9, message: '' }] as const;
    for (const sentence of [
      answer({}, none).sentence,
      answer({ highest: null }).sentence,
      answer({}, { ...limit, shaftSpeedRpm: 160_000 }, { findings: pegged }).sentence,
    ])
      expect(sentence).not.toMatch(/stayed under its limit (by|in)/);
  });

  it('says that the car is where the match said only where neither fit nor shaft speed says otherwise', () => {
    const fit = demo.result!.fit!;
    const asEntered = {
      ...fit,
      volumetricEfficiency: fit.volumetricEfficiency.map((p) => ({ ...p, value: p.entered })),
    };
    const where = /the car is where the match said/i;
    const near = { ...demo.result!.blades, verdict: 'as-entered' as const, logRatio: 0.004, standardDeviation: 0.013 };
    expect(answer({ fit: asEntered, blades: near }).sentence).toMatch(
      /where the match said: shaft speed 0\.4 % above the predicted one, within the ±1\.3 %/,
    );
    expect(answer({ fit: asEntered, blades: { ...near, logRatio: 0.05 } }).sentence).toMatch(
      /not where the match said/,
    );
    expect(answer({ blades: near }).sentence).not.toMatch(where);
    const unknown = { ...near, verdict: 'no-reading' as const, logRatio: null, standardDeviation: null };
    expect(answer({ fit: null, causes: [], blades: unknown }).sentence).not.toMatch(where);
  });

  it('claims the air alone where the log tells it from the rest, else names what it cannot tell apart', () => {
    const [lead] = demo.result!.causes;
    const other = { key: 'inletLoss' as const, alone: 0.5, priorDeviation: 0.1 };
    const { sentence, next } = answer({
      causes: [{ ...lead!, members: [...lead!.members, other], separatedBy: 'compressorInletPressure' }],
    });
    expect(sentence).toMatch(/this log cannot tell which is off: volumetric efficiency, inlet loss/);
    expect(next).toMatch(/pressure before the compressor/);
  });

  it('a meter whose scale leads is what is named, and the car is not', () => {
    const [lead] = demo.result!.causes;
    const air = { key: 'airMassScale' as const, alone: 0.072, priorDeviation: 0.03 };
    const of = (members: NonNullable<typeof lead>['members']) =>
      answer({ causes: [{ ...lead!, leads: true, members, separatedBy: members.length > 1 ? 'shaftSpeed' : null }] });
    const alone = of([air]);
    expect(alone.sentence).toMatch(
      /^The air-mass sensor reads about 7\.2 % above all else in this log: .*scale is off\./,
    );
    expect(alone.next).toMatch(/^Check how the air-mass sensor is scaled/);
    const alike = of([...lead!.members.filter(({ key }) => key === 'volumetricEfficiency'), { ...air, alone: -0.072 }]);
    expect(alike.sentence).toMatch(
      /7\.2 % below the match: this log cannot tell which is off: volumetric efficiency, scale of the air-mass sensor, or air leaks/,
    );
    expect(alike.next).toMatch(/^Log the shaft speed.*would tell which$/);
    for (const { sentence } of [alone, alike]) expect(sentence).not.toMatch(/car is (not )?where/);
  });

  it('another blade count goes before the limit, and the limit is judged with it', () => {
    const candidates = [{ blades: 11, missed: false, shaftSpeedFactor: 1.2, probability: 0.99 }];
    const blades = { ...demo.result!.blades, verdict: 'other-count' as const, candidates };
    expect(answer({ blades }, { shaftSpeedRpm: 150_000, limitRpm: 172_000 }).sentence).toMatch(
      /^The logged shaft speed is not to be believed: 11 blades would make it at most 180\u202f000 rpm, over the limit/,
    );
  });

  it('what else may be off has no sign where it rounds to nothing, and decimals where its reach is small', () => {
    const of = (value: number, priorDeviation: number) =>
      nuisanceWords(
        { key: 'shaftScale', value, standardDeviation: priorDeviation, priorDeviation },
        resultUnits({}),
      ).replaceAll('\u00a0', ' ');
    expect(of(-0.00001, 0.0005)).toBe('scale of the shaft-speed sensor 0.00 % (±0.05 %; before the log ±0.05 %)');
    expect(of(-0.012, 0.02)).toBe('scale of the shaft-speed sensor −1.2 % (±2.0 %; before the log ±2.0 %)');
  });

  it('a log that stops says why, and leads to its columns', () => {
    const problems = [{ severity: 'stop', path: 'Columns', message: 'No column holds it. Choose it.' }] as const;
    const stopped = answer({}, {}, { problems });
    expect(stopped).toMatchObject({
      severity: 'stop',
      sentence: 'No column holds it.',
      next: 'Choose it',
      place: 'columns',
    });
  });
});
