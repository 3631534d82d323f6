import { describe, expect, test } from 'vitest';
import {
  firstShort,
  lacksFirst,
  type MachineRow,
  machineRows,
  moreIsNoUse,
  smallestMachines,
  supplyAnswers,
} from '../../src/capacity/answers/answers.ts';
import { bandOf, chanceError } from '../../src/capacity/answers/bands.ts';
import { type Chunk, type Runner, runDraws } from '../../src/capacity/answers/job.ts';
import {
  bestSavings,
  leverForms,
  leversNamed,
  leversOf,
  leversTyped,
} from '../../src/capacity/answers/leverForms.ts';
import {
  boughtBags,
  doseCap,
  hoursCap,
  type Lever,
  longerShift,
  moreMachines,
  moreTechnicians,
  moreWater,
  oneBath,
  together,
} from '../../src/capacity/answers/levers.ts';
import {
  bagsByMachines,
  bagsByTechnicians,
  bagsByWater,
  givingFirst,
  type Limit,
  limitsOf,
} from '../../src/capacity/answers/limits.ts';
import { requirements, withMachines } from '../../src/capacity/answers/requirements.ts';
import { study } from '../../src/capacity/answers/study.ts';
import { heatMap, leverSavings } from '../../src/capacity/answers/sweeps.ts';
import { variantAnswers } from '../../src/capacity/answers/variants.ts';
import { copiedOf, fullestOf } from '../../src/capacity/draws/copies.ts';
import { groundOf } from '../../src/capacity/draws/draw.ts';
import { DEFAULT_NOTES, specOf } from '../../src/capacity/forecast/forecast.ts';
import { Ready } from '../../src/capacity/model/ready.ts';
import { USABLE } from '../../src/capacity/model/usable.ts';
import { answerText, copyText } from '../../src/reports/capacityWords.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { forecastSchema, type Scenario, scenarioSchema } from '../../src/scenario/schema.ts';
import { tinyWorld } from '../world.ts';
import { emptySite, frozen, wardSite } from './worlds.ts';

const here: Runner = async (jobs, onDone) =>
  jobs.map((job) => {
    const chunk = runDraws(job);
    onDone?.(chunk.count);
    return chunk;
  });

describe('answers read off the draws', () => {
  // Four draws, three machines asked about; one supply.
  const site = { ...wardSite(), supplies: [{ item: 'bag set', onHand: 100, perFill: 1 }] };
  const ground = groundOf(site);
  const all: Chunk = {
    first: 0,
    count: 4,
    census: new Int32Array(4 * 14),
    bags: new Int32Array(4 * 3 * 14),
    short: Float64Array.of(9, 4, 0, 7, 0, 0, 8, 0, 0, 12, 0, 0),
    cause: Int8Array.of(4, 4, -1, 4, -1, -1, 1, -1, -1, 4, -1, -1),
    round: Int16Array.of(1, 2, -1, 3, -1, -1, 2, -1, -1, 5, -1, -1),
    supplyAtStart: Float64Array.of(80, 90, 110, 120),
    supplyRound: Int16Array.of(-1, -1, 9, 7),
  };
  const rows = machineRows(all, 3);

  test('chance, mean and 95 % quantile of bags short, and what lacks', () => {
    expect(rows.map(({ shortageChance }) => shortageChance)).toEqual([1, 0.25, 0]);
    expect(rows[0]!.bagsShort).toBe(9);
    // Type 7 between 9 and 12 at 0.95 x 3 = 2.85.
    expect(rows[0]!.p95BagsShort).toBeCloseTo(9 + 0.85 * 3, 12);
    expect(rows[0]!.causes).toMatchObject({ machines: 0.75, supplies: 0.25 });
  });

  test('the fewest machines for a confidence, or none', () => {
    expect(smallestMachines(rows, 0.75)).toBe(2);
    expect(smallestMachines(rows, 0.76)).toBe(3);
    expect(smallestMachines(rows.slice(0, 2), 0.95)).toBeNull();
  });

  test('capacity is first exceeded at the round by which more draws are short than the confidence allows', () => {
    // Rounds 1, 2, 3 and 5 with one machine; 5 % of four draws is none.
    expect(firstShort(all, 3, 1, ground).minute).toBe(ground.problem.rounds[1]!.at);
    expect(firstShort(all, 3, 2, ground)).toMatchObject({
      chance: 0.25,
      minute: ground.problem.rounds[2]!.at,
    });
    expect(firstShort(all, 3, 3, ground)).toEqual({ chance: 0, minute: null, median: null });
  });

  test('what the first missing bag lacks, the most frequent first', () => {
    expect(lacksFirst(rows[0]!)).toEqual([
      { limit: 'machines', share: 0.75 },
      { limit: 'supplies', share: 0.25 },
    ]);
    expect(lacksFirst(rows[2]!)).toEqual([]);
  });

  test('when a supply runs out', () => {
    const [row] = supplyAnswers(all, ground);
    expect(row).toMatchObject({ item: 'bag set', onHand: 100, runsOut: 0.5, p95: null });
    expect(row!.wanted).toBeCloseTo(110 + 0.85 * 10, 12);
    expect(row!.p5).toBe(ground.problem.rounds[7]!.at);
    expect(row!.runsOutError).toBe(chanceError(0.5, 4));
  });

  test('bands and the error of a chance', () => {
    const band = bandOf(Float64Array.from({ length: 101 }, (_, n) => 100 - n));
    expect(band).toEqual({ mean: 50, p5: 5, p25: 25, p50: 50, p75: 75, p95: 95 });
    // Wilson's interval for 10 of 100 (Newcombe 1998, Stat Med 17:857: 0.0552 to 0.1744 for 10/100; from memory).
    expect(2 * chanceError(0.1, 100)).toBeCloseTo(0.1744 - 0.0552, 3);
  });
});

