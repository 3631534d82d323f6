import { expect } from 'vitest';
import { planFrom } from '../../electron/command/planFrom.ts';
import { audit } from '../../src/audit/audit.ts';
import { demandOf } from '../../src/demand/demand.ts';
import { cover, lotsOfFills } from '../../src/plan/cover.ts';
import { lotName } from '../../src/plan/lotName.ts';
import { type Activity, inOrder } from '../../src/plan/plan.ts';
import type { Entry } from '../../src/record/entries.ts';
import { type Start, startAt } from '../../src/record/from.ts';
import type { Noted } from '../../src/record/journal.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, tinyWorld } from '../world.ts';

type Fields = { kind: Entry['kind'] } & Record<string, unknown>;
interface Chance {
  /** In [0, 1). */
  unit(): number;
}
/** mulberry32: small, known, and the same everywhere; the core's own is not tested by itself. */
function chanceOf(seed: number): Chance {
  let state = (seed * 2_654_435_761) >>> 0;
  return {
    unit() {
      state = (state + 0x6d2b79f5) >>> 0;
      let t = Math.imul(state ^ (state >>> 15), state | 1);
      t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
      return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
    },
  };
}
const below = (chance: Chance, count: number): number => Math.floor(chance.unit() * count);
const pick = <T>(chance: Chance, list: readonly T[]): T => list[below(chance, list.length)]!;

const BATH = {
  sodium: 140,
  potassium: 2,
  calcium: 2.5,
  magnesium: 1,
  chloride: 108,
  bicarbonate: 32,
  acetate: 4,
};

/** A day of its own: one to three machines on one or two sources, one to three patients. */
function worldOf(chance: Chance): Scenario {
  const sources = 1 + below(chance, 2);
  return tinyWorld({
    baths: [
      { id: '2K', ...BATH },
      { id: '4K', ...BATH, potassium: 4, chloride: 110 },
    ],
    patients: Array.from({ length: 1 + below(chance, 3) }, (_, n) => ({
      id: `bed-${n}`,
      weight: 60 + below(chance, 50),
      dose: 20 + below(chance, 20),
      bath: pick(chance, ['2K', '4K']),
    })),
    machines: Array.from({ length: 1 + below(chance, 3) }, (_, n) => ({
      id: `M${n + 1}`,
      flow: 800,
      positions: 8,
      water: `RO-${n % sources}`,
      ...(chance.unit() < 0.5 ? { loaded: { bath: '2K', circuitSince: at(-60) } } : {}),
    })),
    water: Array.from({ length: sources }, (_, n) => ({
      id: `RO-${n}`,
      capacity: 1600,
      testEvery: 240,
      testMinutes: 10,
      ...(chance.unit() < 0.7 ? { lastTest: at(-30) } : {}),
    })),
    shifts: [{ id: 'day', from: '00:00', to: '00:00', technicians: 1 + below(chance, 3) }],
    stock: [
      { lot: 'P-2', bath: '2K', bags: below(chance, 12), litres: 6.5 },
      { lot: 'P-4', bath: '4K', bags: below(chance, 12), litres: 5 },
    ],
    rules: { rounds: ['06:00', '14:00', '20:00'], ...(chance.unit() < 0.2 ? { releaseBy: 'entry' } : {}) },
  });
}

/** The record of a day as it is noted, some of it late, by two stations. */
class Noting {
  readonly noted: Noted[] = [];
  private readonly count = new Map<string, number>();
  readonly chance: Chance;
  /** One of those noted so far. */
  anyId(): string {
    return this.noted.length > 0 ? pick(this.chance, this.noted).entry.id : 'desk/99';
  }
  constructor(chance: Chance) {
    this.chance = chance;
  }
  note(minute: number, fields: Fields): string {
    const station = pick(this.chance, ['desk', 'tablet']);
    const n = (this.count.get(station) ?? 0) + 1;
    this.count.set(station, n);
    const told = minute + (this.chance.unit() < 0.2 ? below(this.chance, 4) : 0);
    const id = `${station}/${n}`;
    const entry = {
      n,
      id,
      noted: `${at(told)}:00Z`,
      by: 'AB',
      at: at(minute),
      before: '0'.repeat(64),
      ...fields,
    };
    this.noted.push({ entry: entry as unknown as Entry, file: `${station}.jsonl`, line: n });
    return id;
  }
}

