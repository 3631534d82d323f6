import { type ReactNode, useMemo } from 'react';
import { useHost } from './hostContext.ts';
import { Timeline } from './pictures/Timeline.tsx';
import type { Planned } from './planned.ts';
import { useStore } from './store.ts';
import { useTints } from './useTints.ts';

/** What stands below the sheet: pictures of the plan and of what follows from it. */
export interface Part {
  readonly id: string;
  readonly title: string;
  /** Drawn once there is a plan. */
  readonly draw: (planned: Planned) => ReactNode;
}

function TimelinePart({ planned }: { planned: Planned }) {
  const selection = useStore((state) => state.selection);
  const select = useStore((state) => state.select);
  const now = useStore((state) => state.now);
  const tints = useTints();
  const { saveExport } = useHost();
  const { activities } = planned.plan;
  const selected = useMemo(() => {
    const index = selection.activity ? activities.indexOf(selection.activity) : -1;
    return index < 0 ? null : index;
  }, [activities, selection.activity]);
  return (
    <Timeline
      problem={planned.problem}
      activities={activities}
      covered={planned.covered}
      tints={tints}
      selected={selected}
      onSelect={(index) => select({ activity: index === null ? null : (activities[index] ?? null) })}
      now={now}
      moved={planned.moved}
      onAsk={(question) => {
        select({ question });
        useStore.getState().show({ part: 'trace' });
      }}
      onExport={saveExport}
    />
  );
}

export const PARTS: readonly Part[] = [
  { id: 'timeline', title: 'Timeline', draw: (planned) => <TimelinePart planned={planned} /> },
];
