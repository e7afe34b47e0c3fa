import type { ReactNode } from 'react';

/** Texts, each an item of a list, or a paragraph. */
export function Sentences(props: { of: readonly string[]; as?: 'li' | 'p'; className?: string | undefined }) {
  const { of, as: Tag = 'li', className } = props;
  return of.map((text) => (
    <Tag key={text} className={className}>
      {text}
    </Tag>
  ));
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
