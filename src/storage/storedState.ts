import type { Build, MapDraft, Problem, Settings, Workspace } from '../build/index.ts';

/** What is kept between visits. */
export interface StoredState {
  workspace: Workspace;
  /** Unread texts of fields, by the field's place. */
  drafts: Readonly<Record<string, string>>;
}

/** A record that could not be read: left in the database as it is, and offered as a file. */
export interface KeptAside {
  store: 'builds' | 'maps' | 'meta';
  key: string;
  /** Its name, where even that can be read. */
  name: string | null;
  problems: readonly Problem[];
  raw: unknown;
}

interface Known<T> {
  key: string;
  revision: number;
  object: T;
}

/** What this page knows to stand in the database: changes are found by comparing objects with it. */
export interface Snapshot {
  revision: number;
  builds: ReadonlyMap<string, Known<Build>>;
  maps: ReadonlyMap<string, Known<MapDraft>>;
  order: StoredOrder | null;
  settings: Settings | null;
  drafts: Readonly<Record<string, string>> | null;
  /** Keys that hold something unreadable, as 'builds/<key>': never written and never deleted. */
  untouchable: ReadonlySet<string>;
  /** Unreadable meta records: copied beside before they are written. */
  unreadMeta: ReadonlyMap<string, unknown>;
}

export interface StoredOrder {
  buildOrder: readonly string[];
  activeBuildId: string;
  shelfOrder: readonly string[];
}

export const emptySnapshot: Snapshot = {
  revision: 0,
  builds: new Map(),
  maps: new Map(),
  order: null,
  settings: null,
  drafts: null,
  untouchable: new Set(),
  unreadMeta: new Map(),
};
