import { describe, expect, it } from 'vitest';
import { compile } from '../../src/scenario/problem/compile.ts';
import { fillWindow } from '../../src/scenario/problem/machines.ts';
import { capacityAt } from '../../src/scenario/problem/water.ts';
import type { DutyRow, Scenario } from '../../src/scenario/schema.ts';
import { at, tinyWorld } from '../world.ts';

// Expected values: the worked examples of M13, and elsewhere counted by hand. No outside source.

describe('a fill window with a flow that may be off', () => {
  const windowOf = (flowTolerance?: number) =>
    fillWindow({ flow: 800, positions: 8, flowTolerance }, { least: 6.5, most: 7.5 });

  it('is 65 to 75 min without', () => {
    expect(windowOf()).toEqual({ shortest: 65, longest: 75 });
    expect(windowOf(0)).toEqual({ shortest: 65, longest: 75 });
  });
  it('is 69 to 71 min with 5 %', () => {
    expect(windowOf(0.05)).toEqual({ shortest: 69, longest: 71 });
  });
  it('is empty with 8 %', () => {
    const { shortest, longest } = windowOf(0.08);
    expect(shortest).toBeGreaterThan(longest);
  });
});

it('bags that go to tests do not count', () => {
  const { machines } = compile(tinyWorld({ rules: { sampleBags: 1 } }));
  expect(machines[0]).toMatchObject({ positions: 8, usable: 7 });
});

describe('what a source gives', () => {
  const source = (...capacityChanges: { at: string; capacity: number }[]) =>
    compile(
      tinyWorld({ water: [{ id: 'RO', capacity: 1600, testEvery: 240, testMinutes: 10, capacityChanges }] }),
    ).water[0]!;

  it('is as typed where nothing changes', () => {
    expect(source().capacities).toEqual([{ from: 0, capacity: 1600 }]);
  });
  it('changes at its minute, in order of time whatever the order of the list', () => {
    const water = source({ at: at(600), capacity: 0 }, { at: at(300), capacity: 800 });
    expect([0, 299, 300, 599, 600, 1439].map((minute) => capacityAt(water, minute))).toEqual([
      1600, 1600, 800, 800, 0, 0,
    ]);
    expect(water.capacity).toBe(1600);
  });
  it('is the last one of the list at equal times, and the latest of those before the start', () => {
    expect(source({ at: at(60), capacity: 1 }, { at: at(60), capacity: 2 }).capacities.at(-1)!.capacity).toBe(
      2,
    );
    expect(source({ at: at(-60), capacity: 5 }, { at: at(-120), capacity: 6 }).capacities).toEqual([
      { from: 0, capacity: 5 },
    ]);
  });
});

describe('when a duty is due', () => {
  const due = (duty: Partial<DutyRow>, changes: Partial<Scenario> = {}) =>
    compile(tinyWorld({ ...changes, duties: [{ id: 'D', times: ['04:00'], minutes: 45, ...duty }] }))
      .duties[0]!.at;

  it('is at each of its times on each day, in order, each once', () => {
    expect(due({ times: ['16:00', '04:00', '04:00'] }, { days: 2 })).toEqual([240, 960, 1680, 2400]);
  });
  it('is only on its dates; an empty list is never', () => {
    expect(due({ dates: ['2031-02-04', '2031-02-09'] }, { days: 2 })).toEqual([1680]);
    expect(due({ dates: [] })).toEqual([]);
  });
  it('is not before the start', () => {
    expect(due({}, { start: at(241) })).toEqual([1440 + 240 - 241].filter((t) => t + 45 <= 1440));
  });
  it('is not where it could end after the horizon: by a minute', () => {
    expect(due({ times: ['23:00'], minutes: 30, slackMinutes: 30 })).toEqual([1380]);
    expect(due({ times: ['23:00'], minutes: 30, slackMinutes: 31 })).toEqual([]);
  });
  it('is at a machine, at water, or nowhere', () => {
    const placeOf = (place?: string) =>
      compile(tinyWorld({ duties: [{ id: 'D', times: ['04:00'], minutes: 5, place }] })).duties[0]!.place;
    expect([placeOf('M1'), placeOf('RO'), placeOf()]).toEqual([
      { kind: 'machine', index: 0 },
      { kind: 'water', index: 0 },
      null,
    ]);
  });
});

describe('when therapy runs', () => {
  const sessions = (hours: number, changes: Partial<Scenario> = {}) =>
    compile(
      tinyWorld({
        patients: [{ id: 'bed', weight: 80, dose: 25, bath: '2K', session: { start: '22:00', hours } }],
        ...changes,
      }),
    ).patients[0]!.sessions;

  it('is all the time without sessions', () => {
    expect(
      compile(tinyWorld({ patients: [{ id: 'bed', weight: 80, dose: 25, bath: '2K' }] })).patients[0],
    ).toMatchObject({ sessions: null, ward: null });
  });
  it('is from the time of day on, also from the day before the start', () => {
    expect(sessions(10)).toEqual([
      { from: -120, to: 480 },
      { from: 1320, to: 1920 },
    ]);
  });
  it('ends where the next one begins: the day of 23 hours', () => {
    // 2031-03-09 has 23 hours in Chicago: 22:00 to 22:00 are 1380 minutes.
    const found = sessions(24, { timeZone: 'America/Chicago', start: '2031-03-08T22:00', days: 1 });
    expect(found).toEqual([
      { from: 0, to: 1380 },
      { from: 1380, to: 2820 },
    ]);
  });
});
