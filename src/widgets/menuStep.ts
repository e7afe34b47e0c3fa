/**
 * Where a key moves the focus in a menu: the index of the item, or null when the key is not the menu's. Arrows go round; a letter goes to
 * the next item that begins with it.
 * @param at index of the focused item, -1 for none
 */
export function menuStep(key: string, at: number, texts: readonly string[]): number | null {
  const count = texts.length;
  if (count === 0) return null;
  if (key === 'ArrowDown') return (at + 1) % count;
  if (key === 'ArrowUp') return at <= 0 ? count - 1 : at - 1;
  if (key === 'Home') return 0;
  if (key === 'End') return count - 1;
  if (key.length !== 1 || key === ' ') return null;
  const letter = key.toLowerCase();
  for (let step = 1; step <= count; step += 1) {
    const index = (at + step) % count;
    if (texts[index]?.toLowerCase().startsWith(letter)) return index;
  }
  return null;
}
