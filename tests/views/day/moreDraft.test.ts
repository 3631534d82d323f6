import { expect, test } from 'vitest';
import { startAt } from '../../../src/record/from.ts';
import { BLANK, draftOf } from '../../../src/views/day/moreDraft.ts';
import { noted } from '../../record/book.ts';
import { at, tinyWorld } from '../../world.ts';

const duties = [
  { id: 'rinse', place: 'RO', times: ['03:00'], minutes: 60, slackMinutes: 60, voidsTests: true },
];

test('a duty noted late is noted at the minute at which it was done: a test that passed after it goes on to count', () => {
  const world = tinyWorld({ duties });
  const passed = noted(260, { kind: 'test', water: 'RO', result: 'pass' });
  const draft = draftOf(
    { ...BLANK, kind: 'duty', place: 'rinse', ago: 80 },
    startAt(world, [passed], 320),
    'AB',
  )!;
  expect(draft).toMatchObject({ kind: 'duty', duty: 'rinse', at: at(240) });
  const { water } = startAt(
    world,
    [passed, noted(240, { ...draft, kind: 'duty' }, { told: 320 })],
    320,
  ).state;
  expect(water[0]).toMatchObject({ last: 'pass', lastEnd: 260, unsure: null });
});

test('what became unavailable some time ago is noted from then on; the hours until it is back count from now', () => {
  const start = startAt(tinyWorld(), [], 320);
  const more = { ...BLANK, kind: 'out', place: 'M1', ago: 20, hours: 2 } as const;
  expect(draftOf(more, start, 'AB')).toMatchObject({ machine: 'M1', at: at(300), until: at(440) });
  expect(draftOf({ ...more, place: 'RO', hours: 0 }, start, 'AB')).toEqual({
    kind: 'out',
    by: 'AB',
    at: at(300),
    water: 'RO',
  });
});
