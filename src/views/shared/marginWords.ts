import { formatNumber, NO_BREAK_SPACE } from '../../units/index.ts';

/** The size of a margin, '1.2 %'; two decimals where one would read as nothing ('0.03 %'). Its sign is said in words beside it. */
export function marginSize(margin: number | null | undefined): string {
  const size = Math.abs(margin ?? Number.NaN) * 100;
  return `${formatNumber(size, size > 0 && size < 0.1 ? 2 : 1)}${NO_BREAK_SPACE}%`;
}
