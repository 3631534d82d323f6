import {
  absDependencies,
  addDependencies,
  ceilDependencies,
  create,
  createUnitDependencies,
  divideDependencies,
  type FactoryFunctionMap,
  floorDependencies,
  type MathNode,
  maxDependencies,
  minDependencies,
  multiplyDependencies,
  parseDependencies,
  powDependencies,
  roundDependencies,
  sqrtDependencies,
  subtractDependencies,
  toDependencies,
  type Unit,
  unaryMinusDependencies,
  unaryPlusDependencies,
  unitDependencies,
} from 'mathjs';

const math = create({
  absDependencies,
  addDependencies,
  ceilDependencies,
  createUnitDependencies,
  divideDependencies,
  floorDependencies,
  maxDependencies,
  minDependencies,
  multiplyDependencies,
  parseDependencies,
  powDependencies,
  roundDependencies,
  sqrtDependencies,
  subtractDependencies,
  toDependencies,
  unaryMinusDependencies,
  unaryPlusDependencies,
  unitDependencies,
} as FactoryFunctionMap);
math.createUnit({ bag: {}, mEq: {}, item: {}, position: {} });

/** A number, or what stands in its way in words that say what would be right. */
export type Outcome = { readonly value: number } | { readonly problem: string };
/** A value with the unit it is in; no unit: a plain number. */
export interface Quantity {
  readonly value: number;
  readonly unit?: string;
}

export const MAX_LENGTH = 200;
const MAX_NODES = 80;
const FUNCTIONS = new Set(['round', 'floor', 'ceil', 'min', 'max', 'abs', 'sqrt']);
const OPERATORS = new Set(['add', 'subtract', 'multiply', 'divide', 'pow', 'unaryMinus', 'unaryPlus', 'to']);
/** Digits in one way only: where they could be split in two, a long row of them would be tried at every place. */
const PLAIN = /^[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d{1,3})?$/i;
const DECIMAL_COMMA = /\d,\d/;

class Refused extends Error {}
const CANCELLED = 'its units cancel, so it is a share and no number of anything';

/** mathjs spells some units its own way; 'min' alone would be its function. */
const SPELT: Record<string, string> = { min: 'minute', hr: 'hour', hrs: 'hour', d: 'day', ml: 'mL', l: 'L' };
const respelt = (word: string): string => (Object.hasOwn(SPELT, word) ? SPELT[word]! : word);
/** mathjs takes what begins with a number, such as 1/kg, for a value: kg^-1. */
const spelt = (unit: string): string =>
  unit
    .replace(/[A-Za-z]+/g, respelt)
    .replace(
      /^\s*1\s*\/\s*([A-Za-z]+)(?:\^(\d+))?/,
      (_, name: string, power = '1') => `${name}^-${power as string}`,
    );
const isUnit = (name: string): boolean => math.Unit.isValuelessUnit(name);

