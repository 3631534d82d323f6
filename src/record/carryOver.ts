import { makeClock } from '../calendar/clock.ts';
import { type ActivityInUse, planInUse } from '../scenario/inUse.ts';
import { compile } from '../scenario/problem/compile.ts';
import type { Scenario } from '../scenario/schema.ts';
import type { Draft } from './entries.ts';

/** An older file's history, as entries of a record. */
interface CarriedOver {
  /** Without its plan in use, what it had lost, and the rows of stock made up for what was left of a lost fill. */
  readonly scenario: Scenario;
  /** In order of time; empty where the file keeps no history. */
  readonly entries: readonly Draft[];
}

/** The row of stock that was made up for what was left of a lost fill, e.g. 'M1 2031-02-03T09:15, left'. */
const leftOf = (machine: string, local: string) =>
  new RegExp(`^${escaped(`${machine} ${local}, left`)}( \\(\\d+\\))?$`);
const escaped = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');

/**
 * Reads what an older file says was done (`inUse`, `lost`) as entries: each set-up, fill, swap and test of the plan in use
 * that had begun by its `now`. A lost fill is stopped, or its bags that were not left are discarded; a lost test failed.
 * A fill under way stays under way; what was lost with its machine is not known here and counts as made.
 * @param by who carries it over
 */
export function carriedOver(scenario: Scenario, by: string): CarriedOver {
  const { inUse: _inUse, lost = [], ...rest } = scenario;
  const kept = planInUse(scenario);
  if (kept === null || kept === 'broken') return { scenario, entries: [] };
  const clock = makeClock(scenario.timeZone, scenario.start);
  const now = clock.minuteOf(kept.now);
  const problem = compile({ ...scenario, inUse: undefined, lost: undefined });
  const stock = [...(scenario.stock ?? [])];
  const isLost = (place: 'machine' | 'water', id: string, start: number) =>
    (lost ?? []).some((row) => row[place] === id && row.at === clock.localOf(start));
  const entries: { minute: number; draft: Draft }[] = [];
  const add = (minute: number, draft: Omit<Draft, 'at' | 'by'>) =>
    entries.push({ minute, draft: { ...draft, at: clock.localOf(minute), by } as Draft });
  const filled = (fill: ActivityInUse & { kind: 'fill' }) => {
    const { machine, start, end } = fill;
    add(start, { kind: 'fill', machine } as Draft);
    if (end > now) return;
    const positions = problem.machines.find(({ id }) => id === machine)?.positions ?? 0;
    if (!isLost('machine', machine, start))
      return add(end, { kind: 'off', machine, good: positions } as Draft);
    const left = stock.findIndex((row) => leftOf(machine, clock.localOf(start)).test(row.lot));
    const bags = left < 0 ? 0 : stock.splice(left, 1)[0]!.bags;
    const why = 'lost, by the older file';
    return bags === 0
      ? add(end, { kind: 'stop', machine, why } as Draft)
      : add(end, {
          kind: 'off',
          machine,
          good: bags,
          rejected: [{ reason: why, bags: positions - bags }],
        } as Draft);
  };
  for (const one of kept.activities) {
    if (one.start >= now) continue;
    if (one.kind === 'fill') filled(one as ActivityInUse & { kind: 'fill' });
    if ((one.kind === 'circuit' || one.kind === 'bath') && !isLost('machine', one.machine, one.start))
      add(one.end, {
        kind: one.kind,
        machine: one.machine,
        bath: one.bath,
        began: clock.localOf(one.start),
      } as Draft);
    if (one.kind === 'test' && one.end <= now)
      add(one.end, {
        kind: 'test',
        water: one.water,
        result: isLost('water', one.water, one.start) ? 'fail' : 'pass',
      } as Draft);
  }
  entries.sort((a, b) => a.minute - b.minute);
  return {
    scenario: { ...rest, ...(scenario.stock ? { stock } : {}) },
    entries: entries.map(({ draft }) => draft),
  };
}
