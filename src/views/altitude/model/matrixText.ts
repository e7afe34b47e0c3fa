import { NO_NUMBER } from '../../../units/index.ts';
import type { Matrix } from '../../shared/altitudeStudies.ts';

/** One matrix for a spreadsheet or a calibration tool: engine speeds down, places across, plain numbers. */
export function matrixTsv(matrix: Matrix): string {
  const heading = [
    `Engine speed [rpm] / ${matrix.title} [${matrix.unit}]`,
    ...matrix.columns.map(({ title }) => title),
  ];
  return lines(matrix, heading, (text) => text.replaceAll(/[\t\r\n]+/g, ' '), '\t', '\n');
}

/** All matrices one under the other as a file (RFC 4180). */
export function matricesCsv(matrices: readonly Matrix[], remarks: readonly string[]): string {
  const blocks = matrices.map((matrix) => {
    const heading = [
      `${matrix.title} [${matrix.unit}]: engine speed [rpm]`,
      ...matrix.columns.map(({ title }) => title),
    ];
    return lines(matrix, heading, csvCell, ',', '\r\n');
  });
  return [
    ...remarks.map((remark) => `${csvCell(remark.replaceAll('\u00a0', ' '))}\r\n`),
    '\r\n',
    blocks.join('\r\n'),
  ].join('');
}

function lines(
  matrix: Matrix,
  heading: readonly string[],
  quote: (text: string) => string,
  separator: string,
  end: string,
): string {
  const rows = matrix.rows.map(({ engineSpeed, cells }) => [
    plain(engineSpeed),
    ...cells.map(({ text }) => plain(text)),
  ]);
  return (
    [heading, ...rows]
      .map((cells) => cells.map((text) => quote(text.replaceAll('\u00a0', ' '))).join(separator))
      .join(end) + end
  );
}

/** As a machine reads it: no separators, an empty cell where there is no number. */
function plain(text: string): string {
  return text === NO_NUMBER ? '' : text.replaceAll(',', '').replace('−', '-');
}

function csvCell(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
