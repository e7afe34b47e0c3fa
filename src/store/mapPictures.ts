import type { EmbeddedPicture, MapDraft, MapFile } from '../build/index.ts';
import type { ByteShelf } from './pictures.ts';

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
