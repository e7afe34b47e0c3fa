import type { ReactNode } from 'react';

/** Texts, each an item of a list or a paragraph; as 'ul' with the list around them, which is left out where there is none. */
export function Sentences(props: { of: readonly string[]; as?: 'li' | 'p' | 'ul'; className?: string | undefined }) {
  const { of, as = 'li', className } = props;
  const Tag = as === 'ul' ? 'li' : as;
  const items = of.map((text) => (
    <Tag key={text} className={as === 'ul' ? undefined : className}>
      {text}
    </Tag>
  ));
  if (as !== 'ul') return items;
  return of.length > 0 && <ul className={className}>{items}</ul>;
}

/** A list of terms, each with what it is. */
export function Terms(props: {
  of: readonly { title: string; value: ReactNode }[];
  className?: string | undefined;
  label?: string;
}) {
  return (
    <dl className={props.className} aria-label={props.label}>
      {props.of.map(({ title, value }) => (
        <div key={title}>
          <dt>{title}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}
