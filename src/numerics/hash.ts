/** Two runs of FNV-1a (Fowler, Noll and Vo, 32 bits; from memory) with different beginnings: against accidents, not against intent. `code`: below 65,536. */
export function hashOf(length: number, code: (i: number) => number): string {
  let a = 0x811c9dc5;
  let b = 0x2f6e2b1;
  for (let i = 0; i < length; i++) {
    a = Math.imul(a ^ code(i), 0x01000193);
    b = Math.imul(b ^ code(length - 1 - i), 0x01000193);
  }
  return `${(a >>> 0).toString(36)}-${(b >>> 0).toString(36)}-${length.toString(36)}`;
}
