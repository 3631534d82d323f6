import { describe, expect, it } from 'vitest';
import { bagAt, bagsByDay, demandOf, roundFinder } from '../../src/demand/demand.ts';
import { toNumber } from '../../src/exact/fraction.ts';
import type { Patient, Scenario } from '../../src/scenario/schema.ts';
import { at, hung, problemOf } from './patient.ts';

const H = 60;
const DAYS1 = { days: 1 };

describe('when a bag is hung', () => {
  it('at the start, and each time one has run through', () => {
    expect(hung({}, DAYS1)).toEqual(['2K 0', '2K 390', '2K 780', '2K 1170']);
  });
  it('in the whole minute that contains its exact time', () => {
    // 1.3 L/h: a bag lasts 300 min; 1.7 L/h: 229.41 min.
    expect(hung({ dose: 17 }, DAYS1).slice(0, 4)).toEqual(['2K 0', '2K 229', '2K 458', '2K 688']);
  });
  it('when one has hung for maxHangHours', () => {
    expect(hung({}, { ...DAYS1, rules: { maxHangHours: 6 } })).toEqual([
      '2K 0',
      '2K 360',
      '2K 720',
      '2K 1080',
    ]);
  });
  it('once when it runs through just as the limit strikes', () => {
    expect(hung({}, { ...DAYS1, rules: { maxHangHours: 6.5 } })).toEqual([
      '2K 0',
      '2K 390',
      '2K 780',
      '2K 1170',
    ]);
  });
  it('at a change of bath, the rest of the open bag lost', () => {
    expect(hung({ changes: [{ at: at(400), bath: '4K' }] }, DAYS1)).toEqual([
      '2K 0',
      '2K 390',
      '4K 400',
      '4K 790',
      '4K 1180',
    ]);
  });
  it('once when a bag runs through just as the bath changes', () => {
    expect(hung({ changes: [{ at: at(390), bath: '4K' }] }, DAYS1)).toEqual([
      '2K 0',
      '4K 390',
      '4K 780',
      '4K 1170',
    ]);
  });
  it('not at a change of dose alone: the open bag goes on', () => {
    // 3.5 L of the first bag are left at 3 h and run at 2 L/h for 1.75 h; then a bag lasts 3.25 h.
    expect(hung({ changes: [{ at: at(3 * H), dose: 20 }] }, DAYS1).slice(0, 3)).toEqual([
      '2K 0',
      '2K 285',
      '2K 480',
    ]);
  });
  it('not at a change to the same bath', () => {
    expect(hung({ changes: [{ at: at(200), bath: '2K' }] }, DAYS1)).toEqual(hung({}, DAYS1));
  });
  it('never at or after until', () => {
    expect(hung({ until: at(780) }, DAYS1)).toEqual(['2K 0', '2K 390']);
    expect(hung({ until: at(781) }, DAYS1)).toEqual(['2K 0', '2K 390', '2K 780']);
    expect(hung({ until: at(0) }, DAYS1)).toEqual([]);
  });
  it('never at or after the end of the horizon', () => {
    // 2.6 L/h need a bag each 150 min: 1440 min are 9.6 bags.
    expect(hung({ dose: 26 }, DAYS1)).toHaveLength(10);
    // 6.5 L in 1440 min: the second would hang at the end itself.
    expect(hung({ weight: 65, dose: 100, hoursPerDay: 1 }, DAYS1)).toEqual(['2K 0']);
  });
  it('at minute 0, a new one, for a patient whose from lies before the start', () => {
    expect(hung({ from: at(-200) }, DAYS1)).toEqual(hung({}, DAYS1));
  });
  it('at from, when that lies later', () => {
    expect(hung({ from: at(1000) }, DAYS1)).toEqual(['2K 1000', '2K 1390']);
  });
});

describe('a rate of 0', () => {
  const pause = (to: number): Patient['changes'] => [
    { at: at(2 * H), dose: 0 },
    { at: at(to), dose: 10 },
  ];
  it('hangs nothing', () => {
    expect(hung({ dose: 0 })).toEqual([]);
    expect(hung({ fluidRemoval: 400, replacement: 600 })).toEqual([]);
    expect(hung({ hoursPerDay: 0 })).toEqual([]);
  });
  it('is where a rate below 0 ends', () => {
    expect(hung({ fluidRemoval: 1100 })).toEqual([]);
  });
  it('lets an open bag wait', () => {
    // 4.5 L are left at 2 h; from 10 h on they last until 14.5 h.
    expect(hung({ changes: pause(10 * H) }, DAYS1)).toEqual(['2K 0', '2K 870', '2K 1260']);
  });
  it('lets it wait within its hang limit only', () => {
    const rules = { maxHangHours: 8 };
    expect(hung({ changes: pause(10 * H) }, { ...DAYS1, rules })).toEqual([
      '2K 0',
      '2K 600',
      '2K 990',
      '2K 1380',
    ]);
    // Taken up an hour before the limit, it still goes at the limit.
    expect(hung({ changes: pause(7 * H) }, { ...DAYS1, rules }).slice(0, 2)).toEqual(['2K 0', '2K 480']);
  });
  it('hangs the first bag when the rate rises', () => {
    expect(hung({ dose: 0, changes: [{ at: at(90), dose: 10 }] }, DAYS1)[0]).toBe('2K 90');
  });
  it('loses the open bag at a change of bath all the same', () => {
    const changes = [
      { at: at(60), dose: 0 },
      { at: at(120), bath: '4K' },
      { at: at(180), bath: '2K', dose: 10 },
    ];
    expect(hung({ changes }, DAYS1).slice(0, 2)).toEqual(['2K 0', '2K 180']);
  });
});

