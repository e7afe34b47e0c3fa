/**
 * Eigenvalues and eigenvectors of a small symmetric matrix by cyclic Jacobi rotations.
 * Source: Golub & Van Loan, Matrix Computations, sec. 8.5.
 *
 * @param matrix n rows of n, symmetric; left as it is
 * @returns values in rising order, each with its unit vector. Sweeps end when the off-diagonal is below 1e-15 of the norm, at most 60.
 */
export function symmetricEigen(matrix: readonly (readonly number[])[]): { value: number; vector: number[] }[] {
  const n = matrix.length;
  const a = matrix.map((row) => [...row]);
  const v = matrix.map((_, i) => matrix.map((__, j) => (i === j ? 1 : 0)));
  const norm = Math.sqrt(a.flat().reduce((sum, x) => sum + x * x, 0));
  for (let sweep = 0; sweep < 60; sweep++) {
    let off = 0;
    for (let p = 0; p < n; p++) for (let q = p + 1; q < n; q++) off += a[p]![q]! ** 2;
    if (Math.sqrt(off) <= 1e-15 * norm) break;
    for (let p = 0; p < n; p++) for (let q = p + 1; q < n; q++) rotate(a, v, p, q);
  }
  return a
    .map((row, i) => ({ value: row[i]!, vector: v.map((r) => r[i]!) }))
    .sort((one, other) => one.value - other.value);
}

/** One rotation in the plane (p, q) that makes a[p][q] zero. */
function rotate(a: number[][], v: number[][], p: number, q: number): void {
  const apq = a[p]![q]!;
  if (apq === 0) return;
  const tau = (a[q]![q]! - a[p]![p]!) / (2 * apq);
  const t = (tau >= 0 ? 1 : -1) / (Math.abs(tau) + Math.sqrt(1 + tau * tau));
  const c = 1 / Math.sqrt(1 + t * t);
  const s = t * c;
  for (const row of a) {
    const [x, y] = [row[p]!, row[q]!];
    row[p] = c * x - s * y;
    row[q] = s * x + c * y;
  }
  const [rowP, rowQ] = [a[p]!, a[q]!];
  for (let k = 0; k < a.length; k++) {
    const [x, y] = [rowP[k]!, rowQ[k]!];
    rowP[k] = c * x - s * y;
    rowQ[k] = s * x + c * y;
  }
  for (const row of v) {
    const [x, y] = [row[p]!, row[q]!];
    row[p] = c * x - s * y;
    row[q] = s * x + c * y;
  }
}
