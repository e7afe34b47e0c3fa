export { convertText, inSameStyle, shortestNumber } from './convertText.ts';
export {
  bareNumber,
  type FormatOptions,
  formatNumber,
  formatQuantity,
  NO_BREAK_SPACE,
  NO_NUMBER,
  plainBlanks,
  plainNumber,
} from './format.ts';
export {
  type ParsedNumber,
  type ParseFailure,
  type ParseFailureReason,
  parseNumber,
  parseQuantity,
  ungrouped,
} from './parse.ts';
export type { Expects, Quantity, QuantityKey, SiUnitOf, Unit, UnitSystem } from './quantities.ts';
export { convert, findUnit, fromSi, quantities, systemOfLanguage, toSi, unitOf, unitsOf } from './quantities.ts';
export * from './sheetFlow.ts';
export { MOST_ROWS, pasteTooLong, tableTooLong } from './tableSize.ts';
export { writableText } from './writableText.ts';
