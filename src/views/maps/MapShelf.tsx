import { memo, useRef, useState } from 'react';
import {
  addSheet,
  type Build,
  deleteMap,
  duplicateMap,
  type MapDraft,
  mapsOf,
  putMapOnShelf,
  type SheetKindKey,
} from '../../build/index.ts';
import { memory } from '../../numerics/index.ts';
import { createId, selectBuilds, useActions, useLugline, useRemoval, useShelf } from '../../store/index.ts';
import { counted, formatNumber, parseNumber, parseQuantity, writableText } from '../../units/index.ts';
import { Button, IconButton } from '../../widgets/index.ts';
import { needsInventedTag, useMapName } from './desk.ts';
import styles from './maps.module.css';
import { sheetViews, viewOf } from './sheetKinds/kinds.ts';
import { flowUnitLabel } from './sheetKinds/sheetKind.ts';

/** What is done with map files, wherever they come from and go. */
export interface MapFiles {
  take: (files: File[]) => void;
  saveMap: (mapId: string) => void;
}

/** The compressor maps and turbine sheets kept on this machine: open, add, duplicate, rename, delete with undo, files. */
export function MapShelf({ openId, files, onAdded }: { openId: string | null; files: MapFiles; onAdded: () => void }) {
  const builds = useLugline(selectBuilds);
  const { setUi } = useActions();
  const [renaming, setRenaming] = useState<string | null>(null);
  const { shelf, ...on } = useShelfActions(onAdded);
  const open = shelf.find((map) => map.id === openId) ?? null;
  return (
    <nav className={styles.shelf} aria-label="Shelf of maps">
      <div className={styles.shelfHead}>
        <h2 className="ui-heading">Shelf</h2>
      </div>
      <div className={styles.shelfNew}>
        {Object.values(sheetViews).map(({ key, newName }) => (
          <Button key={key} icon="plus" onPress={() => on.add(key)}>
            {newName}
          </Button>
        ))}
      </div>
      {shelf.length === 0 && (
        <p className={styles.lead}>Nothing is on the shelf. Add a map or a turbine sheet, or open a file.</p>
      )}
      <ul className={styles.shelfList}>
        {shelf.map((map) => (
          <ShelfEntry
            key={map.id}
            map={map}
            builds={builds}
            isOpen={map.id === openId}
            isRenaming={map.id === renaming}
            onOpen={() => setUi({ openMapId: map.id })}
            onRename={() => setRenaming(map.id)}
            onRenamed={() => setRenaming(null)}
          />
        ))}
      </ul>
      <InBuildsOnly />
      <div className={styles.shelfFoot}>
        {open !== null && (
          <ShelfTools
            map={open}
            onRename={() => setRenaming(open.id)}
            onDuplicate={() => on.duplicate(open)}
            onSave={() => files.saveMap(open.id)}
            onDelete={() => on.remove(open)}
          />
        )}
        <FileChooser onFiles={files.take} />
      </div>
    </nav>
  );
}

function useShelfActions(onAdded: () => void) {
  const shelf = useShelf();
  const { run, setUi } = useActions();
  const takeAway = useRemoval();
  return {
    shelf,
    add: (kind: SheetKindKey) => {
      const id = createId();
      run(addSheet(kind, id));
      setUi({ openMapId: id });
      onAdded();
    },
    duplicate: (map: MapDraft) => {
      const id = createId();
      run(duplicateMap(map.id, id));
      setUi({ openMapId: id });
    },
    remove: (map: MapDraft) => {
      const at = shelf.indexOf(map);
      takeAway(deleteMap(map.id), `'${map.name}' is off the shelf; builds that use it keep it.`);
      setUi({ openMapId: (shelf[at + 1] ?? shelf[at - 1])?.id ?? null });
    },
  };
}

interface ShelfEntryProps {
  map: MapDraft;
  builds: readonly Build[];
  isOpen: boolean;
  isRenaming: boolean;
  onOpen: () => void;
  onRename: () => void;
  onRenamed: () => void;
}

/** On a phone the shelf is a strip: what is opened may lie beyond its end. */
const intoSight = (entry: HTMLElement | null) => entry?.scrollIntoView?.({ block: 'nearest', inline: 'nearest' });

/** One map of the list with its small print; a double click or F2 renames it. */
const ShelfEntry = memo(function ShelfEntry({ map, builds, isOpen, isRenaming, ...on }: ShelfEntryProps) {
  const facts = shelfFacts(map, builds);
  if (isRenaming) return <ShelfName map={map} onDone={on.onRenamed} />;
  return (
    <li ref={isOpen ? intoSight : null}>
      <button
        type="button"
        className={styles.entry}
        aria-current={isOpen}
        onClick={on.onOpen}
        onDoubleClick={on.onRename}
        onKeyDown={(event) => event.key === 'F2' && on.onRename()}
      >
        <span className="firm breaks">{map.name}</span>
        <span className={styles.entryFacts}>{facts.summary}</span>
        {facts.limit !== '' && <span className={styles.entryFacts}>{facts.limit}</span>}
        <span className={styles.entryFacts}>
          {facts.kind}
          {facts.invented && <em className={styles.invented}>invented</em>}
        </span>
        {facts.usedIn.length > 0 && (
          <span className={styles.entryFacts} title={facts.usedIn.join(', ')}>
            {facts.usedIn.length === 1 ? `in ${facts.usedIn[0]}` : `in ${facts.usedIn.length} builds`}
          </span>
        )}
      </button>
    </li>
  );
});

