interface SizedFile {
  name: string;
  kB: number;
}
export function bundleSizes(dist?: string): { atStart: SizedFile[]; later: SizedFile[] };
export function checkBundle(dist?: string): { ok: boolean; message: string };
