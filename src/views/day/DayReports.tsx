import { type ReactNode, useState } from 'react';
import type { Demand } from '../../demand/demand.ts';
import type { Start } from '../../record/from.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { Card } from '../look/Parts.tsx';
import { TimelinePart } from '../panels/parts.tsx';
import type { Planned } from '../state/planned.ts';
import { useStore } from '../state/store.ts';
import { MadePart } from './MadePart.tsx';
import { PeoplePart } from './PeoplePart.tsx';
import { ReadingsPart } from './ReadingsPart.tsx';
import { TracePart } from './TracePart.tsx';
import './reports.css';

interface ReportsProps {
  readonly start: Start;
  readonly planned: Planned;
  /** The scenario compiled, from its start, and its need. */
  readonly problem: Problem;
  readonly demand: Demand;
  readonly recorded: boolean;
  /** The plan answers what was noted. */
  readonly current: boolean;
}

/** min */
const AROUND = 360;

const TABS = [
  { id: 'timeline', title: 'Timeline', page: '' },
  { id: 'people', title: 'Tasks by person', page: 'people' },
  { id: 'trace', title: 'Trace', page: 'trace' },
  { id: 'charts', title: 'Readings', page: 'charts' },
  { id: 'made', title: 'Made against planned', page: 'made' },
] as const;
type Tab = (typeof TABS)[number]['id'];

/** What is asked of a day beside the next thing to do: one at a time, each with its page. */
export function DayReports({ start, planned, problem, demand, recorded, current }: ReportsProps) {
  const [tab, setTab] = useState<Tab>('timeline');
  const given = useStore((state) => state.given ?? state.baseline);
  const set = useStore((state) => state.set);
  const show = useStore((state) => state.show);
  const print = (page: string) => {
    set({ toPrint: page });
    show({ place: 'sheets', part: 'paper', split: 0.1 });
  };
  const draw: Record<Tab, () => ReactNode> = {
    timeline: () => <TimelinePart planned={planned} around={AROUND} />,
    people: () =>
      current ? (
        <PeoplePart start={start} planned={planned} problem={problem} recorded={recorded} />
      ) : (
        <p>Wait: the plan follows from what was noted.</p>
      ),
    trace: () => (
      <TracePart state={start.state} problem={problem} demand={demand} onPrint={() => print('trace')} />
    ),
    charts: () => <ReadingsPart start={start} scenario={planned.scenario} />,
    made: () => <MadePart start={start} problem={problem} given={given} />,
  };
  const { title, page } = TABS.find(({ id }) => id === tab)!;
  return (
    <Card
      title={title}
      className="reports"
      actions={
        page !== '' &&
        page !== 'trace' &&
        recorded && (
          <button type="button" onClick={() => print(page)}>
            Print …
          </button>
        )
      }
    >
      <fieldset className="choices" aria-label="Views of the day">
        {TABS.map((one) => (
          <button type="button" key={one.id} aria-pressed={one.id === tab} onClick={() => setTab(one.id)}>
            {one.title}
          </button>
        ))}
      </fieldset>
      {draw[tab]()}
    </Card>
  );
}
