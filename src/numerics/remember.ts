/** Asks for what belongs to `key` and `parts`; `make` works it out where it is not remembered. */
export type Memory<K extends object, V> = (
  key: K,
  parts: readonly unknown[],
  make: () => V,
  keep?: (made: V) => boolean,
) => V;

/**
 * A memory by identity: the same object comes back while the key is the same object and every part is the same as it was (`Object.is`).
 * One answer is kept a key, that of the last parts, for as long as somebody holds the key. Where two objects are the key together, each
 * with answers of its own, keep memories in a memory: `byFitter(fitter, [], memory)(tables, parts, make)`.
 * `keep` false: this answer is worked out again the next time.
 */
export function memory<K extends object, V>(): Memory<K, V> {
  const known = new WeakMap<K, { parts: readonly unknown[]; made: V }>();
  return (key, parts, make, keep) => {
    const last = known.get(key);
    if (last?.parts.every((part, i) => Object.is(part, parts[i])) === true) return last.made;
    const made = make();
    if (keep === undefined || keep(made)) known.set(key, { parts, made });
    return made;
  };
}

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
