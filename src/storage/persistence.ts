/**
 * Whether the browser has promised not to purge the page's data by itself; with 'ask' it is asked for that promise (some browsers
 * put the question to the user then). null where the browser does not say.
 */
export async function requestPersistence(how: 'ask' | 'ask-nothing'): Promise<boolean | null> {
  const storage = typeof navigator === 'undefined' ? undefined : navigator.storage;
  try {
    if (typeof storage?.persisted !== 'function') return null;
    if (await storage.persisted()) return true;
    return how === 'ask' && typeof storage.persist === 'function' ? await storage.persist() : false;
  } catch {
    return null;
  }
}
