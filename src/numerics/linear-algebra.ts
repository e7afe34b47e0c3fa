/**
 * Dense Cholesky factors of symmetric positive-definite matrices in row-major typed arrays. Written out here, not taken from a
 * matrix library, because the map fit runs it some twenty times within 15 ms and works in place on buffers it reuses.
 * Source: Golub & Van Loan, Matrix Computations, sec. 4.2 (row-oriented, dot-product form).
 */

/**
 * Factor A = L L^T in place; only the lower triangle is read and written.
 * @param matrix n x n, row-major; the lower triangle becomes L.
 * @returns false when the matrix is not positive definite (the contents are then undefined).
 */
export function factorCholesky(matrix: Float64Array, n: number): boolean {
  for (let i = 0; i < n; i++) {
    const rowI = i * n;
    for (let j = 0; j < i; j++) {
      const rowJ = j * n;
      matrix[rowI + j] = (matrix[rowI + j]! - dot(matrix, rowI, rowJ, j)) / matrix[rowJ + j]!;
    }
    const diagonal = matrix[rowI + i]! - dot(matrix, rowI, rowI, i);
    if (!(diagonal > 0)) return false;
    matrix[rowI + i] = Math.sqrt(diagonal);
  }
  return true;
}

/** Four sums side by side: a single one would wait for each addition before it could begin the next. */
function dot(m: Float64Array, a: number, b: number, count: number): number {
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  let k = 0;
  for (; k + 3 < count; k += 4) {
    s0 += m[a + k]! * m[b + k]!;
    s1 += m[a + k + 1]! * m[b + k + 1]!;
    s2 += m[a + k + 2]! * m[b + k + 2]!;
    s3 += m[a + k + 3]! * m[b + k + 3]!;
  }
  for (; k < count; k++) s0 += m[a + k]! * m[b + k]!;
  return s0 + s1 + (s2 + s3);
}

/** Solve L y = b by forward substitution; `out` may be `b`. */
export function forwardSubstitute(factor: Float64Array, n: number, b: Float64Array, out: Float64Array): void {
  for (let i = 0; i < n; i++) {
    const row = i * n;
    let sum = b[i]!;
    for (let k = 0; k < i; k++) sum -= factor[row + k]! * out[k]!;
    out[i] = sum / factor[row + i]!;
  }
}

/** Solve L^T x = y by back substitution; `out` may be `y`. */
export function backSubstitute(factor: Float64Array, n: number, y: Float64Array, out: Float64Array): void {
  if (out !== y) out.set(y);
  for (let i = n - 1; i >= 0; i--) {
    const row = i * n;
    const value = out[i]! / factor[row + i]!;
    out[i] = value;
    for (let k = 0; k < i; k++) out[k]! -= factor[row + k]! * value;
  }
}

/** log det A = 2 sum log L_ii. */
export function logDeterminant(factor: Float64Array, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += Math.log(factor[i * n + i]!);
  return 2 * sum;
}

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
