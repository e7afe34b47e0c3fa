import { act } from '@testing-library/react';
import {
  changeSettings,
  selectActiveBuild,
  selectComparison,
  setBuildField,
  solveOperatingLine,
  tryMatchInput,
} from './doors.ts';
import { changedColours, drawingsOf, linesOf, numbersOf, ownValues, seen, wordsOf } from './serialise.ts';
import {
  all,
  choose,
  drawingOfFile,
  expectDrawings,
  expectText,
  expectWords,
  find,
  go,
  openAll,
  pick,
  press,
  type Stage,
  savedBy,
  settled,
} from './stage.tsx';

/* The walk through the views that every build is taken on; `world` is the folder of its golden files. */

/** Some rows of a comparison are worked out only when the inputs have rested. */
const RESTED_MS = 900;
const main = () => document.querySelector('main')!;
const copied = async () => `${await navigator.clipboard.readText()}\n`;
const dressed = (stage: Stage, theme: 'light' | 'dark') =>
  act(() => stage.store.getState().run(changeSettings({ theme })));

/** Every drawing of the view in the dark palette: what differs from the light one. */
async function darkDrawings(stage: Stage, name: string, light: string): Promise<void> {
  dressed(stage, 'dark');
  await settled();
  await expectText(`${name}-dark.txt`, changedColours(light, drawingsOf(main())));
  dressed(stage, 'light');
  await settled();
}

/** One candidate: results, inputs, table, files. */
export async function walkMatch(stage: Stage, world: string): Promise<void> {
  await expectWords(`${world}/match`);
  await walkInputs(stage, world);
  const map = await find('region', /^Map of candidate/);
  await darkDrawings(stage, `${world}/match`, await expectDrawings(`${world}/match`, main()));
  await press(stage, 'Map and units');
  await pick(stage, 'Operating lines on the map', 'Other altitudes');
  await pick(stage, 'Speed lines are labelled in', 'Corrected rpm');
  await pick(stage, 'Unit of the flow axis', 'cfm');
  await expectDrawings(`${world}/match-altitudes-cfm`, map);
  await pick(stage, 'Operating lines on the map', 'This place');
  await pick(stage, 'Speed lines are labelled in', 'Shaft rpm today');
  await pick(stage, 'Unit of the flow axis', 'kg/s');
  await press(stage, 'Map and units');
}

/** Every row of the inputs, of which one is open at a time. */
async function walkInputs({ user }: Stage, world: string): Promise<void> {
  const inputs = await find('complementary', 'Inputs');
  const words: string[] = [];
  const drawings: string[] = [];
  for (const [at] of inputs.querySelectorAll('h2 > button').entries()) {
    const row = inputs.querySelectorAll<HTMLElement>('h2 > button')[at]!;
    if (row.getAttribute('aria-expanded') === 'false') await user.click(row);
    await settled();
    words.push(seen(row), wordsOf(row.closest('h2')!.nextElementSibling!));
    drawings.push(drawingsOf(row.closest('h2')!.nextElementSibling!));
  }
  await expectText(`${world}/inputs.txt`, words.join('\n'));
  await expectText(`${world}/inputs.svg.txt`, drawings.join('\n'));
}

/** What the Match view gives away: the table and the map. */
export async function saveMatch(stage: Stage, world: string): Promise<void> {
  await press(stage, 'Table');
  await press(stage, 'Copy the table for a spreadsheet');
  await expectText(`${world}/points.tsv`, await copied());
  const csv = await savedBy(stage, () => press(stage, 'Save the table as a CSV file'));
  await expectText(`${world}/points.csv.txt`, `${csv.name}\n${csv.text}\n`);
  await expectWords(`${world}/points`, await find('region', 'Drawer'));
  await press(stage, 'Map and units');
  const drawing = await savedBy(stage, () => press(stage, 'Save the map as an SVG drawing'));
  await press(stage, 'Map and units');
  await expectText(`${world}/saved-map.svg.txt`, drawingOfFile(drawing));
}

