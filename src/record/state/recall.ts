import type { Books } from './books.ts';

/** Bags that left of a lot in doubt: what of them is on the ward, and what must take their place. */
export interface Recall {
  readonly lot: string;
  /** null: nobody knows what ran on its machine. */
  readonly bath: string | null;
  /** As they left. */
  readonly bags: number;
  readonly round: number | string;
  /** Minute at which they left. */
  readonly at: number;
  readonly ward?: string;
  readonly bed?: string;
  /** Bags that may hang now: take them down first. */
  readonly hanging: number;
  /** Bags not hung yet: bring them back. */
  readonly waiting: number;
  /** Beds at which they may hang or wait: its own, or where nobody noted one, all that the bag round served. */
  readonly beds: readonly string[];
  /** Bags to be carried in their place now: for those that hang, and for those to be hung before the next bag round's. */
  readonly replace: number;
}

type Leave = Books['leaves'][number];
/** Bags of one lot that one entry brought, as they are used up. */
interface Stack {
  readonly leave: Leave;
  /** From this minute on it was known that they are called back; null: they are not. */
  readonly since: number | null;
  bags: number;
  hanging: number;
}
/** Bags of one bath that one bag round brought to one bed, or to beds that nobody noted, and who hangs them. */
interface Pool {
  readonly bath: number;
  readonly round: number;
  readonly stacks: readonly Stack[];
  readonly patients: readonly number[];
}
/** A bag that hangs, until another one does or therapy ends. */
interface Hung {
  readonly patient: number;
  readonly minute: number;
  readonly until: number;
}

/** What is called back of the bags at the bedside, by bath, for what is due now. */
interface CalledBack {
  readonly recall: readonly Recall[];
  /** Bags that hang and must be replaced, or that nobody could hang because they were called back. */
  readonly missing: readonly number[];
  /** Parts of a litre carried in the rounds asked for that are called back and wait, or were carried to replace one. */
  readonly gone: readonly number[];
}

/**
 * Goes through what hung since each bag round, bag by bag. Nobody notes which bag was hung, so the unsafe case counts: what
 * hangs is one called back wherever one was there, what is used up was a good one. Once the call-back is known nobody hangs
 * one. Where a load names no bed, all beds of its bath that no other load of its round names are meant.
 * @param covered rounds of which something is still to be hung
 */
export function calledBack(books: Books, covered: ReadonlySet<number>): CalledBack {
  const { problem, now } = books;
  const missing = problem.baths.map(() => 0);
  const gone = problem.baths.map(() => 0);
  const rows = new Map<Leave, Recall>();
  for (const pool of poolsOf(books)) {
    const hangs = hangsOfPool(books, pool);
    const begun = hangs.filter(({ minute }) => minute < now);
    const walked = walk(pool, begun, { now, lead: problem.rules.leadMinutes });
    const good = pool.stacks.reduce((sum, { since, bags }) => (since === null ? sum + bags : sum), 0);
    const later = hangs.length - begun.length;
    let due = Math.max(0, walked.missing + later - good);
    missing[pool.bath]! += walked.missing;
    for (const { leave, since, bags: waiting, hanging } of pool.stacks) {
      if (since === null) continue;
      if (covered.has(pool.round)) gone[pool.bath]! += waiting * sizeOf(leave);
      const replace = Math.min(due, hanging + waiting);
      due -= replace;
      const own = begun.filter((one) => one.until > now && one.minute < since);
      const beds = leave.bed ? [leave.bed] : own.map(({ patient }) => problem.patients[patient]!.id);
      rows.set(leave, { ...rowOf(leave), hanging, waiting, beds, replace });
    }
    if (covered.has(pool.round)) gone[pool.bath]! += walked.replaced * problem.bagParts;
  }
  const recall = books.leaves.flatMap((leave) => {
    if (backSince(books, leave) === null) return [];
    const beds = leave.bed ? [leave.bed] : [];
    return rows.get(leave) ?? { ...rowOf(leave), hanging: 0, waiting: leave.bags, beds, replace: 0 };
  });
  return { recall, missing, gone };
}

/** Bags of one load that wait at the bedside. */
export interface Waiting {
  readonly lot: string | null;
  readonly bath: string;
  /** L in a bag. */
  readonly litres: number;
  readonly bags: number;
  readonly round: number;
  readonly ward?: string;
  readonly bed?: string;
}

/** What was carried in the rounds asked for and is not hung before now, in the order in which it left. */
export function bedside(books: Books, covered: ReadonlySet<number>): Waiting[] {
  const { problem, now } = books;
  const pools = allPools(books).filter(({ round }) => covered.has(round));
  for (const pool of pools) {
    const begun = hangsOfPool(books, pool).filter(({ minute }) => minute < now);
    walk(pool, begun, { now, lead: problem.rules.leadMinutes });
  }
  return pools.flatMap(({ stacks, round }) =>
    stacks.flatMap(({ leave, bags }): Waiting[] => {
      const { lot, bath, ward, bed } = leave;
      const litres = sizeOf(leave) / problem.partsPerLitre;
      return bags > 0
        ? [{ lot, bath, litres, bags, round, ...(ward ? { ward } : {}), ...(bed ? { bed } : {}) }]
        : [];
    }),
  );
}

