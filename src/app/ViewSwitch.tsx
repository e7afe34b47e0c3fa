import styles from './app.module.css';

export type ViewKey = 'match' | 'altitude' | 'maps' | 'sheet';

const VIEWS: readonly { key: ViewKey; name: string }[] = [
  { key: 'match', name: 'Match' },
  { key: 'altitude', name: 'Altitude' },
  { key: 'maps', name: 'Maps' },
  { key: 'sheet', name: 'Sheet' },
];

export function ViewSwitch({ view, onChoose }: { view: ViewKey; onChoose: (view: ViewKey) => void }) {
  return (
    <nav className={styles.views} aria-label="Views">
      {VIEWS.map(({ key, name }) => (
        <button
          key={key}
          type="button"
          className={styles.view}
          aria-current={key === view ? 'page' : undefined}
          onClick={() => onChoose(key)}
        >
          {name}
        </button>
      ))}
    </nav>
  );
}