/** The tree of an expression, when it holds nothing but arithmetic on numbers, units and the names given. */
function read(text: string, names: ReadonlySet<string>): { tree: MathNode; units: boolean } {
  if (text.length > MAX_LENGTH) throw new Refused(`longer than ${MAX_LENGTH} characters`);
  if (DECIMAL_COMMA.test(text) && !/[a-z]\s*\(/i.test(text))
    throw new Refused('write decimals with a point and thousands without a comma: 1234.5');
  let tree: MathNode;
  try {
    tree = math.parse(text);
  } catch {
    throw new Refused('not a number, a quantity with a unit or arithmetic');
  }
  let count = 0;
  let valued = false;
  let units = false;
  const checked = tree.transform((node, path) => {
    count += 1;
    if (count > MAX_NODES) throw new Refused(`more than ${MAX_NODES} parts`);
    if (math.isConstantNode(node) && typeof node.value === 'number') {
      valued = true;
      return node;
    }
    if (math.isParenthesisNode(node)) return node;
    if (math.isOperatorNode(node) && OPERATORS.has(node.fn)) return node;
    if (math.isFunctionNode(node) && math.isSymbolNode(node.fn) && FUNCTIONS.has(node.fn.name)) return node;
    if (math.isSymbolNode(node)) {
      if (path === 'fn' && FUNCTIONS.has(node.name)) return node;
      if (names.has(node.name)) {
        valued = true;
        return node;
      }
      const name = respelt(node.name);
      if (isUnit(name)) {
        units = true;
        return new math.SymbolNode(name);
      }
      throw new Refused(
        `'${node.name}' is no unit${names.size > 0 ? ' and no column of this sheet' : ''} known here`,
      );
    }
    throw new Refused(
      'only numbers, units, + - * / ^ ( ) and round, floor, ceil, min, max, abs, sqrt are allowed',
    );
  });
  if (!valued) throw new Refused('no number in it');
  return { tree: checked, units };
}

/** 12 digits: floating sums leave dust behind the 15th, and a bag hangs on an exact comparison. */
const dusted = (value: number): number => Number(value.toPrecision(12));
const asUnit = ({ value, unit }: Quantity): Unit | number => (unit ? math.unit(value, spelt(unit)) : value);
const dimensionOf = (unit: string): Unit => math.unit(1, spelt(unit));

function evaluate(text: string, names: Readonly<Record<string, Quantity>>): unknown {
  const { tree, units } = read(text, new Set(Object.keys(names)));
  const scope = new Map(Object.entries(names).map(([name, quantity]) => [name, asUnit(quantity)]));
  try {
    const result: unknown = tree.compile().evaluate(scope);
    // 24 h/day is a share of the day, not the number 1 of whatever was asked for.
    if (units && typeof result === 'number' && scope.size === 0) throw new Refused(CANCELLED);
    return result;
  } catch (error) {
    if (error instanceof Refused) throw error;
    throw new Refused(
      /unit/i.test(String(error)) ? 'units that do not go together' : 'arithmetic that has no result',
    );
  }
}

function numberIn(result: unknown, unit: string | undefined): Outcome {
  if (typeof result === 'number')
    return Number.isFinite(result)
      ? { value: dusted(result) }
      : { problem: 'the result is no finite number' };
  if (!math.isUnit(result)) return { problem: 'the result is no single number' };
  if (!unit) return { problem: `expected a plain number, not one in ${result.formatUnits()}` };
  if (!result.equalBase(dimensionOf(unit)))
    return { problem: `expected ${unit}, not ${result.formatUnits() || 'that unit'}` };
  const value = dusted(result.toNumber(spelt(unit)));
  return Number.isFinite(value) ? { value } : { problem: 'the result is no finite number' };
}

/** The unit of a result with what stands above and below the line taken out: mL/kg/h x kg is mL/h. */
function cancelled(result: Unit): string {
  const powers = new Map<string, number>();
  for (const { unit, prefix, power } of result.units) {
    const name = String((prefix as { name?: string }).name ?? '') + unit.name;
    powers.set(name, (powers.get(name) ?? 0) + power);
  }
  const spell = ([name, power]: [string, number]) =>
    Math.abs(power) === 1 ? name : `${name}^${Math.abs(power)}`;
  const above = [...powers].filter(([, power]) => power > 0).map(spell);
  const below = [...powers].filter(([, power]) => power < 0).map(spell);
  return [above.join(' ') || '1', ...below].join('/');
}

/** Whether a locale writes 2,5 for two and a half. */
const decimalComma = (locale?: string): boolean =>
  new Intl.NumberFormat(locale)
    .formatToParts(1.5)
    .some(({ type, value }) => type === 'decimal' && value === ',');

/** A number with a decimal comma, as its locale writes it, with a point: '2,5 L' -> '2.5 L', '1.234,5' -> '1234.5'. */
export function pointed(text: string, locale?: string): string {
  const [, sign = '', whole = '', part = '', rest = ''] =
    /^([+-]?)(\d{1,3}(?:\.\d{3})+|\d+),(\d+)(\D*)$/.exec(text) ?? [];
  return part !== '' && decimalComma(locale) ? `${sign}${whole.replaceAll('.', '')}.${part}${rest}` : text;
}

/**
 * What was typed into a number cell: a number (taken as being in `unit`), a quantity in any unit of the same dimension,
 * or arithmetic on these, e.g. '82', '180 lb', '1.2*84', '(2 L + 300 mL)/h'.
 * @param unit of the cell, e.g. mL/kg/h; absent: a plain number
 * @param locale whose decimal comma is read, BCP 47; absent: the person's own
 */
export function quantity(text: string, unit?: string, locale?: string): Outcome {
  const typed = text.replace(/[\s\u00a0\u202f]+/g, ' ').trim();
  if (typed.length > MAX_LENGTH) return { problem: `longer than ${MAX_LENGTH} characters` };
  const plain = pointed(typed, locale);
  if (PLAIN.test(plain)) {
    const value = Number(plain);
    return Number.isFinite(value) ? { value } : { problem: 'the number is too large' };
  }
  try {
    return numberIn(evaluate(plain, {}), unit);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    return { problem: `${error.message}${unit ? `; expected a number or a quantity in ${unit}` : ''}` };
  }
}

/** Whether a cell's text is more than a plain number, so that what was typed is worth keeping. */
export const isPlainNumber = (text: string): boolean => text.length <= MAX_LENGTH && PLAIN.test(text.trim());

/**
 * A custom column's value for one row.
 * @param expression arithmetic over field names, e.g. 'dose * weight / 1000'
 * @param fields the row's filled number cells, with their units
 * @param unit wanted of the result; absent: whatever comes out, named with the value
 */
export function column(
  expression: string,
  fields: Readonly<Record<string, Quantity>>,
  unit?: string,
): { readonly value: number; readonly unit: string } | { readonly problem: string } {
  try {
    const result = evaluate(expression, fields);
    if (unit || !math.isUnit(result)) {
      const outcome = numberIn(result, unit);
      return 'problem' in outcome ? outcome : { value: outcome.value, unit: unit ?? '' };
    }
    const name = cancelled(result);
    const outcome = numberIn(result, name);
    return 'problem' in outcome ? outcome : { value: outcome.value, unit: name };
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    return { problem: error.message };
  }
}

/** Whether a unit is one that cells can be converted to: kg is, 2 kg is a value. */
export function knowsUnit(unit: string): boolean {
  try {
    return unit.trim() !== '' && math.unit(spelt(unit)).value === null;
  } catch {
    return false;
  }
}
