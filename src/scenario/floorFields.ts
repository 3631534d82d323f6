import { DAY, rows, type ScenarioField } from './fieldRows.ts';

/** Machines, water, people and what they do by the clock. */
export const FLOOR_FIELDS: readonly ScenarioField[] = [
  ...rows('Machines', 'machines[]', [
    ['id', 'Machine', '', 'Its name, as on the machine.'],
    [
      'flow',
      'Dialysate flow',
      'mL/min',
      'What fills the bags.',
      { above: 0, max: 10_000, usual: [100, 1000] },
    ],
    [
      'flowTolerance',
      'Flow tolerance',
      '(a share of the flow)',
      'So much the flow may be off either way; it narrows the fill window.',
      {
        min: 0,
        max: 0.3,
        none: '0',
      },
    ],
    ['positions', 'Bags per fill', 'bags', 'Bags filled side by side.', { min: 1, max: 200 }],
    ['baths', 'Baths', '', 'What it may run.', { none: 'all' }],
    ['water', 'Water source', '', 'Where its water comes from.'],
    [
      'loaded.bath',
      'Bath in place',
      '',
      'What the circuit in place at the start runs.',
      { none: 'no circuit' },
    ],
    [
      'loaded.circuitSince',
      'Circuit since',
      '',
      'When the circuit in place was set up.',
      { none: 'no circuit' },
    ],
  ]),
  ...rows('Machine availability', 'machines[].available[]', [
    ['from', 'From', '', 'The machine may be used from then on.'],
    ['to', 'To', '', 'Until then.'],
  ]),
  ...rows('Water', 'water[]', [
    ['id', 'Water source', '', 'Its name, e.g. Loop 1.'],
    [
      'capacity',
      'Capacity',
      'mL/min',
      'What it gives to all its machines together.',
      { above: 0, max: 1_000_000 },
    ],
    [
      'testEvery',
      'Total chlorine test every',
      'min',
      'Water runs only so long after a test.',
      {
        min: 1,
        max: 100_000,
        usual: [1, 240],
        note: 'at least every 4 h while water runs',
        source: 'CJASN 2015;10(6):1061-1071, Table 4',
      },
    ],
    ['testMinutes', 'Test takes', 'min', 'How long a total chlorine test takes.', { min: 1, max: DAY }],
    ['lastTest', 'Last test', '', 'When the last test ended.', { none: 'none' }],
  ]),
  ...rows('Water capacity changes', 'water[].capacityChanges[]', [
    ['at', 'Capacity from', '', 'From then on it gives something else.'],
    ['capacity', 'Capacity then', 'mL/min', 'What it gives from then on.', { min: 0, max: 1_000_000 }],
  ]),
  ...rows('Shifts', 'shifts[]', [
    ['id', 'Shift', '', 'Its name.'],
    ['from', 'From', '', 'Time of day at which it begins.'],
    ['to', 'To', '', 'Time of day at which it ends, past midnight if not after its begin.'],
    ['technicians', 'Technicians', 'technicians', 'People for hands-on work.', { min: 0, max: 200 }],
    ['dates', 'Dates', '', 'Only the shifts that begin on these dates.', { none: 'every day' }],
  ]),
  ...rows('Duties', 'duties[]', [
    ['id', 'Duty', '', 'Its name, e.g. Break day.'],
    ['place', 'Place', '', 'A machine or a water source.', { none: 'none: a break or work elsewhere' }],
    ['times', 'Due at', '', 'Times of day.'],
    ['dates', 'Dates', '', 'Only on these dates.', { none: 'every day' }],
    ['minutes', 'Takes', 'min', 'How long it takes.', { min: 1, max: 10_080 }],
    [
      'slackMinutes',
      'May begin later by',
      'min',
      'It begins when it is due, or up to so much later.',
      {
        min: 0,
        max: 10_080,
        none: '0',
      },
    ],
    [
      'technicians',
      'Technicians',
      'technicians',
      'People at it throughout.',
      { min: 0, max: 200, none: '0' },
    ],
    [
      'flow',
      'Water drawn',
      'mL/min',
      'What it draws from the water source.',
      { min: 0, max: 1_000_000, none: '0' },
    ],
    ['endsCircuit', 'Ends the circuit', '', 'The machine needs a new circuit afterwards.', { none: 'no' }],
    [
      'voidsTests',
      'Voids tests',
      '',
      'The water needs a new total chlorine test afterwards.',
      { none: 'no' },
    ],
  ]),
];
