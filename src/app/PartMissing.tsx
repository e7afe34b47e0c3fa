import { Button } from '../widgets/index.ts';
import styles from './app.module.css';

/** In place of a view whose script could not be fetched: the rest of the page works on. */
export function PartMissing() {
  return (
    <div className={styles.failure} role="alert">
      <p>This view could not be fetched: the network is gone, or the page was replaced by a newer one.</p>
      <p>Everything entered is kept. Reload the page when the network is back.</p>
      <Button onPress={() => location.reload()}>Reload the page</Button>
    </div>
  );
}
