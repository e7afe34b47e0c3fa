/**
 * Solve A x = b by Gaussian elimination with scaled partial pivoting; for small systems (tens of unknowns).
 * Source: Golub & Van Loan, Matrix Computations, sec. 3.4.
 *
 * @param matrix n rows of n; left as it is
 * @param right n values
 * @returns x, or null where the matrix is singular to working precision (a pivot below 1e-12 of its row's largest entry)
 */
export function solveLinear(matrix: readonly (readonly number[])[], right: readonly number[]): number[] | null {
  const n = right.length;
  const rows = matrix.map((row, i) => [...row, right[i]!]);
  const scale = matrix.map((row) => Math.max(...row.map(Math.abs)));
  if (scale.some((s) => !(s > 0) || !Number.isFinite(s))) return null;
  for (let k = 0; k < n; k++) {
    let pivot = k;
    for (let i = k + 1; i < n; i++) {
      if (Math.abs(rows[i]![k]!) / scale[i]! > Math.abs(rows[pivot]![k]!) / scale[pivot]!) pivot = i;
    }
    if (!(Math.abs(rows[pivot]![k]!) > 1e-12 * scale[pivot]!)) return null;
    [rows[k], rows[pivot]] = [rows[pivot]!, rows[k]!];
    [scale[k], scale[pivot]] = [scale[pivot]!, scale[k]!];
    for (let i = k + 1; i < n; i++) {
      const factor = rows[i]![k]! / rows[k]![k]!;
      if (factor === 0) continue;
      for (let j = k; j <= n; j++) rows[i]![j]! -= factor * rows[k]![j]!;
    }
  }
  const x = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i--) {
    let sum = rows[i]![n]!;
    for (let j = i + 1; j < n; j++) sum -= rows[i]![j]! * x[j]!;
    x[i] = sum / rows[i]![i]!;
  }
  return x.every(Number.isFinite) ? x : null;
}
