import { describe, expect, it } from 'vitest';
import { type LogText, readLogText } from '../../../src/build/index.ts';
import type { LogChannelKey } from '../../../src/match/log/types.ts';
import {
  bytesOf,
  type Drive,
  inventedDrive,
  PLAIN_NAMES,
  plainCells,
  type Style,
  seeded,
  utf16,
  writeLog,
} from './invented.ts';

const drive = inventedDrive();
const read = (style: Style = {}, of: Drive = drive) => readLogText(bytesOf(writeLog(of, style)));
const channel = (log: LogText, key: LogChannelKey) =>
  log.channels.find((each) => each.key === key)?.values ?? new Float64Array();
const lineOf = (text: string) => bytesOf(text);
const found = (log: LogText) => log.findings.map(({ code, channel: key, count }) => [code, key, count]);

describe('what is no log is refused in one sentence with a place and a way out', () => {
  const big = { length: 101 * 1024 * 1024 } as Uint8Array;
  it.each<[string, () => Uint8Array, RegExp]>([
    ['nothing', () => new Uint8Array(), /^The file is empty\. Record/],
    ['blanks', () => lineOf(' \n \n'), /only blanks.*choose another/],
    ['names only', () => lineOf(`${PLAIN_NAMES.join(',')}\n`), /no row of readings.*Choose a file/],
    ['binary', () => Uint8Array.from({ length: 5000 }, (_, at) => (at * 37) % 251), /no text.*Export the log as CSV/],
    [
      'a workbook',
      () => Uint8Array.from([0x50, 0x4b, 3, 4, 20, 0, 0, 0]),
      /packed file or a workbook.*save the table as CSV/,
    ],
    ['101 MB', () => big, /101 MB; logs up to 100 MB.*Cut it/],
    ['one column', () => lineOf('n\n1000\n2000\n3000\n'), /No columns.*Export the log/],
    ['text alone', () => lineOf('a,b\nc,d\ne,f\n'), /No numbers.*Choose a file/],
    ['prose', () => lineOf('Dear all,\nthe car ran well, and so, on.\n'), /Choose a file/],
  ])('%s', (_, bytes, message) => {
    const log = readLogText(bytes());
    expect(log.problems.map(({ severity }) => severity)).toEqual(['stop']);
    expect(log.problems[0]!.message).toMatch(message);
    expect(log.channels).toEqual([]);
  });

  it('no engine speed, no manifold pressure: says which is missing and keeps what was understood', () => {
    const without = (at: number) =>
      read({ names: PLAIN_NAMES.toSpliced(at, 1), cells: (d, row) => plainCells(d, row).toSpliced(at, 1) });
    expect(
      without(1)
        .problems.filter(({ severity }) => severity === 'stop')
        .map(({ message }) => message),
    ).toEqual([expect.stringMatching(/^No column holds the engine speed.*Choose it/)]);
    expect(
      without(2)
        .problems.filter(({ severity }) => severity === 'stop')
        .map(({ message }) => message),
    ).toEqual([expect.stringMatching(/^No column holds the manifold pressure.*Choose it/)]);
    expect(without(3).problems).toEqual([
      expect.objectContaining({ severity: 'warning', message: expect.stringMatching(/shaft speed.*Choose/) }),
    ]);
    expect(without(1).columns.map(({ role }) => role)).toContain('shaftSpeed');
  });

  it('without a time, or with one that goes back', () => {
    const none = read({ names: PLAIN_NAMES.slice(1), cells: (d, row) => plainCells(d, row).slice(1) });
    expect(none.timeS).toBeNull();
    expect(none.problems).toEqual([
      expect.objectContaining({ message: expect.stringMatching(/^No column holds the time.*Choose the time column/) }),
    ]);
    const twice = [...drive.timeS.keys(), ...drive.timeS.keys()];
    const text = [PLAIN_NAMES.join(','), ...twice.map((row) => plainCells(drive, row).join(','))].join('\n');
    const back = readLogText(lineOf(text));
    expect(back.sessions).toEqual([0, drive.timeS.length]);
    expect(back.problems.map(({ path }) => path)).toEqual([`Column 1 “Time [s]”, line ${drive.timeS.length + 2}`]);
    const steps = back.timeS!.slice(1).map((time, row) => time - back.timeS![row]!);
    expect(Math.min(...steps)).toBeGreaterThan(0);
    const shuffled = read({ cells: (d, row) => plainCells(d, row).with(0, (row * 7919) % 101) });
    expect(shuffled.timeS).toBeNull();
    expect(shuffled.problems[0]!.message).toMatch(/goes back.*sort the rows/);
  });

  it('random and altered bytes never throw, and give only finite readings or none', () => {
    const chance = seeded(11);
    const whole = [bytesOf(writeLog(drive)), utf16(writeLog(drive, { separator: ';', decimal: ',' }))];
    for (let round = 0; round < 150; round += 1) {
      const source = whole[round % 2]!;
      const bytes =
        round % 3 === 0 ? Uint8Array.from({ length: 400 + 4000 * chance() }, () => 256 * chance()) : source.slice();
      const changes = 1 + 40 * chance();
      for (let change = 0; change < changes; change += 1) bytes[Math.floor(chance() * bytes.length)] = 256 * chance();
      const log = readLogText(round % 5 === 0 ? bytes.subarray(0, Math.floor(chance() * bytes.length)) : bytes);
      for (const { values } of log.channels)
        expect(values.some((value) => value === Number.POSITIVE_INFINITY || value === Number.NEGATIVE_INFINITY)).toBe(
          false,
        );
      for (const { values } of log.channels) expect(values.length).toBe(log.lines.length);
      if (log.channels.length === 0) expect(log.problems.length).toBeGreaterThan(0);
    }
  });
});

