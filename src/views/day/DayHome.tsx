import { useMemo, useState } from 'react';
import { startAt } from '../../record/from.ts';
import { Signal } from '../look/Parts.tsx';
import { useTints } from '../look/useTints.ts';
import { startOf } from '../state/dayRecord.ts';
import type { Planned } from '../state/planned.ts';
import { isCurrent } from '../state/session.ts';
import { useShallow, useStore } from '../state/store.ts';
import { Ahead, Waiting } from './Ahead.tsx';
import { DayNotices } from './DayNotices.tsx';
import { DayReports } from './DayReports.tsx';
import { Journal } from './Journal.tsx';
import { MoreDialog } from './MoreDialog.tsx';
import { NowBar, useDay } from './NowBar.tsx';
import { PlaceCards } from './PlaceCards.tsx';
import { type LeftNote, RoundCard } from './RoundCard.tsx';
import { StaffDialog } from './StaffDialog.tsx';
import './day.css';

/** min for which it is told that bags left. */
const TOLD = 15;

/** The technician lead's home: the machines as they are, what to do next, what leaves, what was noted. */
export function DayHome({ planned }: { planned: Planned }) {
  const { scenario, problem, demand, record, now } = useStore(
    useShallow(({ scenario, problem, demand, record, now }) => ({ scenario, problem, demand, record, now })),
  );
  const [dialog, setDialog] = useState<'more' | 'staff' | null>(null);
  const [left, setLeft] = useState<LeftNote | null>(null);
  const close = () => setDialog(null);
  const tints = useTints();
  useDay(planned);
  // Without an entry yet, the scenario as it stands: whoever notes the first one begins the record from here.
  const start = useMemo(
    () => (problem ? (startOf({ scenario, record, now }) ?? startAt(scenario, [], now)) : null),
    [scenario, problem, record, now],
  );
  const recorded = record.noted.length > 0;
  const current = useStore(isCurrent);
  return (
    <div className="home day">
      <NowBar planned={planned} onMore={() => setDialog('more')} />
      <DayNotices start={recorded ? start : null} />
      {!recorded && (
        <p className="muted">
          Nothing is noted yet. Note what is done as it is done: the plan then goes on from what was done, not
          from what was planned.
        </p>
      )}
      <div className="columns">
        {current && start ? <Ahead planned={planned} start={start} /> : <Waiting />}
        <div className="stack">
          {start && <PlaceCards start={start} planned={planned} tints={tints} current={current} />}
          {left && record.noted.length > left.before && now - left.at < TOLD && (
            <p role="status">
              <Signal tone="good">{left.text}</Signal>
            </p>
          )}
          {current && <RoundCard start={recorded ? start : null} planned={planned} onLeft={setLeft} />}
          {start && recorded && <Journal start={start} />}
        </div>
      </div>
      {start && problem && demand && (
        <DayReports {...{ start, planned, problem, demand, recorded, current }} />
      )}
      {dialog === 'more' && start && (
        <MoreDialog start={start} onStaff={() => setDialog('staff')} onClose={close} />
      )}
      {dialog === 'staff' && start && problem && (
        <StaffDialog start={start} whole={problem} first={!recorded} onClose={close} />
      )}
    </div>
  );
}
