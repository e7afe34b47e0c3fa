/**
 * True on iPhone and iPad, whose screen reader does not let a person type into a field with the role of a spinbutton (React Aria leaves
 * the role away for the same reason).
 */
export function isTouchReader(): boolean {
  const { platform, maxTouchPoints } = navigator;
  return /^iP(?:hone|ad|od)/.test(platform) || (platform === 'MacIntel' && maxTouchPoints > 1);
}
