import { useLugline } from '../../store/index.ts';

/** Where the unread text of a field is kept: fields of different builds do not share it. */
export function useFieldPlace(path: string): string {
  const buildId = useLugline((state) => state.workspace.activeBuildId);
  return `${buildId}/${path}`;
}
