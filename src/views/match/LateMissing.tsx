/** In place of a part that could not be fetched. */
export function LateMissing() {
  return (
    <p role="alert">
      This part could not be fetched: the network is gone. Everything entered is kept. Reload the page when it is back.
    </p>
  );
}
