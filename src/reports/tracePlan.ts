import { HANDS_ON, type Score } from '../plan/plan.ts';
import { WORK, workCount } from '../words/activities.ts';
import { countText, numberText, sentenceCase } from '../words/numbers.ts';
import { lotText, readyText, roundText, spanText, whenText } from '../words/times.ts';
import { coveredUntil, firstShort, roundNeeds } from './coverage.ts';
import { amount, type CellRef, computed, type Known, ruleCell, sum, type Trace, typed } from './trace.ts';
import { traceLitres } from './traceDemand.ts';

/** A cell that somebody typed. */
export const cellOf = (
  sheet: CellRef['sheet'],
  row: number,
  field: string,
  label: string,
  value: number,
  unit: string,
) => typed(label, value, unit, { sheet, row, field, isDefault: false });

/** A fill's window on a machine: its shortest or longest length. */
export function traceWindow(known: Known, machine: number, which: 'shortest' | 'longest'): Trace {
  const row = known.problem.machines[machine]!;
  const { fillLitres, maxLitres } = known.problem.rules;
  const litres = which === 'shortest' ? fillLitres : maxLitres;
  const exact = (1000 * row.positions * litres) / row.flow;
  return computed(
    `${which === 'shortest' ? 'Shortest' : 'Longest'} fill of ${row.id}`,
    row[which],
    'min',
    `1,000 mL/L x bags per fill x liters per bag / flow, ${which === 'shortest' ? 'rounded up' : 'rounded down'}`,
    `1,000 x ${row.positions} x ${amount(litres, 'L')} / ${amount(row.flow, 'mL/min')} = ${numberText(exact, 2)}, so ${row[which]} min`,
    () => [
      cellOf('machines', machine, 'positions', `Bags per fill on ${row.id}`, row.positions, 'bags'),
      which === 'shortest'
        ? ruleCell(known, 'fillLitres', 'Minimum fill volume', litres, 'L')
        : ruleCell(known, 'maxLitres', 'Maximum fill volume', litres, 'L'),
      cellOf('machines', machine, 'flow', `Flow of ${row.id}`, row.flow, 'mL/min'),
    ],
  );
}

/** What a lot holds, L, and where it comes from. */
export function traceLot(known: Known, index: number): Trace {
  const { problem, covered, scenario, activities } = known;
  const lot = covered.lots[index]!;
  const { clock } = problem;
  const litres = lot.bagParts / problem.partsPerLitre;
  const value = (lot.bags * lot.bagParts) / problem.partsPerLitre;
  const filled = `${countText(lot.bags, 'bag')} x ${amount(litres, 'L')} = ${amount(value, 'L')}; ready ${readyText(clock, lot.ready)}, expires ${whenText(clock, lot.expires)}`;
  if (lot.origin !== 'fill') {
    const stock = scenario.stock?.length ?? 0;
    const sheet = lot.origin === 'stock' ? 'stock' : 'deliveries';
    const row = lot.origin === 'stock' ? index : index - stock;
    return computed(
      `${lot.origin === 'stock' ? 'Stock' : 'Delivery'} ${lot.id}`,
      value,
      'L',
      'bags x liters per bag',
      filled,
      () => [
        cellOf(sheet, row, 'bags', `Bags of ${lot.id}`, lot.bags, 'bags'),
        cellOf(sheet, row, 'litres', `Liters per bag of ${lot.id}`, litres, 'L'),
      ],
    );
  }
  const fill = activities.filter(({ kind }) => kind === 'fill')[index - problem.lots.length]!;
  const machine = fill.kind === 'test' ? -1 : problem.machines.findIndex(({ id }) => id === fill.machine);
  return computed(
    `Fill of ${lotText(lot)}`,
    value,
    'L',
    'bags x liters per bag; ready after bag swap and release; shelf life from the end of the fill',
    filled,
    () => [
      computed(
        'The fill',
        fill.end - fill.start,
        'min',
        'from its start to its bag swap',
        spanText(clock, fill.start, fill.end),
        () => [traceWindow(known, machine, 'shortest'), traceWindow(known, machine, 'longest')],
      ),
      cellOf('machines', machine, 'positions', 'Bags per fill', lot.bags, 'bags'),
      ruleCell(known, 'fillLitres', 'Minimum fill volume', problem.rules.fillLitres, 'L'),
      ruleCell(known, 'swapMinutes', 'Bag swap takes', problem.rules.swapMinutes, 'min'),
      ruleCell(known, 'releaseMinutes', 'Release', problem.rules.releaseMinutes, 'min'),
      ruleCell(known, 'shelfHours', 'Shelf life', problem.rules.shelf / 60, 'h'),
    ],
  );
}

/** Litres of a round's need that no lot serves. */
export function traceUnmet(known: Known, bath: number, round: number): Trace {
  const { problem, covered } = known;
  const need = traceLitres(known, bath, round);
  const served = covered.servings
    .filter((serving) => serving.bath === bath && serving.round === round)
    .map(({ lot, parts }) => {
      const litres = parts / problem.partsPerLitre;
      const source = traceLot(known, lot);
      return computed(
        `From ${source.label}`,
        litres,
        'L',
        'the lot that expires first serves first',
        '',
        () => [source],
      );
    });
  const value = covered.unmet[bath]![round]! / problem.partsPerLitre;
  const total = served.reduce((litres, part) => litres + part.value, 0);
  return computed(
    need.label.replace('Litres', 'Unmet'),
    value,
    'L',
    'need - liters of lots ready by the bag round that keep until its last hang',
    `${amount(need.value, 'L')} - ${amount(total, 'L')} = ${amount(value, 'L')}`,
    () => [need, ...served],
  );
}

