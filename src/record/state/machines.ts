import { lotName } from '../../plan/lotName.ts';
import type { Fact } from '../fold.ts';
import { judgeReading } from '../judge/reading.ts';
import { volumeDoubt } from '../judge/volume.ts';
import { beganAt } from '../minuteOf.ts';
import {
  addLot,
  type Books,
  bathRow,
  doubt,
  fillEnded,
  filledSince,
  type MachineBook,
  type Of,
  type SetUp,
  type WaterBook,
  waterOf,
} from './books.ts';
import { LotBook } from './lots.ts';

/** The machine that a fact names; where nobody has it, a doubt. */
function machineOf(books: Books, fact: Of, id: string): MachineBook | null {
  const found = books.machines.find((one) => one.id === id) ?? null;
  if (!found)
    doubt(books, fact, `no machine is called ${id}`, 'a machine of this scenario; the entry does not count');
  return found;
}

/** A new circuit, or another bath on the circuit, is in place; or its set-up is under way. */
export function setUp(books: Books, fact: Fact<'circuit' | 'bath'>): void {
  const { entry, at } = fact;
  const machine = machineOf(books, fact, entry.machine);
  if (!machine) return;
  const { rules, clock } = books.problem;
  if (!books.problem.baths.includes(entry.bath)) {
    doubt(books, fact, `no bath is called ${entry.bath}`, 'a bath of this scenario; what runs is not known');
  }
  const fresh = entry.kind === 'circuit';
  const began = entry.began
    ? beganAt(clock, entry.began, entry.again ?? false, at)
    : at - (fresh ? rules.circuitMinutes : rules.bathMinutes);
  endUnnoted(books, fact, machine, began);
  const before = machine.circuit;
  if (!fresh && !before)
    doubt(books, fact, `${machine.id} has no circuit in place`, 'a new circuit noted before a bath change');
  const one: SetUp = {
    entry: entry.id,
    machine: machine.id,
    bath: entry.bath,
    since: fresh ? began : (before?.since ?? began),
    began,
    at,
    by: entry.by,
    lots: fresh ? (entry.lots ?? {}) : { ...before?.setUp?.lots, ...entry.lots },
    circuit: fresh ? entry.id : (before?.setUp?.circuit ?? null),
  };
  if (at > books.now) {
    machine.underWay = { kind: entry.kind, start: began, end: at, setUp: one };
    return;
  }
  if (isCutOff(books, fact, machine, began)) {
    doubt(
      books,
      fact,
      `${machine.id} became unavailable during this set-up, and nobody noted since that it is in place`,
      'a set-up noted once it is in place. Until then nothing runs there',
    );
    machine.circuit = null;
    machine.underWay = null;
    return;
  }
  books.setUps.push(one);
  machine.circuit = !fresh && !before ? null : { since: one.since, bath: entry.bath, setUp: one };
  machine.underWay = null;
  machine.bad = null;
  machine.lastSetUp = at;
}

/** Whether a set-up that was noted as it began was cut off: its machine or its water became unavailable before it was in place. */
function isCutOff(
  books: Books,
  { at, noted }: Fact<'circuit' | 'bath'>,
  machine: MachineBook,
  began: number,
) {
  const { clock } = books.problem;
  return [machine, waterOf(books, machine)]
    .flatMap(({ out, outages }) => [...outages, ...(out ? [out] : [])])
    .some(({ from }) => from > began && from < at && clock.epochOf(from) >= noted);
}

