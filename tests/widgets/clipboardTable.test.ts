import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatClipboardTable, formatCsv, parseClipboardTable } from '../../src/widgets/clipboardTable.ts';

describe('parseClipboardTable', () => {
  it.each([
    [
      'tabs, as spreadsheets copy',
      '0.05\t1.42\t0.68\n0.08\t1.40\t0.71\n',
      [
        ['0.05', '1.42', '0.68'],
        ['0.08', '1.40', '0.71'],
      ],
    ],
    [
      'tabs with decimal commas',
      '0,05\t1,42\r\n0,08\t1,40\r\n',
      [
        ['0,05', '1,42'],
        ['0,08', '1,40'],
      ],
    ],
    [
      'semicolons with decimal commas',
      '0,05;1,42\n0,08;1,40',
      [
        ['0,05', '1,42'],
        ['0,08', '1,40'],
      ],
    ],
    [
      'commas with decimal points',
      '0.05,1.42\n0.08,1.40',
      [
        ['0.05', '1.42'],
        ['0.08', '1.40'],
      ],
    ],
    [
      'commas and blanks',
      '100, 200\n300, 400',
      [
        ['100', '200'],
        ['300', '400'],
      ],
    ],
    [
      'blanks with decimal points',
      '90000 0.05  1.42\n 90000 0.08  1.40',
      [
        ['90000', '0.05', '1.42'],
        ['90000', '0.08', '1.40'],
      ],
    ],
    [
      'blanks with decimal commas',
      '0,05 1,42\n0,08 1,40',
      [
        ['0,05', '1,42'],
        ['0,08', '1,40'],
      ],
    ],
    ['one column with decimal commas', '0,05\n0,08', [['0,05'], ['0,08']]],
    ['one column with thousands commas', '90,000\n148,200', [['90,000'], ['148,200']]],
    [
      'blanks, numbers parted as they are shown',
      '148\u202f200 0.08\n90\u202f000 1.40',
      [
        ['148200', '0.08'],
        ['90000', '1.40'],
      ],
    ],
    ['one number', '20,5', [['20,5']]],
    [
      'empty cells',
      '0.05\t\t0.68\n\t1.40\t',
      [
        ['0.05', '', '0.68'],
        ['', '1.40', ''],
      ],
    ],
    [
      'a heading line',
      'flow\tPR\n0.05\t1.42',
      [
        ['flow', 'PR'],
        ['0.05', '1.42'],
      ],
    ],
    [
      'three integers a line',
      '1,2,3\n4,5,6',
      [
        ['1', '2', '3'],
        ['4', '5', '6'],
      ],
    ],
    [
      'quoted cells',
      '"a ""b""\tc"\t2\n"x\ny"\t3',
      [
        ['a "b"\tc', '2'],
        ['x\ny', '3'],
      ],
    ],
    [
      'quoted numbers in commas',
      '"1,234.5",0.7\n"2,000.5",0.8',
      [
        ['1,234.5', '0.7'],
        ['2,000.5', '0.8'],
      ],
    ],
    ['an inch sign', '2" pipe\t3', [['2" pipe', '3']]],
    ['nothing', '', []],
    ['blank lines only', '\n \n', []],
  ])('%s', (_name, text, expected) => {
    expect(parseClipboardTable(text)).toEqual(expected);
  });

  const decimals = fc
    .tuple(fc.integer({ min: 0, max: 99_999 }), fc.integer({ min: 0, max: 9999 }))
    .map(([whole, part]) => `${whole}.${String(part).padStart(4, '0')}`);
  const table = fc
    .tuple(fc.integer({ min: 1, max: 6 }), fc.integer({ min: 1, max: 5 }))
    .chain(([height, width]) =>
      fc.array(fc.array(decimals, { minLength: width, maxLength: width }), { minLength: height, maxLength: height }),
    );
  const written = (cells: string[][], sign: string, between: string, end: string) =>
    cells.map((row) => row.map((cell) => cell.replace('.', sign)).join(between)).join('\n') + end;

  it('reads a table of decimals back whatever separates cells and decimals', () => {
    const ways = [
      ['.', '\t'],
      [',', '\t'],
      ['.', ';'],
      [',', ';'],
      ['.', ','],
      ['.', ', '],
      ['.', '  '],
      [',', '  '],
      [',', ' '],
    ];
    fc.assert(
      fc.property(
        table,
        fc.constantFrom(...ways),
        fc.constantFrom('', '\n', '\n\n'),
        (cells, [sign = '.', between = '\t'], end) => {
          const expected = cells.map((row) => row.map((cell) => cell.replace('.', sign)));
          expect(parseClipboardTable(written(cells, sign, between, end))).toEqual(expected);
        },
      ),
    );
  });

  it('gives back any texts that it copied, but for empty lines at the end', () => {
    const cell = fc
      .string({ unit: fc.constantFrom(...'ab1,.;"\t\n '), maxLength: 8 })
      .map((text) => (/["\t\n]/.test(text) ? text : text.trim()));
    const filled = fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), { minLength: 1, maxLength: 5 });
    fc.assert(
      fc.property(filled, (matrix) => {
        const expected = [...matrix];
        while (expected.length > 0 && expected.at(-1)?.every((text) => text === '')) expected.pop();
        expect(parseClipboardTable(formatClipboardTable(matrix))).toEqual(expected);
      }),
    );
  });

  // In how little time it takes a large hostile one is measured in tests/bench.
  it('takes any text without complaint, a large hostile one as it stands', () => {
    fc.assert(fc.property(fc.string({ maxLength: 200 }), (text) => Array.isArray(parseClipboardTable(text))));
    expect(parseClipboardTable(`"a"b\t`.repeat(3000)).map((row) => row.length)).toEqual([3001]);
  });
});

describe('what a spreadsheet would run', () => {
  // The characters are those of OWASP's page on CSV injection, with their full-width forms.
  const HOSTILE = [
    '=HYPERLINK("https://example.org")',
    '=1+1',
    '+1+1',
    '-2+3',
    '@SUM(A1)',
    '＝1',
    "'=1",
    "''@x",
    '+',
    '-',
    '=',
    '\t=1',
  ];
  const NUMBERS = ['-5', '+0.5', '-1,200.5', '-3e-4', '12'];
  const first = (text: string) => (text.charAt(0) === '"' ? text.charAt(1) : text.charAt(0));

  it.each(HOSTILE.filter((text) => !/^[+-]$/.test(text)))(
    '%j begins with the mark of a text, in a file and on the clipboard',
    (text) => {
      expect(first(formatCsv([[text]]))).toBe("'");
      expect(first(formatClipboardTable([[text]]))).toBe("'");
    },
  );

  it.each(NUMBERS)('%s stays a number', (text) => {
    expect(formatClipboardTable([[text]])).toBe(text);
    expect(
      formatCsv([[text]])
        .replaceAll('"', '')
        .trim(),
    ).toBe(text);
  });

  it('comes back as the same text when our own table is read again', () => {
    const cell = fc.oneof(
      fc.constantFrom(...HOSTILE, ...NUMBERS, '', 'a;b', 'a,b', 'in 2"', 'two\nlines', "it's"),
      fc.string({ maxLength: 8 }).map((text) => text.trim().replaceAll(/[\0\ufeff\r]/g, '')),
    );
    const row = fc.tuple(cell, cell, cell).map((cells) => [...cells, 'end']);
    fc.assert(
      fc.property(fc.array(row, { minLength: 1, maxLength: 6 }), (body) => {
        const table = [['Engine speed [rpm]', 'Name', 'Remark', 'End'], ...body.map((cells) => cells.map(whole))];
        expect(parseClipboardTable(formatClipboardTable(table))).toEqual(table);
        expect(parseClipboardTable(formatCsv(table))).toEqual(table);
      }),
      { numRuns: 2000, seed: 20263 },
    );
  });

  /** Reading takes blanks at the ends of a bare cell away. */
  function whole(text: string): string {
    return text.trim();
  }
});
