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