describe('changes', () => {
  it('at or before the start of the patient apply from the start', () => {
    const changes = [{ at: at(-500), bath: '4K' }];
    expect(hung({ from: at(100), changes }, DAYS1)[0]).toBe('4K 100');
    expect(hung({ from: at(100), changes: [{ at: at(100), bath: '4K' }] }, DAYS1)[0]).toBe('4K 100');
  });
  it('before the start apply in order of time, however listed', () => {
    const changes = [
      { at: at(-100), bath: '4K' },
      { at: at(-200), bath: '2K', dose: 20 },
    ];
    expect(hung({ changes }, DAYS1).slice(0, 2)).toEqual(['4K 0', '4K 195']);
  });
  it('at one time apply in list order', () => {
    const changes = [
      { at: at(100), bath: '4K', dose: 20 },
      { at: at(100), bath: '2K' },
    ];
    // Back to the same bath at once: no change of bath, only the dose of 2 L/h: 4833 mL last 145 min.
    expect(hung({ changes }, DAYS1).slice(0, 2)).toEqual(['2K 0', '2K 245']);
    expect(hung({ changes: [...changes].reverse() }, DAYS1).slice(0, 2)).toEqual(['2K 0', '4K 100']);
  });
  it('change only what they name', () => {
    const changes = [
      { at: at(0), hoursPerDay: 12 },
      { at: at(0), weight: 200 },
      { at: at(0), fluidRemoval: 1000 },
    ];
    // (10 x 200 - 1000) mL/h x 12/24 = 500 mL/h.
    expect(hung({ changes }, DAYS1)).toEqual(['2K 0', '2K 780']);
  });
});

describe('rounds', () => {
  const rounds = (change: Partial<Scenario>) =>
    problemOf({}, change).rounds.map(({ at: minute, from, to }) => [minute, from, to]);
  // The scenarios here start at 07:00.

  it('begin with an opening one at the start, and cover from their lead to the lead of the next', () => {
    expect(rounds(DAYS1)).toEqual([
      [0, 0, 720],
      [660, 720, 1440],
    ]);
  });
  it('whose lead reaches the end are dropped', () => {
    // The round of 06:00 on the next day leaves at minute 1380 and would cover from 1440.
    expect(rounds({ ...DAYS1, rules: { leadMinutes: 59 } })).toHaveLength(3);
    expect(rounds({ ...DAYS1, rules: { leadMinutes: 60 } })).toHaveLength(2);
  });
  it('of equal time count once', () => {
    expect(rounds({ ...DAYS1, rules: { rounds: ['18:00', '18:00'] } })).toEqual(rounds(DAYS1));
  });
  it('at the start are a second one at minute 0', () => {
    expect(rounds({ ...DAYS1, rules: { rounds: ['07:00'] } })).toEqual([
      [0, 0, 60],
      [0, 60, 1440],
    ]);
  });
  it('may be in any order in the file', () => {
    expect(rounds({ rules: { rounds: ['18:00', '06:00'] } })).toEqual(
      rounds({ rules: { rounds: ['06:00', '18:00'] } }),
    );
  });
  it('none: the opening one covers all', () => {
    expect(rounds({ ...DAYS1, rules: { rounds: [] } })).toEqual([[0, 0, 1440]]);
  });
  it('skipped by a clock change move on by the gap', () => {
    // Chicago, 2031-03-09: 02:00 to 03:00 do not exist, so 02:30 is 03:30, 20.5 - 1 h after 07:00 the day before.
    const dst = {
      days: 1,
      timeZone: 'America/Chicago',
      start: '2031-03-08T07:00',
      rules: { rounds: ['02:30'] },
    };
    expect(rounds(dst).map(([minute]) => minute)).toEqual([0, 19.5 * H]);
  });
  it('repeated by a clock change leave the first time', () => {
    // Chicago, 2031-11-02: 01:00 to 02:00 come twice.
    const dst = {
      days: 1,
      timeZone: 'America/Chicago',
      start: '2031-11-01T07:00',
      rules: { rounds: ['01:30'] },
    };
    expect(rounds(dst).map(([minute]) => minute)).toEqual([0, 18.5 * H]);
  });
});