function traceHandsOn({ activities }: Known): Trace {
  const parts = HANDS_ON.flatMap((kind) => {
    const mine = activities.filter((activity) => activity.kind === kind);
    const minutes = mine.reduce((total, { start, end }) => total + end - start, 0);
    return mine.length
      ? computed(
          sentenceCase(WORK[kind].many),
          minutes,
          'min',
          'number x minutes each',
          `${workCount(mine.length, kind)}; ${amount(minutes, 'min')} in all`,
        )
      : [];
  });
  return sum('Hands-on work', 'min', 'minutes of all hands-on work of the plan', parts);
}

/** Until when every bag that hangs is there, in hours from a minute on. */
export function traceCovered(known: Known, minute: number): Trace {
  const { problem } = known;
  const { clock } = problem;
  const short = firstShort(roundNeeds(known), minute);
  const until = coveredUntil(known, short, minute);
  const [here, there] = [whenText(clock, minute), whenText(clock, until)];
  const filled = `${there} - ${here} = ${amount((until - minute) / 60, 'h', 1)}`;
  if (!short)
    return computed(
      `Covered to the end, ${there}`,
      (until - minute) / 60,
      'h',
      'no bag round leaves anything unmet up to the end of the plan',
      filled,
      () => [traceUnmetLitres(known)],
    );
  const round = roundText(clock, { round: short.round.index, at: short.round.at });
  const baths = short.byBath.flatMap(({ unmetLitres }, bath) => (unmetLitres > 0 ? [bath] : []));
  return computed(
    `Covered until ${there}`,
    (until - minute) / 60,
    'h',
    `the first bag hung by the first bag round with something unmet: ${round}`,
    filled,
    () => baths.map((bath) => traceUnmet(known, bath, short.round.index)),
  );
}

/** Unmet litres of each bath and round that has some. */
function traceUnmetLitres(known: Known): Trace {
  return sum(
    'Unmet',
    'L',
    'liters of all baths and bag rounds that no lot serves',
    unmetRows(known, traceUnmet),
  );
}

const unmetRows = (known: Known, trace: (known: Known, bath: number, round: number) => Trace): Trace[] =>
  known.problem.rounds.flatMap(({ index }) =>
    known.problem.baths.flatMap((_, bath) =>
      known.demand.bags[bath]![index]! > 0 && known.covered.unmet[bath]![index]! > 0
        ? trace(known, bath, index)
        : [],
    ),
  );

/** Unmet litres, each by the hours from its round to the end of the plan. */
function traceUnmetLitreHours(known: Known): Trace {
  const { problem } = known;
  const row = (_: Known, bath: number, round: number): Trace => {
    const unmet = traceUnmet(known, bath, round);
    const { index, at } = problem.rounds[round]!;
    const hours = (problem.horizon - at) / 60;
    return computed(
      `${problem.baths[bath]!}, ${roundText(problem.clock, { round: index, at })}`,
      unmet.value * hours,
      'L h',
      'unmet liters x hours from the bag round to the end of the plan',
      `${amount(unmet.value, 'L')} x ${amount(hours, 'h')}`,
      () => [unmet],
    );
  };
  return sum('Unmet litre-hours', 'L h', 'a later shortage leaves time for help', unmetRows(known, row));
}

function traceReserveShort({ problem, covered }: Known): Trace {
  const rows = problem.baths.flatMap((id, bath) => {
    const wanted = problem.reserve[bath]!;
    if (wanted === 0) return [];
    const short = covered.reserveShort[bath]! / problem.bagParts;
    return computed(
      `Reserve of ${id} short`,
      short,
      'bags',
      'bags wanted at the end - bags left and good for 24 h more, at least 0',
      `${amount(wanted, 'bags')} wanted, ${amount(wanted - short, 'bags')} of them there`,
      () => [cellOf('rules', 0, `reserve.${id}`, `Reserve wanted of ${id}`, wanted, 'bags')],
    );
  });
  return sum('Bags short of the reserve', 'bags', 'over all baths', rows);
}

function traceExpired(known: Known): Trace {
  const { problem, covered } = known;
  const rows = covered.lots.flatMap((lot, index) => {
    const left = covered.left[index]!;
    return lot.expires > 0 && lot.expires <= problem.horizon && left > 0
      ? computed(
          `Left of ${lot.id}`,
          left / lot.bagParts,
          'bags',
          'bags that no bag round took before they expired',
          `expired ${whenText(problem.clock, lot.expires)}`,
          () => [traceLot(known, index)],
        )
      : [];
  });
  return sum('Bags expired unused', 'bags', "the lots' own bags, over all lots", rows);
}

const OF_SCORE: Readonly<Record<keyof Score, (known: Known) => Trace>> = {
  unmetLitres: traceUnmetLitres,
  unmetLitreHours: traceUnmetLitreHours,
  reserveShort: traceReserveShort,
  handsOnMinutes: traceHandsOn,
  expiredBags: traceExpired,
};

/** A part of the plan's score. */
export const traceScore = (known: Known, part: keyof Score): Trace => OF_SCORE[part](known);
