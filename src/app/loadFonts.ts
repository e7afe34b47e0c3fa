/** All weights and both ranges at once: a name typed later with a letter of the extended range must not send a request then. */
export function loadFonts(): void {
  const { fonts } = document;
  if (fonts === undefined) return;
  for (const weight of [400, 500, 600]) {
    // A font that does not come is no trouble: the next in the list of families is used.
    fonts.load(`${weight} 1em Barlow`, 'aā').catch(() => undefined);
  }
}
