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