/** A fill of which nobody noted the end: its bags are on hold, as many as the machine fills. */
function endUnnoted(
  books: Books,
  fact: Of & { readonly noted: number },
  machine: MachineBook,
  at: number,
): void {
  if (machine.underWay?.kind !== 'fill') return;
  const { lot } = machine.underWay;
  doubt(
    books,
    fact,
    `nobody noted the end of the fill ${lot.facts.lot}`,
    'its end (off) or its loss (stop); its bags are on hold',
  );
  fillEnded(machine, lot, at);
  lot.facts.made = books.problem.machines[machine.index]!.positions;
  lot.facts.ready = at;
  lot.facts.expires = at;
  lot.hold({
    cause: 'end not noted',
    entry: fact.entry.id,
    at,
    noted: fact.noted,
    why: 'nobody noted when its bags came off',
    bags: 'all',
  });
  machine.underWay = null;
}

/** Whether a test of a source counts at a minute: passed, and not too old. */
const isTested = ({ problem }: Books, { id, last, lastEnd }: WaterBook, at: number): boolean =>
  last === 'pass' && at <= lastEnd! + problem.water.find((one) => one.id === id)!.testEvery;

/** Filling began: a lot comes into being, in doubt from the beginning where its water or its machine is. */
export function fillBegan(books: Books, fact: Fact<'fill'>): void {
  const machine = machineOf(books, fact, fact.entry.machine);
  if (!machine) return;
  const { at, noted, entry } = fact;
  endUnnoted(books, fact, machine, at);
  const { clock, rules } = books.problem;
  const name = lotName(clock, machine.id, at);
  if (books.lots.has(name)) {
    doubt(books, fact, `a fill ${name} is noted already`, 'one begin of a fill; void the other entry');
    return;
  }
  const made = {
    machine: machine.id,
    start: at,
    end: null,
    fill: entry.id,
    off: null,
    circuit: machine.circuit?.setUp?.entry ?? null,
  };
  const origin = { lot: name, origin: 'fill', bath: machine.circuit?.bath ?? null } as const;
  const lot = new LotBook({ ...origin, litres: rules.fillLitres, made: 0, ready: null, expires: null }, made);
  addLot(books, lot);
  machine.fills.push(lot);
  machine.underWay = { kind: 'fill', start: at, lot };
  if (!machine.circuit) {
    doubt(
      books,
      fact,
      `${machine.id} has no circuit in place`,
      'a new circuit noted before its fill; the bags are on hold',
    );
    lot.hold({
      cause: 'no circuit',
      entry: entry.id,
      at,
      noted,
      why: 'no circuit was noted before it',
      bags: 'all',
    });
  }
  const source = waterOf(books, machine);
  const { failed } = source;
  if (!failed && !isTested(books, source, at))
    doubt(
      books,
      fact,
      `${machine.id} began to fill on ${source.id} without a total chlorine test that counts`,
      'a passed test noted before it. Do not use the bags on the plan alone: who releases bags decides',
    );
  if (failed)
    lot.hold({ cause: 'test', ...failed, why: 'filled on water whose last test failed', bags: 'all' });
  if (machine.bad) {
    const { at: since, noted: told, entry: cause } = machine.bad;
    lot.hold({
      cause: 'reading',
      entry: cause,
      at: since,
      noted: told,
      why: 'filled after a reading out of limits',
      bags: 'all',
    });
  }
}

