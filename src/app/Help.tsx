import { Fragment, type ReactNode, useState } from 'react';
import { DataTable, Dialog, Tabs } from '../widgets/index.ts';
import cautions from './help/cautions.md?raw';
import data from './help/data.md?raw';
import guide from './help/guide.md?raw';
import limits from './help/limits.md?raw';
import method from './help/method.md?raw';
import views from './help/views.md?raw';
import styles from './help.module.css';

/** The pages are the very files that the README leads to: one text for both. */
const PAGES = [
  { key: 'guide', name: 'Guide', text: guide },
  { key: 'views', name: 'Views', text: views },
  { key: 'method', name: 'Method', text: method },
  { key: 'limits', name: 'Limits', text: limits },
  { key: 'data', name: 'Data and units', text: data },
] as const;

/** Guide, views, method with its sources, limits and data; the cautions stand under every page. */
export function HelpDialog({ onClose }: { onClose: () => void }) {
  const [page, setPage] = useState<(typeof PAGES)[number]['key']>('guide');
  return (
    <Dialog title="Help" size="wide" onClose={onClose}>
      <Tabs
        label="Pages of the help"
        items={PAGES.map(({ key, name, text }) => ({
          key,
          name,
          content: key === page && <Written text={`${text}\n${cautions}`} />,
        }))}
        selected={page}
        onSelect={setPage}
      />
    </Dialog>
  );
}

/** Text as it is written in our own pages: headings, paragraphs, lists, tables, bold, italic and code. No links, no pictures. */
function Written({ text }: { text: string }) {
  const blocks = text.trim().split(/\n(?:[ \t]*\n)+/);
  return (
    <div className={styles.help}>
      {blocks.map((block, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: blocks are known by their place
        <Fragment key={i}>{blockOf(block)}</Fragment>
      ))}
    </div>
  );
}

function blockOf(block: string): ReactNode {
  const lines = block.split('\n');
  const [first = ''] = lines;
  const heading = /^(#+) (.*)$/.exec(first);
  if (heading !== null) {
    const Level = heading[1] === '#' ? 'h3' : 'h4';
    return <Level>{inline(heading[2] ?? '')}</Level>;
  }
  if (first.startsWith('|'))
    return (
      <Table
        rows={lines.map((line) =>
          line
            .split('|')
            .slice(1, -1)
            .map((cell) => cell.trim()),
        )}
      />
    );
  const item = /^(?:-|\d+\.) /;
  if (!item.test(first)) return <p>{inline(lines.join(' '))}</p>;
  // A line that begins with blanks goes on with the item above.
  const items = block.split(/\n(?=(?:-|\d+\.) )/).map((text) => text.replace(item, '').replace(/\s*\n\s*/g, ' '));
  const List = first.startsWith('-') ? 'ul' : 'ol';
  return (
    <List>
      {items.map((text) => (
        <li key={text}>{inline(text)}</li>
      ))}
    </List>
  );
}

function Table({ rows: [head = [], , ...body] }: { rows: readonly (readonly string[])[] }) {
  return (
    <DataTable head={head.map(inline)} rows={body.map((cells) => ({ key: cells.join(), cells: cells.map(inline) }))} />
  );
}

const MARKS = [
  { around: /^\*\*(.+)\*\*$/, as: 'strong' },
  { around: /^_(.+)_$/, as: 'em' },
  { around: /^`(.+)`$/, as: 'code' },
] as const;

function inline(text: string): ReactNode {
  return text.split(/(\*\*[^*]+\*\*|\b_[^_]+_\b|`[^`]+`)/).map((part, i) => {
    const mark = MARKS.find(({ around }) => around.test(part));
    // biome-ignore lint/suspicious/noArrayIndexKey: parts are known by their place
    return mark === undefined ? part : <mark.as key={i}>{mark.around.exec(part)?.[1]}</mark.as>;
  });
}
