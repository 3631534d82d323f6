import { NESTED } from '../scenario/unassigned.ts';
import { countText } from '../words/numbers.ts';
import { listRows, nestedRows, type Sheet } from './sheet.ts';
import { always, baths, field, ids, likeAbove, named, needed, water } from './sheetParts.ts';

export const machines: Sheet = {
  id: 'machines',
  title: 'Machines',
  one: 'machine',
  about: 'Machines that fill bags. One fill fills all bags side by side.',
  list: 'machines',
  rows: listRows('machines'),
  fields: [
    field(['id', 'Machine', 'text', 'Name of the machine.'], needed(100)),
    field(['flow', 'Dialysate flow', 'number', 'Flow while it fills.'], { unit: 'mL/min', ...needed(125) }),
    field(
      [
        'flowTolerance',
        'Flow tolerance',
        'number',
        'Share by which the flow may be off either way, 0 to 0.3. It narrows the fill window.',
      ],
      { fallback: always('0'), width: 105 },
    ),
    field(['positions', 'Bags per fill', 'integer', 'Bags filled side by side.'], needed(95)),
    field(['water', 'Water', 'choice', 'The water source it uses.'], { choices: water, ...needed(90) }),
    field(['baths', 'Baths', 'list', 'Baths it may run, separated by commas.'], {
      choices: baths,
      fallback: always('all'),
      width: 130,
    }),
    field(['loadedBath', 'Loaded bath', 'choice', 'Bath of the filling circuit in place at the start.'], {
      path: ['loaded', 'bath'],
      choices: baths,
      fallback: always('no circuit'),
      width: 110,
    }),
    field(['circuitSince', 'Circuit since', 'time', 'When the circuit in place was set up.'], {
      path: ['loaded', 'circuitSince'],
      past: true,
      width: 145,
    }),
    field(['windows', 'Available', 'fixed', 'When it is available is on the sheet Machine availability.'], {
      width: 110,
      show: ({ value }) =>
        Array.isArray(value.available) ? countText(value.available.length, 'window') : 'always',
    }),
  ],
  fresh: (scenario, above) => ({
    id: named(scenario.machines, 'id', 'M1', above),
    ...likeAbove(above, 'flow', 'positions', 'water', 'baths'),
  }),
};

export const hours: Sheet = {
  id: 'hours',
  title: 'Machine availability',
  one: 'window',
  about: 'When a machine may be used. A machine without rows here is always available.',
  ...NESTED.hours,
  rows: nestedRows('hours'),
  fields: [
    field(['owner', 'Machine', 'choice', 'Which machine.'], {
      choices: ids('machines'),
      ...needed(100),
      show: ({ owner }) => owner ?? '',
    }),
    field(['from', 'From', 'time', 'Available from.'], needed(145)),
    field(['to', 'To', 'time', 'Available to.'], needed(145)),
  ],
  fresh: () => ({}),
};

export const waterSheet: Sheet = {
  id: 'water',
  title: 'Water',
  one: 'water source',
  about: 'Treated water. Total chlorine tests follow the site’s procedure. The plan only gives them time.',
  list: 'water',
  rows: listRows('water'),
  fields: [
    field(['id', 'Source', 'text', 'Name of the source.'], needed(100)),
    field(['capacity', 'Capacity', 'number', 'Water for all its machines together.'], {
      unit: 'mL/min',
      ...needed(120),
    }),
    field(['testEvery', 'Test every', 'integer', 'How long a total chlorine test stays valid.'], {
      unit: 'min',
      ...needed(110),
    }),
    field(['testMinutes', 'Test takes', 'integer', 'Technician time of one test.'], {
      unit: 'min',
      ...needed(110),
    }),
    field(['capacityCount', 'Changes', 'fixed', 'Its capacity may change: see Water capacity changes.'], {
      width: 90,
      show: ({ value }) =>
        Array.isArray(value.capacityChanges) && value.capacityChanges.length > 0
          ? String(value.capacityChanges.length)
          : '',
    }),
    field(['lastTest', 'Last test', 'time', 'When the last total chlorine test before the start ended.'], {
      fallback: always('none yet'),
      past: true,
      width: 145,
    }),
  ],
  fresh: (scenario, above) => ({
    id: named(scenario.water, 'id', 'RO-A', above),
    ...likeAbove(above, 'capacity', 'testEvery', 'testMinutes'),
  }),
};

