import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { cellProblem, cellText, editText } from '../../src/grid/cells.ts';
import { addRows, deleteRows, duplicateRows, setCells } from '../../src/grid/edits.ts';
import { mapHeadings } from '../../src/grid/headings.ts';
import { commit, DEPTH, NO_HISTORY, type Recipe, redo, undo } from '../../src/grid/history.ts';
import { type Field, type Row, type Sheet, valueAt } from '../../src/grid/sheet.ts';
import { SHEETS, sheetOf } from '../../src/grid/sheets.ts';
import { inSheetWords, placeOfPath, typedFaults } from '../../src/grid/where.ts';
import { limitsOf } from '../../src/record/limits.ts';
import { groundOf } from '../../src/scenario/faults/fault.ts';
import { FAULT_RULES, faultsOf } from '../../src/scenario/faults/faults.ts';
import { readScenario, shapeFaults, writeScenario } from '../../src/scenario/read.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { sound } from '../scenario/sound.ts';
import { at, tinyWorld } from '../world.ts';

const patient = (id: string) => ({ id, weight: 80, dose: 25, bath: '2K' });
const world = (): Scenario => tinyWorld({ patients: [patient('bed-1'), patient('bed-2')] });
const run = (scenario: Scenario, recipe: Recipe): Scenario =>
  commit({ scenario, history: NO_HISTORY }, 'test', recipe).scenario;
const cell = (scenario: Scenario, sheet: Sheet, row: number, key: string): { row: Row; field: Field } => ({
  row: sheet.rows(scenario)[row]!,
  field: sheet.fields.find((field) => field.key === key)!,
});
const typed = (scenario: Scenario, id: string, row: number, key: string, text: string): Scenario => {
  const sheet = sheetOf(id);
  return run(scenario, setCells(sheet, [{ ...cell(scenario, sheet, row, key), text }]));
};

