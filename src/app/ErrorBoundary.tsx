import { Component, type ErrorInfo, type ReactNode } from 'react';
import styles from './app.module.css';

interface Props {
  children: ReactNode;
  /** Hands over everything that is in memory as a file. */
  onSaveData: () => void;
}

/** When drawing fails, the data must still be reachable: says what happened and offers the file of everything. */
export class ErrorBoundary extends Component<Props, { error: Error | null }> {
  override state: { error: Error | null } = { error: null };

  static getDerivedStateFromError(error: unknown): { error: Error } {
    return { error: error instanceof Error ? error : new Error(String(error)) };
  }

  override componentDidCatch(error: Error, info: ErrorInfo): void {
    console.error(error, info.componentStack);
  }

  override render(): ReactNode {
    const { error } = this.state;
    if (error === null) return this.props.children;
    return (
      <main className={styles.failure} role="alert">
        <h1>Lugline could not draw this page</h1>
        <p>
          Your data is not lost: it is still in this page and was being saved in this browser as you worked. Save it as
          a file first, then try again.
        </p>
        <p className={styles.actions}>
          <button type="button" onClick={this.props.onSaveData}>
            Save everything as a file
          </button>
          <button type="button" onClick={() => this.setState({ error: null })}>
            Try again
          </button>
          <button type="button" onClick={() => location.reload()}>
            Reload the page
          </button>
        </p>
        <details>
          <summary>What went wrong, for a report</summary>
          <pre>{error.stack ?? error.message}</pre>
        </details>
      </main>
    );
  }
}