describe('the whole answer', () => {
  const site = wardSite();
  const options = { draws: 60, seed: 1 };

  test('falls with machines, says how sure it is, and reads as a sentence', async () => {
    const told: number[] = [];
    const made = await study(site, here, { ...options, onProgress: (done) => told.push(done) });
    expect(told.at(-1)).toBe(1);
    expect(made.rows[0]!.shortageChance).toBe(1);
    expect(made.smallest).not.toBeNull();
    for (let n = 1; n < made.rows.length; n++)
      expect(made.rows[n]!.bagsShort).toBeLessThanOrEqual(made.rows[n - 1]!.bagsShort);
    expect(answerText(made)).toMatch(
      new RegExp(
        `^${made.smallest} machines? (is|are) enough for the service level: no shortage in at least 95 % of runs`,
      ),
    );
    expect(made.days).toHaveLength(14);
    // Little's law at work: 40 listed run off while 4 a day come.
    expect(made.days[13]!.census.p5).toBeGreaterThan(20);
  });

  test('supplies that run out make every number of machines too few; without them there is an answer', async () => {
    const poor = { ...site, supplies: [{ item: 'bag set', onHand: 40, perFill: 1 }] };
    const made = await study(poor, here, options);
    expect(made.smallest).toBeNull();
    expect(made.supplied?.smallest).toBeGreaterThan(0);
    expect(made.supplies[0]!.runsOut).toBe(1);
    expect(made.limits[0]!.what).toBe('bag set');
    expect(answerText(made)).toMatch(/^No number of machines is enough/);
  });

  test('a heat map rises with neither machines nor technicians; each row rests on the same runs', async () => {
    const made = await study(site, here, options);
    const heat = await heatMap(site, here, {
      draws: 40,
      seed: 1,
      machines: [1, 2, 3, 4],
      more: [0, 1, 2],
    });
    expect(heat.more).toEqual([0, 1, 2]);
    // 40 runs, not the 60 of the answer: compared with more, another technician could look harmful.
    const few = await study(site, here, { ...options, draws: 40 });
    expect(heat.rows[0]).toEqual(few.rows.slice(0, 4));
    expect(heat.rows[0]).not.toEqual(made.rows.slice(0, 4));
    for (const row of heat.rows)
      for (let n = 1; n < 4; n++)
        expect(row[n]!.shortageChance).toBeLessThanOrEqual(row[n - 1]!.shortageChance);
    for (let n = 0; n < 4; n++)
      expect(heat.rows[1]![n]!.bagsShort).toBeLessThanOrEqual(heat.rows[0]![n]!.bagsShort + 1e-9);
    for (let n = 0; n < 4; n++)
      expect(heat.rows[2]![n]!.bagsShort).toBeLessThanOrEqual(heat.rows[1]![n]!.bagsShort + 1e-9);
  });

  test('what is just enough is enough', async () => {
    const made = await study(site, here, options);
    const needs = await requirements(made, here, options);
    expect(needs.beside).toEqual({ like: 'M1', more: Math.max(0, made.smallest! - 4) });
    expect(needs.kinds).toEqual([needs.beside]);
    // Each is just enough: one technician or a tenth of the water less is not.
    const base = { ...withMachines(site, Math.max(4, made.smallest!)), supplies: [] };
    const chance = async (scenario: Scenario) => (await study(scenario, here, options)).rows;
    for (const { shift, technicians } of needs.technicians) {
      const staffed = (count: number) => ({
        ...base,
        shifts: base.shifts.map((row) => (row.id === shift ? { ...row, technicians: count } : row)),
      });
      const row = async (count: number) => (await chance(staffed(count)))[base.machines.length - 1]!;
      expect((await row(technicians!)).shortageChance).toBeLessThanOrEqual(1 - made.confidence + 1e-9);
      if (technicians! > 0)
        expect((await row(technicians! - 1)).shortageChance).toBeGreaterThan(1 - made.confidence);
    }
    const [water] = needs.water;
    // Each machine alone already draws 800 mL/min.
    expect(water!.capacity!).toBeGreaterThanOrEqual(800);
    expect(water!.capacity!).toBeLessThanOrEqual(3200 * 3);
  });

  test('what gives first: one machine, water and technicians by hand', () => {
    const one = { ...emptySite({ days: 10, startsPerDay: 0 }) };
    const { problem } = groundOf(one);
    const making = new Ready(problem, 1);
    const hours = bagsByMachines(problem, making);
    // 19 fills of 73 min a circuit of 30 min: 1440 / (73 + 30 / 19) x 8 bags, less what a plan cannot use.
    expect(hours / ((1440 / (73 + 30 / 19)) * 8)).toBeCloseTo(USABLE.machines, 6);
    // One technician, less 6 tests of 10, at 8 + 30 / 19 min for 8 bags. Full bags may wait 10 min; at a minute drawn at
    // random the work under way is one of 8 min or one of 30, by the time that they take.
    const each = 30 / 19;
    const block = (8 * 8 + each * 30) / (8 + each);
    const lost = (USABLE.crowd * block) / (block + 10);
    expect(bagsByTechnicians(problem, making)).toBeCloseTo(((1440 * (1 - lost) - 60) / (8 + 30 / 19)) * 8, 6);
    // Water, were there machines enough: 1600 mL/min feed two of 800 all the time, each bag takes 6.5 L and its part of
    // the circuit's 24 L.
    expect(bagsByWater(problem, 0, making)).toBeCloseTo((1.6 * 1440 * USABLE.water) / (6.5 + 24 / 19 / 8), 6);
    const limits = limitsOf(groundOf(one), [8, 0], 1);
    expect(limits.map(({ what }) => what)).toEqual(['machine hours', 'water', 'technicians']);
    expect(limits[0]!.bagsPerDay).toBe(hours);
    expect(limits[0]!.census).toBeCloseTo(hours / 8, 9);
    // A source that no machine uses feeds none.
    const idle = { ...one, water: [...one.water, { ...one.water[0]!, id: 'RO-2' }] };
    expect(bagsByWater(groundOf(idle).problem, 1, making)).toBe(0);
  });
});