/** The charts of the turbine of one candidate. */
export async function walkTurbine(stage: Stage, world: string): Promise<void> {
  await press(stage, 'Turbine');
  const section = await find('region', 'Turbine');
  await expectWords(`${world}/turbine`, section);
  await darkDrawings(stage, `${world}/turbine`, await expectDrawings(`${world}/turbine`, main()));
}

/** Two candidates, in each way in which they are shown. */
export async function walkComparison(stage: Stage, world: string): Promise<void> {
  await choose(stage, 'Side by side');
  await expectDrawings(`${world}/side-by-side-turbine`, await find('region', 'Turbine'));
  await press(stage, 'Differences');
  await settled(RESTED_MS);
  await expectWords(`${world}/side-by-side`, main());
  await expectDrawings(`${world}/side-by-side`, main());
  await choose(stage, 'Overlay');
  await expectWords(`${world}/overlay`, await find('region', /in one$/));
  await darkDrawings(stage, `${world}/overlay`, await expectDrawings(`${world}/overlay`, main()));
  await press(stage, 'Differences');
  await press(stage, 'Map and units');
  const drawing = await savedBy(stage, () => press(stage, /^Save .* SVG drawing$/));
  await press(stage, 'Map and units');
  await expectText(`${world}/saved-overlay.svg.txt`, drawingOfFile(drawing));
  await choose(stage, 'One map');
}

export async function walkCounter(stage: Stage, world: string): Promise<void> {
  await press(stage, 'Counter mode');
  const dialog = await find('dialog', 'Counter mode');
  await settled(RESTED_MS);
  await expectWords(`${world}/counter`, dialog);
  await expectDrawings(`${world}/counter`, dialog);
  await press(stage, /^Leave/, dialog);
}

/** The card of each candidate, every section open. */
export async function walkCards(stage: Stage, world: string, letters: readonly string[]): Promise<void> {
  const { shownCandidate, comparedCandidate } = stage.store.getState().workspace.settings;
  for (const letter of letters) {
    const card = new RegExp(`^Card of candidate ${letter}`);
    // Only the two that are compared have theirs at hand.
    if (all('button', card).length === 0)
      await press(stage, new RegExp(`^${letter}\\W`), await find('region', 'Candidates'));
    await press(stage, card);
    const dialog = await find('dialog', `Card of candidate ${letter}`);
    await openAll(stage, dialog);
    await expectWords(`${world}/card-${letter}`, dialog);
    await stage.user.keyboard('{Escape}');
    await settled();
  }
  act(() => stage.store.getState().run(changeSettings({ shownCandidate, comparedCandidate })));
  await settled();
}

export async function walkAltitude(stage: Stage, world: string): Promise<void> {
  await go(stage, 'Altitude');
  await settled();
  const inputs = await find('complementary', 'Inputs of the study');
  await openAll(stage, inputs);
  await expectWords(`${world}/altitude`);
  await darkDrawings(stage, `${world}/altitude`, await expectDrawings(`${world}/altitude`, main()));
  const tables = await find<HTMLSelectElement>('combobox', 'What the table shows');
  const copies: string[] = [];
  for (const { value, text } of [...tables.options]) {
    await stage.user.selectOptions(tables, value);
    await press(stage, /^Copy this table/);
    copies.push(text, await copied());
    await settled();
  }
  await expectText(`${world}/calibration.tsv`, copies.join('\n'));
  const csv = await savedBy(stage, () => press(stage, 'Save all tables as a CSV file'));
  await expectText(`${world}/calibration.csv.txt`, `${csv.name}\n${csv.text}\n`);
}

