import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { changesBetween, conflictKey, merge, type Side, same } from '../../src/scenario/merge.ts';
import { readScenario } from '../../src/scenario/read.ts';
import { tinyWorld } from '../world.ts';

const bed = (id: string, more: object = {}) => ({ id, weight: 80, dose: 25, bath: '2K', ...more });
const ward = (...patients: object[]) => ({ title: 'Week', patients });

describe('what two people made of one scenario', () => {
  const base = ward(bed('bed-01'), bed('bed-02'), bed('bed-03'));
  const both = (mine: unknown, theirs: unknown) => merge({ base, mine, theirs });
  test('two fields of one patient: both stand', () => {
    const mine = ward(bed('bed-01', { dose: 30 }), bed('bed-02'), bed('bed-03'));
    const theirs = ward(bed('bed-01', { weight: 90 }), bed('bed-02'), bed('bed-03'));
    expect(both(mine, theirs)).toEqual({
      value: ward(bed('bed-01', { dose: 30, weight: 90 }), bed('bed-02'), bed('bed-03')),
      conflicts: [],
    });
  });
  test('one field by both: asked about, with what it was; an answer settles it', () => {
    const mine = ward(bed('bed-01', { dose: 30 }), bed('bed-02'), bed('bed-03'));
    const theirs = ward(bed('bed-01', { dose: 20 }), bed('bed-02'), bed('bed-03'));
    const asked = both(mine, theirs);
    const conflict = { path: ['patients', 'bed-01', 'dose'], base: 25, mine: 30, theirs: 20 };
    expect(asked.conflicts).toEqual([conflict]);
    const answer = (side: Side) =>
      merge({ base, mine, theirs }, { choices: new Map([[conflictKey(conflict), side]]) });
    expect(answer('mine')).toEqual({ value: mine, conflicts: [] });
    expect(answer('theirs')).toEqual({ value: theirs, conflicts: [] });
  });
  test('the same change by both is no conflict', () => {
    const mine = ward(bed('bed-01', { dose: 30 }), bed('bed-02'), bed('bed-03'));
    expect(both(mine, structuredClone(mine))).toEqual({ value: mine, conflicts: [] });
  });
  test('a patient that one changed and the other took away is asked about', () => {
    const mine = ward(bed('bed-01', { dose: 30 }), bed('bed-02'), bed('bed-03'));
    const theirs = ward(bed('bed-02'), bed('bed-03'));
    expect(both(mine, theirs).conflicts).toEqual([
      {
        path: ['patients', 'bed-01'],
        base: bed('bed-01'),
        mine: bed('bed-01', { dose: 30 }),
        theirs: undefined,
      },
    ]);
  });
  test('one takes a patient away, the other adds one: both happen, in place', () => {
    const mine = ward(bed('bed-01'), bed('bed-03'));
    const theirs = ward(bed('bed-01'), bed('bed-02'), bed('bed-09'), bed('bed-03'));
    expect(both(mine, theirs)).toEqual({
      value: ward(bed('bed-01'), bed('bed-09'), bed('bed-03')),
      conflicts: [],
    });
  });
  test('two patients under one new name: what differs is asked about', () => {
    const mine = ward(...base.patients, bed('bed-04', { dose: 30 }));
    const theirs = ward(...base.patients, bed('bed-04', { weight: 60, dose: 20 }));
    expect(both(mine, theirs).conflicts.map(({ path }) => path.at(-1))).toEqual(['dose', 'weight']);
  });
  test('two orders are asked about, one stands', () => {
    const [a, b, c] = base.patients as [object, object, object];
    expect(both(ward(b, a, c), base).value).toEqual(ward(b, a, c));
    expect(both(ward(b, a, c), ward(a, c, b)).conflicts).toMatchObject([{ path: ['patients', 'order'] }]);
  });
  test('later prescriptions are rows by their time', () => {
    const at = (time: string, dose: number) => ({ at: time, dose });
    const one = (...changes: object[]) => ward(bed('bed-01', { changes }));
    const merged = merge({
      base: one(at('2031-02-04T07:00', 20)),
      mine: one(at('2031-02-04T07:00', 22)),
      theirs: one(at('2031-02-04T07:00', 20), at('2031-02-05T07:00', 15)),
    });
    expect(merged).toEqual({
      value: one(at('2031-02-04T07:00', 22), at('2031-02-05T07:00', 15)),
      conflicts: [],
    });
  });
  test('what means something only together is not mixed', () => {
    const stay = (mean: number, sd: number) => ({ forecast: { stayDays: { law: 'normal', mean, sd } } });
    expect(merge({ base: stay(9, 7), mine: stay(8, 7), theirs: stay(9, 6) }).conflicts).toHaveLength(1);
  });
  test('without what both began from, nothing counts as taken away', () => {
    const mine = ward(bed('bed-01'));
    const theirs = ward(bed('bed-02'));
    const { value, conflicts } = merge({ base: undefined, mine, theirs });
    expect(conflicts).toEqual([]);
    expect(value).toEqual(ward(bed('bed-01'), bed('bed-02')));
  });
});

