import { describe, expect, it } from 'vitest';
import { emptyMap, emptyTurbineSheet, type MapDraft } from '../../../src/build/index.ts';
import { splitTable } from '../../../src/views/maps/paste/cells.ts';
import { flowUnitIn, unitsFor } from '../../../src/views/maps/paste/columns.ts';
import { isMapTable, readMapTable } from '../../../src/views/maps/paste/readMapTable.ts';
import { alignPasted, takePaste } from '../../../src/views/maps/paste/takePaste.ts';
import { compressorPaste } from '../../../src/views/maps/sheetKinds/compressor.tsx';
import { turbinePaste } from '../../../src/views/maps/sheetKinds/turbine.tsx';

const read = (text: string) => readMapTable(splitTable(text), { usualFlowUnit: 'kg/s', form: turbinePaste });
const lines = (text: string) =>
  read(text).lines.map(({ speed, points }) => ({ speed, points: points.map((p) => Object.values(p)) }));

describe('a pasted table of a turbine sheet', () => {
  it.each([
    ['Expansion ratio', 'Flow [kg/s]', 'Efficiency'],
    ['PR', 'Corrected mass flow kg/s', 'eta_ts'],
    ['ER', 'W corr, kg/s', 'η'],
    ['p03/p4', 'mdot (kg/s)', 'eff'],
    ['Pressure ratio p3/p4', 'swallowing capacity kg/s', 'isentropic efficiency'],
  ])('knows its columns by their headings: %s, %s, %s', (ratio, flow, efficiency) => {
    const table = read(`${efficiency}\t${flow}\t${ratio}\n0.61\t0.081\t1.3\n0.66\t0.097\t1.7`);
    expect(table.roles).toEqual(['efficiency', 'flow', 'ratio']);
    expect(table.lines[0]!.points).toEqual([
      { flow: '0.081', pressureRatio: '1.3', efficiency: '0.61' },
      { flow: '0.097', pressureRatio: '1.7', efficiency: '0.66' },
    ]);
    expect(table.problem).toBeNull();
  });

  it('does not take the ratio of speeds for that of the expansion', () => {
    expect(read('U/C0\tspeed ratio\texpansion ratio\tflow kg/s\n0.6\t0.6\t1.5\t0.1\n0.7\t0.7\t2\t0.11').roles).toEqual([
      'ignored',
      'ignored',
      'ratio',
      'flow',
    ]);
  });

  it('reads decimal commas, keeps the text, and parts lines by their speeds', () => {
    expect(lines('ER;Flow kg/s;Speed rpm\n1,5;0,101;60000\n2,0;0,112;60000\n1,7;0,099;90000')).toEqual([
      {
        speed: '60000',
        points: [
          ['0,101', '1,5', ''],
          ['0,112', '2,0', ''],
        ],
      },
      { speed: '90000', points: [['0,099', '1,7', '']] },
    ]);
  });

  it('parts lines without speeds by empty rows and headings between them', () => {
    const text = 'ER\tFlow kg/s\n1.5\t0.101\n2\t0.112\n\nER\tFlow kg/s\n1.6\t0.095\n2.1\t0.106';
    expect(lines(text).map(({ points }) => points.length)).toEqual([2, 2]);
    expect(read(text).skipped).toEqual([]);
    expect(isMapTable(text, turbinePaste)).toBe(true);
    // One line alone goes into the table at hand, and a compressor map has no lines without speeds.
    expect(isMapTable('ER\tFlow kg/s\n1.5\t0.101\n2\t0.112', turbinePaste)).toBe(false);
    expect(isMapTable(text, compressorPaste)).toBe(false);
  });

  it('puts points in rising expansion ratio and says so', () => {
    const table = read('ER\tFlow kg/s\n2\t0.112\n1.5\t0.101');
    expect(table.lines[0]!.points.map((p) => p.pressureRatio)).toEqual(['1.5', '2']);
    expect(table.notes.join(' ')).toMatch(/in order of rising expansion ratio/);
  });

  it('tells the columns of bare numbers by their size', () => {
    expect(read('1.5\t0.101\t0.64\n2\t0.112\t0.69').roles).toEqual(['ratio', 'flow', 'efficiency']);
    expect(read('60000\t1.5\t13.3\t64\n60000\t2\t14.8\t69').roles).toEqual(['speed', 'ratio', 'flow', 'efficiency']);
  });

  it('never takes small speeds for percent: rpm over the root of K', () => {
    const table = read('ER\tFlow kg/s\tSpeed\n1.5\t0.101\t85\n2\t0.112\t110');
    expect(table.needsDesignSpeed).toBe(false);
    expect(table.lines.map(({ speed }) => speed)).toEqual(['85', '110']);
  });

  it('says what is missing in its own words', () => {
    expect(read('Flow kg/s\tEfficiency\n0.1\t0.6\n0.2\t0.6').problem).toBe(
      'Which column is the expansion ratio? Choose it above the table.',
    );
    expect(read('ER\tFlow kg/s\n1.5\t0.1\n1.6\tx').skipped).toEqual([
      { row: 3, reason: "the flow 'x' is not a number" },
    ]);
  });
});

