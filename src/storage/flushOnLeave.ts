/** Calls `flush` when the page is hidden or left: the last moment at which a browser on a phone lets a page write. */
export function flushOnLeave(flush: () => void): () => void {
  const onHidden = () => {
    if (document.visibilityState === 'hidden') flush();
  };
  document.addEventListener('visibilitychange', onHidden);
  window.addEventListener('pagehide', flush);
  return () => {
    document.removeEventListener('visibilitychange', onHidden);
    window.removeEventListener('pagehide', flush);
  };
}
