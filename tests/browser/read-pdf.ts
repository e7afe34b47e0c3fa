// The build for Node: it reads text without a canvas.
import { getDocument, VerbosityLevel } from 'pdfjs-dist/legacy/build/pdf.mjs';

export interface PdfPage {
  /** Points, 72 to the inch. */
  width: number;
  height: number;
  /** Text in reading order: pieces on one baseline make a line, from left to right, gaps as one space. */
  lines: readonly string[];
}

/** Every page of a PDF as text. */
export async function readPdf(bytes: Uint8Array): Promise<PdfPage[]> {
  const pdf = await getDocument({ data: new Uint8Array(bytes), verbosity: VerbosityLevel.ERRORS }).promise;
  const pages: PdfPage[] = [];
  for (let number = 1; number <= pdf.numPages; number += 1) {
    const page = await pdf.getPage(number);
    const { width, height } = page.getViewport({ scale: 1 });
    const { items } = await page.getTextContent();
    const pieces = items.flatMap((item) =>
      'str' in item && item.str.trim() !== ''
        ? [{ text: item.str, x: item.transform[4] as number, y: item.transform[5] as number, width: item.width }]
        : [],
    );
    pages.push({ width, height, lines: linesOf(pieces) });
  }
  await pdf.destroy();
  return pages;
}

interface Piece {
  text: string;
  x: number;
  y: number;
  width: number;
}

/** Baselines nearer than this are one line, points. */
const SAME_LINE = 0.9;
/** Pieces nearer than this are parts of one word, points. */
const SAME_WORD = 0.4;

function linesOf(pieces: readonly Piece[]): string[] {
  const lines: { y: number; pieces: Piece[] }[] = [];
  for (const piece of pieces) {
    const line = lines.find(({ y }) => Math.abs(y - piece.y) < SAME_LINE);
    if (line === undefined) lines.push({ y: piece.y, pieces: [piece] });
    else line.pieces.push(piece);
  }
  return lines
    .sort((a, b) => b.y - a.y)
    .map((line) => {
      let text = '';
      let end = Number.NEGATIVE_INFINITY;
      for (const piece of line.pieces.sort((a, b) => a.x - b.x)) {
        text += text === '' || piece.x - end < SAME_WORD ? piece.text : ` ${piece.text}`;
        end = piece.x + piece.width;
      }
      return text.replaceAll(/\s+/g, ' ').trim();
    });
}
