/** `wanted` itself, or with the first free number behind it: 'Bench map', 'Bench map (2)', 'Bench map (3)'. */
export function uniqueName(wanted: string, taken: Iterable<string>): string {
  const names = new Set(taken);
  const plain = wanted.trim() === '' ? 'Untitled' : wanted.trim();
  if (!names.has(plain)) return plain;
  const stem = plain.replace(/ \(\d+\)$/, '');
  for (let n = 2; ; n += 1) {
    const name = `${stem} (${n})`;
    if (!names.has(name)) return name;
  }
}
