import type { State } from '../../src/record/state.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import { workText } from '../../src/words/activities.ts';
import { machineText, waterText } from '../../src/words/places.ts';
import { timeText, whenText } from '../../src/words/times.ts';
import { type Paint, table } from './tables.ts';

/** What the record leaves at `now`, for a reader: what is due and recalled first, then machines, water and bags. */
export function stateTables(problem: Problem, state: State, paint: Paint): string[] {
  const title = (text: string) => `\n${paint(['bold', 'underline'], text)}`;
  const { clock, baths } = problem;
  const due = state.dueNow.flatMap((bags, bath) =>
    bags > 0 ? [`Carry ${bags} of ${baths[bath]} now.`] : [],
  );
  const recall = state.recall.map((row) => [
    row.lot,
    row.bath ?? 'not known',
    whenText(clock, row.at),
    row.ward ?? '-',
    row.bed ?? (row.beds.length > 0 ? `not noted: ${row.beds.join(' or ')}` : 'not noted'),
    ...[row.bags, row.hanging, row.waiting, row.replace].map(String),
  ]);
  return [
    title(`By the record at ${whenText(clock, state.now)}`),
    ...due.map((line) => paint(['red', 'bold'], line)),
    ...(recall.length > 0
      ? [
          paint(
            ['red', 'bold'],
            'These bags are called back. Take down those that hang, bring back those that wait, carry others in their place:',
          ),
          table(
            ['Lot', 'Bath', 'Left at', 'Ward', 'Bed', 'Bags', 'May hang', 'Wait', 'Carry in their place'],
            recall,
            5,
          ),
        ]
      : []),
    ...state.machines.map((machine) => `- ${machineText(machine.id)}: ${machineLine(problem, machine)}`),
    ...state.water.map(
      ({ id, last, lastEnd, unsure }) =>
        `- ${waterText(id)}: ${last === null ? 'no total chlorine test that counts' : `last total chlorine test ${last === 'pass' ? 'passed' : 'FAILED'} at ${whenText(clock, lastEnd!)}${last === 'fail' ? '. Start nothing before a new one passes' : ''}${unsure ? `. It may be void: nobody noted ${unsure.duty} of ${whenText(clock, unsure.at)}. Test first` : ''}`}`,
    ),
    table(
      ['Lot', 'Bath', 'Good', 'On hold', 'Left', 'Discarded'],
      state.lots.map(({ lot, bath, good, held, left, discarded }) => [
        lot,
        bath ?? '?',
        ...[good, held, left, discarded].map(String),
      ]),
      2,
    ),
  ];
}

function machineLine({ clock }: Problem, machine: State['machines'][number]): string {
  const { id, bath, circuitSince, underWay, outOfService, outOfLimits } = machine;
  const parts = [
    bath === null || circuitSince === null
      ? 'no circuit'
      : `runs ${bath}, circuit since ${whenText(clock, circuitSince)}`,
  ];
  if (underWay) {
    const work = workText({ kind: underWay.kind, machine: id, bath: underWay.bath ?? '' });
    const [from, to] = [timeText(clock, underWay.earliestEnd), timeText(clock, underWay.latestEnd)];
    const window = from === to ? `at ${to}` : `${from} to ${to}`;
    // What has to come off now has no other end.
    const offNow = underWay.overfull || underWay.doubtful;
    parts.push(`${work} since ${timeText(clock, underWay.start)}${offNow ? '' : `, to end ${window}`}`);
    if (underWay.overfull) parts.push('OVERFULL: take the bags off now and put them on hold');
    if (underWay.doubtful)
      parts.push(
        underWay.kind === 'fill'
          ? 'IN DOUBT: take the bags off now and put them on hold'
          : 'IN DOUBT: stop it, its water failed',
      );
  }
  if (outOfLimits) parts.push('out of limits: a reading within limits or a new set-up first');
  if (outOfService) parts.push('unavailable');
  return parts.join('; ');
}
