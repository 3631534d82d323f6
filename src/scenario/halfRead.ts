import { z } from 'zod';
import type { Fault } from './faults/fault.ts';
import { faultsOf } from './faults/faults.ts';
import { type Scenario, scenarioSchema } from './schema.ts';

type Path = Fault['path'];

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/**
 * The value with all that has the wrong kind put aside: NaN stands for such a number, for no comparison with it is
 * true, and '' for a text. A list or an object that is none becomes one of which nothing is known.
 * @param gone takes the path of each value put aside
 */
function known(type: z.core.$ZodType, value: unknown, path: Path, gone: Path[]): unknown {
  if (type instanceof z.ZodOptional || type instanceof z.ZodNullable)
    return value == null ? value : known(type.unwrap(), value, path, gone);
  if (type instanceof z.ZodArray) {
    if (!Array.isArray(value)) gone.push(path);
    return (Array.isArray(value) ? value : [undefined]).map((row, i) =>
      known(type.element, row, [...path, i], gone),
    );
  }
  if (type instanceof z.ZodObject) {
    if (!isRecord(value)) gone.push(path);
    const from: Record<string, unknown> = isRecord(value) ? { ...value } : {};
    for (const [name, field] of Object.entries<z.core.$ZodType>(type.shape))
      from[name] = known(field, from[name], [...path, name], gone);
    return from;
  }
  if (type instanceof z.ZodRecord) {
    if (!isRecord(value)) gone.push(path);
    const entries = isRecord(value) ? Object.entries(value) : [];
    return Object.fromEntries(
      entries.map(([key, one]) => [key, known(type.valueType, one, [...path, key], gone)]),
    );
  }
  if (z.safeParse(type, value).success) return value;
  gone.push(path);
  return type instanceof z.ZodNumber ? Number.NaN : type instanceof z.ZodString ? '' : undefined;
}

/** Rules that look names up: silent while a name of their list is not known, for it may be the one that is missed. */
const LOOK_UP: Readonly<Record<string, readonly string[]>> = {
  baths: ['unknownBath', 'bathSharesWrong'],
  water: ['unknownWater', 'dutyPlaceUnclear', 'dutyEffectWithoutPlace'],
  machines: ['dutyPlaceUnclear', 'dutyEffectWithoutPlace'],
};

const key = (path: Path): string => JSON.stringify(path);

/**
 * What can be told of a scenario of which some values have the wrong kind: the faults of all the others. Nothing is told
 * of a value that was put aside, nor of what holds it; and no warning of its row, which may come from two fields.
 */
export function faultsOfTheRest(raw: unknown): Fault[] {
  const gone: Path[] = [];
  const scenario = known(scenarioSchema, raw, [], gone) as Scenario;
  const exactly = new Set(gone.map(key));
  const around = new Set(gone.flatMap((path) => path.map((_, depth) => key(path.slice(0, depth + 1)))));
  const nameless = (list: string) =>
    gone.some((path) => path[0] === list && (path.length < 3 || path[2] === 'id'));
  const silent = Object.keys(LOOK_UP).flatMap((list) => (nameless(list) ? LOOK_UP[list]! : []));
  return faultsOf(scenario, { names: raw, silent }).filter(({ path, level }) => {
    const inside = path.some((_, depth) => exactly.has(key(path.slice(0, depth + 1))));
    const vague = level === 'warning' && path.length > 1 && around.has(key(path.slice(0, 2)));
    return !inside && !vague && !around.has(key(path));
  });
}
