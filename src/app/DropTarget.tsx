import { useEffect, useRef, useState } from 'react';
import styles from './app.module.css';

/** Takes files dropped anywhere on the page, and shows while they hover what will happen. A file never replaces the page. */
export function DropTarget({ onFiles }: { onFiles: (files: File[]) => void }) {
  const [over, setOver] = useState(false);
  // dragenter and dragleave fire for every element on the way: only the balance says whether the pointer is still on the page.
  const depth = useRef(0);
  useEffect(() => {
    const carriesFiles = (event: DragEvent) => event.dataTransfer?.types.includes('Files') ?? false;
    const enter = (event: DragEvent) => {
      if (!carriesFiles(event)) return;
      depth.current += 1;
      setOver(true);
    };
    const leave = (event: DragEvent) => {
      if (!carriesFiles(event)) return;
      depth.current = Math.max(0, depth.current - 1);
      if (depth.current === 0) setOver(false);
    };
    const hover = (event: DragEvent) => {
      if (carriesFiles(event)) event.preventDefault();
    };
    const drop = (event: DragEvent) => {
      depth.current = 0;
      setOver(false);
      // A view that takes the files itself has said so.
      if (!carriesFiles(event) || event.defaultPrevented) return;
      event.preventDefault();
      onFiles([...(event.dataTransfer?.files ?? [])]);
    };
    window.addEventListener('dragenter', enter);
    window.addEventListener('dragleave', leave);
    window.addEventListener('dragover', hover);
    window.addEventListener('drop', drop);
    return () => {
      window.removeEventListener('dragenter', enter);
      window.removeEventListener('dragleave', leave);
      window.removeEventListener('dragover', hover);
      window.removeEventListener('drop', drop);
    };
  }, [onFiles]);
  if (!over) return null;
  return (
    <div className={styles.drop}>
      <div className={styles.dropNote}>
        Drop to open
        <small>A build, map or backup file. What is here already stays.</small>
      </div>
    </div>
  );
}
