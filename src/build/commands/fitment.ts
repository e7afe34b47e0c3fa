import type { FitmentItem } from '../matchSheet.ts';
import { type Change, merging, step } from './change.ts';
import { withActiveBuild } from './changeBuild.ts';

/** More rows than this push the numbers off the two pages of the sheet. */
export const MOST_FITMENT_ITEMS = 24;

/** Adds a row to the fitment list of the open build. `id` must be new (createId). */
export function addFitmentItem(id: string, part = ''): Change {
  return step('add part to the fitment list', (workspace) =>
    withActiveBuild(workspace, (build) =>
      build.fitment.length >= MOST_FITMENT_ITEMS
        ? build
        : { ...build, fitment: [...build.fitment, { id, part, detail: '' }] },
    ),
  );
}

export function removeFitmentItem(itemId: string): Change {
  return step('remove part from the fitment list', (workspace) =>
    withActiveBuild(workspace, (build) => {
      const fitment = build.fitment.filter((item) => item.id !== itemId);
      return fitment.length === build.fitment.length ? build : { ...build, fitment };
    }),
  );
}

/** Changes the text of a row; typing within a second is one step. */
export function setFitmentItem(itemId: string, field: keyof Omit<FitmentItem, 'id'>, value: string): Change {
  return merging('change fitment list', `fitment.${itemId}.${field}`, (workspace) =>
    withActiveBuild(workspace, (build) => {
      const fitment = build.fitment.map((item) =>
        item.id === itemId && item[field] !== value ? { ...item, [field]: value } : item,
      );
      return fitment.some((item, i) => item !== build.fitment[i]) ? { ...build, fitment } : build;
    }),
  );
}