describe('typing into a cell', () => {
  test('keeps the result in its field and what was typed beside it', () => {
    const after = typed(world(), 'patients', 0, 'weight', '180 lb');
    expect(after.patients[0]!.weight).toBeCloseTo(81.6466266, 9);
    const { row, field } = cell(after, sheetOf('patients'), 0, 'weight');
    expect(cellText(field, row, after)).toBe('81.6466266');
    expect(editText(field, row, after)).toBe('180 lb');
    const read = readScenario(writeScenario(after));
    expect(read.ok && read.scenario.patients[0]).toEqual(after.patients[0]);
  });
  test('a plain number leaves nothing beside it', () => {
    const after = typed(typed(world(), 'patients', 0, 'weight', '180 lb'), 'patients', 0, 'weight', '82');
    expect(after.patients[0]).toEqual({ ...patient('bed-1'), weight: 82 });
  });
  test('what the sheets themselves write beside any cell is no unknown field', () => {
    const forms = SHEETS.flatMap((sheet) =>
      sheet.rows(sound()).flatMap((row) => {
        const fields = row.field ? [sheet.fields.find(({ key }) => key === 'value')!] : sheet.fields;
        return fields.map((field) => ({ sheet, row, field, kind: (row.field ?? field).kind }));
      }),
    ).filter(({ kind }) => kind === 'number' || kind === 'integer');
    const after = forms.reduce(
      (scenario, { sheet, row, field }) => run(scenario, setCells(sheet, [{ row, field, text: '2 * 3' }])),
      sound(),
    );
    expect(JSON.stringify(after).match(/2 \* 3/g)!.length).toBeGreaterThan(40);
    expect([...FAULT_RULES.unknownField!(groundOf(after))]).toEqual([]);
  });
  test('what was typed is not shown once the value came from elsewhere', () => {
    const after = typed(world(), 'patients', 0, 'weight', '180 lb');
    const changed = run(after, (draft) => {
      draft.patients[0]!.weight = 70;
    });
    const { row, field } = cell(changed, sheetOf('patients'), 0, 'weight');
    expect(editText(field, row, changed)).toBe('70');
  });
  test('an emptied cell is absent, never 0', () => {
    const after = typed(
      typed(world(), 'patients', 0, 'fluidRemoval', '100'),
      'patients',
      0,
      'fluidRemoval',
      '  ',
    );
    expect('fluidRemoval' in after.patients[0]!).toBe(false);
  });
  test('an emptied pair of cells takes its object away', () => {
    const loaded = typed(
      typed(world(), 'machines', 0, 'loadedBath', '2K'),
      'machines',
      0,
      'circuitSince',
      '00:00',
    );
    expect(loaded.machines[0]!.loaded).toEqual({ bath: '2K', circuitSince: at(0) });
    const without = typed(typed(loaded, 'machines', 0, 'loadedBath', ''), 'machines', 0, 'circuitSince', '');
    expect('loaded' in without.machines[0]!).toBe(false);
  });
  test('what cannot be read stays as it was typed and is a fault of that cell', () => {
    const after = typed(world(), 'patients', 1, 'weight', '5 L');
    const { row, field } = cell(after, sheetOf('patients'), 1, 'weight');
    expect(cellText(field, row, after)).toBe('5 L');
    expect(cellProblem(field, row, after)).toBe('expected kg, not L');
    expect(typedFaults(after)).toMatchObject([{ level: 'error', path: ['patients', 1, 'weight'] }]);
  });
  test.each([
    ['2031-02-04 07:30', '2031-02-04T07:30'],
    ['2031-2-4 7:30', '2031-02-04T07:30'],
    ['2031-02-04', '2031-02-04T00:00'],
    ['07:30', '2031-02-03T07:30'],
  ])('the time %s', (text, wanted) => {
    expect(typed(world(), 'patients', 0, 'from', text).patients[0]!.from).toBe(wanted);
  });
  test('a date that the calendar lacks is refused and not guessed', () => {
    const after = typed(world(), 'patients', 0, 'from', '2/30/2031');
    expect(typedFaults(after)[0]?.hint).toMatch(/2031-02-03 07:00/);
  });
  test.each<[string, string, string, unknown, RegExp | null]>([
    ['machines', 'positions', '8', 8, null],
    ['machines', 'positions', '2.5', '2.5', /a whole number/],
    ['machines', 'baths', ' 2K ,, 4K ', ['2K', '4K'], null],
    ['shifts', 'from', '7:05', '07:05', null],
    ['shifts', 'from', '24:00', '24:00', /time of day/],
    ['shifts', 'from', '7', '7', /time of day/],
    ['patients', 'from', '2031-02-30 07:00', '2031-02-30 07:00', /local date and time/],
  ])('%s %s: %s', (id, key, text, value, problem) => {
    const scenario = typed(world(), id, 0, key, text);
    const { row, field } = cell(scenario, sheetOf(id), 0, key);
    expect(valueAt(row.value, field.path)).toEqual(value);
    if (problem) expect(cellProblem(field, row, scenario)).toMatch(problem);
    else expect(cellProblem(field, row, scenario)).toBeNull();
  });
  test('a time is shown as people write it, what is none as it was typed', () => {
    const shown = (text: string) => {
      const scenario = typed(world(), 'patients', 0, 'from', text);
      const { row, field } = cell(scenario, sheetOf('patients'), 0, 'from');
      return [cellText(field, row, scenario), editText(field, row, scenario)];
    };
    expect(shown('2031-02-04T07:30:00')).toEqual(['2031-02-04 07:30', '2031-02-04 07:30']);
    expect(shown('2/30/2031')).toEqual(['2/30/2031', '2/30/2031']);
    expect(shown('')).toEqual(['', '']);
  });
  test('lists, times of day and rules', () => {
    expect(typed(world(), 'machines', 0, 'baths', '2K; 4K').machines[0]!.baths).toEqual(['2K', '4K']);
    const rules = sheetOf('rules');
    const rounds = rules.rows(world()).findIndex(({ key }) => key === 'rules.rounds');
    expect(typed(world(), 'rules', rounds, 'value', '6:00, 18:00').rules?.rounds).toEqual(['06:00', '18:00']);
    const reserve = rules.rows(world()).findIndex(({ key }) => key === 'rules.reserve.4K');
    expect(typed(world(), 'rules', reserve, 'value', '16').rules?.reserve).toEqual({ '4K': 16 });
  });
});