export async function walkSpread(stage: Stage, world: string): Promise<void> {
  act(() => stage.store.getState().run(setBuildField('spread.samples', { text: '256', unit: '1' })));
  await press(stage, 'Run the spread');
  await find('table', 'What moves the shaft speed most');
  const section = await find('region', /How sure is it/);
  await expectWords(`${world}/spread`, section);
  await expectDrawings(`${world}/spread`, section);
}

/** Every sheet of the shelf, every part of it. */
export async function walkMaps(stage: Stage, world: string, from = 0): Promise<void> {
  await go(stage, 'Maps');
  const shelf = await find('navigation', 'Shelf of maps');
  await expectWords(`${world}/shelf`, shelf);
  const count = all('listitem', undefined, shelf).length;
  for (let i = from; i < count; i += 1) {
    const entry = all('button', undefined, all('listitem', undefined, shelf)[i])[0]!;
    await stage.user.click(entry);
    await settled();
    for (const tab of all('tab')) {
      await stage.user.click(tab);
      await expectWords(`${world}/sheet-${i + 1}-${seen(tab).split(/[ ,]/)[0]!.toLowerCase()}`, main());
    }
    await expectDrawings(`${world}/sheet-${i + 1}`, main());
  }
}

export async function walkSheet(stage: Stage, world: string): Promise<void> {
  await go(stage, 'Sheet');
  await find('region', 'Pages');
  await openAll(stage, await find('complementary', 'What stands on the sheet'));
  await expectWords(`${world}/match-sheet`);
  await expectDrawings(`${world}/match-sheet`, main());
}

/** The sheet as a record, and what is said when an input changes afterwards. */
export async function walkFiling(stage: Stage, world: string): Promise<void> {
  const filing = await find('complementary', 'What stands on the sheet');
  await press(stage, 'File this sheet');
  await expectWords(`${world}/filing`, filing);
  await expectText(`${world}/numbers-filed.json`, numbersOf(selectActiveBuild(stage.store.getState()).filed));
  act(() => stage.store.getState().run(setBuildField('air.altitude', { text: '1500', unit: 'm' })));
  await expectWords(`${world}/filing-changed`, filing);
}

/** The numbers alone, to six digits: operating lines, studies over altitude, spread, comparison. */
export async function holdNumbers({ store }: Stage, world: string): Promise<void> {
  const state = store.getState();
  const build = selectActiveBuild(state);
  const lines = build.candidates.map((_, index) => {
    const read = tryMatchInput(build, index);
    return read.ok ? solveOperatingLine(read.input) : read.problems;
  });
  await expectText(`${world}/numbers-lines.json`, numbersOf(lines));
  const { altitude, spread } = state.studies;
  const studies = altitude.result?.candidates.map((one) => one?.ceilings.cells.map((row) => row.map(ownValues)));
  await expectText(`${world}/numbers-ceilings.json`, numbersOf(studies));
  const { atSpeeds, ceilings, influences } = spread.result!.spread;
  const bands = atSpeeds.map(({ engineSpeedRpm, bands, crossedBy }) => ({ engineSpeedRpm, bands, crossedBy }));
  const reached = ceilings.map(({ nominal, ...rest }) => ({ ...rest, nominal: ownValues(nominal) }));
  await expectText(`${world}/numbers-spread.json`, numbersOf({ bands, ceilings: reached, influences }));
  await expectText(`${world}/numbers-comparison.json`, numbersOf(selectComparison(state, 0, 1, false)?.comparison));
}

/** What is saved as files. */
export async function saveFiles(stage: Stage, world: string): Promise<void> {
  for (const [name, save] of [
    ['build', () => stage.files.saveBuild()],
    ['backup', () => stage.files.saveBackup()],
    ...stage.store
      .getState()
      .workspace.shelfOrder.map((id, i) => [`map-${i + 1}`, () => stage.files.saveMap(id)] as const),
  ] as const) {
    const { name: called, text } = await savedBy(stage, async () => save());
    await expectText(`${world}/saved-${name}.json.txt`, `${called}\n${linesOf(JSON.parse(text))}`);
  }
}