describe('what cannot be right is found, counted and kept out', () => {
  it('takes nothing out of an honest log', () => {
    expect(read().findings).toEqual([]);
    expect(read().removed).toEqual([]);
  });

  it('spikes and drop-outs', () => {
    const shaft = drive.shaftSpeedRpm.slice();
    const map = drive.manifoldPressurePa.slice();
    for (const row of [150, 200, 230]) shaft[row] = shaft[row]! * (5 / 6);
    shaft[170] = shaft[170]! * 1.4;
    shaft[190] = 0;
    map[210] = map[210]! * 1.3;
    const log = read({}, { ...drive, shaftSpeedRpm: shaft, manifoldPressurePa: map });
    expect(log.removed.map(({ key, row, why }) => [key, row, why])).toEqual([
      ['shaftSpeed', 150, 'spike'],
      ['shaftSpeed', 170, 'spike'],
      ['shaftSpeed', 190, 'spike'],
      ['shaftSpeed', 200, 'spike'],
      ['manifoldPressure', 210, 'spike'],
      ['shaftSpeed', 230, 'spike'],
    ]);
    expect(log.removed[1]!.value).toBeCloseTo(drive.shaftSpeedRpm[170]! * 1.4, 6);
    for (const { key, row } of log.removed) expect(channel(log, key)[row]).toBeNaN();
    expect(found(log)).toEqual([
      ['spike', 'manifoldPressure', 1],
      ['drop-out', 'shaftSpeed', 1],
      ['drop-out', 'shaftSpeed', 3],
      ['spike', 'shaftSpeed', 1],
    ]);
  });

  it('a sensor at its end, until someone says that it is none', () => {
    const cut = { ...drive, manifoldPressurePa: drive.manifoldPressurePa.map((pa) => Math.min(pa, 230_000)) };
    const log = read({}, cut);
    const pegged = cut.manifoldPressurePa.filter((pa) => pa === 230_000).length;
    expect(pegged).toBeGreaterThan(50);
    expect(found(log)).toEqual([['pegged', 'manifoldPressure', pegged]]);
    expect(log.problems[0]!.message).toMatch(/Boost may have been higher/);
    const question = log.questions.find(({ code }) => code === 'pegged')!;
    const kept = readLogText(bytesOf(writeLog(cut)), question.choices[1]!.hints);
    expect(kept.removed).toEqual([]);
    expect(Math.max(...channel(kept, 'manifoldPressure'))).toBeCloseTo(230_000, 6);
  });

  it('a coarse sensor is not at its end because it often reads the same', () => {
    const coarse = { ...drive, manifoldPressurePa: drive.manifoldPressurePa.map((pa) => 1000 * Math.round(pa / 1000)) };
    expect(read({}, coarse).findings).toEqual([]);
  });

  it('a channel that never changes is not at its end', () => {
    const log = read({ names: [...PLAIN_NAMES, 'EGT [degC]'], cells: (d, row) => [...plainCells(d, row), 800] });
    expect(log.findings).toEqual([]);
  });

  it('duplicates, gaps, repeated names, remarks and cells that are no number', () => {
    const rows = drive.timeS.map((_, row) => plainCells(drive, row).join(','));
    rows[50] = rows[50]!.replace(/,[^,]+$/, ',open');
    const text = [
      PLAIN_NAMES.join(','),
      ...rows.slice(0, 101),
      ...rows.slice(100, 160),
      'marker: second gear',
      ...rows.slice(200),
      PLAIN_NAMES.join(','),
      ...rows,
    ].join('\n');
    const log = readLogText(lineOf(text));
    expect(Object.fromEntries(log.findings.map(({ code, count }) => [code, count]))).toEqual({
      duplicate: 1,
      gap: 1,
      'repeated-header': 1,
      'text-row': 1,
      unreadable: 2,
    });
    expect(log.lines.length).toBe(rows.length * 2 - 40);
    expect(log.sessions).toEqual([0, 160, rows.length - 40]);
    expect(log.findings.find(({ code }) => code === 'unreadable')?.message).toContain('“open” in line 52');
  });

  it('a clock that passes midnight goes on', () => {
    const late = (seconds: number) => {
      const all = (86_390 + seconds) % 86_400;
      return `${Math.floor(all / 3600)}:${String(Math.floor((all / 60) % 60)).padStart(2, '0')}:${(all % 60).toFixed(3).padStart(6, '0')}`;
    };
    const log = read({
      names: PLAIN_NAMES.with(0, 'Time'),
      cells: (d, row) => [late(d.timeS[row]!), ...plainCells(d, row).slice(1)],
    });
    expect(log.timeS!.at(-1)).toBeCloseTo(drive.timeS.at(-1)!, 3);
    expect(log.sessions).toEqual([0]);
  });
});

