/** The least multiple of the step that is not below a proven value, less what arithmetic may be off. */
export function nextMultiple(value: number, step: number): number {
  if (!Number.isFinite(value) || value <= 0 || step <= 0) return 0;
  return Math.max(0, Math.ceil((value - 1e-3 - value * 1e-7) / step) * step);
}

export function commonDivisor(numbers: readonly number[]): number {
  const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b));
  return numbers.reduce(divisor, 0);
}