describe('fields that a site may need', () => {
  const OFFER = { id: 'loan', kind: 'machine', of: 'M1' };
  const DUTY = { id: 'rinse', place: 'M1', times: ['04:00'], minutes: 45 };
  test.each([
    ['patients', 'ward', 'ICU-2', { ward: 'ICU-2' }],
    ['patients', 'sessionStart', '8:00', { session: { start: '08:00' } }],
    ['patients', 'sessionHours', '10 h', { session: { hours: 10 } }],
    ['machines', 'flowTolerance', '0.05', { flowTolerance: 0.05 }],
    ['duties', 'place', 'RO', { place: 'RO' }],
    ['duties', 'times', '4:00, 16:30', { times: ['04:00', '16:30'] }],
    ['duties', 'dates', '2031-02-04', { dates: ['2031-02-04'] }],
    ['duties', 'minutes', '1 h', { minutes: 60 }],
    ['duties', 'slackMinutes', '30', { slackMinutes: 30 }],
    ['duties', 'technicians', '1', { technicians: 1 }],
    ['duties', 'flow', '500', { flow: 500 }],
    ['duties', 'endsCircuit', 'yes', { endsCircuit: true }],
    ['duties', 'voidsTests', 'N', { voidsTests: false }],
    ['offers', 'kind', 'machine', { kind: 'machine' }],
    ['offers', 'weekdays', 'Mon, Fri', { weekdays: ['Mon', 'Fri'] }],
    ['offers', 'price', '1200.5', { price: 1200.5 }],
  ])('%s: %s typed as %s', (id, key, text, value) => {
    const after = typed({ ...world(), duties: [DUTY], offers: [OFFER] }, id, 0, key, text);
    expect(sheetOf(id).rows(after)[0]!.value).toMatchObject(value);
    const { path } = cell(after, sheetOf(id), 0, key).field;
    expect(placeOfPath(after, [id, 0, ...path])).toEqual({ sheet: id, row: `${id}.0`, field: key });
  });
  test('bags per day count the hours of a session', () => {
    const shown = (scenario: Scenario) => {
      const { row, field } = cell(scenario, sheetOf('patients'), 0, 'bagsPerDay');
      return cellText(field, row, scenario);
    };
    // 25 mL/kg/h x 80 kg = 2 L/h: 48 L in 24 h, 20 L in a session of 10 h, in bags of 6.5 L.
    expect(shown(world())).toBe('7.4');
    expect(shown(typed(world(), 'patients', 0, 'sessionHours', '10'))).toBe('3.1');
    expect(shown(typed(world(), 'patients', 0, 'sessionStart', '08:00'))).toBe('');
  });
  test('yes and no are shown as words, anything else is a fault of its cell', () => {
    const shown = (text: string) => {
      const after = typed({ ...world(), duties: [DUTY] }, 'duties', 0, 'endsCircuit', text);
      const { row, field } = cell(after, sheetOf('duties'), 0, 'endsCircuit');
      return [cellText(field, row, after), cellProblem(field, row, after)];
    };
    expect(shown('TRUE')).toEqual(['yes', null]);
    expect(shown('no')).toEqual(['no', null]);
    expect(shown('')).toEqual(['', null]);
    expect(shown('maybe')).toEqual(['maybe', "'maybe' is neither yes nor no"]);
  });
  test('a column headed Start or Hours stays the start and the hours of therapy, not of a session', () => {
    const mapped = mapHeadings(sheetOf('patients').fields, ['Bed', 'Start', 'Hours']);
    expect(mapped.map((one) => one?.field)).toEqual(['id', 'from', 'hoursPerDay']);
  });
});

