import type { Build } from '../../../build/index.ts';

/** Size of a sheet of paper and what is kept free around the text, mm. */
export interface Paper {
  name: string;
  /** For the page rule of the browser's print. */
  cssName: 'A4' | 'letter';
  widthMm: number;
  heightMm: number;
  sideMm: number;
  topMm: number;
  bottomMm: number;
}

/** ISO 216 and ANSI/ASME Y14.1. The margins are wider than what office printers leave blank. */
export const PAPERS: Readonly<Record<Build['sheet']['paper'], Paper>> = {
  a4: { name: 'A4', cssName: 'A4', widthMm: 210, heightMm: 297, sideMm: 13, topMm: 10, bottomMm: 8 },
  letter: {
    name: 'US Letter',
    cssName: 'letter',
    widthMm: 215.9,
    heightMm: 279.4,
    sideMm: 13,
    topMm: 9,
    bottomMm: 7.5,
  },
};

/** CSS pixels a millimetre: 96 to the inch. */
export const PX_PER_MM = 96 / 25.4;

/** Foot line of every page, mm. */
export const FOOT_MM = 5;
