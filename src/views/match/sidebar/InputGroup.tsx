import type { ReactNode } from 'react';
import type { Build } from '../../../build/index.ts';
import { selectActiveBuild, useLugline } from '../../../store/index.ts';
import { Disclosure } from '../../../widgets/index.ts';

/** A group of inputs; folded, its heading still says what it holds. */
export function InputGroup({
  title,
  summary,
  openAtFirst = false,
  children,
}: {
  title: string;
  summary: (build: Build) => string;
  openAtFirst?: boolean;
  children: ReactNode;
}) {
  const words = useLugline((state) => summary(selectActiveBuild(state)));
  return (
    <Disclosure title={title} summary={words} openAtFirst={openAtFirst} level={3}>
      {children}
    </Disclosure>
  );
}