describe('units of a turbine table', () => {
  it.each([
    ['Flow parameter [kg √K / (s kPa)]', 'kPa'],
    ['W sqrt(T3)/p3 kg*sqrt(K)/s/kPa', 'kPa'],
    ['MFP (kg.K^0.5/s.MPa)', 'MPa'],
    ['kg K^0,5/(s bar)', 'bar'],
    ['kg√K/(s·Pa)', 'Pa'],
    ['Corrected flow [kg/s]', 'kg/s'],
    ['Flow lb/min at 100 kPa', 'lb/min'],
  ] as const)('are known: %s', (heading, unit) => expect(flowUnitIn(heading)).toBe(unit));

  it('are those of a turbine only', () => {
    expect(unitsFor(turbinePaste)).not.toContain('cfm');
    expect(unitsFor(turbinePaste)).toContain('kPa');
    expect(unitsFor(compressorPaste)).not.toContain('kPa');
  });

  it('set an empty sheet, and are brought to those of one that keeps its flows', () => {
    const text = 'ER\tkg√K/(s·bar)\n1.5\t1.12\n2\t1.3';
    const table = read(text);
    const empty = takePaste(emptyTurbineSheet('t'), table, 'replace') as MapDraft;
    expect(empty.flowParameter).toBe('bar');
    expect(empty.speedLines[0]!.points[0]!.flow).toBe('1.12');
    const kept: MapDraft = { ...empty, flowParameter: 'kPa' };
    const added = takePaste(kept, table, 'add') as MapDraft;
    expect(added.flowParameter).toBe('kPa');
    // 1 kg sqrt(K)/(s bar) is 0.01 kg sqrt(K)/(s kPa).
    expect(Number(added.speedLines[1]!.points[0]!.flow)).toBeCloseTo(0.0112, 12);
  });

  it('cross from corrected flow to a flow parameter by the reference state, and ask for it where there is none', () => {
    const corrected: MapDraft = {
      ...emptyTurbineSheet('t'),
      speedLines: [{ speed: '', points: [{ flow: '0.1', pressureRatio: '2', efficiency: '' }] }],
    };
    const table = read('ER\tkg√K/(s·kPa)\n1.5\t0.0169749816\n2\t0.018');
    expect(takePaste(corrected, table, 'add')).toMatch(/reference state is needed. Enter it first/);
    const withReference: MapDraft = {
      ...corrected,
      reference: { temperature: { text: '288.15', unit: 'K' }, pressure: { text: '100', unit: 'kPa' } },
    };
    const added = takePaste(withReference, table, 'add') as MapDraft;
    // Hand calculation: 0.1 kg/s x sqrt(288.15 K) / 100 kPa = 0.0169749816 kg sqrt(K)/(s kPa).
    expect(Number(added.speedLines[1]!.points[0]!.flow)).toBeCloseTo(0.1, 7);
  });

  it('are left alone on a compressor map', () => {
    const table = readMapTable(splitTable('Speed\tPR\tFlow kg√K/(s·kPa)\n90000\t1.5\t0.1\n90000\t1.6\t0.09'), {
      usualFlowUnit: 'kg/s',
      form: compressorPaste,
    });
    expect(table.flowUnit).toBe('kg/s');
    expect(takePaste(emptyMap('m'), table, 'replace')).not.toHaveProperty('flowParameter');
  });
});

describe('columns pasted into the table of a turbine line', () => {
  it('are put in its own order, expansion ratio first', () => {
    const matrix = [
      ['Flow', 'Efficiency', 'Expansion ratio'],
      ['0.1', '0.6', '1.5'],
    ];
    expect(alignPasted(matrix, ['ratio', 'flow', 'efficiency'], turbinePaste)).toEqual([['1.5', '0.1', '0.6']]);
  });
});
