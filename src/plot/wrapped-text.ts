import { textWidth } from './text-width.ts';

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
