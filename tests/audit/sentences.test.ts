import { describe, expect, it } from 'vitest';
import { audit, RULES } from '../../src/audit/audit.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { DUTIES } from './cases-duties.ts';
import { FLOOR } from './cases-floor.ts';
import { MACHINES } from './cases-machines.ts';
import { RESOURCES } from './cases-resources.ts';
import { TIMES } from './cases-times.ts';

const CASES = [...TIMES, ...MACHINES, ...RESOURCES, ...FLOOR, ...DUTIES];

// What a person reads of a broken plan, each sentence read against its case by hand; no outside source. Rule, case, its
// sentences, then the places they name, in turn and each once, and the unit of their amounts.
const SENTENCES: readonly (readonly [string, string, readonly string[], string, string])[] = [
  [
    'whole-minutes-start-before-end',
    'backwards',
    [
      'Activity 1, new circuit for 2K on M1, starts at minute 3 and ends at minute 2: both must be whole minutes, the start before the end.',
    ],
    'M1',
    'activity',
  ],
  [
    'within-horizon',
    'one minute late',
    [
      "The new circuit for 2K on M1, 2031-02-03 23:31 to 2031-02-04 00:01, lies 1 minute outside the plan's time, 2031-02-03 00:00 to 2031-02-04 00:00.",
    ],
    'M1',
    'min',
  ],
  [
    'within-horizon',
    'three minutes early',
    [
      "The total chlorine test of RO, 2031-02-02 23:57 to 2031-02-03 00:07, lies 3 minutes outside the plan's time, 2031-02-03 00:00 to 2031-02-04 00:00.",
    ],
    'RO',
    'min',
  ],
  [
    'within-horizon',
    'far away',
    [
      "The new circuit for 2K on M1, minute 9000000000 to minute 9000000030, lies 30 minutes outside the plan's time, 2031-02-03 00:00 to 2031-02-04 00:00.",
    ],
    'M1',
    'min',
  ],
  [
    'within-window',
    'starts four minutes before',
    [
      'The new circuit for 2K on M1, 2031-02-03 00:10 to 2031-02-03 00:40, lies 4 minutes outside any one time that M1 is available.',
    ],
    'M1',
    'min',
  ],
  [
    'machine-no-overlap',
    'one minute',
    [
      'M1 would do two things at once from 2031-02-03 00:29 to 2031-02-03 00:30: new circuit for 2K on M1 and fill of 2K on M1.',
    ],
    'M1',
    'min',
  ],
  [
    'machine-no-overlap',
    'a minute into a circuit',
    [
      'M1 would do two things at once from 2031-02-03 01:00 to 2031-02-03 01:01: new circuit for 2K on M1 and D on M1.',
    ],
    'M1',
    'min',
  ],
  [
    'right-length',
    'bath change is stabilise and sample',
    [
      'The bath change to 4K on M1, 2031-02-03 00:30 to 2031-02-03 00:35, takes 5 minutes instead of 10.',
      'The bag swap on M1, 2031-02-03 00:40 to 2031-02-03 00:50, takes 10 minutes instead of 8.',
    ],
    'M1',
    'min',
  ],
  [
    'right-length',
    'a minute less',
    ['The D, 2031-02-03 01:00 to 2031-02-03 01:29, takes 29 minutes instead of 30.'],
    '',
    'min',
  ],
  [
    'fill-window',
    'a minute short, two long',
    [
      'The fill of 2K on M1, 2031-02-03 00:00 to 2031-02-03 01:04, takes 64 minutes, 1 too few to fill 8 bags (65 to 75 minutes).',
      'The fill of 2K on M1, 2031-02-03 01:40 to 2031-02-03 02:57, takes 77 minutes, 2 too many, overfilling 8 bags (65 to 75 minutes).',
    ],
    'M1',
    'min',
  ],
  [
    'known-kind',
    'no activity at all',
    [
      'Activity 1 is of no known kind: it must be circuit, bath, fill, swap, test or duty.',
      'Activity 2 is of no known kind: it must be circuit, bath, fill, swap, test or duty.',
    ],
    '',
    'activity',
  ],
  [
    'known-place',
    'no such machine, no such source',
    [
      'The new circuit for 2K on M9 at 2031-02-03 00:00 names a machine that the scenario does not have.',
      'The total chlorine test of RO-9 at 2031-02-03 00:30 names a water source that the scenario does not have.',
    ],
    'M9, RO-9',
    'activity',
  ],
  [
    'known-bath',
    'no such bath',
    [
      'The new circuit for 9K on M1 at 2031-02-03 00:00 names a bath that the scenario does not have.',
      'The fill of 2K  on M1 at 2031-02-03 00:30 names a bath that the scenario does not have.',
    ],
    'M1',
    'activity',
  ],
  [
    'bath-allowed',
    'not in the list, by any kind of activity',
    [
      'The new circuit for 2K on M1 at 2031-02-03 00:00 runs a bath that M1 may not run (its baths: 4K).',
      'The fill of 2K on M1 at 2031-02-03 00:30 runs a bath that M1 may not run (its baths: 4K).',
      'The bath change to 2K on M1 at 2031-02-03 01:50 runs a bath that M1 may not run (its baths: 4K).',
    ],
    'M1',
    'activity',
  ],
  [
    'circuit-in-place',
    'none',
    [
      'The fill of 2K on M1 at 2031-02-03 00:00 finds no circuit in place.',
      'The bath change to 4K on M1 at 2031-02-03 01:20 finds no circuit in place.',
    ],
    'M1',
    'activity',
  ],
  [
    'bath-loaded',
    'until the change, not after',
    [
      'The fill of 2K on M1 at 2031-02-03 01:53 finds 4K running: a bath change or a new circuit of 2K must come before it.',
    ],
    'M1',
    'activity',
  ],
  [
    'circuit-life',
    'the swap ends a minute after',
    [
      'The bag swap on M1 ends at 2031-02-03 01:13, 1 minute after the life of its circuit, in place since 2031-02-02 01:12, has run out.',
    ],
    'M1',
    'min',
  ],
  [
    'fill-has-swap',
    'a minute late',
    ['The fill of 2K on M1 ends at 2031-02-03 01:35 and has no swap starting then; it needs one.'],
    'M1',
    'swap',
  ],
  [
    'fill-has-swap',
    'two',
    ['The fill of 2K on M1 ends at 2031-02-03 01:35 and has 2 swaps starting then; it needs one.'],
    'M1',
    'swap',
  ],
  [
    'swap-has-fill',
    'no fill',
    ['The bag swap on M1 at 2031-02-03 01:35 follows no fill ending then; it needs one.'],
    'M1',
    'fill',
  ],
  [
    'technicians-enough',
    'three where one is there',
    [
      'From 2031-02-03 00:10 to 2031-02-03 00:40 hands are missing: at 2031-02-03 00:20 2 technicians too few, 3 at work (new circuit for 2K on M1; new circuit for 2K on M2; new circuit for 2K on M3) with 1 on shift.',
    ],
    'M1, M2, M3',
    'technician',
  ],
  [
    'technicians-enough',
    'two for a bath change where one is there',
    [
      'From 2031-02-03 00:50 to 2031-02-03 01:00 hands are missing: at 2031-02-03 00:50 1 technician too few, 2 at work (bath change to 2K on M1, 2 technicians) with 1 on shift.',
    ],
    'M1',
    'technician',
  ],
  [
    'technicians-enough',
    'the walk to it counts',
    [
      'From 2031-02-03 00:29 to 2031-02-03 00:30 hands are missing: at 2031-02-03 00:29 1 technician too few, 2 at work (new circuit for 2K on M1; new circuit for 2K on M2, on the way) with 1 on shift.',
    ],
    'M1, M2',
    'technician',
  ],
  [
    'fill-start-staffed',
    'as the shift ends',
    ['The fill of 2K on M1 at 2031-02-03 02:00 starts when no technician is on shift.'],
    'M1',
    'technician',
  ],
  [
    'water-capacity',
    'over by a hundredth',
    [
      'From 2031-02-03 00:00 to 2031-02-03 01:05 up to 0.01 mL/min more are drawn from RO than the 0.29 mL/min that it gives.',
    ],
    'RO',
    'mL/min',
  ],
  [
    'water-capacity',
    'less from a minute on',
    [
      'From 2031-02-03 01:00 to 2031-02-03 01:01 up to 100 mL/min more are drawn from RO than the 700 mL/min that it gives.',
    ],
    'RO',
    'mL/min',
  ],
  [
    'water-tested',
    'a gap in the middle',
    [
      'The fill of 2K on M1 runs untested water of RO from 2031-02-03 00:21 to 2031-02-03 00:40: the last test ended at 2031-02-03 00:00 and serves 20 minutes.',
      'The fill of 2K on M1 runs untested water of RO from 2031-02-03 01:01 to 2031-02-03 01:05: the last test ended at 2031-02-03 00:40 and serves 20 minutes.',
    ],
    'RO',
    'min',
  ],
  [
    'water-tested',
    'never tested',
    [
      'The new circuit for 2K on M1 runs untested water of RO from 2031-02-03 00:00 to 2031-02-03 00:30: no test has ended before.',
    ],
    'RO',
    'min',
  ],
  [
    'water-tested',
    'the tests before it are void',
    [
      'The new circuit for 2K on M1 runs untested water of RO from 2031-02-03 01:30 to 2031-02-03 01:45: the last test ended at 2031-02-03 00:00 and is void since a duty there.',
    ],
    'RO',
    'min',
  ],
  [
    'supplies-enough',
    'a minute later is too late',
    [
      'bag set: up to 1 more used than was on hand and delivered, from 2031-02-03 00:40 (fill of 2K on M1) to 2031-02-03 00:41.',
    ],
    'bag set',
    'bag set',
  ],
  [
    'supplies-enough',
    'one minute more',
    [
      'acid: up to 0.017776 more used than was on hand and delivered, from 2031-02-03 00:40 (fill of 2K on M1) to 2031-02-04 00:00.',
    ],
    'acid',
    'acid',
  ],
  [
    'begins-from-now',
    'a minute before',
    ['The new circuit for 2K on M1 at 2031-02-03 01:39 begins 1 minute before 2031-02-03 01:40.'],
    'M1',
    'min',
  ],
  [
    'duty-known',
    'no other than those of the scenario',
    ['The X at 2031-02-03 01:00 is of no duty that the scenario has.'],
    '',
    'activity',
  ],
  [
    'duty-known',
    'due at that minute',
    ['The D at 2031-02-03 01:01 is for 2031-02-03 01:01, when the duty is not due.'],
    '',
    'activity',
  ],
  [
    'duty-known',
    'at another machine',
    ["The D on M2 at 2031-02-03 01:00 names a place that is not the duty's."],
    'M2',
    'activity',
  ],
  [
    'duty-done-once',
    'twice for one time, not for the other',
    [
      'D, due at 2031-02-03 01:00, is in the plan 2 times; it has to be done once.',
      'D, due at 2031-02-03 02:00, is not in the plan; it has to be done once.',
    ],
    '',
    'duty',
  ],
  [
    'duty-done-once',
    'what is not yet begun could have waited',
    ['D, due at 2031-02-03 01:00, is not in the plan; it has to be done once.'],
    'M1',
    'duty',
  ],
  [
    'duty-in-time',
    'a minute early',
    ['The D at 2031-02-03 00:59 begins 1 minute before 2031-02-03 01:00.'],
    '',
    'min',
  ],
  [
    'duty-in-time',
    'a minute after its slack',
    ['The D at 2031-02-03 01:21 begins 1 minute after 2031-02-03 01:20.'],
    '',
    'min',
  ],
  [
    'duty-water-free',
    'a test',
    [
      'While D on RO is done, 2031-02-03 01:00 to 2031-02-03 01:30, its water is not free: total chlorine test of RO, 2031-02-03 01:25 to 2031-02-03 01:35.',
    ],
    'RO',
    'min',
  ],
  [
    'duty-water-free',
    "a machine's duty that draws",
    [
      'While D on RO is done, 2031-02-03 01:00 to 2031-02-03 01:30, its water is not free: E on M2, 2031-02-03 01:05 to 2031-02-03 01:35.',
    ],
    'RO',
    'min',
  ],
  [
    'technicians-enough',
    'one that has ended, two at once, one later',
    [
      'From 2031-02-03 00:30 to 2031-02-03 00:40 hands are missing: at 2031-02-03 00:30 1 technician too few, 2 at work (total chlorine test of RO; new circuit for 2K on M2) with 1 on shift.',
    ],
    'RO, M2',
    'technician',
  ],
  [
    'swap-has-fill',
    'two fills at once',
    ['The bag swap on M1 at 2031-02-03 01:35 follows 2 fills ending then; it needs one.'],
    'M1',
    'fill',
  ],
  [
    'supplies-enough',
    'two that begin together',
    [
      'circuit: up to 1 more used than was on hand and delivered, from 2031-02-03 00:10 (new circuit for 2K on M2) to 2031-02-04 00:00.',
    ],
    'circuit',
    'circuit',
  ],
  [
    'machine-no-overlap',
    'three at once, two of which end together',
    [
      'M1 would do two things at once from 2031-02-03 00:10 to 2031-02-03 01:05: fill of 2K on M1 and fill of 4K on M1.',
      'M1 would do two things at once from 2031-02-03 00:20 to 2031-02-03 00:50: fill of 2K on M1 and new circuit for 2K on M1.',
    ],
    'M1',
    'min',
  ],
  [
    'technicians-enough',
    'a break counts, and its walk',
    [
      'From 2031-02-03 00:58 to 2031-02-03 00:59 hands are missing: at 2031-02-03 00:58 1 technician too few, 2 at work (new circuit for 2K on M1; break, on the way) with 1 on shift.',
    ],
    'M1',
    'technician',
  ],
];

describe('the sentences of the plan check', () => {
  it.each(SENTENCES)('%s: %s', (rule, name, sentences, places, unit) => {
    const { world, plan, now } = CASES.find((one) => one.rule === rule && one.name === name)!;
    const problem = { ...compile(world), now: now?.at ?? 0 };
    const { violations } = audit(problem, plan, { underWay: now?.underWay ?? [] });
    const found = violations.filter((one) => one.rule === rule);
    expect(found.map(({ message }) => message)).toEqual(sentences);
    expect([...new Set(found.map(({ place }) => place))].join(', ')).toBe(places);
    expect([...new Set(found.map((one) => one.unit))]).toEqual([unit]);
  });
  it.each(RULES)('$id is told in a sentence, with what it counts', ({ id, says, counts }) => {
    expect(SENTENCES.map(([rule]) => rule)).toContain(id);
    expect(says).toMatch(/^[A-Z][\w ,;:'-]+\.$/);
    expect(counts).toMatch(/^[a-z]/);
  });
});
