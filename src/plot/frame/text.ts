import { tickStep } from 'd3-array';
import { formatNumber } from '../../units/index.ts';

/*
 * Label boxes are needed before anything is on a screen (in Node, in tests, for the exported file), so widths are estimated from a
 * small table of advance widths. It is on the wide side of Barlow, Segoe UI and Arial: a label may get a little too much room, never too little.
 */
const WIDE = /[MWmw@%—…&]/;
const NARROW = /[ijlI.,:;'|!()[\]\s·ft]/;
const UPPER = /[A-ZΔΩ]/;

/** Width of a text in pixels at a font size in pixels, estimated on the wide side; bold adds 6 %. */
export function textWidth(text: string, fontSize: number, bold = false): number {
  let em = 0;
  for (const character of text) {
    if (WIDE.test(character)) em += 0.9;
    else if (NARROW.test(character)) em += 0.31;
    else if (UPPER.test(character)) em += 0.69;
    else em += 0.575;
  }
  return em * fontSize * (bold ? 1.06 : 1);
}

/** A text in rows no wider than `width` pixels, broken at spaces; line breaks in the text are kept. A single longer word stands alone. */
export function wrappedText(text: string, fontSize: number, width: number): string[] {
  const rows: string[] = [];
  for (const paragraph of text.split('\n')) {
    let row = '';
    for (const word of paragraph.split(' ').filter((part) => part !== '')) {
      const longer = row === '' ? word : `${row} ${word}`;
      if (row !== '' && textWidth(longer, fontSize) > width) {
        rows.push(row);
        row = word;
      } else row = longer;
    }
    if (row !== '') rows.push(row);
  }
  return rows;
}

/** Writes the ticks of an axis, all with the decimals that its step needs: '0.5', '1.0', '1.5'. `count` as given to `scale.ticks`, above 0. */
export function tickText([start = 0, stop = 1]: readonly number[], count: number): (value: number) => string {
  const step = Math.abs(tickStep(start, stop, count));
  // Steps are 1, 2 or 5 times a power of ten; the margin is for the logarithm's rounding (log10(0.001) may come out above -3).
  const decimals = step > 0 ? Math.min(12, Math.max(0, -Math.floor(Math.log10(step) + 1e-9))) : 0;
  return (value) => formatNumber(value, decimals);
}
