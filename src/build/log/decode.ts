/** Larger files are refused: they would not fit beside their own numbers. */
const MOST_LOG_BYTES = 100 * 1024 * 1024;

/** Why a file of so many bytes is not read at all; null: it is. */
export function logTooLarge(bytes: number): string | null {
  const size = Math.ceil(bytes / 1024 / 1024);
  return bytes > MOST_LOG_BYTES
    ? `The file has ${size} MB; logs up to 100 MB are read. Cut it to the pulls, or leave channels out.`
    : null;
}

/** The text of a log, or one sentence that says why there is none and what to do. */
export function decodeLog(bytes: Uint8Array): { ok: true; text: string } | { ok: false; message: string } {
  const refuse = (message: string) => ({ ok: false as const, message });
  if (bytes.length === 0) return refuse('The file is empty. Record the log again, or choose another file.');
  const tooLarge = logTooLarge(bytes.length);
  if (tooLarge !== null) return refuse(tooLarge);
  if (bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 3) {
    return refuse('This is a packed file or a workbook, not text. Unpack it, or save the table as CSV, and open that.');
  }
  const text = textOf(bytes);
  if (text === null) {
    return refuse('This is no text: it holds binary data. Export the log as CSV from the logger and open that.');
  }
  return text.trim() === ''
    ? refuse('The file holds only blanks. Record the log again, or choose another file.')
    : { ok: true, text: /\n/.test(text) ? text : text.replace(/\r/g, '\n') };
}

function textOf(bytes: Uint8Array): string | null {
  const encoding = wideEncoding(bytes);
  if (encoding !== null) return new TextDecoder(encoding).decode(bytes);
  const head = bytes.subarray(0, 65_536);
  const control = head.reduce((count, byte) => count + (byte < 9 || (byte > 13 && byte < 32) ? 1 : 0), 0);
  if (head.includes(0) || control > head.length / 100) return null;
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

/** UTF-16, by its mark or because nearly every second byte of plain text is zero. */
function wideEncoding(bytes: Uint8Array): 'utf-16le' | 'utf-16be' | null {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le';
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return 'utf-16be';
  const pairs = Math.min(bytes.length >> 1, 512);
  let [even, odd] = [0, 0];
  for (let pair = 0; pair < pairs; pair += 1) {
    if (bytes[2 * pair] === 0) even += 1;
    if (bytes[2 * pair + 1] === 0) odd += 1;
  }
  if (pairs < 4 || Math.max(even, odd) < 0.9 * pairs || Math.min(even, odd) > 0.1 * pairs) return null;
  return odd > even ? 'utf-16le' : 'utf-16be';
}
