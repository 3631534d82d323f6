import type { Case, Edit } from './sound.ts';

/** Adds one field with a value that nothing uses to an object of the scenario. */
const add =
  (field: string, of: (scenario: Parameters<Edit>[0]) => unknown): Edit =>
  (scenario) => {
    Object.assign(of(scenario) as object, { [field]: 500 });
  };

/** By name of the rule: what happens, the edit, and the faults that the rule then finds. */
export const FIELDS_CASES: Record<string, readonly Case[]> = {
  unknownField: [
    ['misspelt', add('fluidRemovel', (s) => s.patients[1]), ['warning patients.1.fluidRemovel']],
    ['of a change', add('dosis', (s) => s.patients[0]!.changes![0]), ['warning patients.0.changes.0.dosis']],
    ['of the scenario', add('patient', (s) => s), ['warning patient']],
    ['of a bath', add('sodum', (s) => s.baths[0]), ['warning baths.0.sodum']],
    ['of a machine', add('position', (s) => s.machines[0]), ['warning machines.0.position']],
    [
      'of a window',
      add('until', (s) => s.machines[0]!.available![1]),
      ['warning machines.0.available.1.until'],
    ],
    ['of a circuit', add('since', (s) => s.machines[0]!.loaded), ['warning machines.0.loaded.since']],
    ['of a source', add('lasttest', (s) => s.water[0]), ['warning water.0.lasttest']],
    ['of a shift', add('date', (s) => s.shifts[0]), ['warning shifts.0.date']],
    ['of stock', add('expire', (s) => s.stock[0]), ['warning stock.0.expire']],
    ['of a delivery', add('lots', (s) => s.deliveries[0]), ['warning deliveries.0.lots']],
    ['of a supply', add('perLiter', (s) => s.supplies[1]), ['warning supplies.1.perLiter']],
    [
      "of a supply's delivery",
      add('amount', (s) => s.supplies[0]!.deliveries![0]),
      ['warning supplies.0.deliveries.0.amount'],
    ],
    ['of the rules', add('shelf_hours', (s) => s.rules), ['warning rules.shelf_hours']],
    ['a bath of the reserve is no field', add('2K', (s) => s.rules.reserve), []],
    ['of the forecast', add('seeds', (s) => s.forecast), ['warning forecast.seeds']],
    ['of a law', add('means', (s) => s.forecast.stayDays), ['warning forecast.stayDays.means']],
    [
      'of the growth',
      (s) => Object.assign(s.forecast, { startsPerDay: { first: 2, doublingDays: 7, peekDay: 9 } }),
      ['warning forecast.startsPerDay.peekDay'],
    ],
    [
      'of baths by day',
      add('shares', (s) => s.forecast.bathByDay![1]),
      ['warning forecast.bathByDay.1.shares'],
    ],
    ['of breakdowns', add('hours', (s) => s.forecast.breakdowns), ['warning forecast.breakdowns.hours']],
    [
      'of an own column',
      (s) => Object.assign(s, { columns: [{ sheet: 'patients', name: 'x', expression: '1', units: 'mL' }] }),
      ['warning columns.0.units'],
    ],
    [
      'near to none, in several rows: told once; a slip in several rows: each time',
      (s) => {
        for (const row of s.patients) Object.assign(row, { 'x-room': 'north', wieght: 80 });
      },
      ['warning patients.0.wieght', 'warning patients.1.wieght', 'warning patients.0.x-room'],
    ],
    ["the app's own colour and column", (s) => Object.assign(s.baths[0]!, { tint: '#112233' }), []],
  ],
};
