/**
 * What an engineer would reach for instead: cubic radial basis functions with a linear part over (flow, PR), each scaled to its
 * largest value. The same formula as SciPy's RBFInterpolator(kernel='cubic', degree=1) (from memory of its documentation).
 */
export interface ScatteredRow {
  flow: number;
  pressureRatio: number;
  speedRpm: number;
  efficiency: number;
}

export function scatteredInterpolator(rows: readonly ScatteredRow[]) {
  const distinct = [...new Map(rows.map((row) => [`${row.flow}|${row.pressureRatio}`, row])).values()];
  const flowScale = Math.max(...distinct.map((row) => row.flow));
  const ratioScale = Math.max(...distinct.map((row) => row.pressureRatio));
  const places = distinct.map((row) => [row.flow / flowScale, row.pressureRatio / ratioScale] as const);
  const n = places.length;
  const matrix = Array.from({ length: n + 3 }, () => new Array<number>(n + 3).fill(0));
  const right = Array.from({ length: n + 3 }, () => [0, 0]);
  places.forEach(([x, y], i) => {
    places.forEach(([u, v], j) => {
      matrix[i]![j] = Math.hypot(x - u, y - v) ** 3;
    });
    [1, x, y].forEach((value, k) => {
      matrix[i]![n + k] = value;
      matrix[n + k]![i] = value;
    });
    right[i] = [distinct[i]!.speedRpm / 1e5, distinct[i]!.efficiency];
  });
  const weights = eliminate(matrix, right);
  return (flow: number, pressureRatio: number) => {
    const x = flow / flowScale;
    const y = pressureRatio / ratioScale;
    let speed = 0;
    let efficiency = 0;
    const add = (i: number, factor: number) => {
      speed += weights[i]![0]! * factor;
      efficiency += weights[i]![1]! * factor;
    };
    places.forEach(([u, v], i) => {
      add(i, Math.hypot(x - u, y - v) ** 3);
    });
    [1, x, y].forEach((value, k) => {
      add(n + k, value);
    });
    return { speedRpm: speed * 1e5, efficiency };
  };
}

/** Gauss elimination with partial pivoting. */
function eliminate(a: number[][], b: number[][]): number[][] {
  const n = a.length;
  for (let i = 0; i < n; i++) {
    let pivot = i;
    for (let k = i + 1; k < n; k++) if (Math.abs(a[k]![i]!) > Math.abs(a[pivot]![i]!)) pivot = k;
    [a[i], a[pivot]] = [a[pivot]!, a[i]!];
    [b[i], b[pivot]] = [b[pivot]!, b[i]!];
    for (let k = i + 1; k < n; k++) {
      const factor = a[k]![i]! / a[i]![i]!;
      for (let j = i; j < n; j++) a[k]![j]! -= factor * a[i]![j]!;
      for (let j = 0; j < b[k]!.length; j++) b[k]![j]! -= factor * b[i]![j]!;
    }
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let j = 0; j < b[i]!.length; j++) {
      let sum = b[i]![j]!;
      for (let k = i + 1; k < n; k++) sum -= a[i]![k]! * b[k]![j]!;
      b[i]![j] = sum / a[i]![i]!;
    }
  }
  return b;
}
