import { type Case, set } from './sound.ts';

/** By name of the rule: what happens, the edit, and the faults that the rule then finds. */
export const FLOOR_CASES: Record<string, readonly Case[]> = {
  flowToleranceOutOfRange: [
    ['none', set('machines.1.flowTolerance', 0), []],
    ['the most', set('machines.1.flowTolerance', 0.3), []],
    ['more', set('machines.1.flowTolerance', 0.301), ['error machines.1.flowTolerance']],
    ['below 0', set('machines.1.flowTolerance', -0.01), ['error machines.1.flowTolerance']],
    ['7 decimals', set('machines.1.flowTolerance', 0.0500001), ['error machines.1.flowTolerance']],
  ],
  fillOutlastsCircuit: [
    ['a fill of 65 min and its swap of 8 fit', set('rules.circuitHours', 2), []],
    // M2 fills 8 bags of 6.5 L at 500 mL/min in 104 min; its swap takes 8.
    ['both to the minute', (s) => Object.assign(s.rules, { circuitHours: 2, swapMinutes: 16 }), []],
    [
      'not by a minute',
      (s) => Object.assign(s.rules, { circuitHours: 2, swapMinutes: 17 }),
      ['warning machines.1'],
    ],
    ['neither', set('rules.circuitHours', 1), ['warning machines.0', 'warning machines.1']],
  ],
  fillWindowEmpty: [
    ['69 to 71 min with 5 %', set('machines.0.flowTolerance', 0.05), []],
    ['none with 8 %', set('machines.0.flowTolerance', 0.08), ['error machines.0.flowTolerance']],
  ],
  dutyPlaceUnclear: [
    ['a machine, water, none', () => {}, []],
    ['no such place', set('duties.0.place', 'M9'), ['error duties.0.place']],
    ['both', set('water.0.id', 'M1'), ['error duties.1.place', 'error duties.2.place']],
  ],
  dutyEffectWithoutPlace: [
    ['flow at a machine, at water', set('duties.2.flow', 100), []],
    ['flow nowhere', set('duties.0.flow', 0.1), ['error duties.0.flow']],
    ['a flow of 0 nowhere', set('duties.0.flow', 0), []],
    ['ends the circuit of water', set('duties.2.endsCircuit', true), ['error duties.2.endsCircuit']],
    ['ends the circuit of nothing', set('duties.0.endsCircuit', true), ['error duties.0.endsCircuit']],
    ['ends no circuit', set('duties.0.endsCircuit', false), []],
    ["voids a machine's tests", set('duties.1.voidsTests', true), ['error duties.1.voidsTests']],
    ['voids the tests of nothing', set('duties.0.voidsTests', true), ['error duties.0.voidsTests']],
  ],
  dutyNumberOutOfRange: [
    [
      'the least of each',
      (s) => Object.assign(s.duties[1]!, { minutes: 1, slackMinutes: 0, technicians: 0, flow: 0 }),
      [],
    ],
    ['no length', set('duties.0.minutes', 0), ['error duties.0.minutes']],
    ['slack below 0', set('duties.0.slackMinutes', -1), ['error duties.0.slackMinutes']],
    ['technicians below 0', set('duties.0.technicians', -1), ['error duties.0.technicians']],
    ['flow below 0', set('duties.1.flow', -1), ['error duties.1.flow']],
    ['flow of 4 decimals', set('duties.1.flow', 0.0001), ['error duties.1.flow']],
  ],
  dutyWithoutTimes: [
    ['one', set('duties.0.times', ['04:00']), []],
    ['none', set('duties.0.times', []), ['error duties.0.times']],
  ],
  duplicateDuty: [
    ['two names', () => {}, []],
    ['one name twice', set('duties.1.id', 'break'), ['error duties.1.id']],
  ],
  dutyNeverDue: [
    ['no dates at all: never, as the site says', set('duties.0.dates', []), []],
    ['only after the plan', set('duties.2.dates', ['2031-02-11']), ['warning duties.2']],
    [
      'its end would lie behind the end of the plan by a minute',
      (s) => Object.assign(s.duties[2]!, { dates: ['2031-02-10'], times: ['06:30'], minutes: 31 }),
      ['warning duties.2'],
    ],
    [
      'its end is the end of the plan',
      (s) => Object.assign(s.duties[2]!, { dates: ['2031-02-10'], times: ['06:30'], minutes: 30 }),
      [],
    ],
  ],
  walkOutOfRange: [
    ['none', set('rules.walkMinutes', 0), []],
    ['below 0', set('rules.walkMinutes', -1), ['error rules.walkMinutes']],
  ],
  fillStartOutOfRange: [
    ['none', set('rules.fillStartMinutes', 0), []],
    // M1 fills 8 bags of 6.5 L at 800 mL/min in 65 min; M2 takes longer.
    ['as long as the shortest fill', set('rules.fillStartMinutes', 65), []],
    ['a minute longer', set('rules.fillStartMinutes', 66), ['error rules.fillStartMinutes']],
    ['below 0', set('rules.fillStartMinutes', -1), ['error rules.fillStartMinutes']],
  ],
  handsOutOfRange: [
    ['nobody', set('rules.hands.test', 0), []],
    ['less', set('rules.hands.test', -1), ['error rules.hands.test']],
    ['of a kind that takes none', set('rules.hands.fill', 1), ['error rules.hands.fill']],
    ['of a duty, which has its own', set('rules.hands.duty', 1), ['error rules.hands.duty']],
  ],
  sampleBagsOutOfRange: [
    ['all of a fill', set('rules.sampleBags', 8), []],
    ['more', set('rules.sampleBags', 9), ['error rules.sampleBags']],
    ['below 0', set('rules.sampleBags', -1), ['error rules.sampleBags']],
  ],
  minStockOutOfRange: [
    ['none', set('rules.minStock.2K', 0), []],
    ['below 0', set('rules.minStock.2K', -0.5), ['error rules.minStock.2K']],
    ['4 decimals', set('rules.minStock.2K', 1.0001), ['error rules.minStock.2K']],
  ],
  sessionHoursOutOfRange: [
    ['a minute', set('patients.1.session.hours', 0.05), []],
    ['all day', set('patients.1.session.hours', 24), []],
    ['none', set('patients.1.session.hours', 0), ['error patients.1.session.hours']],
    ['more than a day', set('patients.1.session.hours', 24.5), ['error patients.1.session.hours']],
    ['no whole minutes', set('patients.1.session.hours', 8.01), ['error patients.1.session.hours']],
  ],
  sessionBesideHours: [
    ['hours without a session', set('patients.0.hoursPerDay', 22), []],
    ['hours beside one', set('patients.1.hoursPerDay', 24), ['error patients.1.hoursPerDay']],
    [
      'hours of a change beside one',
      set('patients.1.changes', [{ at: '2031-02-05T07:00', hoursPerDay: 20 }]),
      ['error patients.1.changes.0.hoursPerDay'],
    ],
    ['another change beside one', set('patients.1.changes', [{ at: '2031-02-05T07:00', dose: 20 }]), []],
  ],
  hangingOutOfRange: [
    ['a bag that hangs', set('patients.0.hanging', { hungAt: '2031-02-03T06:00', litres: 3.2 }), []],
    ['hung as the plan begins', set('patients.0.hanging', { hungAt: '2031-02-03T07:00', litres: 3.2 }), []],
    [
      'hung after the start',
      set('patients.0.hanging', { hungAt: '2031-02-03T07:01', litres: 3.2 }),
      ['error patients.0.hanging.hungAt'],
    ],
    [
      'an empty one',
      set('patients.0.hanging', { hungAt: '2031-02-03T06:00', litres: 0 }),
      ['error patients.0.hanging.litres'],
    ],
  ],
  sessionInChange: [
    ['a change of dose', set('patients.0.changes.0.dose', 22), []],
    [
      'a change of session',
      set('patients.0.changes.0.session', { start: '08:00', hours: 8 }),
      ['error patients.0.changes.0.session'],
    ],
  ],
};