export const capacityChanges: Sheet = {
  id: 'capacityChanges',
  title: 'Water capacity changes',
  one: 'capacity change',
  about: 'When a water source gives something else than its capacity, e.g. while a pump is serviced.',
  ...NESTED.capacityChanges,
  rows: nestedRows('capacityChanges'),
  fields: [
    field(['owner', 'Source', 'choice', 'Which water source.'], {
      choices: water,
      ...needed(110),
      show: ({ owner }) => owner ?? '',
    }),
    field(['at', 'Capacity from', 'time', 'From then on, until the next change.'], needed(145)),
    field(['capacity', 'Capacity then', 'number', 'Water for all its machines together. It may be 0.'], {
      unit: 'mL/min',
      ...needed(125),
    }),
  ],
  fresh: () => ({}),
};

export const shifts: Sheet = {
  id: 'shifts',
  title: 'Shifts',
  one: 'shift',
  about:
    'Technicians for hands-on work. Shifts that overlap add up. A shift that ends before it starts runs past midnight.',
  list: 'shifts',
  rows: listRows('shifts'),
  fields: [
    field(['id', 'Shift', 'text', 'Name of the shift.'], needed(100)),
    field(['from', 'From', 'clock', 'Time of day it begins.'], needed(85)),
    field(['to', 'To', 'clock', 'Time of day it ends.'], needed(85)),
    field(['technicians', 'Technicians', 'integer', 'Technicians for hands-on work.'], needed(110)),
    field(['dates', 'Only on', 'list', 'Dates on which it begins, separated by commas.'], {
      fallback: always('every day'),
      width: 240,
    }),
  ],
  fresh: (scenario, above) => ({
    id: named(scenario.shifts, 'id', 'day', above),
    ...likeAbove(above, 'from', 'to', 'technicians'),
  }),
};

export const duties: Sheet = {
  id: 'duties',
  title: 'Duties',
  one: 'duty',
  about: 'Work that recurs at times of day: disinfection, sampling, calibration, breaks.',
  list: 'duties',
  rows: listRows('duties'),
  fields: [
    field(['id', 'Duty', 'text', 'Name of the duty.'], needed(130)),
    field(['place', 'Place', 'choice', 'A machine or a water source. Empty: a break, or work elsewhere.'], {
      choices: (scenario) => [...ids('machines')(scenario), ...water(scenario)],
      fallback: always('none'),
      width: 100,
    }),
    field(['times', 'Due at', 'clocks', 'Times of day, separated by commas.'], needed(130)),
    field(['dates', 'Only on', 'list', 'Dates on which it is due, separated by commas.'], {
      fallback: always('every day'),
      width: 200,
    }),
    field(['minutes', 'Takes', 'integer', 'How long it takes.'], { unit: 'min', ...needed(90) }),
    field(['slackMinutes', 'May begin later by', 'integer', 'It begins when due, or up to so much later.'], {
      unit: 'min',
      fallback: always('0'),
      width: 120,
    }),
    field(['technicians', 'Technicians', 'integer', 'Technicians at it throughout.'], {
      fallback: always('0'),
      width: 110,
    }),
    field(['flow', 'Water drawn', 'number', 'What it draws from the water source.'], {
      unit: 'mL/min',
      fallback: always('0'),
      width: 115,
    }),
    field(['endsCircuit', 'Ends the circuit', 'flag', 'yes: the machine needs a new circuit afterwards.'], {
      choices: () => ['yes', 'no'],
      fallback: always('no'),
      width: 105,
    }),
    field(['voidsTests', 'Voids tests', 'flag', 'yes: the water needs a new test afterwards.'], {
      choices: () => ['yes', 'no'],
      fallback: always('no'),
      width: 100,
    }),
  ],
  fresh: (scenario, above) => ({ id: named(scenario.duties ?? [], 'id', 'duty-1', above) }),
};
