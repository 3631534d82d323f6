/**
 * Exact arithmetic for decimals as they were typed: 0.1 is one tenth. Floating sums would count one bag too
 * many (1000 x 6 x 5.4 / 300 is 108.00000000000001 in floating point and 108 here).
 */
export interface Fraction {
  readonly n: bigint;
  /** Always above 0. */
  readonly d: bigint;
}

const gcd = (a: bigint, b: bigint): bigint => {
  let x = a < 0n ? -a : a;
  let y = b;
  while (y !== 0n) [x, y] = [y, x % y];
  return x;
};

const lowest = (n: bigint, d: bigint): Fraction => {
  const g = gcd(n, d);
  return g <= 1n ? { n, d } : { n: n / g, d: d / g };
};

/** A finite number, read as the shortest decimal that a person would type for it. Throws on NaN and infinity. */
export function decimal(value: number): Fraction {
  if (!Number.isFinite(value)) throw new RangeError(`not a finite number: ${value}`);
  if (Number.isSafeInteger(value)) return { n: BigInt(value), d: 1n };
  const [mantissa = '0', exponent = '0'] = String(value).split('e');
  const [whole = '0', places = ''] = mantissa.split('.');
  const digits = BigInt(whole + places);
  const power = Number(exponent) - places.length;
  return power >= 0 ? { n: digits * 10n ** BigInt(power), d: 1n } : lowest(digits, 10n ** BigInt(-power));
}

export const whole = (n: number): Fraction => ({ n: BigInt(n), d: 1n });
export const add = (a: Fraction, b: Fraction): Fraction =>
  a.d === b.d ? lowest(a.n + b.n, a.d) : lowest(a.n * b.d + b.n * a.d, a.d * b.d);
export const subtract = (a: Fraction, b: Fraction): Fraction => add(a, { n: -b.n, d: b.d });
export const multiply = (a: Fraction, b: Fraction): Fraction => lowest(a.n * b.n, a.d * b.d);

/** Throws on division by zero. */
export function divide(a: Fraction, b: Fraction): Fraction {
  if (b.n === 0n) throw new RangeError('division by zero');
  return b.n < 0n ? lowest(-a.n * b.d, -b.n * a.d) : lowest(a.n * b.d, a.d * b.n);
}

/** Below 0, 0 or above 0, as a is less than, equal to or more than b. */
export const compare = (a: Fraction, b: Fraction): number => {
  const left = a.n * b.d;
  const right = b.n * a.d;
  return left < right ? -1 : left > right ? 1 : 0;
};

/** The largest whole number not above the fraction. */
export const floor = ({ n, d }: Fraction): number => Number(n >= 0n ? n / d : -((-n + d - 1n) / d));
/** The smallest whole number not below the fraction. */
export const ceil = ({ n, d }: Fraction): number => -floor({ n: -n, d });

/** The nearest floating-point number, for a screen or a file. */
export function toNumber({ n, d }: Fraction): number {
  const digits = Number(n) / Number(d);
  if (Number.isSafeInteger(Number(n)) && Number.isSafeInteger(Number(d))) return digits;
  const quotient = n / d;
  return Number(quotient) + Number(((n - quotient * d) * 10n ** 18n) / d) / 1e18;
}

/** How many decimal places a number has as typed: 0.02222 has 5. */
export function places(value: number): number {
  let { d } = decimal(value);
  let count = 0;
  while (d > 1n) {
    d = d % 10n === 0n ? d / 10n : d % 5n === 0n ? d / 5n : d / 2n;
    count += 1;
  }
  return count;
}

/** value x scale, exactly. Throws when that is no safe whole number. */
export function scaled(value: number, scale: number): number {
  const { n, d } = multiply(decimal(value), whole(scale));
  if (d !== 1n || !Number.isSafeInteger(Number(n)))
    throw new RangeError(`${value} is not a whole number of 1/${scale}`);
  return Number(n);
}
