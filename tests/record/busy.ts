import type { Draft } from '../../src/record/entries.ts';
import { sha256Of } from '../../src/record/hash.ts';
import { lineOf, NO_LINE } from '../../src/record/journal.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { at, tinyWorld } from '../world.ts';

/** A station's file. */
export interface BusyFile {
  readonly name: string;
  readonly text: string;
}

const MACHINES = 40;
const SOURCES = 5;
/** One fill of a machine after the other begins so many minutes later. */
const EACH = 80;

/**
 * A site that fills day and night on 40 machines of 5 sources, notes every fill, reading and test, sends bags to 40 beds at
 * four rounds a day, and has now and then a failed test, a hold, a discard or an entry taken back: invented.
 * @param days about 3,300 entries each
 */
export function busyWorld(days: number): Scenario {
  const bath = {
    sodium: 140,
    calcium: 2.5,
    magnesium: 1,
    chloride: 108,
    bicarbonate: 32,
    acetate: 4,
  };
  return tinyWorld({
    title: 'Busy site (invented)',
    timeZone: 'America/Chicago',
    days,
    baths: [
      { id: '2K', ...bath, potassium: 2 },
      { id: '4K', ...bath, potassium: 4, chloride: 110 },
    ],
    patients: Array.from({ length: 40 }, (_, n) => ({
      id: `bed-${n}`,
      weight: 80,
      dose: 25,
      bath: n % 2 ? '4K' : '2K',
    })),
    machines: Array.from({ length: MACHINES }, (_, n) => ({
      id: `M${n + 1}`,
      flow: 800,
      positions: 8,
      water: `RO-${n % SOURCES}`,
    })),
    water: Array.from({ length: SOURCES }, (_, n) => ({
      id: `RO-${n}`,
      capacity: 9000,
      testEvery: 240,
      testMinutes: 10,
      lastTest: at(-30),
    })),
    stock: [
      { lot: 'P-2', bath: '2K', bags: 80, litres: 6.5 },
      { lot: 'P-4', bath: '4K', bags: 80, litres: 6.5 },
    ],
    rules: { rounds: ['00:00', '06:00', '12:00', '18:00'], shelfHours: 24 },
  });
}

/** What a machine notes of its fill number `n`, with the set-up of each tenth. */
function fillNoted(machine: number, n: number, by: string): Draft[] {
  const id = `M${machine + 1}`;
  const start = n * EACH + (machine % 7);
  const lot = `${id} ${at(start).replace('T', ' ')}`;
  const odd = (n * 31 + machine * 17) % 97;
  const end = at(start + 66);
  return [
    ...(n % 10 === 0
      ? [{ kind: 'circuit' as const, at: at(start - 1), by, machine: id, bath: machine % 2 ? '4K' : '2K' }]
      : []),
    { kind: 'fill', at: at(start), by, machine: id },
    {
      kind: 'reading',
      at: at(start + 5),
      by,
      machine: id,
      conductivity: odd === 3 ? 15 : 13.9,
      temperature: 25,
    },
    { kind: 'reading', at: at(start + 40), by, machine: id, pH: 7.2 },
    odd === 7
      ? { kind: 'stop', at: end, by, machine: id, why: 'leak' }
      : { kind: 'off', at: end, by, machine: id, good: 8 },
    ...(odd === 11 ? [{ kind: 'hold' as const, at: at(start + 70), by, lot, bags: 2, why: 'label' }] : []),
    ...(odd === 13
      ? [{ kind: 'discard' as const, at: at(start + 70), by, lot, bags: 1, why: 'dropped' }]
      : []),
    // What was made leaves for two beds.
    {
      kind: 'leave',
      at: at(start + 95),
      by,
      round: Math.floor((start + 95) / 360),
      loads: [
        { lot, bags: 3, bed: `bed-${machine}` },
        { lot, bags: 3, bed: `bed-${(machine + 2) % 40}` },
      ],
    },
  ];
}

/**
 * The files of eight stations with so many entries in all, in order of time in each.
 * @param leaves whether what leaves is noted
 * @returns the scenario's world too, long enough for them
 */
export function busyRecord(entries: number, leaves = true): { world: Scenario; files: BusyFile[] } {
  const days = Math.max(1, Math.ceil(entries / (leaves ? 3300 : 2600)));
  const world = busyWorld(days);
  const drafts: { minute: string; station: number; draft: Draft }[] = [];
  const add = (station: number, draft: Draft) => drafts.push({ minute: draft.at as string, station, draft });
  for (let n = 0; n * EACH < days * 1440 - EACH * 2; n++)
    for (let machine = 0; machine < MACHINES; machine++)
      for (const draft of fillNoted(machine, n, 'AB'))
        if (leaves || draft.kind !== 'leave') add(machine % 8, draft);
  for (let minute = 60; minute < days * 1440; minute += 180)
    for (let source = 0; source < SOURCES; source++) {
      const fails = (minute / 60 + source * 7) % 101 === 0;
      add(source, {
        kind: 'test',
        at: at(minute),
        by: 'CD',
        water: `RO-${source}`,
        result: fails ? 'fail' : 'pass',
      });
      if (fails)
        add(source, { kind: 'test', at: at(minute + 20), by: 'CD', water: `RO-${source}`, result: 'pass' });
    }
  drafts.sort((a, b) => (a.minute < b.minute ? -1 : a.minute > b.minute ? 1 : 0));
  const files = Array.from({ length: 8 }, (_, n) => ({
    name: `desk-${n}`,
    lines: [] as string[],
    last: { n: 0, hash: NO_LINE },
  }));
  const write = (file: (typeof files)[number], draft: Draft) => {
    const line = lineOf(draft, file.name, `${draft.at}:00Z`, file.last);
    file.last = { n: file.last.n + 1, hash: sha256Of(line) };
    file.lines.push(`${line}\n`);
  };
  let written = 0;
  for (const { station, draft } of drafts) {
    if (written >= entries) break;
    const file = files[station]!;
    write(file, draft);
    written += 1;
    if (written % 250 === 0 && written < entries) {
      write(file, {
        kind: 'void',
        at: draft.at!,
        by: 'CD',
        of: `${file.name}/${file.last.n}`,
        why: 'typed twice',
      });
      written += 1;
    }
  }
  return { world, files: files.map(({ name, lines }) => ({ name: `${name}.jsonl`, text: lines.join('') })) };
}