describe('what more machines are, and what else would help', () => {
  const row = (
    machines: number,
    bagsShort: number,
    causes: Partial<MachineRow['causes']> = {},
  ): MachineRow => ({
    machines,
    shortageChance: bagsShort > 0 ? 1 : 0,
    chanceError: 0,
    bagsShort,
    p95BagsShort: bagsShort,
    causes: { 'opening stock': 0, supplies: 0, technicians: 0, water: 0, machines: 0, ...causes },
  });
  // The last machine is there for six of 24 hours, and not for 3K.
  const odd = wardSite({
    machines: [
      { id: 'M1', flow: 500, positions: 8, water: 'RO' },
      { id: 'M2', flow: 800, positions: 8, water: 'RO' },
      {
        id: 'M3',
        flow: 800,
        positions: 8,
        water: 'RO',
        baths: ['2K', '4K'],
        available: [{ from: '2031-02-03T07:00', to: '2031-02-05T01:00' }],
      },
    ],
  });

  test('what a copied machine is', () => {
    const problem = compile(odd);
    expect(copiedOf(problem)).toEqual({ id: 'M3', available: 42 / 168, cannot: ['3K'] });
    expect(copyText(copiedOf(problem)!)).toBe(
      'an extra machine like M3: available 25 % of the time, not for 3K',
    );
    expect(copyText({ id: 'M1', available: 1, cannot: [] })).toBe('an extra machine like M1');
    expect(copiedOf(compile(wardSite({ machines: [] })))).toBeNull();
  });

  test('the fullest machine: always there, for every bath, the quickest of those; none where the last is one', () => {
    expect(fullestOf(compile(odd))).toBe(1);
    expect(fullestOf(compile(wardSite()))).toBeNull();
  });

  test('more machines are of no use when no fewer bags are missing', () => {
    expect(moreIsNoUse([row(1, 90), row(2, 50), row(3, 50), row(4, 50)], 2)).toBe(true);
    expect(moreIsNoUse([row(1, 90), row(2, 50), row(3, 50), row(4, 50)], 1)).toBe(false);
    expect(moreIsNoUse([row(1, 90), row(2, 50), row(3, 40)], 2)).toBe(false);
    // Nothing is missing; nothing is known of more than listed.
    expect(moreIsNoUse([row(1, 0), row(2, 0)], 1)).toBe(false);
    expect(moreIsNoUse([row(1, 90)], 1)).toBe(false);
  });

  test('what gives first stands first: by draws, supplies by how often they run out', () => {
    const limit = (what: string, kind: Limit['kind'], census: number): Limit => ({
      what,
      kind,
      census,
      bagsPerDay: census,
    });
    const limits = [
      limit('bag set', 'supply', 189),
      limit('circuit', 'supply', 190),
      limit('machine hours', 'machine hours', 191),
      limit('water', 'water', 267),
    ];
    const supplies = [
      { item: 'bag set', runsOut: 0.02 },
      { item: 'circuit', runsOut: 0.06 },
    ];
    const given = givingFirst(limits, {
      row: row(16, 9, { machines: 0.83 }),
      supplies,
      peak: 248,
      confidence: 0.95,
    });
    expect(given.map(({ what, share, beyond }) => [what, share, beyond])).toEqual([
      ['machine hours', 0.83, true],
      ['circuit', 0.06, true],
      // 189 patients all along would use it up; the forecast has 248 on its fullest day only.
      ['bag set', 0.02, false],
      ['water', 0, false],
    ]);
  });

  test('as many of the fullest machine as would do are told beside the last one', async () => {
    const options = { draws: 40, seed: 1 };
    // There for no whole fill.
    const seldom = { ...odd.machines[2]!, available: [{ from: '2031-02-05T06:00', to: '2031-02-05T07:00' }] };
    const made = await study({ ...odd, machines: [...odd.machines.slice(0, 2), seldom] }, here, options);
    expect(made.smallest).toBeNull();
    const { machines } = made.scenario;
    const four = await study(
      { ...made.scenario, machines: [...machines, { ...machines[1]!, id: 'M2 2' }] },
      here,
      options,
    );
    expect(made.fuller).toMatchObject({ id: 'M2', smallest: four.smallest });
    expect(answerText(made)).toContain(
      `If each added machine is like M2 (always available, every bath), ${four.smallest} in all are enough.`,
    );
  });

  test('machines that change nothing are not said to be what lacks', async () => {
    const made = await study(frozen('surge-week'), here, { draws: 20, seed: 1 });
    const said = answerText(made);
    expect(said).toContain(
      'Each machine beyond the 4 listed is an extra machine like M4: available 12 % of the time, not for 3K.',
    );
    expect(said).toMatch(
      /More such machines change nothing: 100 % \(± [\d.]+\) of runs are short, with 4 as with 6\./,
    );
    expect(said).toContain('First lacking: a machine at that time and for that bath');
    expect(said).toMatch(
      /Unlimited supplies would leave [\d,.]+ of those [\d,.]+ bags unmet with the 4 listed/,
    );
    expect(said).not.toContain('First lacking: machines');
  });
});

