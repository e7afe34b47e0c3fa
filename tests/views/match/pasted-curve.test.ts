import { describe, expect, it } from 'vitest';
import { upright, withPasted } from '../../../src/views/match/model/typedCurve.ts';

const boost = {
  unit: 'bar',
  rows: [
    { engineSpeed: '2000', value: '0.10' },
    { engineSpeed: '6500', value: '1.28' },
  ],
};
const pasted = (row: number, column: number, ...matrix: string[][]) =>
  withPasted(boost, 'pressure-gauge', row, column, matrix);

describe('a block pasted into a curve', () => {
  it('leaves its heading out', () => {
    expect(pasted(0, 0, ['Engine speed [rpm]', 'Boost [bar]'], ['2500', '0,5'], ['6000', '1,2'])).toEqual({
      unit: 'bar',
      rows: [
        { engineSpeed: '2500', value: '0,5' },
        { engineSpeed: '6000', value: '1,2' },
      ],
    });
  });
  it('brings the unit that its heading names where it replaces all rows: the numbers stay as they came', () => {
    const curve = pasted(0, 0, ['rpm', 'psi'], ['2500', '8'], ['4000', '18'], ['6000', '17']);
    expect(curve.unit).toBe('psi');
    expect(curve.rows.map((row) => row.value)).toEqual(['8', '18', '17']);
  });
  it('is brought to the unit of the curve where other rows stay', () => {
    const curve = pasted(1, 1, ['Boost, psi'], ['18']);
    expect(curve.unit).toBe('bar');
    // 1 psi = 6.894757 kPa (exact definitions of inch, pound and standard gravity): 18 psi = 1.24106 bar.
    expect(curve.rows).toEqual([boost.rows[0], { engineSpeed: '6500', value: '1.2411' }]);
  });
  it('is stood up where it lies on its side, as the tables of control units do', () => {
    const standing = [
      ['rpm', 'psi'],
      ['2500', '8'],
      ['4000', '18'],
      ['6000', '17'],
    ];
    expect(
      upright([
        ['rpm', '2500', '4000', '6000'],
        ['psi', '8', '18', '17'],
      ]),
    ).toEqual(standing);
    const bare = [
      ['2500', '4000', '6000'],
      ['0,5', '1,2', '1,1'],
    ];
    expect(upright(bare)).toEqual([
      ['2500', '0,5'],
      ['4000', '1,2'],
      ['6000', '1,1'],
    ]);
    // Two rows of three columns that are not engine speeds, and what stands already, stay as they are.
    const remarks = [
      ['2500', '0.5', 'wet'],
      ['4000', '1.2', 'dry'],
    ];
    expect(upright(remarks)).toEqual(remarks);
    expect(upright(standing)).toEqual(standing);
  });
  it('goes in as it stands without a heading, slips included', () => {
    expect(pasted(0, 1, ['0.2'], ['1.2x']).rows.map((row) => row.value)).toEqual(['0.2', '1.2x']);
    expect(pasted(0, 1, ['about 1']).rows[0]?.value).toBe('about 1');
  });
  it('tells units apart that share letters', () => {
    const bsfc = { unit: 'g/kWh', rows: [{ engineSpeed: '3000', value: '300' }] };
    const matrix = [
      ['n, rpm', 'bsfc [lb/(hp·h)]'],
      ['3000', '0.49'],
    ];
    const curve = withPasted(bsfc, 'bsfc', 0, 0, matrix);
    expect(curve.rows).toEqual([{ engineSpeed: '3000', value: '0.49' }]);
    expect(curve.unit).not.toBe('g/kWh');
  });
});
