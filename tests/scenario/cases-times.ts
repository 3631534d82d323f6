import { type Case, set } from './sound.ts';

/** By name of the rule: what happens, the edit, and the faults that the rule then finds. */
export const TIMES_CASES: Record<string, readonly Case[]> = {
  unknownTimeZone: [
    ['Europe/Berlin', set('timeZone', 'Europe/Berlin'), []],
    ['no such zone', set('timeZone', 'Mars/Olympus'), ['error timeZone']],
    ['empty', set('timeZone', ''), ['error timeZone']],
  ],
  startOutOfRange: [
    ['first year', set('start', '2000-01-01T00:00'), []],
    ['long ago', set('start', '1999-12-31T23:59'), ['error start']],
    ['far ahead', set('start', '2200-01-01T00:00'), ['error start']],
  ],
  daysOutOfRange: [
    ['one', set('days', 1), []],
    ['a leap year', set('days', 366), []],
    ['none', set('days', 0), ['error days']],
    ['too many', set('days', 367), ['error days']],
  ],
  malformedTime: [
    ['leap day', set('patients.0.from', '2032-02-29T07:00'), []],
    ['a day that the year lacks', set('patients.0.from', '2031-02-29T07:00'), ['error patients.0.from']],
    ['a zone in it', set('start', '2031-02-03T07:00Z'), ['error start']],
    ['hour 24', set('patients.0.until', '2031-02-05T24:00'), ['error patients.0.until']],
    ['empty', set('patients.0.until', ''), ['error patients.0.until']],
    ['seconds', set('patients.0.until', '2031-02-05T10:00:30'), ['error patients.0.until']],
    [
      'everywhere at once',
      (s) => {
        s.patients[0]!.changes![0]!.at = 'Monday';
        s.machines[0]!.available![1]!.to = '5 pm';
        s.machines[0]!.loaded!.circuitSince = '2031-2-3T01:00';
        s.water[0]!.lastTest = 'x';
        s.stock[0]!.expires = '2031-02-04';
        s.deliveries[0]!.ready = '2031/02/04T12:00';
        s.supplies[0]!.deliveries![0]!.at = '?';
      },
      [
        'error patients.0.changes.0.at',
        'error machines.0.available.1.to',
        'error machines.0.loaded.circuitSince',
        'error water.0.lastTest',
        'error stock.0.expires',
        'error deliveries.0.ready',
        'error supplies.0.deliveries.0.at',
      ],
    ],
  ],
  malformedTimeOfDay: [
    ['midnight', set('shifts.0.from', '00:00'), []],
    ['24:00', set('shifts.0.to', '24:00'), ['error shifts.0.to']],
    ['one digit', set('rules.rounds', ['6:00', '18:00']), ['error rules.rounds.0']],
  ],
  malformedDate: [
    ['none', set('shifts.1.dates', []), []],
    ['30 February', set('shifts.1.dates', ['2031-02-04', '2031-02-30']), ['error shifts.1.dates.1']],
    ['with a time', set('shifts.1.dates', ['2031-02-04T07:00']), ['error shifts.1.dates.0']],
  ],
  timeAtClockChange: [
    // The clocks of Chicago go forward on 2031-03-09 at 02:00 and back on 2031-11-02 at 02:00 (US rule: second Sunday of
    // March, first of November).
    ['just before', set('deliveries.0.ready', '2031-03-09T01:59'), []],
    ['skipped', set('deliveries.0.ready', '2031-03-09T02:00'), ['warning deliveries.0.ready']],
    ['after the gap', set('deliveries.0.ready', '2031-03-09T03:00'), []],
    ['repeated', set('deliveries.0.ready', '2031-11-02T01:30'), ['warning deliveries.0.ready']],
    ['after the repeated hour', set('deliveries.0.ready', '2031-11-02T02:00'), []],
  ],
  duplicateShift: [['same id', set('shifts.1.id', 'day'), ['error shifts.1.id']]],
  techniciansOutOfRange: [
    ['below 0', set('shifts.0.technicians', -1), ['error shifts.0.technicians']],
    ['more than can be counted', set('shifts.0.technicians', 40000), ['error shifts.0.technicians']],
  ],
  emptyShift: [
    ['nobody', set('shifts.1.technicians', 0), ['warning shifts.1.technicians']],
    ['one', set('shifts.1.technicians', 1), []],
  ],
  shiftOfWholeDay: [['24 h', set('shifts.0.to', '07:00'), ['warning shifts.0.to']]],
  shiftOutsidePlan: [
    [
      'the evening before',
      (s) => {
        s.shifts[1]!.dates = ['2031-02-02'];
        s.start = '2031-02-03T06:00';
      },
      [],
    ],
    ['no date of the plan', set('shifts.1.dates', ['2031-03-04']), ['warning shifts.1.dates']],
  ],
  nobodyAtWork: [
    ['no shift', set('shifts', []), ['warning shifts']],
    [
      'empty shifts',
      (s) => {
        for (const shift of s.shifts) shift.technicians = 0;
      },
      ['warning shifts'],
    ],
  ],
  daysOfNobody: [
    [
      'days that the dates leave out',
      (s) => {
        for (const shift of s.shifts) shift.dates = ['2031-02-03', '2031-02-04'];
      },
      ['warning shifts'],
    ],
    [
      'one shift on every day',
      (s) => {
        s.shifts[0]!.dates = ['2031-02-03'];
        s.shifts[1]!.dates = null;
      },
      [],
    ],
  ],
};