const sizeOf = ({ parts, bags }: Leave): number => (bags > 0 ? parts / bags : 0);
const rowOf = ({ lot, bath, bags, round, at, ward, bed }: Leave) => ({
  lot: lot!,
  bath: bath === '' ? null : bath,
  bags,
  round,
  at,
  ...(ward ? { ward } : {}),
  ...(bed ? { bed } : {}),
});

/** Minute from which on it was known that a load is called back; null: it is not. */
function backSince({ lots, problem, now }: Books, { lot }: Leave): number | null {
  const holds = lots.get(lot!)?.doubtfulHolds ?? [];
  if (holds.length === 0) return null;
  const zero = problem.clock.epochOf(0);
  const known = holds.map(({ at, noted }) => Math.max(at, Math.floor((noted - zero) / 60_000)));
  return Math.min(now, ...known);
}

/** Only pools of which something is called back. */
const poolsOf = (books: Books): Pool[] =>
  allPools(books).filter(({ stacks }) => stacks.some(({ since }) => since !== null));

function allPools(books: Books): Pool[] {
  const { problem, leaves } = books;
  const bathNumber = new Map(problem.baths.map((id, index) => [id, index]));
  const bedNumber = new Map(problem.patients.map(({ id }, index) => [id, index]));
  const groups = new Map<string, { bath: number; round: number; bed: number | null; stacks: Stack[] }>();
  for (const leave of leaves) {
    const bath = bathNumber.get(leave.bath);
    if (bath === undefined || !problem.rounds[leave.round as number]) continue;
    const bed = bedNumber.get(leave.bed ?? '') ?? null;
    const key = `${bath} ${leave.round} ${bed}`;
    const group = groups.get(key) ?? { bath, round: leave.round as number, bed, stacks: [] };
    group.stacks.push({ leave, since: backSince(books, leave), bags: leave.bags, hanging: 0 });
    groups.set(key, group);
  }
  const all = [...groups.values()];
  const named = new Map<string, Set<number | null>>();
  for (const { bath, round, bed } of all) {
    const key = `${bath} ${round}`;
    named.set(key, (named.get(key) ?? new Set()).add(bed));
  }
  return all.map(({ bath, round, bed, stacks }): Pool => {
    const others = [...problem.patients.keys()].filter((one) => !named.get(`${bath} ${round}`)!.has(one));
    return {
      bath,
      round,
      stacks: stacks.sort((a, b) => a.leave.at - b.leave.at),
      patients: bed === null ? others : [bed],
    };
  });
}

/** What a pool's patients hang of its bath in what its round covers, in order of time. */
function hangsOfPool({ problem, demand: { hangs } }: Books, { patients, bath, round }: Pool): Hung[] {
  const { from, to } = problem.rounds[round]!;
  const longest = Math.floor(Number(problem.rules.maxHang.n) / Number(problem.rules.maxHang.d));
  const own = patients.flatMap((patient) => {
    const { until, sessions } = problem.patients[patient]!;
    return hangs[patient]!.flatMap((hang, n): Hung[] => {
      const { minute } = hang;
      if (hang.bath !== bath || minute < from || minute >= to) return [];
      const session = sessions?.find((one) => one.from <= minute && minute < one.to);
      const next = hangs[patient]![n + 1]?.minute ?? Number.POSITIVE_INFINITY;
      const end = Math.min(next, until, session?.to ?? Number.POSITIVE_INFINITY, minute + longest);
      return [{ patient, minute, until: end }];
    });
  });
  return own.sort((a, b) => a.minute - b.minute);
}

/** Takes a bag for each hang that has begun. @returns bags missing now, and bags that were carried to replace one */
function walk(
  { stacks }: Pool,
  begun: readonly Hung[],
  { now, lead }: { readonly now: number; readonly lead: number },
): { missing: number; replaced: number } {
  let [missing, replaced] = [0, 0];
  const first = (minute: number, back: boolean, late: number) =>
    stacks.find(({ leave, since, bags }) => {
      const fits = back ? since !== null && minute < since : since === null;
      return fits && bags > 0 && leave.at <= minute + late;
    });
  for (const { minute, until } of begun) {
    const hangs = until > now;
    const there = hangs ? [true, false] : [false, true];
    const stack =
      // What is noted as left a little later was there all the same.
      [0, lead].flatMap((late) => there.map((back) => first(minute, back, late))).find(Boolean) ??
      (hangs ? first(minute, false, Number.POSITIVE_INFINITY) : undefined);
    if (stack) stack.bags -= 1;
    const back = stack ? stack.since !== null : true;
    if (hangs && back) missing += 1;
    if (hangs && stack && back) stack.hanging += 1;
    if (hangs || !stack || stack.since === null || until <= stack.since) continue;
    // It hung when it was called back: a good one took its place, if one came by then.
    const other = stacks.find(({ leave, since, bags }) => since === null && bags > 0 && leave.at <= until);
    if (!other) continue;
    other.bags -= 1;
    replaced += 1;
  }
  return { missing, replaced };
}
