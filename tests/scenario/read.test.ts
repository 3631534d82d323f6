import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { repairable } from '../../src/scenario/faults/repairable.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { faultLine, MOST_CHARACTERS, readScenario, writeScenario } from '../../src/scenario/read.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { generate } from '../bench/generate.ts';
import { type Edit, sound } from './sound.ts';

const lines = (text: string): string[] => {
  const read = readScenario(text);
  return read.ok ? [] : read.faults.map((fault) => faultLine('week.json', fault));
};
const linesOf = (edit: Edit) => lines(JSON.stringify(sound(edit)));

describe('readScenario: text that is no scenario', () => {
  const cases: [string, string, RegExp][] = [
    ['empty', '', /^week\.json: the file is empty\. Expected: .*JSON/],
    ['words', 'hello', /^week\.json: not JSON at line 1, column 1/],
    ['a comma too many', '{\n  "format": "bathtide-scenario",\n}', /not JSON at line 3, column 1/],
    ['cut off', '{\n  "title": "week",\n  "days": [1, 2', /not JSON at line 3, column 16/],
    ['a comment', '{ // week\n}', /not JSON at line 1, column 3/],
    ['nested beyond the stack', '['.repeat(3_000_000), /^week\.json: not JSON/],
    [
      'the same, closed',
      `${'['.repeat(200_000)}${']'.repeat(200_000)}`,
      /^week\.json: lists or fields nested/,
    ],
    [
      'another format',
      '{"format":"csv"}',
      /format: format is the text "csv"\. Expected: "bathtide-scenario"/,
    ],
    ['no object', '[1, 2]', /format is missing/],
    ['null', 'null', /format is missing/],
    ['a later version', '{"format":"bathtide-scenario","version":2}', /version: version is 2\. Expected: 1/],
  ];
  for (const [what, text, line] of cases)
    it(what, () => {
      expect(lines(text)).toHaveLength(1);
      expect(lines(text)[0]).toMatch(line);
    });

  it('refuses 50 MB in a fraction of what reading 20 MB takes', () => {
    const timed = (text: string, says: RegExp) => {
      const before = performance.now();
      expect(lines(text)[0]).toMatch(says);
      return performance.now() - before;
    };
    const refused = timed(' '.repeat(50_000_000), /50 million characters\. Expected: .*at most 20 MB/);
    expect(refused).toBeLessThan(timed(' '.repeat(MOST_CHARACTERS), /the file is empty/) / 2);
  });
});

describe('readScenario: a field that stands twice', () => {
  // RFC 8259, section 4: names within an object SHOULD be unique; what a reader takes of two is not foreseeable.
  const twice = (edit: (text: string) => string) => lines(edit(writeScenario(sound() as Scenario)));
  it('is an error with both lines, at every depth', () => {
    expect(
      twice((text) =>
        text
          .replace('"days": 7', '"days": 7, "days": 14')
          .replace('"weight": 70', '"weight": 70,\n      "weight": 170'),
      ),
    ).toEqual([
      expect.stringMatching(
        /^week\.json: days: Plan and rules › Plan lasts: days stands twice, in lines 7 and 7\. Expected: one of the two$/,
      ),
      expect.stringMatching(
        /^week\.json: patients\[1\] \(bed-02\)\.weight: Patients › bed-02 › Weight: weight stands twice, in lines \d+ and \d+\./,
      ),
    ]);
  });
  it('also where the sheets could show the file: none of the two is dropped there', () => {
    const text = writeScenario(sound() as Scenario).replace('"days": 7', '"days": 7, "days": 14');
    expect(repairable(text)).toBeNull();
  });
  it('not where one name stands in two objects, or is part of a text', () => {
    expect(twice((text) => text.replace('Sound', 'Sound \\"days\\": 8,'))).toEqual([]);
  });
});

