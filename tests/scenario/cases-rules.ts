import { type Case, set } from './sound.ts';

const hugeStock = (litres: number) =>
  Array.from({ length: 1500 }, (_, i) => ({ lot: `${i}`, bath: '2K', bags: 100_000, litres }));

const inUse = (now: string, activities: object[]) =>
  set('inUse', { start: '2031-02-03T07:00', now, activities });

/** By name of the rule: what happens, the edit, and the faults that the rule then finds. */
export const RULES_CASES: Record<string, readonly Case[]> = {
  ruleMinutesOutOfRange: [
    [
      'a minute each',
      (s) => {
        Object.assign(s.rules, {
          swapMinutes: 1,
          circuitMinutes: 1,
          stabiliseMinutes: 0,
          sampleMinutes: 1,
          releaseMinutes: 0,
          leadMinutes: 0,
        });
      },
      [],
    ],
    [
      'nothing lasts',
      (s) => {
        Object.assign(s.rules, { swapMinutes: 0, circuitMinutes: 0, stabiliseMinutes: 0, sampleMinutes: 0 });
      },
      ['error rules.swapMinutes', 'error rules.circuitMinutes', 'error rules.sampleMinutes'],
    ],
    [
      'below 0',
      (s) => {
        Object.assign(s.rules, { releaseMinutes: -1, leadMinutes: -60 });
      },
      ['error rules.releaseMinutes', 'error rules.leadMinutes'],
    ],
  ],
  ruleVolumesOutOfRange: [
    ['equal', set('rules.maxLitres', 6.5), []],
    ['none', set('rules.fillLitres', 0), ['error rules.fillLitres']],
    ['less than must be', set('rules.maxLitres', 6.4), ['error rules.maxLitres']],
    ['a small bag', set('rules.fillLitres', 1), ['warning rules.fillLitres']],
    ['seven decimals', set('rules.fillLitres', 6.0000001), ['error rules.fillLitres']],
  ],
  ruleHoursOutOfRange: [
    [
      'none',
      (s) => {
        Object.assign(s.rules, { circuitHours: 0, shelfHours: 0, maxHangHours: 0 });
      },
      ['error rules.circuitHours', 'error rules.shelfHours', 'error rules.maxHangHours'],
    ],
    [
      'short',
      (s) => {
        Object.assign(s.rules, { circuitHours: 0.5, shelfHours: 0.5, maxHangHours: 0.25 });
      },
      [],
    ],
    ['a third', set('rules.maxHangHours', 1 / 3), ['error rules.maxHangHours']],
  ],
  shelfBeyondTests: [
    // Stored for 24 and 48 h, then measured: BMC Nephrol 2023;24, DOI 10.1186/s12882-023-03260-9, Table 1.
    ['48 h', set('rules.shelfHours', 48), []],
    ['more', set('rules.shelfHours', 49), ['warning rules.shelfHours']],
    ['by default', set('rules.shelfHours', null), ['warning rules.shelfHours']],
  ],
  roundsMissing: [
    ['one a day', set('rules.rounds', ['18:00']), []],
    ['none', set('rules.rounds', []), ['warning rules.rounds']],
    ['twice the same', set('rules.rounds', ['06:00', '06:00']), ['warning rules.rounds.1']],
  ],
  reserveOutOfRange: [
    ['half a bag', set('rules.reserve', { '2K': 0.5 }), []],
    ['below 0', set('rules.reserve', { '2K': -8 }), ['error rules.reserve.2K']],
  ],
  releaseByUnknown: [
    ['by time', set('rules.releaseBy', 'time'), []],
    ['by entry', set('rules.releaseBy', 'entry'), []],
    ['not said', set('rules.releaseBy', null), []],
    ['a capital', set('rules.releaseBy', 'Entry'), ['error rules.releaseBy']],
    ['nothing in it', set('rules.releaseBy', ''), ['error rules.releaseBy']],
  ],
  doseMeansUnknown: [
    ['effluent', set('rules.doseMeans', 'effluent'), []],
    ['dialysate', set('rules.doseMeans', 'dialysate'), []],
    ['not said', set('rules.doseMeans', null), []],
    ['a capital', set('rules.doseMeans', 'Dialysate'), ['error rules.doseMeans']],
    ['nothing in it', set('rules.doseMeans', ''), ['error rules.doseMeans']],
  ],
  slackOutOfRange: [
    ['none', set('slack', null), []],
    ['a day before each round, a thousand bags', set('slack', { roundMinutes: 1440, bags: 1000 }), []],
    [
      'below nothing, more than a day, more bags',
      set('slack', { roundMinutes: -1, testMinutes: 1441, bags: 1001 }),
      ['roundMinutes', 'testMinutes', 'bags'].map((f) => `error slack.${f}`),
    ],
  ],
  siteLimitOutOfRange: [
    [
      'the least of each',
      (s) => {
        Object.assign(s.rules, { steadyMinutes: 0, chlorineLimit: 0, conductivityTolerance: 0.001 });
      },
      [],
    ],
    [
      'beyond each',
      (s) => {
        Object.assign(s.rules, { steadyMinutes: -1, chlorineLimit: 1, conductivityTolerance: 5, pHMin: 4 });
      },
      ['steadyMinutes', 'chlorineLimit', 'conductivityTolerance', 'pHMin'].map((f) => `error rules.${f}`),
    ],
    // ISO 23500-3:2019, Table 1 (from memory): 0.1 mg/L of total chlorine at most.
    ['more chlorine than the standard', set('rules.chlorineLimit', 0.11), ['warning rules.chlorineLimit']],
    ['one pH alone', (s) => Object.assign(s.rules, { pHMin: 7.2, pHMax: 7.2 }), []],
    ['no pH left', (s) => Object.assign(s.rules, { pHMin: 7.3, pHMax: 7.2 }), ['error rules.pHMax']],
  ],
  tooManyBags: [
    ['a year of one patient', set('days', 366), []],
    [
      'tiny bags for many',
      (s) => {
        s.rules.fillLitres = 0.1;
        s.days = 366;
        s.patients = Array.from({ length: 20 }, (_, i) => ({ ...s.patients[1]!, id: `${i}` }));
      },
      ['error patients'],
    ],
  ],
  litresTooFine: [
    ['a thousandth of a mL', set('stock.0.litres', 6.500001), []],
    ['with a huge stock', set('stock', hugeStock(50.000001)), []],
    ['with a huge stock, finer', set('stock', hugeStock(49.99999999)), ['error rules.fillLitres']],
  ],
  forecastNumberOutOfRange: [
    ['none given', set('forecast', {}), []],
    ['caps at their most', set('forecast', { doseCap: 200, hoursCap: 24 }), []],
    [
      'all wrong',
      set('forecast', {
        days: 0,
        draws: 0,
        seed: -1,
        confidence: 1,
        doseCap: 0,
        hoursCap: 25,
        absence: 1.2,
        breakdowns: { daysBetween: 0, hoursToRepair: -1 },
      }),
      [
        'days',
        'draws',
        'seed',
        'confidence',
        'doseCap',
        'hoursCap',
        'absence',
        'breakdowns.daysBetween',
        'breakdowns.hoursToRepair',
      ].map((field) => `error forecast.${field}`),
    ],
  ],
  startsOutOfRange: [
    ['a list', set('forecast.startsPerDay', [0, 2, 3.5]), []],
    ['growth', set('forecast.startsPerDay', { first: 2, doublingDays: 7, peakDay: 21, halvingDays: 10 }), []],
    ['below 0', set('forecast.startsPerDay', -1), ['error forecast.startsPerDay']],
    ['below 0 in a list', set('forecast.startsPerDay', [1, -1]), ['error forecast.startsPerDay.1']],
    ['an empty list', set('forecast.startsPerDay', []), ['error forecast.startsPerDay']],
    [
      'doubling in no time',
      set('forecast.startsPerDay', { first: 2, doublingDays: 0, peakDay: 0 }),
      ['error forecast.startsPerDay.doublingDays'],
    ],
    [
      'growth from nothing',
      set('forecast.startsPerDay', { doublingDays: 7 }),
      ['error forecast.startsPerDay.first'],
    ],
    [
      'growth without its doubling',
      set('forecast.startsPerDay', { first: 2 }),
      ['error forecast.startsPerDay.doublingDays'],
    ],
    // 2 x 2^(30/1): a thousand million a day.
    [
      'growth beyond reason',
      set('forecast.startsPerDay', { first: 2, doublingDays: 1 }),
      ['error forecast.startsPerDay'],
    ],
  ],
  lawIncomplete: [
    ['sd missing', set('forecast.stayDays', { law: 'gamma', mean: 9 }), ['error forecast.stayDays.sd']],
    [
      'sample without values',
      set('forecast.stayDays', { law: 'sample', values: [] }),
      ['error forecast.stayDays.values'],
    ],
    ['fixed', set('forecast.stayDays', { law: 'fixed', value: 9 }), []],
  ],
  lawOutOfRange: [
    ['mean 0', set('forecast.stayDays', { law: 'exponential', mean: 0 }), ['error forecast.stayDays.mean']],
    ['sd below 0', set('forecast.weight', { law: 'normal', mean: 82, sd: -1 }), ['error forecast.weight.sd']],
    [
      'a value of 25 h',
      set('forecast.hoursPerDay', { law: 'fixed', value: 25 }),
      ['error forecast.hoursPerDay.value'],
    ],
    [
      'a sampled stay of 0',
      set('forecast.stayDays', { law: 'sample', values: [3, 0] }),
      ['error forecast.stayDays.values.1'],
    ],
    [
      'max below min',
      set('forecast.weight', { law: 'normal', mean: 82, sd: 18, min: 100, max: 40 }),
      ['error forecast.weight.max'],
    ],
    [
      'a cut that leaves nothing',
      set('forecast.weight', { law: 'normal', mean: 82, sd: 1, min: 200 }),
      ['error forecast.weight'],
    ],
    // Within 4 sd of the middle something is left to draw; an exponential law's sd is its mean.
    ['a cut at 4 sd', set('forecast.weight', { law: 'normal', mean: 82, sd: 1, min: 86, max: 200 }), []],
    [
      'a cut below 4 sd',
      set('forecast.weight', { law: 'normal', mean: 82, sd: 1, max: 77.9 }),
      ['error forecast.weight'],
    ],
    ['a long stay', set('forecast.stayDays', { law: 'exponential', mean: 9, min: 45 }), []],
    [
      'too long a stay',
      set('forecast.stayDays', { law: 'exponential', mean: 9, min: 45.1 }),
      ['error forecast.stayDays'],
    ],
    [
      'a fixed value that is cut away',
      set('forecast.dose', { law: 'fixed', value: 25, min: 26 }),
      ['error forecast.dose'],
    ],
    ['a value left', set('forecast.stayDays', { law: 'sample', values: [3, 6], min: 5, max: 6 }), []],
    [
      'a cut that leaves no value',
      set('forecast.stayDays', { law: 'sample', values: [3, 4], min: 5 }),
      ['error forecast.stayDays'],
    ],
  ],
  bathSharesWrong: [
    [
      'thirds, typed',
      set('forecast.bathByDay.0.share', { '2K': 0.333, '4K': 0.666 }),
      ['warning forecast.bathByDay.0.share'],
    ],
    [
      'adding up to 0.9',
      set('forecast.bathByDay.0.share', { '2K': 0.6, '4K': 0.3 }),
      ['error forecast.bathByDay.0.share'],
    ],
    [
      'unknown bath',
      set('forecast.bathByDay.1.share', { '2K': 0.2, '9K': 0.8 }),
      ['error forecast.bathByDay.1.share.9K'],
    ],
    ['days out of order', set('forecast.bathByDay.1.fromDay', 0), ['error forecast.bathByDay.1.fromDay']],
    ['not from day 0', set('forecast.bathByDay.0.fromDay', 1), ['warning forecast.bathByDay.0.fromDay']],
    [
      'below 0',
      set('forecast.bathByDay.0.share', { '2K': -0.2, '4K': 1.2 }),
      ['error forecast.bathByDay.0.share.2K', 'error forecast.bathByDay.0.share.4K'],
    ],
  ],
  planInUseBroken: [
    [
      'a plan that people work by',
      set('inUse', { start: '2031-02-03T07:00', now: '2031-02-03T09:00', activities: [] }),
      [],
    ],
    ['no time', set('inUse', { start: '2031-02-03T07:00', now: 'noon', activities: [] }), ['warning inUse']],
    [
      'an unknown kind',
      set('inUse', {
        start: '2031-02-03T07:00',
        now: '2031-02-03T09:00',
        activities: [{ kind: 'rest', start: 0, end: 9 }],
      }),
      ['warning inUse'],
    ],
  ],
  planInUseEmpty: [
    ['a test made', inUse('2031-02-03T09:00', [{ kind: 'test', water: 'RO-A', start: 0, end: 10 }]), []],
    ['nothing made', inUse('2031-02-03T09:00', []), ['warning inUse.activities']],
    ['cannot be read', inUse('noon', []), []],
  ],
  planInUseOutside: [
    ['at the start', inUse('2031-02-03T07:00', []), []],
    ['at the end', inUse('2031-02-10T07:00', []), []],
    ['before', inUse('2031-02-03T06:59', []), ['warning inUse.now']],
    ['after', inUse('2031-02-10T07:01', []), ['warning inUse.now']],
  ],
  lossUnclear: [
    ['a fill', set('lost', [{ machine: 'M1', at: '2031-02-03T09:00' }]), []],
    ['a test', set('lost', [{ water: 'RO-A', at: '2031-02-03T09:00' }]), []],
    ['no time', set('lost', [{ machine: 'M1', at: 'nine' }]), ['error lost.0.at']],
    ['of nothing', set('lost', [{ at: '2031-02-03T09:00' }]), ['error lost.0']],
    ['of both', set('lost', [{ machine: 'M1', water: 'RO-A', at: '2031-02-03T09:00' }]), ['error lost.0']],
    ['of no machine', set('lost', [{ machine: 'M9', at: '2031-02-03T09:00' }]), ['warning lost.0.machine']],
    ['of no source', set('lost', [{ water: 'RO-Z', at: '2031-02-03T09:00' }]), ['warning lost.0.water']],
  ],
};
