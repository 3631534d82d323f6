import { z } from 'zod';
import { isLocalTime } from '../calendar/clock.ts';

// Without this zod compiles validators at run time, which the app's content security policy forbids.
z.config({ jitless: true });

const local = z
  .string()
  .refine(isLocalTime, { error: 'Expected: a local date and time in whole minutes, like 2031-02-03T07:00' });
const date = z
  .string()
  .refine((text) => isLocalTime(`${text}T00:00`), { error: 'Expected: a date like 2031-02-03' });
const instant = z
  .string()
  .refine(
    (text) =>
      /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d{1,9})?)?(Z|\+00:00)$/.test(text) &&
      !Number.isNaN(Date.parse(text)),
    {
      error: 'Expected: an instant in UTC, like 2031-02-03T13:00:00Z',
    },
  );
const name = z.string().min(1);
const amount = z.number().min(0);
const count = z.int().min(0);
const maybe = <T extends z.ZodType>(type: T) => type.nullish();

/** What every entry bears; the station writes n, id, noted and before. */
const common = {
  n: z.int().min(1),
  id: name,
  noted: instant,
  by: z.string(),
  before: z.string().regex(/^[0-9a-f]{64}$/, { error: 'Expected: 64 hexadecimal digits' }),
  at: local,
  /** The second time of an hour that a clock change repeats. */
  again: maybe(z.boolean()),
};
const entry = <K extends string, S extends z.ZodRawShape>(kind: K, shape: S) =>
  z.looseObject({ ...common, kind: z.literal(kind), ...shape });

/** Lots of what a circuit is made of and fed with. */
const lots = maybe(
  z.looseObject({
    filter: maybe(z.string()),
    tubing: maybe(z.string()),
    acid: maybe(z.string()),
    bicarbonate: maybe(z.string()),
  }),
);
const ofLot = { lot: name, bags: maybe(count), why: maybe(z.string()) };
const ofPlace = { machine: maybe(name), water: maybe(name), until: maybe(local) };
const load = z.looseObject({
  lot: name,
  bath: maybe(z.string()),
  bags: count,
  ward: maybe(z.string()),
  bed: maybe(z.string()),
});

/** The shape of an entry of each kind. Times are local to the scenario, whole minutes. */
const entrySchema = z.discriminatedUnion('kind', [
  entry('test', { water: name, result: z.enum(['pass', 'fail']), totalChlorine: maybe(amount) }),
  entry('circuit', { machine: name, bath: name, lots, began: maybe(local) }),
  entry('bath', { machine: name, bath: name, lots, began: maybe(local) }),
  entry('reading', {
    machine: name,
    /** mS/cm */
    conductivity: maybe(amount),
    /** C */
    temperature: maybe(z.number()),
    pH: maybe(amount),
    /** mmol/L */
    potassium: maybe(amount),
  }),
  entry('fill', { machine: name }),
  entry('off', {
    machine: name,
    good: count,
    rejected: maybe(z.array(z.looseObject({ reason: z.string(), bags: count }))),
    /** L in a bag, measured */
    litres: maybe(amount),
  }),
  entry('stop', { machine: name, why: maybe(z.string()) }),
  entry('hold', ofLot),
  entry('release', ofLot),
  entry('discard', ofLot),
  entry('leave', {
    /** The round's number, 0 for the opening one, or its local time. */
    round: z.union([count, local]),
    loads: z.array(load),
    /**
     * Said afterwards of a round whose loads nobody noted, with no loads and the round's own time: carried as the
     * prescriptions asked, the first to expire first; or not carried. At the start of a record that goes on from another:
     * what waits at the bedside, carried over, whether the site notes rounds or not.
     */
    declared: maybe(z.enum(['carried', 'not carried', 'carried over'])),
  }),
  entry('arrive', {
    lot: name,
    bags: count,
    bath: maybe(name),
    litres: maybe(amount),
    expires: maybe(local),
  }),
  entry('count', { lot: name, bags: count }),
  entry('out', ofPlace),
  entry('back', ofPlace),
  entry('staff', {
    shift: name,
    date,
    technicians: count,
    /** Who they are: initials, labels or roles; no full names are asked for. */
    names: maybe(z.array(name)),
  }),
  entry('duty', { duty: name, place: maybe(z.string()) }),
  entry('void', { at: maybe(local), of: name, why: maybe(z.string()) }),
  entry('note', { text: z.string() }),
]);

/** One line of the record. Entries are never changed or removed: a `void` says that one counts as never made. */
export type Entry = z.infer<typeof entrySchema>;
export type EntryKind = Entry['kind'];
export type EntryOf<K extends EntryKind> = Extract<Entry, { kind: K }>;
type Without<T> = T extends Entry ? Omit<T, 'n' | 'id' | 'noted' | 'before'> : never;
/** An entry before its station has noted it. */
export type Draft = Without<Entry>;

/** What is wrong with a value that should be an entry, in words with the field's path; null where it is one. */
export function entryFault(value: unknown): string | null {
  const read = entrySchema.safeParse(value);
  if (read.success) return null;
  const [first] = read.error.issues;
  const path = first!.path.join('.');
  const message = first!.message.replace(/^Invalid/, 'invalid');
  return path ? `${path}: ${message}` : message;
}
