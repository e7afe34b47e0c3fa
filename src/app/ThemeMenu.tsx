import type { Settings } from '../build/index.ts';
import { MenuButton } from '../widgets/index.ts';
import styles from './app.module.css';

const THEMES: readonly { key: Settings['theme']; text: string }[] = [
  { key: 'system', text: 'As the system' },
  { key: 'light', text: 'Light' },
  { key: 'dark', text: 'Dark' },
];

/** Light, dark, or as the system is set. */
export function ThemeMenu({
  theme,
  onChoose,
}: {
  theme: Settings['theme'];
  onChoose: (theme: Settings['theme']) => void;
}) {
  const current = THEMES.find((entry) => entry.key === theme)?.text ?? '';
  return (
    <MenuButton
      label={`Colours: ${current}`}
      variant="quiet"
      align="end"
      groups={[
        {
          title: 'Colours',
          entries: THEMES.map(({ key, text }) => ({
            key,
            name: text,
            isCurrent: key === theme,
            onAction: () => onChoose(key),
          })),
        },
      ]}
    >
      <svg className={styles.icon} viewBox="0 0 16 16" aria-hidden="true">
        <circle cx="8" cy="8" r="6" fill="none" stroke="currentColor" strokeWidth="1.5" />
        <path d="M8 2a6 6 0 0 1 0 12z" fill="currentColor" />
      </svg>
    </MenuButton>
  );
}
