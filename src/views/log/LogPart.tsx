import type { ReactNode } from 'react';
import { useLugline, useLuglineStore } from '../../store/index.ts';
import { Disclosure } from '../../widgets/index.ts';

interface Props {
  part: string;
  title: string;
  summary?: string | undefined;
  children: ReactNode;
}

/** Opens or shuts a part of the Log view. */
export function useLogParts(): (part: string, isOpen: boolean) => void {
  const store = useLuglineStore();
  return (part, isOpen) => {
    const others = store.getState().ui.openLogParts.filter((one) => one !== part);
    store.getState().setUi({ openLogParts: isOpen ? [...others, part] : others });
  };
}

/** A part of the Log view that is folded until it is asked for, and stays as it was left. */
export function LogPart({ part, title, summary, children }: Props) {
  const isOpen = useLugline(({ ui }) => ui.openLogParts.includes(part));
  const open = useLogParts();
  return (
    <Disclosure
      id={`log-${part}`}
      title={title}
      summary={summary}
      isOpen={isOpen}
      onToggle={(now) => open(part, now)}
      level={2}
    >
      {children}
    </Disclosure>
  );
}