describe('the rules of the site', () => {
  const ruled = (scenario: Scenario, path: string, text: string): Scenario => {
    const sheet = sheetOf('rules');
    const row = sheet.rows(scenario).find(({ key }) => key === `rules.${path}`)!;
    return run(scenario, setCells(sheet, [{ row, field: sheet.fields[1]!, text }]));
  };
  test.each([
    ['walkMinutes', '2', { walkMinutes: 2 }],
    ['fillStartMinutes', '3 min', { fillStartMinutes: 3 }],
    ['hands.bath', '2', { hands: { bath: 2 } }],
    ['sampleBags', '1', { sampleBags: 1 }],
    ['releaseAfterTest', 'Yes', { releaseAfterTest: true }],
    ['minStock.2K', '7', { minStock: { '2K': 7 } }],
    ['releaseBy', 'entry', { releaseBy: 'entry' }],
    ['steadyMinutes', '1.5 h', { steadyMinutes: 90 }],
    ['chlorineLimit', '0.05 mg/L', { chlorineLimit: 0.05 }],
    ['conductivityTolerance', '0.04', { conductivityTolerance: 0.04 }],
    ['pHMin', '7', { pHMin: 7 }],
    ['pHMax', '7.5', { pHMax: 7.5 }],
  ])('%s typed as %s', (path, text, rules) => {
    const after = ruled(world(), path, text);
    expect(after.rules).toMatchObject(rules);
    expect(faultsOf(after).filter(({ path: at }) => at.slice(1).join('.') === path)).toEqual([]);
    expect(placeOfPath(after, ['rules', ...path.split('.')])).toEqual({
      sheet: 'rules',
      row: `rules.${path}`,
      field: 'value',
    });
  });
  test('a mistyped way of release is an error at its cell, never taken for release by time', () => {
    const after = ruled(world(), 'releaseBy', 'Entry');
    const [fault] = faultsOf(after).filter(({ path }) => path.join('.') === 'rules.releaseBy');
    expect(fault).toMatchObject({ level: 'error', message: 'Bags are released by "Entry"' });
    expect(limitsOf(after).releaseBy).toBe('entry');
  });
});

describe('rows', () => {
  const patients = sheetOf('patients');
  test('a new row goes below and takes the next free name', () => {
    const after = run(world(), addRows(patients, patients.rows(world())[0], [[]]));
    expect(after.patients.map(({ id }) => id)).toEqual(['bed-1', 'bed-3', 'bed-2']);
  });
  test('a new patient has no dose, bath or therapy hours of the one above: they are missing', () => {
    const after = run(world(), addRows(patients, patients.rows(world())[0], [[]]));
    expect(after.patients[1]).toEqual({ id: 'bed-3' });
    expect(shapeFaults(after).map(({ path, message }) => [path.join('.'), message])).toEqual([
      ['patients.1.weight', 'weight is missing'],
      ['patients.1.dose', 'dose is missing'],
      ['patients.1.bath', 'bath is missing'],
    ]);
  });
  test('the rest of a paste adds rows at the end', () => {
    const fields = patients.fields;
    const line = (id: string) => [
      { field: fields[0]!, text: id },
      { field: fields.find(({ key }) => key === 'weight')!, text: '70' },
    ];
    const after = run(world(), addRows(patients, patients.rows(world()).at(-1), [line('x'), line('y')]));
    expect(after.patients.map(({ id, weight }) => [id, weight])).toEqual([
      ['bed-1', 80],
      ['bed-2', 80],
      ['x', 70],
      ['y', 70],
    ]);
  });
  test('duplicates stand below their rows under free names', () => {
    const after = run(world(), duplicateRows(patients, patients.rows(world())));
    expect(after.patients.map(({ id }) => id)).toEqual(['bed-1', 'bed-3', 'bed-2', 'bed-4']);
  });
  test('nested rows: added, moved to another owner, and an emptied list is absent', () => {
    const changes = sheetOf('changes');
    const owner = changes.fields[0]!;
    const one = run(world(), addRows(changes, undefined, [[{ field: owner, text: 'bed-2' }]]));
    expect(one.patients[1]!.changes).toEqual([{}]);
    const moved = run(one, setCells(changes, [{ row: changes.rows(one)[0]!, field: owner, text: 'bed-1' }]));
    expect(moved.patients.map((row) => row.changes?.length)).toEqual([1, undefined]);
    const none = run(moved, deleteRows(changes, changes.rows(moved)));
    expect(none).toEqual(world());
  });
});