describe('channels that are slower than the rows', () => {
  const held = {
    ...drive,
    manifoldPressurePa: drive.manifoldPressurePa.map((_, row) => drive.manifoldPressurePa[row - (row % 4)]!),
  };

  it('finds the update period of a channel that holds its value: 5 Hz in a file of 20 Hz', () => {
    const log = read({}, held);
    expect(log.columns[2]!.updatePeriodS).toBeGreaterThan(0.19);
    expect(log.columns[2]!.updatePeriodS).toBeLessThan(0.21);
    expect(log.columns.filter(({ updatePeriodS }) => updatePeriodS !== null).map(({ index }) => index)).toEqual([2]);
    // Updates stand as they are, rows between on the line from one to the next.
    const map = channel(log, 'manifoldPressure');
    for (const row of [104, 120, 200]) {
      expect(map[row]).toBeCloseTo(drive.manifoldPressurePa[row]!, 6);
      expect(map[row + 1]).toBeCloseTo(
        0.75 * drive.manifoldPressurePa[row]! + 0.25 * drive.manifoldPressurePa[row + 4]!,
        6,
      );
    }
  });

  it('the same where the cells between are empty, and nothing over more than 1.5 periods', () => {
    const cells = (d: Drive, row: number) =>
      plainCells(d, row).map((cell, at) => (at === 2 && (row % 4 !== 0 || (row > 160 && row < 175)) ? '' : cell));
    const log = read({ cells });
    expect(log.columns[2]!.updatePeriodS).toBeCloseTo(0.2, 2);
    const map = channel(log, 'manifoldPressure');
    expect(map[121]).toBeCloseTo(0.75 * drive.manifoldPressurePa[120]! + 0.25 * drive.manifoldPressurePa[124]!, 6);
    for (let row = 161; row < 176; row += 1) expect(map[row]).toBeNaN();
  });
});
