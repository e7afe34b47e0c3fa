import type { EmbeddedPicture, MapDraft, MapFile } from '../build/index.ts';

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

/** The map file with the picture that it was traced from, where that is kept with the map and is on this machine. */
export async function withPicture(file: MapFile, draft: MapDraft, pictures: ByteShelf): Promise<MapFile> {
  const picture = draft.tracing?.picture;
  if (!picture?.kept) return file;
  const kept = await pictures.get(picture.id);
  if (kept === null) return file;
  const type = TYPES.find((known) => known === kept.bytes.type) ?? 'image/png';
  return { ...file, picture: { type, data: await toBase64(kept.bytes) } };
}

/**
 * Keeps the picture that a map file carries, for the map that was read from the same file. A picture that is here already stays as it
 * is. Gives words for the user where it could not be kept.
 */
export async function takePicture(
  carried: EmbeddedPicture | null,
  draft: MapDraft,
  pictures: ByteShelf,
): Promise<string | null> {
  const picture = draft.tracing?.picture;
  if (!picture || carried === null) return null;
  try {
    await pictures.put({ id: picture.id, bytes: fromBase64(carried) });
    return null;
  } catch (error) {
    return error instanceof Error && error.name === 'Error'
      ? error.message
      : 'The picture in the file is damaged; the map was taken without it.';
  }
}

const TYPES = ['image/png', 'image/jpeg', 'image/webp'] as const;

function toBase64(bytes: Blob): Promise<string> {
  return new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.onload = () => resolve(String(reader.result).replace(/^data:[^,]*,/, ''));
    reader.onerror = () => reject(reader.error);
    reader.readAsDataURL(bytes);
  });
}

/** Throws where the text is no base64. */
function fromBase64({ type, data }: EmbeddedPicture): Blob {
  const text = atob(data);
  const bytes = Uint8Array.from(text, (letter) => letter.charCodeAt(0));
  return new Blob([bytes], { type });
}