describe('rows whose owner is not known', () => {
  const changes = sheetOf('changes');
  const owner = changes.fields[0]!;
  const dose = changes.fields.find(({ key }) => key === 'dose')!;
  const withOne = (): Scenario => {
    const scenario = world();
    scenario.patients[1]!.changes = [{ at: at(60), dose: 30 }];
    return scenario;
  };
  const give = (scenario: Scenario, row: number, text: string): Scenario =>
    run(scenario, setCells(changes, [{ row: changes.rows(scenario)[row]!, field: owner, text }]));

  test.each(['changes', 'hours', 'supplyDeliveries'])('a new row of %s is empty, and nobody’s', (id) => {
    const scenario: Scenario = { ...withOne(), supplies: [{ item: 'bag', onHand: 1 }] };
    const sheet = sheetOf(id);
    const after = run(scenario, addRows(sheet, sheet.rows(scenario)[0], [[]]));
    expect(after.unassigned).toEqual({ [id]: [{}] });
    expect(after).toEqual({ ...scenario, unassigned: after.unassigned });
    expect(sheet.rows(after).at(-1)).toMatchObject({ owner: '', value: {} });
  });
  test('its owner and time are missing, and lead to its cells', () => {
    const after = run(withOne(), addRows(changes, undefined, [[]]));
    const places = shapeFaults(after).map(({ path }) => placeOfPath(after, path));
    expect(places).toEqual([
      { sheet: 'changes', row: 'unassigned.changes.0', field: 'at' },
      { sheet: 'changes', row: 'unassigned.changes.0', field: 'owner' },
    ]);
  });
  test('an owner gets the row as it is, and nothing is left behind', () => {
    const after = give(run(withOne(), addRows(changes, undefined, [[]])), 1, 'bed-1');
    expect(after).toEqual({
      ...withOne(),
      patients: [{ ...patient('bed-1'), changes: [{}] }, withOne().patients[1]],
    });
  });
  test('a name that nobody has stays as typed and is a fault: the row is not left with its owner of before', () => {
    const after = give(withOne(), 0, 'bed-9');
    expect(after.patients).toEqual(world().patients);
    expect(after.unassigned).toEqual({ changes: [{ at: at(60), dose: 30, owner: 'bed-9' }] });
    expect(faultsOf(after).filter(({ level }) => level === 'error')).toMatchObject([
      {
        level: 'error',
        path: ['unassigned', 'changes', 0, 'owner'],
        hint: 'the name of a patient that is listed',
      },
    ]);
    expect(readScenario(writeScenario(after)).ok).toBe(false);
  });
  test('an emptied owner takes the row away from it', () => {
    expect(give(withOne(), 0, '').unassigned).toEqual({ changes: [{ at: at(60), dose: 30 }] });
  });
  test('a bed that comes later takes its rows', () => {
    const waiting = give(withOne(), 0, 'bed-9');
    const after = typed(waiting, 'patients', 0, 'id', 'bed-9');
    expect(after.patients[0]!.changes).toEqual([{ at: at(60), dose: 30 }]);
    expect('unassigned' in after).toBe(false);
  });
  test('pasted past the end a row keeps the owner it came with, never that of the row above', () => {
    const line = (text: string) => [
      { field: owner, text },
      { field: dose, text: '25' },
    ];
    const after = run(
      withOne(),
      addRows(changes, changes.rows(withOne())[0], [line('bed-1'), line('bed-9'), line('')]),
    );
    expect(after.patients.map((row) => row.changes)).toEqual([[{ dose: 25 }], [{ at: at(60), dose: 30 }]]);
    expect(after.unassigned).toEqual({ changes: [{ owner: 'bed-9', dose: 25 }, { dose: 25 }] });
  });
  test('an edit tells where its rows went', () => {
    const scenario = withOne();
    scenario.patients[1]!.changes!.push({ at: at(90), dose: 20 });
    const [first, second] = changes.rows(scenario);
    const trail = new Map<string, string>();
    const edits = [
      { row: first!, field: owner, text: 'bed-1' },
      { row: first!, field: dose, text: '22' },
      { row: second!, field: dose, text: '23' },
    ];
    run(scenario, setCells(changes, edits, trail));
    expect([...trail]).toEqual([
      ['patients.1.changes.0', 'patients.0.changes.0'],
      ['patients.1.changes.1', 'patients.1.changes.0'],
    ]);
  });
});

