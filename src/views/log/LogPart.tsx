import { type ReactNode, useEffect, useState } from 'react';
import { useLugline, useLuglineStore } from '../../store/index.ts';
import { Disclosure } from '../../widgets/index.ts';

interface Props {
  part: string;
  title: string;
  summary?: string | undefined;
  children: ReactNode;
}

/** Counts up to `last`, one a task: what is large is begun one after the other, so that none holds up the page. */
export function useSteps(last: number): number {
  const [step, setStep] = useState(0);
  useEffect(() => {
    if (step >= last) return;
    const timer = setTimeout(() => setStep(step + 1), 0);
    return () => clearTimeout(timer);
  }, [step, last]);
  return step;
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
