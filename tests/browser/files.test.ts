import { describe, expect, it } from 'vitest';
import { parseBuildFile, toMatchInput } from '../../src/build/index.ts';
import { solveOperatingLine } from '../../src/match/index.ts';
import { closeCleanly, download, dropFile, openApp, typeInto } from './harness.ts';
import { changed, chooseInBuildMenu, field, openBuildName, readColumn, readFindings, readPoints } from './screen.ts';

describe('a build file', () => {
  it('gives the same numbers on a fresh profile, and in Node without a page', async () => {
    const one = await openApp();
    const start = await readPoints(one.page);
    await typeInto(field(one.page, 'Altitude'), '1730');
    const points = await changed(() => readPoints(one.page), start);
    const findings = await readFindings(one.page);
    const shaftSpeeds = await readColumn(one.page, 'Shaft speed');
    const file = await download(one.page, () => chooseInBuildMenu(one.page, 'Save as a build file'));
    await closeCleanly(one);

    const two = await openApp();
    await dropFile(two.page, file.name, file.bytes.toString('utf8'));
    await expect.poll(() => readPoints(two.page)).toEqual(points);
    expect(await readFindings(two.page)).toEqual(findings);
    expect(await field(two.page, 'Altitude').inputValue()).toBe('1730');
    await closeCleanly(two);

    const parsed = parseBuildFile(JSON.parse(file.bytes.toString('utf8')));
    if (!parsed.ok) throw new Error(parsed.problems.map((p) => p.message).join(' '));
    const solved = solveOperatingLine(toMatchInput(parsed.value, 0)).filter((p) => p.status === 'ok');
    expect(solved.length).toBe(shaftSpeeds.size);
    for (const point of solved) {
      // Printed to the nearest ten or hundred.
      expect(Math.abs((shaftSpeeds.get(point.engineSpeedRpm) ?? 0) - point.shaftSpeedRpm)).toBeLessThanOrEqual(50);
    }
  });

  it('opens through the file dialog too', async () => {
    const session = await openApp();
    const file = await download(session.page, () => chooseInBuildMenu(session.page, 'Save as a build file'));
    const before = await readPoints(session.page);
    const coming = session.page.waitForEvent('filechooser');
    await chooseInBuildMenu(session.page, /^Open a file/);
    await (await coming).setFiles({ name: file.name, mimeType: 'application/json', buffer: file.bytes });
    await expect.poll(() => readPoints(session.page)).toEqual(before);
    await closeCleanly(session);
  });
});

describe('a table of speed lines in a text file', () => {
  it('is opened as if it were pasted for a new map, and taken over', async () => {
    const session = await openApp();
    const { page } = session;
    const rows = ['80\t10\t1,50', '80\t15\t1,45', '100\t15\t1,90', '100\t20\t1,85'];
    await dropFile(page, 'Bench wheel.csv', `Speed (krpm)\tFlow (lb/min)\tPR\n${rows.join('\n')}\n`);
    await page.getByRole('heading', { name: 'Paste a table of speed lines' }).waitFor();
    await page.getByText(/'Bench wheel.csv' holds a table of speed lines/).waitFor();
    await page.getByRole('button', { name: 'Take over 2 lines' }).click();
    const points = page.getByRole('grid', { name: /points/i }).first();
    await expect.poll(() => points.getByRole('gridcell').first().textContent()).toBe('10');
    await page.getByRole('heading', { name: 'Bench wheel' }).waitFor();
    await closeCleanly(session);
  });
});

describe('a file that cannot be used', () => {
  const JUNK: readonly (readonly [string, string])[] = [
    ['cut off in the middle', '{"format":"lugline-build","version":1,"build":{"name":"half'],
    ['of another program', '{"type":"FeatureCollection","features":[]}'],
    ['no text at all', '\u0000\u0001\u0002\ufffd'],
    ['from a later version', '{"format":"lugline-build","version":999}'],
    [
      'with a hostile shape',
      `{"format":"lugline-map","version":1,"__proto__":{"polluted":true},"speedLines":${'['.repeat(400)}${']'.repeat(400)}}`,
    ],
  ];

  it.each(JUNK)('%s: says why, and changes nothing', async (_what, text) => {
    const session = await openApp();
    const { page } = session;
    await typeInto(field(page, 'Altitude'), '640');
    const points = await readPoints(page);
    const name = await openBuildName(page);
    await dropFile(page, 'from-a-stick.json', text);
    await expect.poll(() => page.getByText('from-a-stick.json').count()).toBeGreaterThan(0);
    expect(await openBuildName(page)).toBe(name);
    expect(await readPoints(page)).toEqual(points);
    expect(await field(page, 'Altitude').inputValue()).toBe('640');
    expect(await page.evaluate(() => 'polluted' in {})).toBe(false);
    await closeCleanly(session);
  });
});
