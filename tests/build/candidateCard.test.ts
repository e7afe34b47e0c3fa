import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import * as b from '../../src/build/index.ts';
import { solveOperatingLine } from '../../src/match/index.ts';

const mm = (text: string): b.Typed => ({ text, unit: 'mm' });

/** The demonstration build with the second candidate's map taken away and the first one's map as its donor. */
function borrowing(change: (build: b.Build) => b.Build = (build) => build): b.Build {
  const build = demoBuild();
  const [first, second] = build.candidates.map((candidate) => ({ ...candidate, ...b.emptyCard() }));
  if (first === undefined || second === undefined) throw new Error('two candidates expected');
  const { wheels } = second;
  const compressor = { ...wheels.compressor, inducer: mm('48.5'), exducer: mm('61,5') };
  const without = { ...second, map: null, donor: first.map, wheels: { ...wheels, compressor } };
  return change({ ...build, candidates: [first, without] });
}

const overFile = (build: b.Build): b.Build => {
  const parsed = b.parseBuildFile(JSON.parse(JSON.stringify(b.buildToFile(build))));
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return b.fileToBuild(parsed.value);
};

describe('the card of a candidate', () => {
  test('a file from before it opens with nothing measured, no donor, an empty sheet and the usual fitment list', () => {
    const json = JSON.parse(readFileSync(new URL('../fixtures/build-v1.json', import.meta.url), 'utf8'));
    expect(json.candidates[0].wheels).toBeUndefined();
    const parsed = b.parseBuildFile(json);
    if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
    for (const candidate of parsed.value.candidates) {
      expect(candidate).toMatchObject(b.emptyCard());
      expect(candidate.donor).toBeNull();
    }
    expect(parsed.value.sheet).toEqual(b.defaultBuild('usual').sheet);
    expect(parsed.value.fitment).toEqual(b.usualFitment());
  });

  test('is read in SI from either unit and either decimal sign; what is empty is absent', () => {
    const build = borrowing();
    const [candidate] = build.candidates;
    if (candidate === undefined) throw new Error('a candidate expected');
    const inches = { ...candidate.wheels.turbine, inducer: { text: '2.05', unit: 'in' } };
    const wheels = { ...candidate.wheels, turbine: inches, caliperUncertainty: mm('0,1') };
    const card = b.readCard({ ...build, candidates: [{ ...candidate, wheels }] }, 0);
    // 2.05 x 25.4 mm (exact).
    expect(card?.turbine.inducerM).toBeCloseTo(0.05207, 12);
    expect(card?.turbine.caliperM).toBeCloseTo(1e-4, 12);
    expect(card?.turbine.exducerM).toBeUndefined();
    expect(b.readCard(build, 1)?.compressor.exducerM).toBeCloseTo(0.0615, 12);
    expect(b.readCard(build, 9)).toBeNull();
  });

  test('an entry that cannot be read is a problem with its path, and counts as not measured', () => {
    const build = borrowing();
    const change = b.setField('candidate.wheels.compressor.inducer', mm('forty'), 'demo-b');
    const next = change.perform(b.workspaceOf([build])).builds.demo;
    if (next === undefined) throw new Error('a build expected');
    const card = b.readCard(next, 1);
    expect(card?.problems.map(({ path }) => path)).toEqual(['candidates[1].wheels.compressor.inducer']);
    expect(card?.compressor.inducerM).toBeUndefined();
    expect(b.setField('candidate.claim.gain', { text: '17', unit: '%' }, 'demo-b').label).toBe('change claimed gain');
  });

  test('typing in one field is one step; another field is another', () => {
    const key = (path: b.CandidatePath) => b.setField(`candidate.${path}`, mm('48') as never, 'demo-b').mergeKey;
    expect(key('wheels.compressor.inducer')).toBe(key('wheels.compressor.inducer'));
    expect(key('wheels.compressor.inducer')).not.toBe(key('wheels.turbine.inducer'));
  });

  test('a claim without a gain claims nothing', () => {
    const build = borrowing();
    const claimed = (gain: string) =>
      b.readCard(
        {
          ...build,
          candidates: build.candidates.map((c) => ({
            ...c,
            claim: { kind: 'flow' as const, gain: { text: gain, unit: '%' } },
          })),
        },
        1,
      )?.claim;
    expect(claimed('')).toBeNull();
    expect(claimed('17')).toEqual({ kind: 'flow', gain: 0.17 });
  });
});