/** The name of a map being typed over: Escape brings the old one back. */
function ShelfName({ map, onDone }: { map: MapDraft; onDone: () => void }) {
  const name = useMapName(map);
  const [before] = useState(map.name);
  const isDone = useRef(false);
  const finish = (text: string) => {
    // Escape and Enter both end in a blur.
    if (isDone.current) return;
    isDone.current = true;
    name.write(text, { transient: false });
    onDone();
  };
  return (
    <li>
      <input
        className={styles.rename}
        aria-label={`New name of '${before}'`}
        value={name.text}
        // biome-ignore lint/a11y/noAutofocus: the user asked to type here
        autoFocus
        onFocus={(event) => event.target.select()}
        onChange={(event) => name.write(writableText(event.target.value), { transient: true })}
        onBlur={(event) => finish(event.target.value)}
        onKeyDown={(event) => {
          if (event.key === 'Enter') finish(event.currentTarget.value);
          if (event.key === 'Escape') finish(before);
        }}
      />
    </li>
  );
}

/** The small print of a map on the shelf. */
interface ShelfFacts {
  /** 'Compressor map' or 'Turbine sheet'. */
  kind: string;
  /** '8 lines, 0.05 to 0.31 kg/s'. */
  summary: string;
  /** 'limit 142,000 rpm'; '' without one. */
  limit: string;
  invented: boolean;
  /** Names of the builds that use it. */
  usedIn: readonly string[];
}

const known = memory<MapDraft, { summary: string; limit: string }>();

export function shelfFacts(draft: MapDraft, builds: readonly Build[]): ShelfFacts {
  const facts = known(draft, [], () => ({ summary: summaryOf(draft), limit: limitOf(draft) }));
  const usedIn = builds
    .filter((b) => b.candidates.some((c) => mapsOf(c).some(({ id }) => id === draft.id)))
    .map((b) => b.name);
  return { ...facts, kind: viewOf(draft).kind, invented: needsInventedTag(draft), usedIn };
}

function summaryOf(draft: MapDraft): string {
  const flows: number[] = [];
  let lines = 0;
  for (const line of draft.speedLines) {
    let points = 0;
    for (const p of line.points) {
      const flow = parseNumber(p.flow);
      if (!flow.ok || flow.value <= 0) continue;
      flows.push(flow.value);
      points++;
    }
    if (points > 0) lines++;
  }
  if (flows.length === 0) return 'empty';
  const high = Math.max(...flows);
  const decimals = high < 0.1 ? 4 : high < 1 ? 2 : high < 20 ? 1 : 0;
  const range = `${formatNumber(Math.min(...flows), decimals)} to ${formatNumber(high, decimals)} ${flowUnitLabel(draft)}`;
  return `${counted(lines, 'line')}, ${range}`;
}

function limitOf(draft: MapDraft): string {
  const { text, unit } = draft.limits.shaftSpeed;
  const parsed = parseQuantity(text, 'rotational-speed', unit);
  return parsed.ok && parsed.si > 0 ? `limit ${formatNumber(parsed.si, 0)} rpm` : '';
}

interface ShelfToolsProps {
  map: MapDraft;
  onRename: () => void;
  onDuplicate: () => void;
  onSave: () => void;
  onDelete: () => void;
}

/** What can be done with the open map. */
function ShelfTools({ map, onRename, onDuplicate, onSave, onDelete }: ShelfToolsProps) {
  return (
    <div className={styles.shelfTools}>
      <IconButton icon="pencil" label={`Rename '${map.name}'`} onPress={onRename} />
      <IconButton icon="copy" label={`Duplicate '${map.name}'`} onPress={onDuplicate} />
      <IconButton icon="save" label={`Save '${map.name}' as a map file`} onPress={onSave} />
      <IconButton icon="trash" label={`Delete '${map.name}' from the shelf`} onPress={onDelete} />
    </div>
  );
}

function FileChooser({ onFiles }: { onFiles: (files: File[]) => void }) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <Button variant="quiet" icon="open" onPress={() => input.current?.click()}>
        Open a map file
      </Button>
      <input
        ref={input}
        type="file"
        accept=".json,application/json,.csv,.tsv,.txt,text/csv"
        multiple
        hidden
        aria-label="Map files"
        onChange={(event) => {
          const chosen = [...(event.target.files ?? [])];
          // Emptied, so that the same file can be chosen again.
          event.target.value = '';
          onFiles(chosen);
        }}
      />
    </>
  );
}

/** Maps that were taken off the shelf while a build still uses them. */
function InBuildsOnly() {
  const builds = useLugline(selectBuilds);
  const shelf = useShelf();
  const { run, setUi } = useActions();
  const shelved = new Set(shelf.map((map) => map.id));
  const maps = new Map<string, MapDraft>();
  for (const { candidates } of builds) {
    for (const map of candidates.flatMap(mapsOf)) if (!shelved.has(map.id)) maps.set(map.id, map);
  }
  if (maps.size === 0) return null;
  return (
    <section className={styles.shelfFoot} aria-label="Maps in builds only">
      <h3 className={styles.shelfHeading}>In builds only</h3>
      {[...maps.values()].map((map) => (
        <div key={map.id} className={styles.offShelf}>
          <span>{map.name}</span>
          <Button
            variant="quiet"
            label={`Put '${map.name}' back on the shelf`}
            onPress={() => {
              run(putMapOnShelf(map.id));
              setUi({ openMapId: map.id });
            }}
          >
            Put back
          </Button>
        </div>
      ))}
    </section>
  );
}
