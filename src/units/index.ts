export {
  bareNumber,
  capital,
  counted,
  formatNumber,
  formatPrinted,
  formatQuantity,
  joined,
  NO_BREAK_SPACE,
  NO_NUMBER,
  plainBlanks,
  plainNumber,
  rpmText,
  typedText,
} from './format.ts';
export {
  convertText,
  inSameStyle,
  MOST_ROWS,
  type ParseFailureReason,
  parseNumber,
  parseQuantity,
  pasteTooLong,
  shortestNumber,
  tableTooLong,
  ungrouped,
  writableText,
} from './parse.ts';
export type { Expects, QuantityKey, SiUnitOf, Unit, UnitSystem } from './quantities.ts';
export { convert, findUnit, fromSi, quantities, systemOfLanguage, toSi, unitOf, unitsOf } from './quantities.ts';
export * from './sheetFlow.ts';
