import { type ReactNode, useEffect, useId, useRef, useState } from 'react';
import { Button, type IconName } from './Button.tsx';
import styles from './menu.module.css';

/** A button that opens a panel of controls under itself; Escape or a press elsewhere closes it, and the keyboard comes back. */
export function PanelButton(props: {
  /** Name of button and panel. */
  label: string;
  icon?: IconName | undefined;
  /** 'end': the panel opens towards the start of the line. */
  align?: 'start' | 'end' | undefined;
  /** Drawn while it is open only. */
  children: ReactNode;
}) {
  const { label, icon, align = 'end' } = props;
  const [isOpen, setOpen] = useState(false);
  const id = useId();
  const place = useRef<HTMLDivElement>(null);
  const button = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    if (!isOpen) return;
    const outside = (event: PointerEvent) => {
      if (!place.current?.contains(event.target as Node)) setOpen(false);
    };
    const onEscape = (event: KeyboardEvent) => {
      if (event.key !== 'Escape') return;
      setOpen(false);
      button.current?.focus();
    };
    document.addEventListener('pointerdown', outside);
    document.addEventListener('keydown', onEscape);
    return () => {
      document.removeEventListener('pointerdown', outside);
      document.removeEventListener('keydown', onEscape);
    };
  }, [isOpen]);
  return (
    <div ref={place} className={styles.place} data-align={align}>
      <Button
        ref={button}
        variant="quiet"
        {...(icon !== undefined && { icon })}
        expanded={isOpen}
        onPress={() => setOpen(!isOpen)}
      >
        {label}
      </Button>
      {isOpen && (
        <section id={id} aria-label={label} className={styles.panel}>
          {props.children}
        </section>
      )}
    </div>
  );
}