describe('levers are scenarios', () => {
  const site = wardSite();
  test('every one gives a file that reads, with the listed and the new patients changed alike', () => {
    for (const lever of leversOf(site)) {
      const changed = lever.apply(site);
      expect(scenarioSchema.safeParse(changed).success, lever.id).toBe(true);
      expect(changed).not.toEqual(site);
      expect(site).toEqual(wardSite());
    }
    const capped = together([doseCap(20), hoursCap(18)]).apply(site);
    expect(Math.max(...capped.patients.map(({ dose }) => dose))).toBe(20);
    expect(Math.max(...capped.patients.map(({ hoursPerDay }) => hoursPerDay ?? 24))).toBe(18);
    expect(specOf(capped)).toMatchObject({ doseCap: 20, hoursCap: 18 });
    expect(
      new Set(
        oneBath('4K')
          .apply(site)
          .patients.map(({ bath }) => bath),
      ),
    ).toEqual(new Set(['4K']));
    expect(moreMachines('M2', 2).apply(site).machines).toHaveLength(6);
    expect(boughtBags('4K', 50).apply(site).stock).toHaveLength(4);
    // One source at a time, also where its capacity changes.
    const [ro] = site.water;
    const changing = { ...ro!, capacityChanges: [{ at: '2031-02-04T07:00', capacity: 1000 }] };
    const two = { ...site, water: [changing, { ...ro!, id: 'RO-2' }] };
    expect(moreWater('RO', 800).apply(two).water).toEqual([
      { ...changing, capacity: 4000, capacityChanges: [{ at: '2031-02-04T07:00', capacity: 1800 }] },
      two.water[1],
    ]);
    expect(withMachines(site, 6).machines.map(({ id }) => id)).toEqual([
      'M1',
      'M2',
      'M3',
      'M4',
      'M4 2',
      'M4 3',
    ]);
  });

  test('numbers and ranges as a person types them', () => {
    const form = (id: string) => leverForms(site).find((one) => one.id === id)!;
    const ids = (id: string, text: string) => leversTyped(form(id), text)?.map((lever) => lever.id) ?? null;
    expect(ids('dose', '22.5')).toEqual(['dose-22.5']);
    expect(ids('dose', '22,5')).toEqual(['dose-22.5']);
    expect(ids('dose', '19 to 21')).toEqual(['dose-19', 'dose-20', 'dose-21']);
    expect(ids('dose', '19.5 - 20.5')).toEqual(['dose-19.5', 'dose-20', 'dose-20.5']);
    expect(ids('machines-M1', '2..3')).toEqual(['machines-M1-2', 'machines-M1-3']);
    for (const bad of ['', 'many', '25 to 19', '4', '19 to 900', '19 to', '-3'])
      expect(ids('dose', bad), bad).toBeNull();
  });

  test('the best changes: one of a kind, and the numbers that a person typed', () => {
    const saving = (id: string, bagsShort: number) => ({
      id,
      label: id,
      bagsShort,
      bagsPerDay: 0,
      machines: null,
      chanceBefore: 1,
      chanceAfter: 0.5,
      chanceError: 0,
      enough: null,
    });
    const usual = leversOf(site).map(({ id }) => saving(id, id.startsWith('dose') ? 90 : 1));
    const best = (more: [string, number][]) =>
      bestSavings(site, [...usual, ...more.map(([id, bags]) => saving(id, bags))], 3).map(({ id }) => id);
    expect(best([])[0]).toBe('dose-20');
    expect(
      best([
        ['dose-23', 30],
        ['dose-24', 20],
        ['machines-M1-4', 80],
      ]).slice(0, 2),
    ).toEqual(['machines-M1-4', 'dose-23']);
    expect(best([['machines-M1-4', 0]])).not.toContain('machines-M1-4');
  });

  test('changes by name: any number within reason, ranges, one place at a time', () => {
    const ids = (name: string) => leversNamed(site, name)?.map(({ id }) => id) ?? null;
    expect(ids('dose-22.5')).toEqual(['dose-22.5']);
    expect(ids('machines-M1-2..4')).toEqual(['machines-M1-2', 'machines-M1-3', 'machines-M1-4']);
    expect(ids('technicians-night-1..2')).toEqual(['technicians-night-1', 'technicians-night-2']);
    expect(ids('bath-3K')).toEqual(['bath-3K']);
    for (const name of [
      'dose-900',
      'dose-',
      'magic-3',
      'water-none-100',
      'dose-25..19',
      'bought-2K-1..99999',
    ])
      expect(ids(name), name).toBeNull();
    expect(leversOf(site).map(({ id }) => id)).toContain('longer-day-2');
  });

  test('a longer night begins earlier and ends later; it never passes 24 h', () => {
    const shift = (hours: number) => longerShift('night', hours).apply(site).shifts[1];
    expect(shift(2)).toMatchObject({ from: '18:00', to: '08:00' });
    expect(shift(40)).toMatchObject({ from: '13:00', to: '13:00' });
  });

  test.each([
    // Shift, hours more, minutes of the two days from midnight in which one more is there, first and last.
    [
      { from: '07:00', to: '19:00' },
      3,
      [
        [330, 419],
        [1140, 1229],
        [1770, 1859],
        [2580, 2669],
      ],
    ],
    [
      { from: '07:00', to: '19:00', dates: ['2031-02-04'] },
      2,
      [
        [1800, 1859],
        [2580, 2639],
      ],
    ],
    // Begins before midnight then, on the evening before.
    [
      { from: '00:30', to: '08:00', dates: ['2031-02-04'] },
      2,
      [
        [1410, 1469],
        [1920, 1979],
      ],
    ],
    [
      { from: '22:00', to: '06:00', dates: ['2031-02-03'] },
      2,
      [
        [1260, 1319],
        [1800, 1859],
      ],
    ],
  ])(
    'of the shift %j made %i h longer people are there then, and at no other time',
    (times, hours, wanted) => {
      const world = tinyWorld({ days: 2, shifts: [{ id: 's', technicians: 1, ...times }] });
      const [before, after] = [world, longerShift('s', hours).apply(world)].map((one) => compile(one).staff);
      const gained = [...after!].flatMap((count, minute) => (count > before![minute]! ? minute : []));
      const spans = gained.flatMap((minute) => [
        ...(gained.includes(minute - 1) ? [] : [minute]),
        ...(gained.includes(minute + 1) ? [] : [minute]),
      ]);
      expect(spans).toEqual(wanted.flat());
      expect([...after!].every((count, minute) => count >= before![minute]!)).toBe(true);
    },
  );

  test('each changes what it says, prescriptions to come included, and nothing else', () => {
    const given = (): Scenario => {
      const [first, second, ...others] = wardSite().patients;
      const changes = [
        { at: '2031-02-05T07:00', dose: 30, hoursPerDay: 22, bath: '4K' },
        { at: '2031-02-06T07:00', dose: 18, hoursPerDay: 12 },
        { at: '2031-02-07T07:00', weight: 70 },
      ];
      const patients = [
        { ...first!, dose: 25, hoursPerDay: 24, changes },
        { ...second!, dose: 15, hoursPerDay: 16 },
        ...others.map((row) => ({ ...row, dose: 20, hoursPerDay: 18, bath: '2K' })),
      ];
      return { ...wardSite(), patients };
    };
    const changed = (lever: Lever, edit: (expected: Scenario) => void) => {
      const expected = structuredClone(given());
      edit(expected);
      expect(lever.apply(given())).toEqual(expected);
    };
    changed(doseCap(20), (s) => {
      s.patients[0]!.dose = 20;
      s.patients[0]!.changes![0]!.dose = 20;
      s.forecast = { ...s.forecast, doseCap: 20 };
    });
    changed(together([doseCap(20), doseCap(22)]), (s) => {
      s.patients[0]!.dose = 20;
      s.patients[0]!.changes![0]!.dose = 20;
      s.forecast = { ...s.forecast, doseCap: 20 };
    });
    changed(hoursCap(18), (s) => {
      s.patients[0]!.hoursPerDay = 18;
      s.patients[0]!.changes![0]!.hoursPerDay = 18;
      s.forecast = { ...s.forecast, hoursCap: 18 };
    });
    changed(oneBath('2K'), (s) => {
      for (const row of s.patients) row.bath = '2K';
      s.patients[0]!.changes![0]!.bath = '2K';
      s.forecast = { ...s.forecast, bathByDay: [{ fromDay: 0, share: { '2K': 1 } }] };
    });
    changed(moreTechnicians('night', 3), (s) => {
      for (const row of s.shifts) if (row.id === 'night') row.technicians += 3;
    });
    // Hours that are not said are whole days.
    const unsaid = { ...given(), patients: [{ id: 'bed', weight: 80, dose: 20, bath: '2K' }] };
    expect(hoursCap(18).apply(unsaid).patients[0]!.hoursPerDay).toBe(18);
  });

  test('on the same drawn patients a cap of 20 from 25 mL/kg/h saves about a fifth of the new patients’ bags', async () => {
    const young = { ...emptySite({ days: 20, startsPerDay: 5, dose: { law: 'fixed', value: 25 } }) };
    const [row] = await leverSavings(young, [doseCap(20)], here, { draws: 60, seed: 1, most: 2 });
    const bags = (chunk: Chunk) => chunk.bags.reduce((sum, value) => sum + value, 0);
    const before = bags(runDraws({ scenario: young, seed: 1, first: 0, count: 60, most: 1 })) / 60 / 20;
    // A fifth of the litres; the bag at the start and at a change of bath is hung all the same.
    expect(row!.bagsPerDay / before).toBeGreaterThan(0.15);
    expect(row!.bagsPerDay / before).toBeLessThan(0.2);
  });
});

