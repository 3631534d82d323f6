import type { Activity } from '../../src/plan/plan.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, chanceOf, drawn } from './worlds.ts';

const sum = (list: readonly number[]) => list.reduce((a, b) => a + b, 0);

/** A drawn unit with fields of the floor, each by chance; no walking. */
export function drawnFloor(seed: number): Scenario {
  const chance = chanceOf(seed + 7000);
  const upTo = (n: number) => Math.floor(chance() * n);
  const some = chance() < 0.5;
  const world = drawn(seed, {
    days: 1 + (seed % 2),
    machines: 1 + (seed % 3),
    patients: 2 + ((seed * 7) % 9),
    baths: 1 + (seed % 2),
  });
  const time = () => `${String(upTo(24)).padStart(2, '0')}:${chance() < 0.5 ? '00' : '40'}`;
  const places = ['M1', 'W1', undefined];
  const duties = Array.from({ length: upTo(4) }, (_, n) => {
    const place = places[upTo(3)];
    return {
      id: `duty ${n}`,
      ...(place ? { place } : {}),
      times: [time(), ...(chance() < 0.3 ? [time()] : [])],
      minutes: 20 + upTo(60),
      slackMinutes: chance() < 0.5 ? 0 : upTo(60),
      technicians: upTo(3),
      ...(place && chance() < 0.4 ? { flow: 200 + upTo(400) } : {}),
    };
  });
  return {
    ...world,
    machines: world.machines.map((machine) => ({ ...machine, ...(some ? { flowTolerance: 0.03 } : {}) })),
    water: world.water.map((row) => ({
      ...row,
      ...(chance() < 0.4
        ? { capacityChanges: [{ at: at(upTo(1440)), capacity: [0, 800, 1600, 2400][upTo(4)]! }] }
        : {}),
    })),
    shifts: [
      { id: 'day', from: '07:00', to: '19:00', technicians: 3 + upTo(6) },
      { id: 'night', from: '19:00', to: '07:00', technicians: chance() < 0.5 ? 0 : 2 + upTo(5) },
    ],
    rules: {
      ...world.rules,
      ...(chance() < 0.5 ? { fillStartMinutes: upTo(6) } : {}),
      ...(chance() < 0.5 ? { hands: { circuit: upTo(3), bath: upTo(3), swap: upTo(3), test: upTo(3) } } : {}),
      ...(chance() < 0.5 ? { sampleBags: upTo(4) } : {}),
      ...(chance() < 0.4 ? { releaseAfterTest: true } : {}),
      ...(chance() < 0.4 ? { minStock: { B1: 1 + upTo(8) } } : {}),
    },
    duties,
  };
}

/**
 * An ordinary problem whose every plan, with each duty at its first minute, is one of the floor: fewer hands, machines and
 * water than the duties leave, as many for each work as the most that any takes, and one more for each fill that may begin.
 */
export function stricter(problem: Problem): Problem {
  const { rules, machines, duties, horizon } = problem;
  const each = Math.max(1, ...Object.values(rules.hands));
  const beside = rules.fillStartMinutes > 0 ? machines.length : 0;
  const staff = Int16Array.from(problem.staff);
  const closed = machines.map(() => new Uint8Array(horizon));
  for (const { place, at: times, minutes, technicians } of duties)
    for (const from of times)
      for (let t = from; t < from + minutes; t++) {
        staff[t]! -= technicians;
        machines.forEach(({ water }, m) => {
          if (place?.index !== (place?.kind === 'machine' ? m : water)) return;
          closed[m]![t] = 1;
          if (place?.kind === 'water') staff[t] = 0;
        });
      }
  return {
    ...problem,
    duties: [],
    minStock: problem.minStock.map(() => 0),
    staff: staff.map((there) => Math.max(0, Math.floor((there - beside) / each))),
    rules: {
      ...rules,
      hands: { circuit: 1, bath: 1, swap: 1, test: 1 },
      fillStartMinutes: 0,
      releaseAfterTest: false,
    },
    water: problem.water.map((row, source) => {
      const drawn = sum(
        duties.map(({ place, flow }) =>
          place?.kind === 'machine' && machines[place.index]!.water === source ? flow : 0,
        ),
      );
      const capacity = Math.max(0, Math.min(...row.capacities.map((one) => one.capacity)) - drawn);
      return { ...row, capacity, capacities: [{ from: 0, capacity }] };
    }),
    machines: machines.map((machine, m) => ({
      ...machine,
      positions: machine.usable,
      windows: machine.windows.flatMap((window) => {
        const parts: { from: number; to: number }[] = [];
        for (let t = window.from; t < window.to; t++) {
          if (closed[m]![t] === 1) continue;
          const last = parts.at(-1);
          if (last && last.to === t) last.to = t + 1;
          else parts.push({ from: t, to: t + 1 });
        }
        return parts;
      }),
    })),
  };
}

/** Each duty of a floor at its first minute: what a plan of the stricter problem lacks. */
export const dutiesAtOnce = ({ duties, machines, water }: Problem): Activity[] =>
  duties.flatMap(({ id, place, at: times, minutes }) =>
    times.map(
      (start): Activity => ({
        kind: 'duty',
        duty: id,
        at: start,
        ...(place?.kind === 'machine' ? { machine: machines[place.index]!.id } : {}),
        ...(place?.kind === 'water' ? { water: water[place.index]!.id } : {}),
        start,
        end: start + minutes,
      }),
    ),
  );