describe('undo', () => {
  test('takes back and does again any order of acts, exactly', () => {
    const sheets = ['patients', 'changes', 'machines', 'baths', 'shifts', 'supplies'];
    const act = fc.record({
      sheet: fc.constantFrom(...sheets),
      kind: fc.constantFrom('set', 'add', 'delete', 'duplicate'),
      row: fc.nat(5),
      field: fc.nat(8),
      text: fc.constantFrom(
        '',
        '7',
        'bed-1',
        'bed-2',
        '180 lb',
        '2K',
        '1.2*84',
        'nonsense',
        '2031-02-03 08:00',
      ),
    });
    fc.assert(
      fc.property(fc.array(act, { maxLength: 15 }), (acts) => {
        let state = { scenario: world(), history: NO_HISTORY };
        const states = [state.scenario];
        for (const { sheet: id, kind, row: index, field, text } of acts) {
          const sheet = sheetOf(id);
          const rows = sheet.rows(state.scenario);
          const row = rows[index % Math.max(1, rows.length)];
          const chosen = sheet.fields[field % sheet.fields.length]!;
          const recipe: Recipe = (draft) => {
            if (kind === 'set' && row) setCells(sheet, [{ row, field: chosen, text }])(draft);
            if (kind === 'add') addRows(sheet, row, [[{ field: chosen, text }]])(draft);
            if (kind === 'delete' && row) deleteRows(sheet, [row])(draft);
            if (kind === 'duplicate' && row) duplicateRows(sheet, [row])(draft);
          };
          const next = commit(state, kind, recipe);
          if (next.scenario !== state.scenario) states.push(next.scenario);
          state = next;
        }
        for (let n = states.length - 2; n >= 0; n--) {
          state = undo(state);
          expect(state.scenario).toEqual(states[n]);
        }
        for (let n = 1; n < states.length; n++) {
          state = redo(state);
          expect(state.scenario).toEqual(states[n]);
        }
      }),
      { numRuns: 60 },
    );
  });
  test('a paste of a thousand cells is one step', () => {
    const sheet = sheetOf('patients');
    const many = { ...world(), patients: Array.from({ length: 500 }, (_, index) => patient(`bed-${index}`)) };
    const fields = ['weight', 'dose'].map((key) => sheet.fields.find((field) => field.key === key)!);
    const edits = sheet.rows(many).flatMap((row) => fields.map((field) => ({ row, field, text: '70' })));
    const after = commit({ scenario: many, history: NO_HISTORY }, 'paste', setCells(sheet, edits));
    expect(after.history.past).toHaveLength(1);
    expect(after.scenario.patients.every(({ weight, dose }) => weight === 70 && dose === 70)).toBe(true);
    expect(undo(after).scenario).toEqual(many);
  });
  test('reaches 200 acts back, and an act that changes nothing is none', () => {
    let state = { scenario: world(), history: NO_HISTORY };
    for (let n = 1; n <= DEPTH + 5; n++)
      state = commit(state, 'weight', (draft) => {
        draft.patients[0]!.weight = n;
      });
    expect(state.history.past).toHaveLength(200);
    expect(commit(state, 'nothing', () => {})).toEqual(state);
    for (let n = 0; n < DEPTH; n++) state = undo(state);
    expect(state.scenario.patients[0]!.weight).toBe(5);
    expect(undo(state).scenario).toBe(state.scenario);
  });
});