/** The bags of the fill under way are off the machine. */
export function bagsOff(books: Books, fact: Fact<'off'>): void {
  const machine = machineOf(books, fact, fact.entry.machine);
  if (!machine) return;
  const { at, noted, entry } = fact;
  const { underWay } = machine;
  const rejected = entry.rejected ?? [];
  const made = entry.good + rejected.reduce((sum, { bags }) => sum + bags, 0);
  if (underWay?.kind !== 'fill') {
    doubt(
      books,
      fact,
      `no fill is under way on ${machine.id}; ${made} bags came off`,
      'the begin of the fill noted too; until then its bags do not count',
    );
    return;
  }
  const { lot, start } = underWay;
  const { positions, shortest, longest } = books.problem.machines[machine.index]!;
  const { rules } = books.problem;
  if (made !== positions)
    doubt(
      books,
      fact,
      `${made} bags came off ${machine.id}, which fills ${positions}`,
      `${positions} bags, good and rejected`,
    );
  const litres = litresEach(entry.litres ?? null, made, rules.maxLitres);
  Object.assign(lot.facts, {
    made,
    ready: at + rules.swapMinutes + rules.releaseMinutes,
    expires: at + rules.shelf,
  });
  fillEnded(machine, lot, at);
  lot.facts.fill!.off = entry.id;
  for (const { reason, bags } of rejected) lot.discard(at, bags, reason, entry.id);
  const { fillLitres, maxLitres } = rules;
  const cause = volumeDoubt({ litres, minutes: at - start, shortest, longest, fillLitres, maxLitres });
  if (cause) {
    const why = cause === 'overfull' ? 'a bag may hold more than it may' : 'a bag may hold less than it must';
    lot.hold({ cause, entry: entry.id, at, noted, why, bags: 'all' });
  }
  const { circuit } = machine;
  if (circuit && at > circuit.since + rules.circuitLife)
    lot.hold({
      cause: 'circuit over',
      entry: entry.id,
      at,
      noted,
      why: 'filled on a circuit past its end',
      bags: 'all',
    });
  machine.underWay = null;
  machine.offAt = at;
}

/** L in a bag: a figure that no bag can hold is the sum of all of them. */
const litresEach = (litres: number | null, bags: number, maxLitres: number): number | null =>
  litres !== null && litres > 2 * maxLitres ? litres / bags : litres;

/** The fill under way ended without usable bags. */
export function fillStopped(books: Books, fact: Fact<'stop'>): void {
  const machine = machineOf(books, fact, fact.entry.machine);
  if (!machine) return;
  const { underWay } = machine;
  if (underWay?.kind !== 'fill') {
    doubt(books, fact, `no fill is under way on ${machine.id}`, 'the begin of the fill noted too');
    return;
  }
  const { lot } = underWay;
  const { positions } = books.problem.machines[machine.index]!;
  Object.assign(lot.facts, { made: positions, ready: fact.at, expires: fact.at });
  fillEnded(machine, lot, fact.at);
  lot.facts.fill!.off = fact.entry.id;
  lot.discard(fact.at, positions, fact.entry.why ?? '', fact.entry.id);
  machine.underWay = null;
}

/**
 * A reading: judged against the bath that runs. Out of limits, what filled there since the last reading within limits (or
 * the last set-up, if there is none) is on hold.
 */
export function readingTaken(books: Books, fact: Fact<'reading'>): void {
  const machine = machineOf(books, fact, fact.entry.machine);
  if (!machine) return;
  const { at, noted, entry, trusted } = fact;
  const bath = machine.circuit?.bath ?? null;
  const verdict = judgeReading(entry, bathRow(books, bath), books.limits);
  if (!trusted && verdict.result !== 'out') return;
  const { conductivity = null, temperature = null, pH = null, potassium = null } = entry;
  const measured = { conductivity, temperature, pH, potassium };
  books.readings.push({ entry: entry.id, machine: machine.id, at, by: entry.by, bath, measured, ...verdict });
  if (verdict.result === 'out') {
    const since = machine.lastWithin ?? machine.lastSetUp ?? Number.NEGATIVE_INFINITY;
    const hold = {
      cause: 'reading',
      entry: entry.id,
      at,
      noted,
      why: 'a reading was out of limits',
      bags: 'all',
    } as const;
    for (const lot of filledSince(machine, since)) lot.hold(hold);
    const quantities = new Set(machine.bad?.quantities);
    for (const { quantity, within } of verdict.judged) if (!within) quantities.add(quantity);
    machine.bad = { at, noted, entry: entry.id, quantities };
  } else if (verdict.result === 'within') {
    const again = verdict.judged.map(({ quantity }) => quantity);
    if (machine.bad && [...machine.bad.quantities].some((one) => !again.includes(one))) return;
    machine.bad = null;
    machine.lastWithin = at;
  }
}
