import { describe, expect, test } from 'vitest';
import { inOrder } from '../../src/plan/plan.ts';
import { compile } from '../../src/scenario/problem.ts';
import { runSheet, shiftAt } from '../../src/sheets/runSheet.ts';
import { isTicked, shiftWork, stateOf, workName } from '../../src/sheets/shiftBoard.ts';
import { batch, circuit, tinyWorld, test as waterTest } from '../world.ts';

describe('work of a shift on screen', () => {
  const problem = compile(
    tinyWorld({
      machines: [
        { id: 'M1', flow: 800, positions: 8, water: 'RO' },
        { id: 'M2', flow: 800, positions: 8, water: 'RO' },
      ],
      shifts: [
        { id: 'early', from: '00:00', to: '08:00', technicians: 2 },
        { id: 'late', from: '08:00', to: '00:00', technicians: 2 },
      ],
    }),
  );
  const plan = inOrder([
    circuit(0),
    circuit(0, '4K', 'M2'),
    ...batch(30),
    ...batch(40, '4K', 'M2'),
    waterTest(150),
    // Ends at 515, in the late shift.
    ...batch(450),
  ]);
  const works = (minute: number) => shiftWork(problem, plan, shiftAt(problem, minute)!);
  const told = (minute: number) =>
    works(minute).map(({ activity, place, bath, window }) => [
      activity.start,
      activity.kind,
      place,
      bath,
      window?.from ?? null,
      window?.to ?? null,
    ]);

  test('starts of fills stand on the list with the window of their swap, each in its own shift', () => {
    expect(told(0)).toEqual([
      [0, 'circuit', 'M1', '2K', null, null],
      [0, 'circuit', 'M2', '4K', null, null],
      [30, 'fill', 'M1', '2K', 95, 105],
      [40, 'fill', 'M2', '4K', 105, 115],
      [95, 'swap', 'M1', '2K', 95, 105],
      [105, 'swap', 'M2', '4K', 105, 115],
      [150, 'test', 'RO', '', null, null],
      [450, 'fill', 'M1', '2K', 515, 525],
    ]);
    expect(told(480)).toEqual([[515, 'swap', 'M1', '2K', 515, 525]]);
  });

  test('every line of the run sheet is told, and nothing else', () => {
    for (const shift of problem.shifts) {
      const rows = runSheet(problem, plan, shift).places.flatMap((place) => place.rows);
      const wanted = rows.flatMap((row) => [
        ...(row.carriedOver ? [] : [row.start]),
        ...(row.swap && !row.handedOn ? [row.swap.start] : []),
      ]);
      const listed = shiftWork(problem, plan, shift).map(({ activity }) => activity.start);
      expect(listed).toEqual(wanted.sort((a, b) => a - b));
    }
  });

  test('the start of a fill takes no technician, and no minutes', () => {
    const list = works(0);
    expect(list.map(({ technician }) => technician)).toEqual([1, 2, null, null, 1, 2, 1, null]);
    const minutes = list
      .filter(({ technician }) => technician !== null)
      .reduce((sum, { activity }) => sum + activity.end - activity.start, 0);
    expect(minutes).toBe(runSheet(problem, plan, shiftAt(problem, 0)!).handsOnMinutes);
  });

  test('a fill that nobody ticks is late once: its start up to the end of the window, then its swap', () => {
    const [start, swapped] = works(0).filter(({ place, window }) => place === 'M1' && window?.to === 105);
    const states = (now: number) => [stateOf(start!, now, false), stateOf(swapped!, now, false)];
    expect(states(29)).toEqual(['ahead', 'ahead']);
    // Begun at 40 its bags are full at 105, the last minute of the window.
    expect(states(40)).toEqual(['now', 'ahead']);
    expect(states(41)).toEqual(['late', 'ahead']);
    expect(states(105)).toEqual(['late', 'now']);
    expect(states(106)).toEqual(['over', 'late']);
    expect(stateOf(start!, 41, true)).toBe('done');
    expect([start!, swapped!].map((work) => isTicked(work, new Set([workName(swapped!)])))).toEqual([
      true,
      true,
    ]);
    expect([start!, swapped!].map((work) => isTicked(work, new Set([workName(start!)])))).toEqual([
      true,
      false,
    ]);
  });
});