describe('a measured wheel that is not that of the map’s sheet', () => {
  const notes = (exducer: b.Typed) => {
    const build = demoBuild();
    const [first] = build.candidates;
    if (first === undefined) throw new Error('a candidate expected');
    const { wheels } = first;
    const candidates = [{ ...first, wheels: { ...wheels, compressor: { ...wheels.compressor, exducer } } }];
    const result = b.tryMatchInput({ ...build, candidates }, 0);
    expect(result.ok).toBe(true);
    return result.notes.filter(({ path }) => path.startsWith('candidates'));
  };

  test('is doubted, in the unit it was typed in; within a hundredth and the calipers it is the same', () => {
    // On the sheet: 56 mm. A hundredth and 0.05 mm are 0.61 mm.
    expect(notes(mm('56.6'))).toEqual([]);
    expect(notes(mm('57'))).toEqual([
      {
        path: 'candidates[0].wheels.compressor.exducer',
        message: expect.stringMatching(/57\.00.mm.*56\.00.mm/) as string,
      },
    ]);
    expect(notes({ text: '2.3', unit: 'in' })[0]?.message).toContain('in');
  });

  test('an entry that cannot be read is remarked and does not stand in the way', () => {
    expect(notes(mm('about 56'))[0]?.path).toBe('candidates[0].wheels.compressor.exducer');
  });
});

describe('a candidate without a map', () => {
  test('is computed on its donor’s map, scaled to its wheel and marked as an estimate', () => {
    const build = borrowing();
    const made = b.candidateSurface(build, 1);
    expect(made).toMatchObject({ problems: [] });
    // Wheel on the donor's sheet: 42.5/56 mm.
    expect(made?.surface?.estimate?.sizeRatio).toBeCloseTo(61.5 / 56, 10);
    expect(made?.surface?.estimate?.chokeFlowFactor).toBeCloseTo((48.5 / 42.5) ** 2, 10);
    expect(made?.sheet?.speedLines[0]?.speedRpm).toBeCloseTo(70_000 * (56 / 61.5), 6);
    const input = b.toMatchInput(build, 1);
    expect(input.compressor).toBe(made?.surface);
    expect(input.limits.shaftSpeedRpm).toBeUndefined();
    expect(solveOperatingLine(input).filter((p) => p.status === 'ok').length).toBeGreaterThan(10);
  });

  test('is the same surface while its wheels and the donor are the same, also in a changed build', () => {
    const build = borrowing();
    const again = b.candidateSurface({ ...build, notes: 'x' }, 1);
    expect(again?.surface).toBe(b.candidateSurface(build, 1)?.surface);
  });

  test('its own map goes before the donor', () => {
    const build = borrowing();
    const own = { ...build, candidates: build.candidates.map((c) => ({ ...c, map: c.map ?? c.donor })) };
    expect(b.candidateSurface(own, 1)?.problems).toEqual([]);
    expect(b.candidateSurface(own, 1)?.surface?.estimate).toBeUndefined();
  });

  test.each([
    ['no exducer measured', mm(''), 'wheels.compressor.exducer', 'measure the exducer'],
    ['trims that leave nothing', mm('150'), 'donor', 'so different'],
    ['a wheel too unlike', mm('92'), 'donor', 'so unlike'],
  ])('says why not: %s', (_name, exducer, part, words) => {
    const build = borrowing((base) => ({
      ...base,
      candidates: base.candidates.map((c) => ({
        ...c,
        wheels: { ...c.wheels, compressor: { ...c.wheels.compressor, exducer } },
      })),
    }));
    const result = b.tryMatchInput(build, 1);
    if (result.ok) throw new Error('problems expected');
    expect(result.problems).toEqual([
      { path: `candidates[1].${part}`, message: expect.stringContaining(words) as string },
    ]);
  });

  test('says why not: a donor without its wheel', () => {
    const build = borrowing((base) => ({
      ...base,
      candidates: base.candidates.map((c) => ({
        ...c,
        donor: c.donor && { ...c.donor, wheel: { inducer: mm(''), exducer: mm('') } },
      })),
    }));
    expect(b.candidateSurface(build, 1)?.problems[0]).toMatchObject({ part: 'donor' });
  });
});

