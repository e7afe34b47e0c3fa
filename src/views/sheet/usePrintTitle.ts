import { useEffect } from 'react';
import type { Build } from '../../build/index.ts';

/** While it prints, the page is called what the file should be called when it is printed to one. */
export function usePrintTitle({ name, sheet: { customerReference } }: Build): void {
  useEffect(() => {
    const title = ['Match sheet', name, customerReference.trim()].filter((part) => part !== '').join(' - ');
    let before: string | null = null;
    const begin = () => {
      before ??= document.title;
      document.title = title;
    };
    const end = () => {
      if (before !== null) document.title = before;
      before = null;
    };
    window.addEventListener('beforeprint', begin);
    window.addEventListener('afterprint', end);
    return () => {
      end();
      window.removeEventListener('beforeprint', begin);
      window.removeEventListener('afterprint', end);
    };
  }, [name, customerReference]);
}
