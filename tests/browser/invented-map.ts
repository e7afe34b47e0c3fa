/**
 * A map that no machine stands behind, as a shop would read it off a sheet: a 58 mm wheel, shaped by similarity (work coefficient falling from 0.615 at
 * surge, choke growing with tip speed) and rounded as sheets are.
 */
export const INVENTED_LINES: readonly { speed: string; points: readonly (readonly [string, string, string])[] }[] = [
  {
    speed: '80000',
    points: rows(
      '0.051 1.49 71; 0.076 1.48 75; 0.101 1.47 76; 0.126 1.43 75; 0.151 1.36 72; 0.166 1.28 68; 0.176 1.20 65',
    ),
  },
  {
    speed: '100000',
    points: rows(
      '0.074 1.83 71; 0.102 1.81 75; 0.130 1.79 76; 0.158 1.73 75; 0.186 1.60 72; 0.203 1.46 68; 0.214 1.33 66',
    ),
  },
  {
    speed: '120000',
    points: rows(
      '0.101 2.32 71; 0.131 2.29 75; 0.161 2.24 76; 0.191 2.15 76; 0.221 1.93 72; 0.239 1.70 69; 0.250 1.50 66',
    ),
  },
  {
    speed: '140000',
    points: rows(
      '0.132 3.02 71; 0.163 2.96 75; 0.193 2.88 76; 0.223 2.73 75; 0.254 2.37 72; 0.272 2.02 68; 0.284 1.72 65',
    ),
  },
  {
    speed: '155000',
    points: rows(
      '0.158 3.71 70; 0.188 3.63 74; 0.218 3.52 75; 0.248 3.30 74; 0.278 2.81 71; 0.296 2.32 67; 0.308 1.92 64',
    ),
  },
];

export const INVENTED_SURGE = '0.051\t1.49\n0.074\t1.83\n0.101\t2.32\n0.132\t3.02\n0.158\t3.71';

function rows(text: string): readonly (readonly [string, string, string])[] {
  return text.split(';').map((row) => {
    const [flow = '', ratio = '', efficiency = ''] = row.trim().split(' ');
    return [flow, ratio, efficiency] as const;
  });
}

/** Rows as a spreadsheet puts them on the clipboard. */
export function asPasted(points: readonly (readonly string[])[]): string {
  return points.map((row) => row.join('\t')).join('\n');
}
