import { describe, expect, test } from 'vitest';
import type { Activity } from '../../../src/plan/plan.ts';
import { withoutTestsDone } from '../../../src/plan/testDone.ts';
import { startAt } from '../../../src/record/from.ts';
import { isAhead, placesNow } from '../../../src/reports/day/places.ts';
import { noted } from '../../record/book.ts';
import { test as chlorine, circuit, fill, swap, tinyWorld } from '../../world.ts';

/** One machine, 8 bags of 6.5 L at 800 mL/min: 65 to 75 min (common practice, no source). */
const placesAt = (now: number, entries: Parameters<typeof startAt>[1], plan = [fill(200), swap(265)]) =>
  placesNow(startAt(tinyWorld(), entries, now), plan);
const passed = noted(0, { kind: 'test', water: 'RO', result: 'pass' });
const setUp = noted(30, { kind: 'circuit', machine: 'M1', bath: '2K' });
const began = noted(50, { kind: 'fill', machine: 'M1' });

describe('a machine as it is', () => {
  test('a fill that began 20 min late has its window from its real begin', () => {
    const [machine] = placesAt(60, [passed, setUp, began]);
    expect(machine).toMatchObject({ id: 'M1', tone: 'now', bath: '2K', window: { from: 115, to: 125 } });
    expect(machine!.says).toBe('Filling since 00:50. Swap from 01:55 to 02:05.');
    expect(machine!.acts[0]).toBe('off');
  });
  test('on water without a test that counts, its own card says that nothing may begin, and why', () => {
    const says = (now: number, entries: Parameters<typeof startAt>[1], scenario = tinyWorld()) =>
      placesNow(startAt(scenario, entries, now), []).map((one) => one.says);
    const { testEvery } = tinyWorld().water[0]!;
    const late = says(testEvery + 1, [passed, setUp]);
    expect(late[0]).toBe('Start nothing here before a test of RO passes: that of 00:00 is too old.');
    const dry = tinyWorld({ water: [{ ...tinyWorld().water[0]!, lastTest: null }] });
    expect(says(40, [setUp], dry)[0]).toBe('Start nothing here before a test of RO passes: none is noted.');
    const duties = [
      { id: 'rinse', place: 'RO', times: ['02:00'], minutes: 20, slackMinutes: 60, voidsTests: true },
    ];
    expect(says(181, [passed, setUp], tinyWorld({ duties }))).toEqual([
      'Start nothing here before a test of RO passes: nobody noted rinse of 02:00.',
      'Was rinse of 02:00 done? Nobody noted it. Test before anything runs.',
    ]);
    expect(says(180, [passed, setUp], tinyWorld({ duties }))[1]).toMatch(/^Passed 00:00/);
  });
  test('on such water a machine without a circuit, or past its end, offers no start of a fill', () => {
    const dry = tinyWorld({ days: 3, water: [{ ...tinyWorld().water[0]!, lastTest: null }] });
    const acts = (now: number, entries: Parameters<typeof startAt>[1]) =>
      placesNow(startAt(dry, entries, now), [])[0]!.acts;
    expect(acts(10, [])).toEqual(['circuit']);
    expect(acts(1439, [setUp])).toContain('fill');
    // In place at 30, begun at 0: 24 h later it ends.
    expect(acts(1440, [setUp])).toEqual(['circuit', 'reading']);
  });
  test('past its longest minute it is overfull, and said before all else', () => {
    const [machine] = placesAt(126, [passed, setUp, began]);
    expect(machine).toMatchObject({ id: 'M1', tone: 'bad' });
    expect(machine!.says).toMatch(/^Overfull since 02:05/);
  });
  test('on water whose test failed a fill is to be stopped, whatever was planned', () => {
    const failed = noted(70, { kind: 'test', water: 'RO', result: 'fail' });
    const [first, second] = placesAt(71, [passed, setUp, began, failed]);
    expect([first!.tone, second!.tone]).toEqual(['bad', 'bad']);
    expect([first!, second!].find(({ id }) => id === 'M1')!.says).toMatch(/^Stop this fill/);
    expect([first!, second!].find(({ id }) => id === 'RO')!.says).toMatch(/FAILED. Nothing may run/);
  });
  test('without a circuit only a new one can be noted', () => {
    const machine = placesAt(10, [passed]).find(({ id }) => id === 'M1');
    expect(machine).toMatchObject({ says: 'No circuit in place.', acts: ['circuit'] });
  });
});