/** Every promise that holds at any minute of any day. */
function judged({ problem, state, underWay }: Start, activities: readonly Activity[], now: number): void {
  expect(audit(problem, activities, { now }).violations).toEqual([]);
  const begun = activities.filter(({ start }) => start < now);
  const names = underWay.map((one) => JSON.stringify({ ...one, end: 0 }));
  for (const one of begun) expect(names).toContain(JSON.stringify({ ...one, end: 0 }));
  for (const fill of begun)
    if (fill.kind === 'fill') {
      const { shortest, longest } = problem.machines.find(({ id }) => id === fill.machine)!;
      expect(fill.end - fill.start).toBeGreaterThanOrEqual(shortest);
      expect(fill.end - fill.start).toBeLessThanOrEqual(longest);
      expect(fill.end).toBeGreaterThanOrEqual(now);
    }
  waterHolds(state, problem, activities, now);
  for (const lot of state.lots) {
    expect(lot.good + lot.held + lot.left + lot.discarded + lot.balance).toBe(lot.made);
    // More bags named than there were: the record is at odds with itself, and says so.
    const told = state.doubts.some(({ wrong }) => wrong.includes(lot.lot));
    if (lot.counted === null && !told) expect(lot.balance).toBe(0);
    expect(Math.min(lot.good, lot.held, lot.left, lot.discarded)).toBeGreaterThanOrEqual(0);
  }
  const good = new Map(state.lots.map((lot) => [lot.lot, lot.good]));
  const { servings, lots } = cover(problem, demandOf(problem), lotsOfFills(problem, activities));
  const used = new Map<string, number>();
  for (const { lot, parts } of servings) {
    const { id, bagParts } = lots[lot]!;
    if (lot < problem.lots.length) used.set(id, (used.get(id) ?? 0) + parts / bagParts);
  }
  for (const [id, bags] of used) expect(bags).toBeLessThanOrEqual(good.get(id)! + 1e-9);
}

/** Counted anew: whenever something draws water, the last test of its source by then passed, no longer ago than allowed. */
function waterHolds(
  state: Start['state'],
  problem: Start['problem'],
  activities: readonly Activity[],
  now: number,
): void {
  for (const { id, testEvery } of problem.water) {
    const noted = state.tests
      .filter(({ water }) => water === id)
      .map(({ at: end, passed }) => ({ end, passed }));
    const known =
      noted.length > 0
        ? noted
        : state.water.flatMap((one) =>
            one.id === id && one.last === 'pass' ? { end: one.lastEnd!, passed: true } : [],
          );
    const planned = activities.flatMap((one) =>
      one.kind === 'test' && one.water === id ? { end: one.end, passed: true } : [],
    );
    const all = [...known, ...planned].sort((a, b) => a.end - b.end);
    for (const one of activities) {
      if (one.kind === 'swap' || one.kind === 'test' || one.kind === 'duty') continue;
      if (problem.water[problem.machines.find((machine) => machine.id === one.machine)!.water]!.id !== id)
        continue;
      for (let t = Math.max(now, one.start); t < one.end; t++) {
        const last = all.findLast(({ end }) => end <= t);
        expect(last).toMatchObject({ passed: true });
        expect(t - last!.end).toBeLessThanOrEqual(testEvery);
      }
    }
  }
}

/** What is done of a plan until some minute, late at times; what goes wrong meanwhile. The minute at which to plan anew. */
function lived(
  noting: Noting,
  { problem, state }: Start,
  activities: readonly Activity[],
  now: number,
): number {
  const { chance } = noting;
  const until = Math.min(problem.horizon - 30, now + 40 + below(chance, 160));
  const begun = new Set<string>();
  const open = new Map(
    state.machines.flatMap(({ id, underWay }) =>
      underWay?.kind === 'fill' ? [[id, underWay.start] as const] : [],
    ),
  );
  for (const one of inOrder(activities)) {
    const late = chance.unit() < 0.3 ? below(chance, 12) : 0;
    if (one.kind === 'test' && one.end + late <= until && one.end >= now && chance.unit() < 0.97)
      noting.note(one.end + late, {
        kind: 'test',
        water: one.water,
        result: chance.unit() < 0.1 ? 'fail' : 'pass',
      });
    if ((one.kind === 'circuit' || one.kind === 'bath') && one.end + late <= until && one.start >= now)
      noting.note(one.end + late, {
        kind: one.kind,
        machine: one.machine,
        bath: one.bath,
        began: at(one.start + late),
      });
    if (one.kind === 'fill' && one.start >= now && one.start + late <= until && !open.has(one.machine)) {
      noting.note(one.start + late, { kind: 'fill', machine: one.machine });
      open.set(one.machine, one.start + late);
      begun.add(one.machine);
    }
    if (one.kind === 'swap' && open.has(one.machine) && one.start + late <= until) {
      const end =
        Math.max(open.get(one.machine)! + 65, one.start) + (chance.unit() < 0.1 ? below(chance, 20) : 0);
      if (end > until) continue;
      const lost = chance.unit() < 0.15 ? below(chance, 3) : 0;
      noting.note(
        end,
        chance.unit() < 0.08
          ? { kind: 'stop', machine: one.machine, why: 'leak' }
          : {
              kind: 'off',
              machine: one.machine,
              good: 8 - lost,
              rejected: lost ? [{ reason: 'leak', bags: lost }] : [],
            },
      );
      open.delete(one.machine);
    }
  }
  for (const machine of state.machines)
    if (open.has(machine.id) && open.get(machine.id)! + 90 < until)
      noting.note(until - 1, { kind: 'off', machine: machine.id, good: 8 });
  for (const { index, at: minute } of problem.rounds)
    if (index > 0 && minute > now && minute <= until && chance.unit() < 0.8)
      leave(noting, state, state.nextRound + index - 1, minute);
  mishap(noting, state, until);
  return until;
}