// Small names, so that two people often meet in one field.
const id = fc.constantFrom('a', 'b', 'c', 'd', '__proto__', 'constructor');
const number = fc.integer({ min: 0, max: 3 });
const patient = fc.record(
  {
    id,
    weight: number,
    dose: number,
    changes: fc.uniqueArray(fc.record({ at: id, dose: number }), { selector: ({ at }) => at, maxLength: 3 }),
  },
  { requiredKeys: ['id'] },
);
const patients = fc.uniqueArray(patient, { selector: (one) => one.id, maxLength: 4 });
const world = fc.record(
  { title: fc.constantFrom('x', 'y'), days: number, patients, rounds: fc.array(number, { maxLength: 3 }) },
  { requiredKeys: ['patients'] },
);

/** One act of a person: a field set, a patient taken away, added or moved up. */
const act = fc.record({
  what: fc.constantFrom('weight', 'dose', 'remove', 'add', 'first'),
  id,
  number,
  at: id,
});
type World = { patients: Record<string, unknown>[] };
function acted(
  base: object,
  acts: readonly { what: string; id: string; number: number; at: string }[],
): World {
  const world = structuredClone(base) as World;
  for (const { what, id, number, at } of acts) {
    const index = world.patients.findIndex((one) => one.id === id);
    if (what === 'add' && index < 0)
      world.patients.push({ id, weight: number, changes: [{ at, dose: number }] });
    if (index < 0) continue;
    if (what === 'remove') world.patients.splice(index, 1);
    else if (what === 'first') world.patients.unshift(...world.patients.splice(index, 1));
    else if (what !== 'add') world.patients[index]![what] = number;
  }
  return world;
}
const acts = fc.array(act, { minLength: 1, maxLength: 3 });

test('what another has saved is taken or left field by field', () => {
  const base = ward(bed('bed-01'), bed('bed-02'));
  const theirs = ward(bed('bed-01', { dose: 30, weight: 90 }), bed('bed-03'));
  const every = merge({ base, mine: base, theirs }, { choices: new Map(), each: true });
  expect(every.value).toEqual(theirs);
  expect(every.conflicts.map(({ path }) => path.slice(1).join(' '))).toEqual([
    'bed-01 weight',
    'bed-01 dose',
    'bed-02',
    'bed-03',
  ]);
  const choices = new Map(every.conflicts.slice(1, 3).map((one) => [conflictKey(one), 'mine' as const]));
  expect(merge({ base, mine: base, theirs }, { choices, each: true }).value).toEqual(
    ward(bed('bed-01', { weight: 90 }), bed('bed-02'), bed('bed-03')),
  );
});

describe('any three scenarios', () => {
  test('without a conflict it does not matter who saves first; with one, both are asked the same', () => {
    let clean = 0;
    fc.assert(
      fc.property(world, acts, acts, (base, first, second) => {
        const mine = acted(base, first);
        const theirs = acted(base, second);
        const one = merge({ base, mine, theirs });
        const other = merge({ base, mine: theirs, theirs: mine });
        expect(other.conflicts.map(conflictKey).sort()).toEqual(one.conflicts.map(conflictKey).sort());
        if (one.conflicts.length > 0) return;
        clean += 1;
        expect(JSON.stringify(other.value)).toBe(JSON.stringify(one.value));
      }),
      { numRuns: 3_000 },
    );
    expect(clean).toBeGreaterThan(1_000);
  });
  test('what one alone has changed stands, and nothing else changes', () => {
    fc.assert(
      fc.property(world, world, (base, theirs) => {
        expect(merge({ base, mine: base, theirs })).toEqual({ value: theirs, conflicts: [] });
        expect(merge({ base, mine: theirs, theirs: base })).toEqual({ value: theirs, conflicts: [] });
      }),
    );
  });
  test('with every question answered for one side, each of its fields stands', () => {
    fc.assert(
      fc.property(
        world,
        world,
        world,
        fc.constantFrom<Side>('mine', 'theirs'),
        (base, mine, theirs, side) => {
          const asked = merge({ base, mine, theirs });
          const choices = new Map(asked.conflicts.map((one) => [conflictKey(one), side]));
          const settled = merge({ base, mine, theirs }, { choices });
          expect(settled.conflicts).toEqual([]);
          const value = settled.value as { patients: { id: string }[] };
          for (const { path, [side]: wanted } of asked.conflicts) {
            if (path.length !== 3 || path[0] !== 'patients') continue;
            const row = value.patients.find((one) => one.id === path[1]) as
              | Record<string, unknown>
              | undefined;
            expect(same(row?.[path[2]!], wanted)).toBe(true);
          }
        },
      ),
      { numRuns: 1_000 },
    );
  });
  test('changes are told exactly when there are any', () => {
    fc.assert(
      fc.property(world, world, (a, b) => {
        expect(changesBetween(a, b).length > 0).toBe(!same(a, b));
      }),
    );
  });
});

test('a merged scenario is read like any other', () => {
  const base = tinyWorld();
  const mine = { ...base, title: 'Mine' };
  const theirs = { ...base, days: base.days + 1 };
  const reading = readScenario(JSON.stringify(merge({ base, mine, theirs }).value));
  expect(reading).toMatchObject({ ok: true, scenario: { title: 'Mine', days: base.days + 1 } });
});
