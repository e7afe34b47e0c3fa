export { convert, findUnit, fromSi, toSi, unitOf, unitsOf } from './convert.ts';
export { formatNumber, NO_NUMBER } from './formatNumber.ts';
export { type FormatOptions, formatQuantity, NO_BREAK_SPACE } from './formatQuantity.ts';
export { type ParsedNumber, type ParseFailure, type ParseFailureReason, parseNumber } from './parseNumber.ts';
export { parseQuantity } from './parseQuantity.ts';
export { plainNumber } from './plainNumber.ts';
export { quantities } from './quantities.ts';
export {
  kgPerSToSheetFlow,
  REFERENCE_GAS_CONSTANT,
  type SheetFlowUnit,
  sheetFlowToKgPerS,
  sheetFlowUnits,
} from './sheetFlow.ts';
export type { Expects, Quantity, QuantityKey, Unit } from './types.ts';
