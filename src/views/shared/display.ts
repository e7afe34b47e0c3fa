import { useMemo, useSyncExternalStore } from 'react';
import { type ResultUnits, resultUnits } from '../../match/index.ts';
import { darkPalette, lightPalette, type Palette } from '../../plot/index.ts';
import { useLugline, useSettings } from '../../store/index.ts';

const DARK = '(prefers-color-scheme: dark)';

/** The colours of drawings, as the theme has it: chosen, or as the system is set now. */
export function usePalette(): Palette {
  const theme = useLugline((state) => state.workspace.settings.theme);
  const systemIsDark = useSyncExternalStore(onSystemTheme, isSystemDark);
  return theme === 'dark' || (theme === 'system' && systemIsDark) ? darkPalette : lightPalette;
}

function onSystemTheme(changed: () => void): () => void {
  const query = globalThis.matchMedia?.(DARK);
  query?.addEventListener('change', changed);
  return () => query?.removeEventListener('change', changed);
}

function isSystemDark(): boolean {
  return globalThis.matchMedia?.(DARK).matches ?? false;
}

/** The units in which results are shown; the same object while the choice is the same. */
export function useResultUnits(): ResultUnits {
  const { system, resultUnits: chosen, several } = useSettings();
  return useMemo(() => resultUnits({ system, resultUnits: chosen, several }), [system, chosen, several]);
}