describe('a donor is a map like any other', () => {
  test('it travels in the build file, shared with the candidate that has it as its own, and gives the same numbers', () => {
    const build = borrowing();
    const back = overFile(build);
    expect(back).toEqual(build);
    expect(back.candidates[1]?.donor).toBe(back.candidates[0]?.map);
    const line = (x: b.Build) => solveOperatingLine(b.toMatchInput(x, 1));
    expect(line(back)).toEqual(line(build));
  });

  test('it may stand in the file as a whole map file', () => {
    const build = borrowing();
    const donor = build.candidates[1]?.donor;
    const file = donor == null ? null : b.draftToMapFile(donor);
    if (file === null || !file.ok) throw new Error('a map file expected');
    const json = JSON.parse(JSON.stringify(b.buildToFile(build)));
    json.candidates[1].donor = JSON.parse(JSON.stringify(file.value));
    const parsed = b.parseBuildFile(json);
    if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
    expect(b.fileToBuild(parsed.value)).toEqual(build);
    json.candidates[1].donor.flowUnit = 'x';
    const damaged = b.parseBuildFile(json);
    expect(damaged.ok ? [] : damaged.problems.map(({ path }) => path)).toContain('candidates[1].donor.flowUnit');
  });

  test('an edit of the shelf map edits the donor, and taking it off the shelf leaves it in the build', () => {
    const workspace = b.workspaceOf([borrowing()]);
    expect(workspace.shelfOrder).toEqual(['demo-map-a', 'demo-turbine-a', 'demo-turbine-b']);
    const edited = b.editMap('demo-map-a', (map) => ({ ...map, source: 'read again' })).perform(workspace);
    expect(edited.builds.demo?.candidates[1]?.donor).toBe(edited.shelf['demo-map-a']);
    expect(edited.builds.demo?.candidates[1]?.donor?.source).toBe('read again');
    const off = b.deleteMap('demo-map-a').perform(edited);
    expect(b.findMap(off, 'demo-map-a')?.source).toBe('read again');
  });

  test('a donor is chosen from the shelf and taken off again', () => {
    const workspace = b.workspaceOf([demoBuild()]);
    const chosen = b.assignDonor('demo-b', 'demo-map-a').perform(workspace);
    expect(chosen.builds.demo?.candidates[1]?.donor).toBe(workspace.shelf['demo-map-a']);
    expect(b.assignDonor('demo-b', 'none').perform(chosen)).toBe(chosen);
    expect(b.assignDonor('demo-b', null).perform(chosen).builds.demo?.candidates[1]?.donor).toBeNull();
  });

  test('the shelf is ranked for a measured wheel, and not at all for one that is not measured', () => {
    const build = borrowing();
    const shelf = demoBuild().candidates.flatMap(({ map }) => map ?? []);
    const ranked = b.donorChoice(build, 1, shelf);
    expect(ranked.map(({ id }) => id)).toEqual(['demo-map-b', 'demo-map-a']);
    expect(ranked[0]).toMatchObject({ likeness: 'near', reason: 'Its wheel of the same size, trim the same.' });
    expect(b.donorChoice(build, 0, shelf)).toEqual([]);
  });
});

describe('the fitment list', () => {
  const workspace = b.workspaceOf([b.defaultBuild('one')]);
  const list = (w: b.Workspace) => w.builds.one?.fitment ?? [];

  test('takes a part, its text and lets go of it; the same text is no step', () => {
    const added = b.addFitmentItem('new', 'Oil cooler').perform(workspace);
    expect(list(added).at(-1)).toEqual({ id: 'new', part: 'Oil cooler', detail: '' });
    const named = b.setFitmentItem('new', 'detail', 'M22').perform(added);
    expect(list(named).at(-1)?.detail).toBe('M22');
    expect(b.setFitmentItem('new', 'detail', 'M22').perform(named)).toBe(named);
    expect(list(b.removeFitmentItem('new').perform(named))).toEqual(list(workspace));
    expect(b.removeFitmentItem('none').perform(named)).toBe(named);
  });

  test('is no longer than two pages hold', () => {
    let full = workspace;
    for (let i = 0; i < 40; i++) full = b.addFitmentItem(`part-${i}`).perform(full);
    expect(list(full)).toHaveLength(b.MOST_FITMENT_ITEMS);
  });
});

test('a new build has the shop, the preparer and the paper of the build that was open, and nothing else of its sheet', () => {
  const first = b.workspaceOf([b.defaultBuild('one')]);
  const named = [
    b.setBuildField('sheet.shopName', 'Invented workshop'),
    b.setBuildField('sheet.car', 'Hill coupe'),
    b.setBuildField('sheet.paper', 'letter'),
  ].reduce((workspace, change) => change.perform(workspace), first);
  const { sheet } = b.newBuild('two').perform(named).builds.two ?? {};
  expect(sheet).toEqual({ ...b.defaultBuild('usual').sheet, shopName: 'Invented workshop', paper: 'letter' });
});
