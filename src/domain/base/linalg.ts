/** Small symmetric matrices: eigenvalues and eigenvectors, Cholesky. Matrices are row-major in flat arrays. */
export interface Eigen {
  /** Largest first. */
  readonly values: Float64Array;
  /** Row r is the unit eigenvector of values[r]; n x n, row-major. */
  readonly vectors: Float64Array;
}

/**
 * Cyclic Jacobi method (Jacobi 1846; Golub & Van Loan, Matrix Computations, section 8.5). Meant for n up to about 20.
 * @param matrix n x n symmetric, finite; only read.
 */
export function symmetricEigen(matrix: Float64Array, n: number): Eigen {
  const a = Float64Array.from(matrix);
  const v = new Float64Array(n * n);
  for (let i = 0; i < n; i++) v[i * n + i] = 1;
  const size = Math.sqrt(a.reduce((s, x) => s + x * x, 0));

  for (let sweep = 0; sweep < 60; sweep++) {
    let off = 0;
    for (let p = 0; p < n; p++) for (let q = p + 1; q < n; q++) off += a[p * n + q] ** 2;
    if (Math.sqrt(off) <= 1e-17 * size) break;
    for (let p = 0; p < n; p++) {
      for (let q = p + 1; q < n; q++) {
        const apq = a[p * n + q];
        if (apq === 0) continue;
        const theta = (a[q * n + q] - a[p * n + p]) / (2 * apq);
        const t = (theta < 0 ? -1 : 1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
        const c = 1 / Math.sqrt(t * t + 1);
        const s = t * c;
        for (let i = 0; i < n; i++) {
          const x = a[i * n + p];
          const y = a[i * n + q];
          a[i * n + p] = c * x - s * y;
          a[i * n + q] = s * x + c * y;
        }
        for (let i = 0; i < n; i++) {
          const x = a[p * n + i];
          const y = a[q * n + i];
          a[p * n + i] = c * x - s * y;
          a[q * n + i] = s * x + c * y;
          const vx = v[p * n + i];
          const vy = v[q * n + i];
          v[p * n + i] = c * vx - s * vy;
          v[q * n + i] = s * vx + c * vy;
        }
        a[p * n + q] = a[q * n + p] = 0;
      }
    }
  }

  const order = Array.from({ length: n }, (_, i) => i).sort((i, j) => a[j * n + j] - a[i * n + i]);
  const values = new Float64Array(n);
  const vectors = new Float64Array(n * n);
  order.forEach((from, to) => {
    values[to] = a[from * n + from];
    vectors.set(v.subarray(from * n, from * n + n), to * n);
  });
  return { values, vectors };
}

/**
 * Lower triangle L of a symmetric positive definite matrix, L Lᵀ = matrix (Cholesky; Golub & Van Loan, section 4.2).
 * @param matrix n x n, finite; only read. @throws where it is not positive definite.
 */
export function cholesky(matrix: Float64Array, n: number): Float64Array {
  const l = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * n + j];
      for (let k = 0; k < j; k++) sum -= l[i * n + k] * l[j * n + k];
      if (i !== j) l[i * n + j] = sum / l[j * n + j];
      else if (sum > 0) l[i * n + i] = Math.sqrt(sum);
      else throw new Error('cholesky: the matrix is not positive definite');
    }
  }
  return l;
}

/** Solution x of L Lᵀ x = b. @param l from `cholesky`. */
export function choleskySolve(l: Float64Array, n: number, b: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(b);
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i] -= l[i * n + k] * x[k];
    x[i] /= l[i * n + i];
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i] -= l[k * n + i] * x[k];
    x[i] /= l[i * n + i];
  }
  return x;
}
