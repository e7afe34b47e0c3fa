/** What is kept apart from workspace and undo, which hold only its id: a picture of a sheet (PNG, JPEG, WebP), a road log. */
interface KeptBytes {
  id: string;
  bytes: Blob;
}

/** Where such bytes live. They stay as long as any step of undo could bring back what needs them. */
export interface ByteShelf {
  /** Resolves when the bytes are safe; what is there already is never replaced. Rejects with words for the user. */
  put(kept: KeptBytes): Promise<void>;
  /** null: not on this machine. */
  get(id: string): Promise<KeptBytes | null>;
}

/** Bytes in memory only: for tests, and where the browser stores nothing. */
export function memoryShelf(): ByteShelf {
  const shelf = new Map<string, KeptBytes>();
  return {
    async put(kept) {
      if (!shelf.has(kept.id)) shelf.set(kept.id, kept);
    },
    get: async (id) => shelf.get(id) ?? null,
  };
}