/** What is there leaves with a round, now and then some of it. */
function leave(noting: Noting, state: Start['state'], round: number, minute: number): void {
  const loads = state.lots
    .filter(({ good, ready }) => good > 0 && ready !== null && ready <= minute)
    .map(({ lot, good }) => ({ lot, bags: below(noting.chance, good + 1), bed: 'bed-0' }))
    .filter(({ bags }) => bags > 0);
  noting.note(minute, { kind: 'leave', round, loads });
}

function mishap(noting: Noting, state: Start['state'], now: number): void {
  const { chance } = noting;
  const machine = pick(chance, state.machines).id;
  const lots = state.lots.filter(({ good, held }) => good + held > 1);
  const lot = lots.length > 0 ? pick(chance, lots) : null;
  const what = below(chance, 14);
  if (what === 0) noting.note(now - 3, { kind: 'test', water: pick(chance, state.water).id, result: 'fail' });
  if (what === 1)
    noting.note(now - 2, { kind: 'reading', machine, temperature: 25, conductivity: 12 + 4 * chance.unit() });
  if (what === 2)
    noting.note(now - 1, { kind: 'staff', shift: 'day', date: '2031-02-03', technicians: below(chance, 3) });
  if (what === 3) noting.note(now - 1, { kind: 'out', machine, until: at(now + below(chance, 300)) });
  if (what === 4) noting.note(now - 1, { kind: 'back', machine });
  if (what === 5 && lot)
    noting.note(now - 1, { kind: 'hold', lot: lot.lot, ...(chance.unit() < 0.5 ? { bags: 1 } : {}) });
  if (what === 6 && lot) noting.note(now - 1, { kind: 'release', lot: lot.lot });
  if (what === 7 && lot) noting.note(now - 1, { kind: 'discard', lot: lot.lot, bags: 1, why: 'dropped' });
  if (what === 8 && lot) noting.note(now - 1, { kind: 'count', lot: lot.lot, bags: below(chance, 9) });
  if (what === 9) noting.note(now, { kind: 'void', of: noting.anyId() });
}

/** Lives one day by the record, planning on again and again; every promise is judged each time. @returns plans made */
export async function playDay(seed: number): Promise<number> {
  const chance = chanceOf(seed);
  let scenario = worldOf(chance);
  const noting = new Noting(chance);
  let now = 0;
  let plans = 0;
  while (now < 1300) {
    const start = startAt(scenario, noting.noted, now);
    const shuffled = [...noting.noted]
      .sort((a, b) => (a.entry.before + a.entry.id < b.entry.id ? -1 : 1))
      .reverse();
    expect(JSON.stringify(startAt(scenario, shuffled, now).state)).toBe(JSON.stringify(start.state));
    const { activities } = await planFrom(start, { tries: 12 });
    plans += 1;
    judged(start, activities, now);
    now = lived(noting, start, activities, now);
    if (chance.unit() < 0.15) {
      const [first, ...others] = scenario.patients;
      const changes = [
        ...(first!.changes ?? []),
        { at: at(now - below(chance, 20)), bath: pick(chance, ['2K', '4K']) },
      ];
      scenario = { ...scenario, patients: [{ ...first!, changes }, ...others] };
    }
    const last = startAt(scenario, noting.noted, now).state;
    for (const { fill, lot } of last.lots)
      if (fill) expect(lot).toBe(lotName(start.problem.clock, fill.machine, fill.start));
    if (now >= 1400) break;
  }
  return plans;
}

/** So many days from a seed on. @returns plans made */
export async function playDays(from: number, count: number): Promise<number> {
  let plans = 0;
  for (let seed = from; seed < from + count; seed++)
    plans += await playDay(seed).catch((error: unknown) => {
      throw new Error(`day ${seed}`, { cause: error });
    });
  return plans;
}
