import { type Case, set } from './sound.ts';

/** By name of the rule: what happens, the edit, and the faults that the rule then finds. */
export const PATIENTS_CASES: Record<string, readonly Case[]> = {
  duplicateBath: [['same id', set('baths.1.id', '2K'), ['error baths.1.id']]],
  concentrationOutOfRange: [
    ['no potassium', set('baths.0.potassium', 0), []],
    ['below 0', set('baths.0.potassium', -1), ['error baths.0.potassium']],
    ['absurd', set('baths.1.sodium', 1400), ['error baths.1.sodium']],
    // Common practice, no source: the comma slipped.
    ['potassium 20', set('baths.0.potassium', 20), ['warning baths.0.potassium']],
    ['calcium in mg/dL', set('baths.0.calcium', 10), ['warning baths.0.calcium']],
    ['no calcium', set('baths.0.calcium', 0), []],
    // 5.5 mmol/L as published (GPnotebook, "Composition of dialysate fluid"); about 100 mg/dL.
    ['glucose in mmol/L', set('baths.0.glucose', 5.5), []],
    ['glucose in mg/dL, likely', set('baths.0.glucose', 100), ['warning baths.0.glucose']],
  ],
  nameAgainstPotassium: [
    ['4 in a bath named 2K', set('baths.0.potassium', 4), ['warning baths.0.potassium']],
    // Measured in fluid made in house: BMC Nephrol 2023;24, DOI 10.1186/s12882-023-03260-9, Table 1.
    ['2.3 in a bath named 2K', set('baths.0.potassium', 2.3), []],
    [
      'a name with more behind it',
      (s) => Object.assign(s.baths[0]!, { id: '2 K-35', potassium: 3 }),
      ['warning baths.0.potassium'],
    ],
    ['a name that says a weight', (s) => Object.assign(s.baths[0]!, { id: '10kg', potassium: 3 }), []],
    ['a name that says nothing', (s) => Object.assign(s.baths[0]!, { id: 'standard', potassium: 3 }), []],
    ['no potassium given', set('baths.0.potassium', null), []],
  ],
  chargeOutOfBalance: [
    // Na 140, K 1, Ca 1.25 and Mg 0.5 mmol/L, HCO3 34, Cl 107.5: +3.0 mEq/L (GPnotebook, "Composition of dialysate fluid").
    [
      'a published bath without its acetate',
      (s) => {
        Object.assign(s.baths[0]!, {
          sodium: 140,
          potassium: 1,
          calcium: 2.5,
          magnesium: 1,
          bicarbonate: 34,
          chloride: 107.5,
          acetate: 0,
        });
      },
      [],
    ],
    // Measured after 48 h, +3.8 mEq/L: BMC Nephrol 2023;24, DOI 10.1186/s12882-023-03260-9, Table 1.
    [
      'a measured in-house bath',
      (s) => {
        Object.assign(s.baths[0]!, {
          sodium: 141,
          potassium: 2.3,
          calcium: 2.5,
          magnesium: 1,
          bicarbonate: 33,
          chloride: 110,
          acetate: 0,
        });
      },
      [],
    ],
    ['chloride left at 98', set('baths.0.chloride', 98), ['warning baths.0']],
    [
      'an ion not given',
      (s) => {
        s.baths[0]!.chloride = 98;
        s.baths[0]!.acetate = null;
      },
      [],
    ],
  ],
  tintMalformed: [
    ['a colour', set('baths.0.tint', '#2F6f9f'), []],
    ['a word', set('baths.0.tint', 'blue'), ['error baths.0.tint']],
  ],
  substituteUnclear: [
    ['itself', set('substitutes', [{ bath: '2K', by: '2K' }]), ['error substitutes.0.by']],
    [
      'a bed that is not there',
      set('substitutes', [{ bath: '2K', by: '4K', except: ['bed-99'] }]),
      ['error substitutes.0.except.0'],
    ],
    [
      'dates the wrong way round',
      set('substitutes', [{ bath: '2K', by: '4K', from: '2031-02-04T07:00', until: '2031-02-04T07:00' }]),
      ['error substitutes.0.until'],
    ],
    ['no dates and nobody excluded', set('substitutes', [{ bath: '2K', by: '4K' }]), []],
  ],
  unknownBath: [
    [
      'in every place that names one',
      (s) => {
        s.patients[1]!.bath = '9K';
        s.patients[0]!.changes![0]!.bath = '9K';
        s.machines[0]!.baths = ['2K', '9K'];
        s.machines[0]!.loaded!.bath = '9K';
        s.stock[0]!.bath = '9K';
        s.deliveries[0]!.bath = '9K';
        s.supplies[1]!.bath = '9K';
        s.rules.reserve = { '9K': 4 };
      },
      [
        'error patients.0.changes.0.bath',
        'error patients.1.bath',
        'error machines.0.baths.1',
        'error machines.0.loaded.bath',
        'error stock.0.bath',
        'error deliveries.0.bath',
        'error supplies.1.bath',
        'error rules.reserve.9K',
      ],
    ],
    [
      'none listed',
      (s) => {
        s.baths = [];
        s.patients = [];
        s.machines = [];
        s.stock = [];
        s.deliveries = [];
        s.supplies = [];
        s.rules = {};
      },
      [],
    ],
  ],
  duplicatePatient: [['same id', set('patients.1.id', 'bed-01'), ['error patients.1.id']]],
  doseOutOfRange: [
    // Deliver 20 to 25 (KDIGO 2012, rec. 5.8.4, from memory), prescribe 25 to 30 mL/kg/h (DOI 10.1111/sdi.12974).
    ['least usual', set('patients.0.dose', 20), []],
    ['most usual', set('patients.0.dose', 30), []],
    ['low', set('patients.0.dose', 19.9), ['warning patients.0.dose']],
    ['high', set('patients.0.dose', 30.1), ['warning patients.0.dose']],
    ['none', set('patients.0.dose', 0), ['warning patients.0.dose']],
    ['below 0', set('patients.0.dose', -25), ['error patients.0.dose']],
    ['absurd', set('patients.0.dose', 250), ['error patients.0.dose']],
    ['in a change', set('patients.0.changes.0.dose', 2000), ['error patients.0.changes.0.dose']],
  ],
  weightOutOfRange: [
    ['a small adult', set('patients.0.weight', 30), []],
    ['a newborn', set('patients.0.weight', 3), ['warning patients.0.weight']],
    ['a large adult', set('patients.0.weight', 150), []],
    ['pounds', set('patients.0.weight', 180), ['warning patients.0.weight']],
    ['none', set('patients.0.weight', 0), ['error patients.0.weight']],
    ['below 0', set('patients.0.weight', -82), ['error patients.0.weight']],
    ['grams', set('patients.0.changes.0.weight', 82000), ['error patients.0.changes.0.weight']],
  ],
  namesAlike: [
    ['another case', set('baths.1.id', '2k'), ['warning baths.1.id']],
    ['a blank more', set('machines.1.id', 'M 1'), ['warning machines.1.id']],
    ['the very same is told elsewhere', set('baths.1.id', '2K'), []],
    ['other names', set('baths.1.id', '5K'), []],
  ],
  nameWithHiddenLetters: [
    ['a Cyrillic letter', set('baths.1.id', '4\u041a'), ['warning baths.1.id']],
    ['a wide one', set('baths.1.id', '\uff14K'), ['warning baths.1.id']],
    ['a blank at the end', set('patients.0.id', 'bed-01 '), ['warning patients.0.id']],
    ['a control character', set('machines.0.id', 'M\u00001'), ['warning machines.0.id']],
    ['blanks alone', set('water.0.id', '  '), ['error water.0.id']],
    ['another alphabet throughout', set('patients.0.id', '\u043a\u043e\u0439\u043a\u0430-1'), []],
  ],
  anticoagulationUnknown: [
    ['citrate', set('patients.0.anticoagulation', 'citrate'), []],
    ['another', set('patients.0.anticoagulation', 'Citrate?'), ['error patients.0.anticoagulation']],
    [
      'in a change',
      set('patients.0.changes.0.anticoagulation', 'x'),
      ['error patients.0.changes.0.anticoagulation'],
    ],
  ],
  citrateAgainstCalcium: [
    ['calcium, nothing typed', () => {}, []],
    ['calcium and heparin', set('patients.0.anticoagulation', 'heparin'), []],
    [
      'calcium and citrate, then another bath with calcium',
      set('patients.0.anticoagulation', 'citrate'),
      ['warning patients.0.bath', 'warning patients.0.changes.0.bath'],
    ],
    ['calcium not typed', (s) => delete s.baths[0]!.calcium, []],
    ['no calcium, nothing typed', set('baths.0.calcium', 0), ['warning patients.0.bath']],
    [
      'no calcium, and citrate',
      (s) => {
        s.baths[0]!.calcium = 0;
        s.patients[0]!.anticoagulation = 'citrate';
      },
      ['warning patients.0.changes.0.bath'],
    ],
  ],
  hoursOutOfRange: [
    ['whole day', set('patients.0.hoursPerDay', 24), []],
    ['none', set('patients.0.hoursPerDay', 0), ['warning patients.0.hoursPerDay']],
    ['a session of 4 h', set('patients.0.hoursPerDay', 4), []],
    ['1 h', set('patients.0.hoursPerDay', 1), ['warning patients.0.hoursPerDay']],
    ['25', set('patients.0.hoursPerDay', 25), ['error patients.0.hoursPerDay']],
    ['below 0', set('patients.0.hoursPerDay', -1), ['error patients.0.hoursPerDay']],
  ],
  fluidRemovalOutOfRange: [
    ['none', set('patients.0.fluidRemoval', 0), []],
    ['very much', set('patients.0.fluidRemoval', 1500), ['warning patients.0.fluidRemoval']],
    ['below 0', set('patients.0.fluidRemoval', -100), ['error patients.0.fluidRemoval']],
  ],
  replacementOutOfRange: [
    ['much', set('patients.0.replacement', 2000), []],
    ['below 0', set('patients.0.replacement', -1), ['error patients.0.replacement']],
  ],
  tooManyDecimals: [
    ['nine', set('patients.0.weight', 82.123456789), []],
    ['ten', set('patients.0.weight', 82.1234567891), ['error patients.0.weight']],
    ['a sum in floating point', set('patients.1.dose', 0.1 + 0.2 + 24), []],
    ['a third', set('patients.1.dose', 70 / 3), ['error patients.1.dose']],
  ],
  rateBelowZero: [
    // 82 kg x 25 mL/kg/h = 2050 mL/h; from the change on 82 x 20 = 1640 mL/h.
    [
      'just 0',
      (s) => {
        s.patients[0]!.fluidRemoval = 50;
        s.patients[0]!.replacement = 2000;
        s.patients[0]!.changes = [];
      },
      [],
    ],
    [
      'below',
      (s) => {
        s.patients[0]!.fluidRemoval = 51;
        s.patients[0]!.replacement = 2000;
        s.patients[0]!.changes = [];
      },
      ['warning patients.0'],
    ],
    ['from a change on', set('patients.0.replacement', 1800), ['warning patients.0.changes.0']],
    // 70 kg x 25 mL/kg/h = 1750 mL/h.
    [
      'changes in order of time, not of the list: 750 mL/h on the 4th, 700 - 1000 on the 6th',
      set('patients.1.changes', [
        { at: '2031-02-06T07:00', dose: 10 },
        { at: '2031-02-04T07:00', fluidRemoval: 1000 },
      ]),
      ['warning patients.1.changes.0'],
    ],
    [
      'a weight and a replacement that change: 60 x 25 - 1501',
      set('patients.1.changes', [
        { at: '2031-02-04T07:00', weight: 60 },
        { at: '2031-02-05T07:00', replacement: 1501 },
      ]),
      ['warning patients.1.changes.1'],
    ],
  ],
  tellsWho: [
    ['a bed', set('patients.0.id', 'bed-09'), []],
    ['like a name', set('patients.0.id', 'Ada Example'), ['warning patients.0.id']],
    ['like a record number', set('patients.0.id', '00482913'), ['warning patients.0.id']],
  ],
  citrateFlowOutOfRange: [
    ['none', set('patients.0.citrateFlow', 0), []],
    ['below 0', set('patients.0.citrateFlow', -1), ['error patients.0.citrateFlow']],
    ['more than usual', set('patients.0.citrateFlow', 4001), ['warning patients.0.citrateFlow']],
  ],
  citrateFlowUnread: [
    [
      'with citrate',
      (s) => {
        Object.assign(s.patients[0]!, { citrateFlow: 300, anticoagulation: 'citrate' });
      },
      [],
    ],
    ['nothing said', set('patients.0.citrateFlow', 300), ['warning patients.0.citrateFlow']],
    [
      'citrate that ends',
      (s) => {
        Object.assign(s.patients[0]!, { citrateFlow: 300, anticoagulation: 'citrate' });
        s.patients[0]!.changes = [{ at: '2031-02-04T07:00', anticoagulation: 'heparin' }];
      },
      ['warning patients.0.changes.0'],
    ],
    [
      'a dose that means dialysate',
      (s) => {
        Object.assign(s.patients[0]!, { citrateFlow: 300, anticoagulation: 'citrate' });
        s.rules.doseMeans = 'dialysate';
      },
      ['warning patients.0.citrateFlow'],
    ],
  ],
  untilBeforeFrom: [
    [
      'a minute after',
      (s) => {
        s.patients[0]!.until = '2031-02-03T07:01';
        s.patients[0]!.changes = [];
      },
      [],
    ],
    ['equal', set('patients.0.until', '2031-02-03T07:00'), ['warning patients.0.until']],
    ['before', set('patients.0.until', '2031-02-03T06:59'), ['error patients.0.until']],
    [
      'before the start, without from',
      set('patients.1.until', '2031-02-01T07:00'),
      ['warning patients.1.until'],
    ],
  ],
  therapyOutsidePlan: [
    ['began long ago', set('patients.0.from', '2031-01-01T07:00'), []],
    ['ends long after', set('patients.0.until', '2031-05-01T07:00'), []],
    ['begins at the end', set('patients.1.from', '2031-02-10T07:00'), ['warning patients.1.from']],
    [
      'ended before',
      (s) => {
        s.patients[0]!.from = '2031-01-01T07:00';
        s.patients[0]!.until = '2031-02-03T07:00';
      },
      ['warning patients.0.until'],
    ],
  ],
  changeOutsideTherapy: [
    ['at the start', set('patients.0.changes.0.at', '2031-02-03T07:00'), []],
    [
      'before the start',
      set('patients.0.changes.0.at', '2031-02-03T06:59'),
      ['warning patients.0.changes.0.at'],
    ],
    ['at the end', set('patients.0.changes.0.at', '2031-02-08T07:00'), ['warning patients.0.changes.0.at']],
  ],
  changeOfNothing: [
    ['one field', set('patients.0.changes', [{ at: '2031-02-05T07:00', hoursPerDay: 20 }]), []],
    ['no field', set('patients.0.changes', [{ at: '2031-02-05T07:00' }]), ['warning patients.0.changes.0']],
  ],
  rowOfNobody: [
    ['none', set('unassigned', {}), []],
    [
      'a change, a window and a delivery',
      (s) => {
        s.unassigned = {
          changes: [{ owner: 'bed-99', at: s.start, dose: 20 }],
          hours: [{ owner: 'M99', from: s.start, to: s.start }],
          supplyDeliveries: [{ owner: 'bags', at: s.start, quantity: 1 }],
        };
      },
      [
        'error unassigned.changes.0.owner',
        'error unassigned.hours.0.owner',
        'error unassigned.supplyDeliveries.0.owner',
      ],
    ],
  ],
};