describe('readScenario: rows that wait for an owner', () => {
  const waiting = (edit: Edit = () => {}) =>
    sound((s) => {
      s.unassigned = {
        changes: [
          { owner: 'bed-02', at: '2031-02-05T07:00', dose: 22 },
          { owner: 'bed-99', at: '2031-02-05T07:00', dose: 23 },
        ],
        hours: [{ owner: 'M2', from: '2031-02-03T07:00', to: '2031-02-10T07:00' }],
      };
      edit(s);
    });
  const named = (s: Parameters<Edit>[0]) => {
    s.unassigned!.changes!.pop();
  };

  it('are with it where it is listed, which is said of each', () => {
    const read = readScenario(JSON.stringify(waiting(named)));
    if (!read.ok) throw new Error(read.faults[0]!.message);
    expect(read.scenario).toEqual(
      sound((s) => {
        s.patients[1]!.changes = [...(s.patients[1]!.changes ?? []), { at: '2031-02-05T07:00', dose: 22 }];
        s.machines[1]!.available = [{ from: '2031-02-03T07:00', to: '2031-02-10T07:00' }];
      }),
    );
    expect(read.taken.map((fault) => faultLine('week.json', fault))).toEqual([
      'week.json: patients[1] (bed-02).changes[0]: this row waited in unassigned for "bed-02", who is listed; it is planned with now. Expected: saved so; delete the row if it is not meant',
      'week.json: machines[1] (M2).available[0]: this row waited in unassigned for "M2", who is listed; it is planned with now. Expected: saved so; delete the row if it is not meant',
    ]);
    expect(read.warnings.slice(0, 2)).toEqual(read.taken);
  });
  it('are an error where it is not, and the others are taken over on screen too', () => {
    const text = JSON.stringify(waiting());
    const error = /^week\.json: unassigned\.changes\[0\]\.owner: "bed-99" is no patient yet/;
    expect(lines(text).filter((line) => !line.includes('waited'))).toEqual([expect.stringMatching(error)]);
    expect(repairable(text)!.taken).toHaveLength(2);
    expect(repairable(text)!.scenario.unassigned).toEqual({
      changes: [{ owner: 'bed-99', at: '2031-02-05T07:00', dose: 23 }],
    });
  });
  it('replace nothing that stands where the rows of the owner belong', () => {
    const text = JSON.stringify(waiting((s) => Object.assign(s.patients[1]!, { changes: { at: 'noon' } })));
    expect(lines(text)).toContain(
      'week.json: patients[1] (bed-02).changes: changes is fields in { }. Expected: a list in [ ]',
    );
  });
});

describe('readScenario: fields of the wrong kind', () => {
  const cases: [string, Edit, string][] = [
    [
      'a quantity as text',
      (s) => Object.assign(s.patients[1]!, { dose: '25 mL' }),
      'week.json: patients[1] (bed-02).dose: Patients › bed-02 › Effluent dose (prescribed): dose is the text "25 mL". Expected: a number without unit or quotes, e.g. 25',
    ],
    ...[
      ['6,5', ' without unit or quotes, e.g. 6.5'],
      ['-2.50 L', ' without unit or quotes, e.g. -2.5'],
      // Either of two numbers could be meant.
      ['1,200', ''],
      ['1 200', ''],
      ['20-25', ''],
    ].map(([text, hint]): [string, Edit, string] => [
      `"${text}"`,
      (s) => Object.assign(s.patients[1]!, { dose: text }),
      `week.json: patients[1] (bed-02).dose: Patients › bed-02 › Effluent dose (prescribed): dose is the text "${text}". Expected: a number${hint}`,
    ]),
    [
      'a missing field',
      (s) => Object.assign(s.patients[1]!, { weight: undefined }),
      'week.json: patients[1] (bed-02).weight: Patients › bed-02 › Weight: weight is missing. Expected: a number',
    ],
    [
      'half a bag position',
      (s) => Object.assign(s.machines[0]!, { positions: 7.5 }),
      'week.json: machines[0] (M1).positions: Machines › M1 › Bags per fill: positions is 7.5. Expected: a whole number',
    ],
    [
      'a list that is none',
      (s) => Object.assign(s, { shifts: { day: 1 } }),
      'week.json: shifts: shifts is fields in { }. Expected: a list in [ ]',
    ],
    [
      'an empty id',
      (s) => Object.assign(s.baths[0]!, { id: '' }),
      'week.json: baths[0] ().id: Baths › row 1 › Bath: id is the text "". Expected: text that is not empty',
    ],
    [
      'an unknown law',
      (s) => Object.assign(s.forecast, { listed: 'maybe' }),
      'week.json: forecast.listed: listed is the text "maybe". Expected: one of "as listed", "by stay"',
    ],
  ];
  for (const [what, edit, line] of cases) it(what, () => expect(linesOf(edit)).toEqual([line]));

  it('a number beyond all numbers', () => {
    const text = JSON.stringify(sound()).replace('"weight":70', '"weight":1e999');
    expect(lines(text)).toEqual([
      'week.json: patients[1] (bed-02).weight: Patients › bed-02 › Weight: weight is Infinity. Expected: a number',
    ]);
  });

  it('tells all of them at once', () => {
    const found = linesOf((s) => {
      Object.assign(s.patients[0]!, { dose: null, bath: 2 });
      Object.assign(s.machines[1]!, { flow: 'fast' });
    });
    expect(found.map((line) => line.split(': ')[1]).sort()).toEqual([
      'machines[1] (M2).flow',
      'patients[0] (bed-01).bath',
      'patients[0] (bed-01).dose',
    ]);
  });

  it('keeps a fault on one line whatever the names hold', () => {
    const lines = linesOf((s) => {
      s.patients[1]!.id = 'bed\n02\u001B[31m';
      s.patients[1]!.dose = -1;
    });
    expect(lines.filter((line) => line.includes('\n'))).toEqual([]);
    expect(lines).toContain(
      'week.json: patients[1] (bed 02 [31m).dose: Patients › bed 02 [31m › Effluent dose (prescribed): Effluent dose (prescribed) is -1 mL/kg/h. Expected: 0 to 200 mL/kg/h; usual is 20 to 30 (deliver 20 to 25, prescribe 25 to 30)',
    );
  });
});

