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
