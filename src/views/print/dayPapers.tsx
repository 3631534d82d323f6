import type { Activity } from '../../plan/plan.ts';
import { bathsOf } from '../../plan/plan.ts';
import type { Recall } from '../../record/state/recall.ts';
import type { PersonLists, Task } from '../../reports/day/personLists.ts';
import { bagsToCarry, bedText, type PickList, picksText, shortText } from '../../reports/day/pickList.ts';
import { recallActs } from '../../reports/day/recallText.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { workOrder } from '../../words/activities.ts';
import { numberText } from '../../words/numbers.ts';
import { namedRound, timeText, whenText, withinText } from '../../words/times.ts';
import { BathText } from '../look/Parts.tsx';
import type { Paper } from './flow.ts';
import { block, listed, strong } from './pieces.tsx';

/** What leaves with a bag round, by ward and bed, to be ticked as it is taken. */
export function pickPaper({ clock }: Problem, list: PickList): Paper {
  return {
    id: 'pick',
    title: 'Bag round',
    about: whenText(clock, list.at, true),
    landscape: false,
    pieces: [
      ...list.short.map((one) => strong(`short ${one.bath}`, shortText(one))),
      ...listed({
        key: 'lots',
        title: 'Take from stock',
        columns: [
          { head: 'Lot', share: 38 },
          { head: 'Bath', share: 22 },
          { head: 'Bags', share: 10 },
          { head: 'About kg', share: 15 },
          { head: 'Taken', share: 15 },
        ],
        rows: list.lots.map(({ lot, bath, free, bags, litres, planned }) => [
          `${lot}${planned ? ' (still to be filled)' : ''}`,
          <BathText key="bath" bath={bath} free={free} />,
          bags,
          numberText(litres),
          '',
        ]),
        none: 'Nothing leaves.',
      }),
      ...listed({
        key: 'beds',
        title: 'By ward and bed',
        columns: [
          { head: 'Ward', share: 15 },
          { head: 'Bed', share: 20 },
          { head: 'Bath', share: 22 },
          { head: 'Bags', share: 8 },
          { head: 'Lots', share: 25 },
          { head: 'Given', share: 10 },
        ],
        rows: list.rows.map((row) => [
          row.ward,
          bedText(row),
          <BathText key="bath" bath={row.bath} free={row.free} />,
          bagsToCarry(row),
          picksText(row),
          '',
        ]),
        none: 'No bed takes anything.',
      }),
    ],
  };
}

const textOf = (
  { clock }: Problem,
  baths: ReadonlyMap<Activity, string>,
  { activity, window }: Task,
): string =>
  `${workOrder(activity, baths.get(activity) ?? '')}${window ? `, ${withinText(clock, window)}` : ''}`;

/** One list a person, in order of time. */
export function peoplePaper(
  problem: Problem,
  lists: PersonLists,
  activities: readonly Activity[],
  about: string,
): Paper {
  const { clock } = problem;
  const all = bathsOf(activities);
  const baths = new Map(activities.map((activity, index) => [activity, all[index]!]));
  const columns = [
    { head: 'At', share: 15 },
    { head: 'Until', share: 15 },
    { head: 'What', share: 60 },
    { head: 'Done', share: 10 },
  ];
  return {
    id: 'people',
    title: 'Tasks by person',
    about,
    landscape: false,
    pieces: [
      ...lists.lists
        .filter(({ tasks }) => tasks.length > 0)
        .flatMap(({ person, tasks }) =>
          listed({
            key: `p ${person.name} ${person.from}`,
            title: person.name,
            columns,
            rows: tasks.map((task) => [
              timeText(clock, task.start),
              task.end > task.start ? timeText(clock, task.end) : '0 min',
              textOf(problem, baths, task),
              '',
            ]),
            none: '',
          }),
        ),
      ...(lists.nobody.length > 0
        ? listed({
            key: 'nobody',
            title: 'NOBODY IS FREE FOR',
            columns,
            rows: lists.nobody.map((task) => [
              timeText(clock, task.start),
              task.end > task.start ? timeText(clock, task.end) : '0 min',
              textOf(problem, baths, task),
              '',
            ]),
            none: '',
          })
        : []),
    ],
  };
}

/** Bags in doubt that have left: to be found and taken down. */
export function recallPaper(
  whole: Pick<Problem, 'clock' | 'rounds'>,
  recall: readonly Recall[],
  about: string,
): Paper {
  return {
    id: 'recall',
    title: 'Recall list',
    about,
    landscape: false,
    pieces: [
      block(
        'act',
        <p className="strong">
          Do not hang these bags. Take down what hangs, by the site’s procedure and licensed practice.
        </p>,
      ),
      ...listed({
        key: 'recall',
        title: 'Bags to call back',
        columns: [
          { head: 'Ward', share: 11 },
          { head: 'Bed', share: 13 },
          { head: 'Lot', share: 22 },
          { head: 'Bags', share: 7 },
          { head: 'Bag round', share: 17 },
          { head: 'What to do', share: 30 },
          { head: 'Found', share: 8 },
        ],
        rows: recall.map((one) => [
          one.ward ?? 'not noted',
          one.bed ?? 'not noted',
          one.lot,
          one.bags,
          namedRound(whole, one.round),
          recallActs(one).join('; '),
          '',
        ]),
        none: 'No bag is to be called back.',
      }),
    ],
  };
}
