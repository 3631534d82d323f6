import { bathsOf } from '../../plan/plan.ts';
import type { Handover } from '../../reports/day/handover.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { workOrder } from '../../words/activities.ts';
import { lengthText, numberText } from '../../words/numbers.ts';
import { timeText, whenText } from '../../words/times.ts';
import type { Paper, Piece } from './flow.ts';
import { listed, strong } from './pieces.tsx';

type Times = (minute: number) => string;

/** What is at hand: under way, in stock, on hold. */
function standing(problem: Problem, { underWay, stock, held }: Handover, time: Times): Piece[] {
  const { clock } = problem;
  return [
    ...listed({
      key: 'under way',
      title: 'Under way',
      columns: [
        { head: 'Machine', share: 20 },
        { head: 'What', share: 30 },
        { head: 'Since', share: 15 },
        { head: 'Swap from', share: 15 },
        { head: 'Swap no later than', share: 20 },
      ],
      rows: underWay.map(({ machine, kind, bath, start, earliestEnd, latestEnd, overfull, doubtful }) => [
        machine,
        `${kind === 'fill' ? 'Filling' : kind === 'circuit' ? 'New circuit' : 'Bath change'} ${bath ?? ''}${overfull ? ', OVERFULL' : ''}${doubtful ? ', STOP' : ''}`,
        time(start),
        time(earliestEnd),
        time(latestEnd),
      ]),
      none: 'Nothing is under way.',
    }),
    ...listed({
      key: 'stock',
      title: 'Stock',
      columns: [
        { head: 'Bath', share: 20 },
        { head: 'Good bags', share: 20 },
        { head: 'On hold', share: 20 },
        { head: 'Litres', share: 20 },
        { head: 'First expiry', share: 30 },
      ],
      rows: stock.map(({ bath, good, held: kept, litres, firstExpiry }) => [
        bath,
        numberText(good),
        numberText(kept),
        numberText(litres),
        firstExpiry === null ? 'none' : whenText(clock, firstExpiry),
      ]),
      none: 'No bath is listed.',
    }),
    ...listed({
      key: 'held',
      title: 'On hold: do not hang',
      columns: [
        { head: 'Lot', share: 30 },
        { head: 'Bath', share: 15 },
        { head: 'Bags', share: 10 },
        { head: 'Why', share: 45 },
      ],
      rows: held.map(({ lot, bath, bags, why }) => [lot, bath ?? 'not known', bags, why]),
      none: 'Nothing is on hold.',
    }),
  ];
}

/** What was measured since the last handover, and how old the circuits are. */
function measured({ tests, readings, circuits }: Handover, time: Times): Piece[] {
  return [
    ...listed({
      key: 'tests',
      title: 'Total chlorine tests of the last 12 hours',
      columns: [
        { head: 'Water', share: 30 },
        { head: 'At', share: 20 },
        { head: 'Result', share: 20 },
        { head: 'mg/L', share: 15 },
        { head: 'By', share: 15 },
      ],
      rows: tests.map(({ water, at, passed, totalChlorine, by }) => [
        water,
        time(at),
        passed ? 'passed' : 'FAILED',
        totalChlorine ?? '',
        by,
      ]),
      none: 'None is noted.',
    }),
    ...listed({
      key: 'readings',
      title: 'Readings of the last 12 hours',
      columns: [
        { head: 'Machine', share: 20 },
        { head: 'At', share: 15 },
        { head: 'Bath', share: 15 },
        { head: 'mS/cm', share: 15 },
        { head: 'pH', share: 10 },
        { head: 'Judged', share: 25 },
      ],
      rows: readings.map(({ machine, at, bath, measured: read, result }) => [
        machine,
        time(at),
        bath ?? '',
        read.conductivity ?? '',
        read.pH ?? '',
        result === 'out' ? 'OUT OF LIMITS' : result === 'within' ? 'within limits' : 'not enough to judge',
      ]),
      none: 'None is noted.',
    }),
    ...listed({
      key: 'circuits',
      title: 'Circuits in place',
      columns: [
        { head: 'Machine', share: 30 },
        { head: 'Bath', share: 20 },
        { head: 'Age', share: 25 },
        { head: 'Left', share: 25 },
      ],
      rows: circuits.map(({ machine, bath, age, left }) => [
        machine,
        bath,
        lengthText(age),
        left > 0 ? lengthText(left) : 'OVER',
      ]),
      none: 'No circuit is in place.',
    }),
  ];
}

/** What comes, and what was said. */
function ahead({ next, notes, doubts }: Handover, time: Times): Piece[] {
  const baths = bathsOf(next);
  return [
    ...listed({
      key: 'next',
      title: 'Next six hours',
      columns: [
        { head: 'At', share: 20 },
        { head: 'What', share: 80 },
      ],
      rows: next.map((activity, index) => [time(activity.start), workOrder(activity, baths[index]!)]),
      none: 'Nothing is planned.',
    }),
    ...listed({
      key: 'notes',
      title: 'Notes',
      columns: [
        { head: 'At', share: 15 },
        { head: 'By', share: 10 },
        { head: 'Note', share: 75 },
      ],
      rows: notes.map(({ at, by, text }) => [time(at), by, text]),
      none: 'None.',
    }),
    ...listed({
      key: 'doubts',
      title: 'What does not fit in the record',
      columns: [
        { head: 'Entry', share: 20 },
        { head: 'What is wrong', share: 45 },
        { head: 'Expected', share: 35 },
      ],
      rows: doubts.map(({ entry, wrong, expected }) => [entry ?? '', wrong, expected]),
      none: 'Nothing.',
    }),
  ];
}

/** What the shift that goes hands over: what is unsafe and due, what is held and why, what runs, what comes next. */
export function handoverPaper(problem: Problem, handover: Handover, unsafe: readonly string[]): Paper {
  const { clock } = problem;
  const time = (minute: number) => timeText(clock, minute);
  return {
    id: 'handover',
    title: 'Handover',
    about: `${whenText(clock, handover.from)} to ${whenText(clock, handover.now)}`,
    landscape: false,
    pieces: [
      ...unsafe.map((text) => strong(`unsafe ${text}`, `▲ ${text}`)),
      ...standing(problem, handover, time),
      ...measured(handover, time),
      ...ahead(handover, time),
    ],
  };
}