describe('readScenario and writeScenario', () => {
  it('give back warnings beside the scenario', () => {
    const read = readScenario(JSON.stringify(sound((s) => Object.assign(s.patients[1]!, { dose: 40 }))));
    expect(read.ok && read.warnings.map(({ path }) => path.join('.'))).toEqual(['patients.1.dose']);
  });

  it('keep fields that nobody here knows, at every depth, and the order of all', () => {
    const text = JSON.stringify(
      sound((s) => {
        Object.assign(s, { 'x-site': { ward: 'north', beds: [1, 2] } });
        s.patients[0] = Object.assign({ 'x-first': true }, s.patients[0]!, { 'x-last': null });
        Object.assign(s.rules, { 'x-rule': 1.5 });
        Object.assign(s.patients[0]!.changes![0]!, { 'x-why': 'K 4.9' });
        Object.assign(s.machines[0]!.loaded!, { 'x-by': 'AB' });
      }),
    );
    const read = readScenario(text);
    expect(read.ok).toBe(true);
    if (!read.ok) return;
    expect(JSON.stringify(JSON.parse(writeScenario(read.scenario)))).toBe(text);
    const again = readScenario(writeScenario(read.scenario));
    expect(again.ok && writeScenario(again.scenario)).toBe(writeScenario(read.scenario));
  });

  it('read a file that begins with a byte order mark', () => {
    expect(readScenario(`\uFEFF${JSON.stringify(sound())}`).ok).toBe(true);
  });

  const folder = new URL('../../scenarios/', import.meta.url);
  for (const name of readdirSync(folder).filter((file) => file.endsWith('.json')))
    it(`${name} is sound, marked invented and as this program writes it`, () => {
      const text = readFileSync(new URL(name, folder), 'utf8');
      const read = readScenario(text);
      expect(read.ok ? [] : read.faults).toEqual([]);
      if (!read.ok) return;
      expect(read.scenario.title).toMatch(/invented/i);
      expect(JSON.parse(writeScenario(read.scenario))).toEqual(JSON.parse(text));
      expect(() => compile(read.scenario)).not.toThrow();
    });

  it('take every generated scenario', () => {
    const zones = ['UTC', 'America/Chicago', 'Europe/Berlin', 'Australia/Lord_Howe'] as const;
    for (let seed = 1; seed <= 40; seed++) {
      const scenario: Scenario = generate({ seed, kind: 'tiny', variety: 0.5, timeZone: zones[seed % 4]! });
      expect(lines(writeScenario(scenario)), `seed ${seed}`).toEqual([]);
    }
  });
});
