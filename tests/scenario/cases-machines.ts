import { type Case, set } from './sound.ts';

/** By name of the rule: what happens, the edit, and the faults that the rule then finds. */
export const MACHINES_CASES: Record<string, readonly Case[]> = {
  duplicateMachine: [['same id', set('machines.1.id', 'M1'), ['error machines.1.id']]],
  flowOutOfRange: [
    ['usual', set('machines.1.flow', 100), []],
    ['slow', set('machines.1.flow', 50), ['warning machines.1.flow']],
    ['none', set('machines.1.flow', 0), ['error machines.1.flow']],
    ['below 0', set('machines.1.flow', -500), ['error machines.1.flow']],
    ['decimals', set('machines.1.flow', 500.1234), ['error machines.1.flow']],
  ],
  positionsOutOfRange: [
    ['one', set('machines.1.positions', 1), []],
    ['none', set('machines.1.positions', 0), ['error machines.1.positions']],
  ],
  windowBackwards: [
    ['a minute', set('machines.0.available.0.to', '2031-02-03T07:01'), []],
    ['empty', set('machines.0.available.0.to', '2031-02-03T07:00'), ['error machines.0.available.0.to']],
    ['backwards', set('machines.0.available.1.to', '2031-02-04T07:00'), ['error machines.0.available.1.to']],
  ],
  windowsOverlap: [
    ['touching', () => {}, []],
    [
      'by a minute',
      set('machines.0.available.1.from', '2031-02-05T06:59'),
      ['error machines.0.available.1.from'],
    ],
    [
      'one inside another, listed late',
      set('machines.0.available', [
        { from: '2031-02-04T10:00', to: '2031-02-04T11:00' },
        { from: '2031-02-06T10:00', to: '2031-02-06T11:00' },
        { from: '2031-02-03T07:00', to: '2031-02-05T07:00' },
      ]),
      ['error machines.0.available.0.from'],
    ],
  ],
  windowOutsidePlan: [
    ['reaching in', set('machines.0.available', [{ from: '2031-01-01T00:00', to: '2031-02-03T07:01' }]), []],
    [
      'before',
      set('machines.0.available', [{ from: '2031-01-01T00:00', to: '2031-02-03T07:00' }]),
      ['warning machines.0.available.0'],
    ],
    [
      'after',
      set('machines.0.available', [{ from: '2031-02-10T07:00', to: '2031-02-11T07:00' }]),
      ['warning machines.0.available.0'],
    ],
  ],
  machineNeverRuns: [
    ['no window', set('machines.0.available', []), ['warning machines.0.available']],
    ['no bath', set('machines.1.baths', []), ['warning machines.1.baths']],
    [
      'fields absent',
      (s) => {
        s.machines[0]!.available = null;
        s.machines[0]!.baths = null;
      },
      [],
    ],
  ],
  fillWindowEmpty: [
    // 8 x 6.5 L at 800 mL/min: 65 to 75 min (common practice, no source).
    ['a whole minute in it', set('rules.maxLitres', 6.5), []],
    // 1 x 6.5 L at 2600 mL/min takes 2.5 min: full after 3, off after 2.
    [
      'no whole minute in it',
      (s) => {
        s.machines[1]!.flow = 2600;
        s.machines[1]!.positions = 1;
        s.rules.maxLitres = 6.6;
      },
      ['warning machines.1'],
    ],
  ],
  circuitOlderThanLife: [
    ['just its life', set('machines.0.loaded.circuitSince', '2031-02-02T07:00'), []],
    [
      'a minute more',
      set('machines.0.loaded.circuitSince', '2031-02-02T06:59'),
      ['warning machines.0.loaded.circuitSince'],
    ],
  ],
  circuitFromFuture: [
    ['at the start', set('machines.0.loaded.circuitSince', '2031-02-03T07:00'), []],
    [
      'next year',
      set('machines.0.loaded.circuitSince', '2032-02-03T01:00'),
      ['error machines.0.loaded.circuitSince'],
    ],
  ],
  loadedBathNotAllowed: [
    ['allowed', set('machines.0.baths', ['2K']), []],
    ['not', set('machines.0.baths', ['4K']), ['warning machines.0.loaded.bath']],
  ],
  duplicateWater: [
    [
      'same id',
      (s) => {
        s.water.push({ ...s.water[0]! });
      },
      ['error water.1.id'],
    ],
  ],
  capacityOutOfRange: [
    [
      'none',
      (s) => Object.assign(s.water[0]!, { capacity: 0, capacityChanges: [] }),
      ['error water.0.capacity'],
    ],
    ['none at first', set('water.0.capacity', 0), []],
    ['none from a change on', set('water.0.capacityChanges.0.capacity', 0), []],
    [
      'below 0 from a change on',
      set('water.0.capacityChanges.0.capacity', -1),
      ['error water.0.capacityChanges.0.capacity'],
    ],
    ['below 0', set('water.0.capacity', -1), ['error water.0.capacity']],
    ['little', set('water.0.capacity', 1), []],
  ],
  testTimesOutOfRange: [
    // At least every 4 h while water runs: CJASN 2015;10(6):1061-1071, Table 4.
    ['every 4 h', set('water.0.testEvery', 240), []],
    ['every 4 h and a minute', set('water.0.testEvery', 241), ['warning water.0.testEvery']],
    ['never', set('water.0.testEvery', 0), ['error water.0.testEvery']],
    ['in no time', set('water.0.testMinutes', 0), ['error water.0.testMinutes']],
  ],
  lastTestInFuture: [
    ['at the start', set('water.0.lastTest', '2031-02-03T07:00'), []],
    ['none', set('water.0.lastTest', null), []],
    ['a minute later', set('water.0.lastTest', '2031-02-03T07:01'), ['error water.0.lastTest']],
  ],
  unknownWater: [['not listed', set('machines.1.water', 'RO-Z'), ['error machines.1.water']]],
  flowAboveWater: [
    ['all of it', set('water.0.capacity', 800), []],
    ['more than at first', set('water.0.capacity', 799), []],
    [
      'more than ever',
      (s) => Object.assign(s.water[0]!, { capacity: 799, capacityChanges: null }),
      ['warning machines.0.flow'],
    ],
  ],
};
