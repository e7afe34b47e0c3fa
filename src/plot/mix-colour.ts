/** A colour between two '#rrggbb' colours; share 0 gives the first, 1 the second (held to 0..1). */
export function mixColour(from: string, to: string, share: number): string {
  const t = Math.min(1, Math.max(0, share));
  let mixed = '#';
  for (const start of [1, 3, 5]) {
    const a = Number.parseInt(from.slice(start, start + 2), 16);
    const b = Number.parseInt(to.slice(start, start + 2), 16);
    mixed += Math.round(a + (b - a) * t)
      .toString(16)
      .padStart(2, '0');
  }
  return mixed;
}