describe('need', () => {
  it('counts the bags hung in what a round covers, both ends as stated', () => {
    // Round 1 covers from minute 720: a bag hung at 719 is of the opening round.
    const need = (from: number) =>
      demandOf(problemOf({ from: at(from), until: at(from + 1) }, DAYS1)).bags[0];
    expect(need(719)).toEqual([1, 0]);
    expect(need(720)).toEqual([0, 1]);
  });
  it('counts the bags of each 24 h from the start', () => {
    const problem = problemOf();
    // Hung at 0, 390, 780, 1170 | 1560, 1950, 2340, 2730.
    expect(bagsByDay(problem, demandOf(problem))).toEqual([
      [4, 4],
      [0, 0],
    ]);
    // One bag, in the last minute of the first day or the first of the second.
    const day = (from: number) => {
      const one = problemOf({ from: at(from), until: at(from + 1) });
      return bagsByDay(one, demandOf(one))[0];
    };
    expect([day(1439), day(1440)]).toEqual([
      [1, 0],
      [0, 1],
    ]);
  });
  it('is the same for the same scenario seen again, also after an edit elsewhere', () => {
    const first = problemOf({ dose: 13 });
    expect(demandOf(first)).toEqual(demandOf(problemOf({ dose: 13 })));
    const shorter = problemOf({ dose: 13 }, { rules: { maxHangHours: 2 } });
    expect(demandOf(shorter).bags[0]!.reduce((a, b) => a + b, 0)).toBe(24);
  });
  it('is counted anew for a patient seen before where bags, hang limit or days are others', () => {
    const problem = problemOf();
    const count = (change: object) => demandOf({ ...problem, ...change }).hangs[0]!.length;
    const rules = (change: Partial<typeof problem.rules>) =>
      count({ rules: { ...problem.rules, ...change } });
    const litres = (n: number) => ({ n: BigInt(1000 * n), d: 1n });
    // 2880 min at 1 L/h: bags of 6.5 L last 390 min, of 5 L 300 min, and 120 min where that is the limit.
    expect(count({})).toBe(8);
    expect(rules({ bagMl: litres(5) })).toBe(10);
    expect(rules({ maxHang: { n: 120n, d: 1n } })).toBe(24);
    expect(count({ horizon: 1440 })).toBe(4);
    expect(count({})).toBe(8);
  });
});

// One litre an hour, a bag lasts 390 min; the plan begins at 07:00. Counted by hand.
describe('with sessions', () => {
  const ten = { session: { start: '08:00', hours: 10 } };

  it('a bag hangs as each begins, and what is open at its end is discarded', () => {
    expect(hung(ten)).toEqual(['2K 60', '2K 450', '2K 1500', '2K 1890']);
  });
  it('one that began the evening before goes on: a bag hangs at minute 0', () => {
    expect(hung({ session: { start: '22:00', hours: 12 } }, DAYS1)).toEqual(['2K 0', '2K 900', '2K 1290']);
  });
  it('a patient who comes inside one hangs a bag then, and none after leaving', () => {
    expect(hung({ ...ten, from: at(200), until: at(1600) })).toEqual(['2K 200', '2K 590', '2K 1500']);
  });
  it('of 24 hours still hang a new bag as each begins', () => {
    expect(hung({ session: { start: '07:00', hours: 24 } })).toEqual([
      '2K 0',
      '2K 390',
      '2K 780',
      '2K 1170',
      '2K 1440',
      '2K 1830',
      '2K 2220',
      '2K 2610',
    ]);
  });
  it('the one before ends where the next begins on the day of 23 hours', () => {
    // Chicago, 2031-03-09: 07:00 to 07:00 are 1380 min from the 8th on; the bag of 1170 is open at 1380.
    const spring = { timeZone: 'America/Chicago', start: '2031-03-08T07:00' };
    expect(hung({ session: { start: '07:00', hours: 24 } }, spring).slice(3, 6)).toEqual([
      '2K 1170',
      '2K 1380',
      '2K 1770',
    ]);
  });
  it('a change between two of them applies to the next', () => {
    expect(hung({ ...ten, changes: [{ at: at(700), bath: '4K' }] })).toEqual([
      '2K 60',
      '2K 450',
      '4K 1500',
      '4K 1890',
    ]);
  });
  it('nothing hangs at a rate of 0 until the rate is above 0', () => {
    expect(hung({ ...ten, dose: 0, changes: [{ at: at(100), dose: 10 }] }, DAYS1)).toEqual([
      '2K 100',
      '2K 490',
    ]);
  });
});

