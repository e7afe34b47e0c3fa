/** The UTF-16 codes of a text. */
export function codesOf(text: string): Uint16Array {
  const codes = new Uint16Array(text.length);
  for (let i = 0; i < codes.length; i++) codes[i] = text.charCodeAt(i);
  return codes;
}

/** Two runs of FNV-1a (Fowler, Noll and Vo, 32 bits; from memory) with different beginnings: against accidents, not against intent. */
export function hashOf(codes: Uint16Array): string {
  const { length } = codes;
  let a = 0x811c9dc5;
  let b = 0x2f6e2b1;
  for (let i = 0; i < length; i++) {
    a = Math.imul(a ^ codes[i]!, 0x01000193);
    b = Math.imul(b ^ codes[length - 1 - i]!, 0x01000193);
  }
  return `${(a >>> 0).toString(36)}-${(b >>> 0).toString(36)}-${length.toString(36)}`;
}
