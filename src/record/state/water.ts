import type { Duty } from '../../scenario/problem/types.ts';
import type { Fact } from '../fold.ts';
import { testPassed } from '../judge/test.ts';
import { untilOf } from '../minuteOf.ts';
import { type Books, doubt, filledSince, type WaterBook, waterOf } from './books.ts';

/**
 * A test ended. After a failed one nothing runs until one that ends later passes; what filled on the source since its
 * last passed test is on hold, part lots too.
 */
export function testEnded(books: Books, fact: Fact<'test'>): void {
  const { entry, at, noted, trusted } = fact;
  const source = books.water.find(({ id }) => id === entry.water);
  if (!source) {
    doubt(
      books,
      fact,
      `no water source is called ${entry.water}`,
      'a water source of this scenario; the entry does not count',
    );
    return;
  }
  const passed = testPassed(entry, books.limits);
  if (!trusted && passed) return;
  if (passed !== (entry.result === 'pass'))
    doubt(
      books,
      fact,
      `${entry.totalChlorine} mg/L of total chlorine are above the limit: the test counts as failed`,
      `at most ${books.limits.totalChlorine} mg/L for a pass`,
    );
  const totalChlorine = entry.totalChlorine ?? null;
  books.tests.push({ entry: entry.id, water: source.id, at, by: entry.by, passed, totalChlorine });
  source.last = passed ? 'pass' : 'fail';
  source.lastEnd = at;
  if (passed) {
    source.lastPass = at;
    source.passes.push(at);
    source.failed = null;
    return;
  }
  source.failed = { at, noted, entry: entry.id };
  holdSince(books, source);
}

/** What filled on the source since its last passed test: those under way are held as they come off. */
function holdSince(books: Books, { id, lastPass, failed }: WaterBook): void {
  const since = lastPass ?? Number.NEGATIVE_INFINITY;
  for (const machine of books.machines)
    if (waterOf(books, machine).id === id)
      for (const lot of filledSince(machine, since))
        lot.hold({ cause: 'test', ...failed!, why: `the total chlorine test of ${id} failed`, bags: 'all' });
}

/** A machine or a source is out of service, or back. What it was filling is on hold: nobody knows what ran into the bags. */
export function service(books: Books, fact: Fact<'out' | 'back'>): void {
  const { entry, at } = fact;
  const id = entry.machine ?? entry.water;
  const place = entry.machine
    ? books.machines.find((one) => one.id === entry.machine)
    : books.water.find((one) => one.id === entry.water);
  if (!place) {
    doubt(
      books,
      fact,
      `no machine or water source is called ${id ?? '(nothing)'}`,
      'one of this scenario; the entry does not count',
    );
    return;
  }
  if (place.out) place.outages.push({ from: place.out.from, until: Math.min(place.out.until ?? at, at) });
  place.out =
    entry.kind === 'out'
      ? {
          from: at,
          until: entry.until ? untilOf(books.problem.clock, entry.until, entry.again ?? false, at) : null,
        }
      : null;
  if (entry.kind === 'out') cutOff(books, fact as Fact<'out'>);
}

/** What fills on a machine that becomes unavailable, or on such water, goes on hold, also when it is soon back. */
function cutOff(books: Books, { entry, at, noted }: Fact<'out'>): void {
  for (const machine of books.machines) {
    const { id, underWay } = machine;
    if (id !== entry.machine && waterOf(books, machine).id !== entry.water) continue;
    if (underWay?.kind !== 'fill' || underWay.start >= at) continue;
    const why = `${entry.machine ?? entry.water} became unavailable during the fill`;
    underWay.lot.hold({ cause: 'cut off', entry: entry.id, at, noted, why, bags: 'all' });
  }
}

/** A duty is done: it may end a circuit, or take the force of tests. */
export function dutyDone(books: Books, fact: Fact<'duty'>): void {
  const { entry, at } = fact;
  const duty = books.problem.duties.find(({ id }) => id === entry.duty);
  if (!duty) {
    doubt(
      books,
      fact,
      `no duty is called ${entry.duty}`,
      'a duty of this scenario; the entry does not count',
    );
    return;
  }
  books.duties.push({ duty: duty.id, place: entry.place ?? null, at, entry: entry.id });
  const { place } = duty;
  if (duty.endsCircuit && place?.kind === 'machine') books.machines[place.index]!.circuit = null;
  if (duty.voidsTests && place?.kind === 'water') {
    const source = books.water[place.index]!;
    if (source.last === 'pass') Object.assign(source, { last: null, lastEnd: null });
  }
}

/** A note of a duty belongs to the occurrence nearest to it, within half a day. */
const NEAR = 720;

/** Minutes of a duty's occurrences that nobody noted as done. @param noted of any duties; `at` is when it ended */
export function unnotedOf(
  duty: Duty,
  noted: readonly { readonly duty: string; readonly at: number }[],
): number[] {
  const open = new Set(duty.at);
  for (const { duty: id, at: end } of noted) {
    if (id !== duty.id) continue;
    const began = end - duty.minutes;
    const nearest = [...open].sort((a, b) => Math.abs(a - began) - Math.abs(b - began))[0];
    if (nearest !== undefined && Math.abs(nearest - began) <= NEAR) open.delete(nearest);
  }
  return duty.at.filter((at) => open.has(at));
}

/** A duty that may have taken the force of a source's last test: its time is over, and nobody noted it. */
export interface Unsure {
  readonly duty: string;
  readonly at: number;
}

/**
 * Whether the last test of a source may be void: somebody may have disinfected the water since, and not noted it. A test that
 * ended after the duty's usual end counts, and what ran on the source all the while shows that the duty was not done.
 * @returns the last such duty; null: the test counts
 */
export function unsureOf(books: Books, index: number): Unsure | null {
  const { problem, duties, now } = books;
  const { last, lastEnd } = books.water[index]!;
  if (last !== 'pass') return null;
  const found = problem.duties.flatMap((duty) => {
    const { id, place, voidsTests, slack, minutes } = duty;
    if (!voidsTests || place?.kind !== 'water' || place.index !== index) return [];
    return unnotedOf(duty, duties)
      .filter((at) => at + slack < now && at + minutes > lastEnd!)
      .filter((at) => rested(books, index, { from: at, to: Math.min(now, at + slack + minutes), minutes }))
      .map((at) => ({ duty: id, at }));
  });
  return found.sort((a, b) => b.at - a.at)[0] ?? null;
}

/** Whether nothing ran on a source for so many minutes in a row, by the record. */
function rested(
  { machines, setUps, problem, now }: Books,
  index: number,
  { from, to, minutes }: { readonly from: number; readonly to: number; readonly minutes: number },
): boolean {
  const own = machines.filter((machine) => problem.machines[machine.index]!.water === index);
  const names = new Set(own.map(({ id }) => id));
  const runs = [
    ...own.flatMap(({ fills }) =>
      fills.map(({ facts: { fill } }) => [fill!.start, fill!.end ?? now] as const),
    ),
    ...setUps.filter(({ machine }) => names.has(machine)).map(({ began, at }) => [began, at] as const),
  ].sort((a, b) => a[0] - b[0]);
  let free = from;
  for (const [begin, end] of runs) {
    if (begin - free >= minutes) break;
    free = Math.max(free, end);
  }
  return to - free >= minutes;
}
