import type { Build, FiledSheet } from '../../../build/index.ts';

/** What the head of the sheet says about itself. Empty texts are lines to write on. */
export interface SheetHead {
  shopName: string;
  car: string;
  customerReference: string;
  date: string;
  preparedBy: string;
  build: string;
  program: string;
  /** First eight signs of the hash of all that was entered: two sheets with the same are of the same inputs. */
  inputs: string;
  isInvented: boolean;
}

export function sheetHead(build: Build, record: FiledSheet): SheetHead {
  const { shopName, car, customerReference, dateText, preparedBy } = build.sheet;
  return {
    shopName: shopName.trim(),
    car: car.trim(),
    customerReference: customerReference.trim(),
    date: dateText.trim(),
    preparedBy: preparedBy.trim(),
    build: build.name,
    program: record.programVersion,
    inputs: `${record.inputs.slice(0, 4)}-${record.inputs.slice(4, 8)}`.toUpperCase(),
    isInvented: build.invented === true,
  };
}