describe('every fault leads to a cell', () => {
  test('of every field of every sheet', () => {
    const scenario = {
      ...world(),
      stock: [{ lot: 'S', bath: '2K', bags: 1, litres: 5 }],
      deliveries: [{ lot: 'D', bath: '2K', bags: 1, litres: 5 }],
      supplies: [{ item: 'circuit', onHand: 1, deliveries: [{ at: at(0), quantity: 1 }] }],
    };
    scenario.patients[0]!.changes = [{ at: at(0) }];
    scenario.machines[0]!.available = [{ from: at(0), to: at(9) }];
    for (const sheet of SHEETS)
      for (const row of sheet.rows(scenario))
        for (const field of row.field ? [row.field] : sheet.fields) {
          if (field.kind === 'fixed' || field.key === 'owner') continue;
          const place = placeOfPath(scenario, [...row.at, ...field.path]);
          expect(place).toEqual({ sheet: sheet.id, row: row.key, field: row.field ? 'value' : field.key });
        }
  });
  test('and one of a whole row or list to its first field', () => {
    expect(placeOfPath(world(), ['machines', 0, 'available', 0])).toMatchObject({ sheet: 'hours' });
    expect(placeOfPath(world(), ['machines', 0])).toEqual({
      sheet: 'machines',
      row: 'machines.0',
      field: 'id',
    });
    expect(placeOfPath(world(), ['shifts'])).toMatchObject({ sheet: 'shifts' });
  });
});

describe('what is missing is told in the words of a sheet', () => {
  const told = (scenario: Scenario): string[] =>
    shapeFaults(scenario).map((fault) => {
      const { message, hint } = inSheetWords(scenario, fault);
      return `${message}. Expected: ${hint}`;
    });
  test('a time, a number with its unit, a choice', () => {
    const hours = sheetOf('hours');
    expect(told(run(world(), addRows(hours, undefined, [[]])))).toEqual([
      'From is missing. Expected: a date and time, e.g. 2031-02-03 00:00',
      'To is missing. Expected: a date and time, e.g. 2031-02-03 00:00',
      'Machine is missing. Expected: one of M1',
    ]);
    const patients = sheetOf('patients');
    expect(told(run(world(), addRows(patients, undefined, [[]])))).toEqual([
      'Weight is missing. Expected: a number, in kg',
      'Effluent dose (prescribed) is missing. Expected: a number, in mL/kg/h',
      'Bath is missing. Expected: one of 2K, 4K',
    ]);
  });
  test('no cell of any sheet is told of quotes, brackets or keys of the file', () => {
    const scenario: Scenario = {
      ...world(),
      stock: [{ lot: 'S', bath: '2K', bags: 1, litres: 5 }],
      deliveries: [{ lot: 'D', bath: '2K', bags: 1, litres: 5 }],
      supplies: [{ item: 'circuit', onHand: 1, deliveries: [{ at: at(0), quantity: 1 }] }],
      forecast: { stayDays: { law: 'fixed', value: 3 }, startsPerDay: 1 },
    };
    scenario.patients[0]!.changes = [{ at: at(0) }];
    scenario.machines[0]!.available = [{ from: at(0), to: at(9) }];
    scenario.machines[0]!.loaded = { bath: '2K', circuitSince: at(0) };
    let faults = 0;
    for (const sheet of SHEETS)
      for (const [row, one] of sheet.rows(scenario).entries())
        for (const field of one.field ? [one.field] : sheet.fields) {
          if (field.kind === 'fixed' || valueAt(one.value, field.path) === undefined) continue;
          const without = typed(scenario, sheet.id, row, one.field ? 'value' : field.key, '');
          for (const text of told(without)) {
            faults += 1;
            expect(text).not.toMatch(/["[\]{}]|quotes/);
            expect(text.startsWith(`${field.header} is missing. Expected: `)).toBe(true);
          }
        }
    expect(faults).toBeGreaterThan(30);
  });
});

test('rows stay the same objects as long as their values do', () => {
  const before = world();
  const after = typed(before, 'patients', 0, 'weight', '81');
  const [first, second] = [before, after].map((scenario) => sheetOf('patients').rows(scenario));
  expect(second![1]).toBe(first![1]);
  expect(second![0]).not.toBe(first![0]);
  expect(valueAt(second![0]!.value, ['weight'])).toBe(81);
});