// One litre an hour, a bag lasts 390 min; counted by hand.
describe('a bag that hangs as the plan begins', () => {
  const hanging = (minute: number, litres: number) => ({ hanging: { hungAt: at(minute), litres } });

  it('runs through before the next one hangs', () => {
    expect(hung(hanging(-60, 3), DAYS1)).toEqual(['2K 180', '2K 570', '2K 960', '2K 1350']);
  });
  it('goes at its hang limit, counted from when it was hung', () => {
    expect(hung(hanging(-1380, 6), DAYS1).slice(0, 2)).toEqual(['2K 60', '2K 450']);
    expect(hung(hanging(-1439, 6), DAYS1)[0]).toBe('2K 1');
    expect(hung(hanging(-1440, 6), DAYS1)[0]).toBe('2K 0');
    expect(hung(hanging(-1500, 6), DAYS1).slice(0, 2)).toEqual(['2K 0', '2K 390']);
  });
  it('is gone at a change of bath', () => {
    const changes = [{ at: at(100), bath: '4K' }];
    expect(hung({ ...hanging(-60, 3), changes }, DAYS1).slice(0, 2)).toEqual(['4K 100', '4K 490']);
  });
  it('counts for a patient whose therapy runs at the start, and for no other', () => {
    expect(hung({ ...hanging(-60, 3), from: at(-100) }, DAYS1)[0]).toBe('2K 180');
    expect(hung({ ...hanging(-60, 3), from: at(0) }, DAYS1)[0]).toBe('2K 180');
    expect(hung({ ...hanging(-60, 3), from: at(10) }, DAYS1)[0]).toBe('2K 10');
    expect(hung({ ...hanging(-60, 3), session: { start: '08:00', hours: 10 } }, DAYS1)[0]).toBe('2K 60');
    expect(hung({ ...hanging(-60, 1), session: { start: '22:00', hours: 12 } }, DAYS1)[0]).toBe('2K 60');
  });
});

describe('the bag that hangs at a minute and goes on', () => {
  const bag = (minute: number, row: Partial<Patient> = {}) => {
    const { patients, rules } = problemOf(row);
    const found = bagAt(patients[0]!, rules.bagMl, rules.maxHang, minute);
    return found && [toNumber(found.hungAt), toNumber(found.left)];
  };
  it('is the last one hung, less what has run', () => {
    expect(bag(300)).toEqual([0, 1500]);
    expect(bag(450)).toEqual([390, 5500]);
  });
  it('is none before therapy, as it begins, and once it has ended', () => {
    expect(bag(0)).toBeNull();
    expect(bag(50, { from: at(60) })).toBeNull();
    expect(bag(60, { from: at(60) })).toBeNull();
    expect(bag(61, { from: at(60) })).not.toBeNull();
    expect(bag(99, { until: at(100) })).not.toBeNull();
    expect(bag(100, { until: at(100) })).toBeNull();
  });
  it('is none where the bath changes in that minute', () => {
    const changes = [{ at: at(100), bath: '4K' }];
    expect(bag(99, { changes })).toEqual([0, 6500 - 99 * (1000 / 60)].map((one) => expect.closeTo(one, 6)));
    expect(bag(100, { changes })).toBeNull();
    expect(bag(101, { changes })![0]).toBe(100);
  });
  it('is none between sessions, and as one begins or ends', () => {
    const session = { start: '08:00', hours: 10 };
    const found = [59, 60, 61, 659, 660, 700, 1499, 1501].map(
      (minute) => bag(minute, { session })?.[0] ?? null,
    );
    expect(found).toEqual([null, null, 60, 450, null, null, null, 1500]);
    // One ends as the next begins: what hung in it is discarded.
    expect(bag(1440, { session: { start: '07:00', hours: 24 } })).toBeNull();
  });
});

describe('where a day under way is planned on', () => {
  it('the first round takes what hangs before the time that it covers', () => {
    const problem = problemOf({}, DAYS1);
    const rounds = problem.rounds.map((round, index) => (index === 0 ? { ...round, from: 300 } : round));
    const roundAt = roundFinder({ ...problem, rounds });
    expect([0, 299, 300, 719, 720, 1439].map(roundAt)).toEqual([0, 0, 0, 0, 1, 1]);
  });
  it('round 0 needs what is due now, whatever hangs', () => {
    const problem = problemOf({}, DAYS1);
    const counted = demandOf(problem).bags;
    const due = demandOf({ ...problem, dueNow: [0, 3] }).bags;
    expect(counted[0]![0]).toBeGreaterThan(0);
    expect(due.map((byRound) => byRound[0])).toEqual([0, 3]);
    expect(due.map((byRound) => byRound.slice(1))).toEqual(counted.map((byRound) => byRound.slice(1)));
  });
});