describe('a circuit whose life ends', () => {
  // 24 h from minute 0: it ends at 1440 (common practice, no source). 8 bags take 65 to 75 min.
  const world = { ...tinyWorld(), days: 3 };
  const tested = noted(1380, { kind: 'test', water: 'RO', result: 'pass' });
  const filling = (minute: number) => noted(minute, { kind: 'fill', machine: 'M1' });
  const at = (now: number, ...entries: Parameters<typeof startAt>[1]) => {
    const start = startAt(world, [passed, setUp, tested, ...entries], now);
    return { start, machine: placesNow(start, start.ended).find(({ id }) => id === 'M1')! };
  };
  test('after it nothing is filled before a new one is set up', () => {
    expect(at(1439).machine.says).toBe('Resting. The circuit runs until Tue, Feb 4, 00:00.');
    const { machine } = at(1440);
    expect(machine).toMatchObject({ tone: 'warn', acts: ['circuit', 'reading'] });
    expect(machine.says).toBe(
      'The circuit ended Tue, Feb 4, 00:00. Set up a new one before anything is filled.',
    );
  });
  test('during a fill, before its bags are full: it is said, they are not counted on and go on hold', () => {
    const { start, machine } = at(1410, filling(1376));
    expect(machine.tone).toBe('bad');
    expect(machine.says).toBe(
      'Filling since 22:56. The circuit ends Tue, Feb 4, 00:00, before the bags are full. They go on hold.',
    );
    expect(start.stopped).toEqual(['M1']);
    const off = at(1445, filling(1376), noted(1441, { kind: 'off', machine: 'M1', good: 8 }));
    expect(off.start.state.lots.find(({ fill: made }) => made)).toMatchObject({
      good: 0,
      held: 8,
      holds: [{ cause: 'circuit over' }],
    });
  });
  test('as its last fill ends changes nothing', () => {
    const { start, machine } = at(1410, filling(1375));
    expect(machine.says).toBe('Filling since 22:55. Swap at 00:00.');
    expect(start.stopped).toEqual([]);
    // Also while no plan is there.
    expect(placesNow(start, []).find(({ id }) => id === 'M1')!.window).toEqual({ from: 1440, to: 1440 });
    const off = at(1445, filling(1375), noted(1440, { kind: 'off', machine: 'M1', good: 8 }));
    expect(off.start.state.lots.find(({ fill: made }) => made)).toMatchObject({ good: 8, held: 0 });
  });
});

describe('a water source as it is', () => {
  const waterAt = (now: number, entries: Parameters<typeof startAt>[1]) =>
    placesAt(now, entries, []).find(({ id }) => id === 'RO');
  test('a passed test holds for as long as the site says, 240 min here', () => {
    expect(waterAt(240, [passed])).toMatchObject({
      tone: 'good',
      says: 'Passed 00:00. It holds until 04:00.',
    });
    expect(waterAt(241, [passed])).toMatchObject({ tone: 'bad' });
  });
});

describe('a test that passed shortly before the planned one', () => {
  const passedAt = (minute: number, plan: Activity[], of = {}) => {
    const start = startAt(
      tinyWorld(of),
      [noted(minute, { kind: 'test', water: 'RO', result: 'pass' })],
      minute,
    );
    return { start, water: placesNow(start, plan).find(({ id }) => id === 'RO')! };
  };
  const early = chlorine(4);
  test('is that one, where nothing would run untested: it is not asked for again', () => {
    // 240 min from minute 0 on: all that runs before the next test ends by 240.
    const plan = [early, circuit(20), fill(60), fill(175), chlorine(242), fill(260)];
    const { start, water } = passedAt(0, plan);
    expect(withoutTestsDone(start.problem, plan)).toEqual(plan.slice(1));
    expect(water.says).toBe(
      'Passed 00:00. It holds until 04:00. Nothing runs on RO from 04:00 until it is tested.',
    );
    // The next one must end in time for what runs after it; not four minutes later, as behind the planned one.
    expect(water.next).toMatchObject({ activity: plan[4], noLater: 250 });
  });
  test('is not that one, where a machine would run untested: it stays asked for, with the reason', () => {
    const plan = [early, circuit(20), fill(60), fill(178), chlorine(260)];
    const { start, water } = passedAt(0, plan);
    expect(withoutTestsDone(start.problem, plan)).toBe(plan);
    expect(water.next?.activity).toBe(early);
    expect(water.says).toBe(
      'Passed 00:00. It holds until 04:00. The plan tests again at 00:04: M1 would run untested without it.',
    );
  });
  test('is not that one, where bags wait for a test after their fill', () => {
    const rules = { releaseAfterTest: true };
    const plan = [circuit(20), fill(60), chlorine(126)];
    const { start, water } = passedAt(100, plan, { rules });
    expect(withoutTestsDone(start.problem, plan)).toBe(plan);
    expect(water.says).toMatch(/The plan tests again at 02:06: bags wait for it\.$/);
  });
  test('a next test later than the last one holds is explained, where nothing runs in between', () => {
    const rest = [circuit(20), fill(60), chlorine(300), fill(320)];
    expect(passedAt(0, rest).water).toMatchObject({
      says: 'Passed 00:00. It holds until 04:00. Nothing runs on RO from 04:00 until it is tested.',
      next: { activity: rest[2], noLater: 310 },
    });
    const runs = [circuit(20), fill(230), chlorine(300)];
    expect(passedAt(0, runs).water.says).toBe('Passed 00:00. It holds until 04:00.');
  });
  test('hours before is another one', () => {
    const plan = [chlorine(100)];
    const { start } = passedAt(0, plan);
    expect(withoutTestsDone(start.problem, plan)).toBe(plan);
  });
});

test('what is under way is not still to begin, also in the minute in which it began', () => {
  const { state } = startAt(tinyWorld(), [passed, setUp, began], 50);
  expect(isAhead(state, fill(50))).toBe(false);
  expect(isAhead(state, swap(115))).toBe(true);
  expect(isAhead(state, fill(49))).toBe(false);
});
