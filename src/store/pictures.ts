/** A picture of a sheet as it is kept: PNG, JPEG or WebP. */
export interface KeptPicture {
  id: string;
  bytes: Blob;
}

/**
 * Where pictures live, apart from workspace and undo: the document holds only their ids. A picture stays as long as any step of undo
 * could bring a map back that needs it.
 */
export interface PictureShelf {
  /** Resolves when the picture is safe; a picture that is there already is never replaced. Rejects with words for the user. */
  put(picture: KeptPicture): Promise<void>;
  /** null: it is not here. */
  get(id: string): Promise<KeptPicture | null>;
}

/** Pictures in memory only: for tests, and where the browser stores nothing. */
export function memoryPictures(): PictureShelf {
  const pictures = new Map<string, KeptPicture>();
  return {
    async put(picture) {
      if (!pictures.has(picture.id)) pictures.set(picture.id, picture);
    },
    get: async (id) => pictures.get(id) ?? null,
  };
}