test('every field of the forecast has its default told, with unit and source', () => {
  const fields = Object.keys(forecastSchema.shape).filter((field) => !field.endsWith('Cap'));
  expect(DEFAULT_NOTES.map(({ field }) => field).sort()).toEqual(fields.sort());
  for (const { unit, source, standsIn } of DEFAULT_NOTES)
    for (const text of [unit, source, standsIn]) expect(text).not.toBe('');
  // The default sd of the stay: 16 % of stays end within a day (17 of 106 starts, DOI 10.1186/s40697-016-0124-7).
  expect(specOf(emptySite({})).stay.cdf(1)).toBeCloseTo(17 / 106, 2);
  expect(specOf(emptySite({})).stay.mean).toBeCloseTo(3630 / 500, 2);
});

test('variants are compared on machines needed, runs short and bags per day', async () => {
  const site = wardSite({ machines: wardSite().machines.slice(0, 2) });
  const capped = doseCap(18).apply(site);
  const [now, then] = await variantAnswers(
    [
      { name: 'now', scenario: site },
      { name: 'A', scenario: capped },
    ],
    here,
    { draws: 40, seed: 1 },
  );
  expect(now).toMatchObject({ name: 'now', own: 2, draws: 40 });
  expect(now!.smallest).toBe((await study(site, here, { draws: 40, seed: 1 })).smallest);
  expect(then!.bagsPerDay).toBeLessThan(now!.bagsPerDay);
  // A smaller need costs no more to serve.
  expect(now!.cost).toBeGreaterThan(0);
  expect(then!.cost!).toBeLessThanOrEqual(now!.cost!);
  expect(then!.smallest!).toBeLessThanOrEqual(now!.smallest!);
  expect(then!.row!.shortageChance).toBeLessThanOrEqual(now!.row!.shortageChance);
});
