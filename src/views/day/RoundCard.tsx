import { useMemo, useState } from 'react';
import { roundBefore, type Start } from '../../record/from.ts';
import { entryTime } from '../../record/minuteOf.ts';
import {
  bagsAtBeds,
  bagsToCarry,
  bedText,
  loadsOf,
  type PickList,
  pickList,
  picksText,
  shortText,
} from '../../reports/day/pickList.ts';
import { carriesNow } from '../../reports/day/unsafe.ts';
import { countText, lengthText, numberText } from '../../words/numbers.ts';
import { roundHead, roundText, timeText } from '../../words/times.ts';
import { BathText, Card, Scrolls, Signal } from '../look/Parts.tsx';
import type { Planned } from '../state/planned.ts';
import { note, useShallow, useStore } from '../state/store.ts';

/** Rows of a pick list as they are carried: by ward and bed, the lots beside each. */
function PickTable({ list }: { list: PickList }) {
  return (
    <table className="rows">
      <thead>
        <tr>
          <th scope="col">Ward</th>
          <th scope="col">Bed</th>
          <th scope="col">Bath</th>
          <th scope="col" className="number">
            Bags
          </th>
          <th scope="col" className="grows">
            Lots
          </th>
        </tr>
      </thead>
      <tbody>
        {list.rows.map((row) => (
          <tr key={`${row.bed} ${row.bath}`}>
            <td>{row.ward}</td>
            <th scope="row">{bedText(row)}</th>
            <td>
              <BathText bath={row.bath} free={row.free} />
            </td>
            <td className="number">{numberText(bagsToCarry(row))}</td>
            <td className="grows">{picksText(row)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** min before a bag round from which it is asked once more. */
const EARLY = 30;

/** That bags left, in a sentence, once more is noted than before it. */
export interface LeftNote {
  readonly before: number;
  /** Minute at which they left. */
  readonly at: number;
  readonly text: string;
}
interface RoundProps {
  readonly start: Start | null;
  readonly planned: Planned;
  readonly onLeft: (left: LeftNote) => void;
}

/** The next bag round, and what is due now: what leaves, from which lots; taken as left by one tap. */
export function RoundCard({ start, planned, onLeft }: RoundProps) {
  const by = useStore((state) => state.by);
  const [sure, setSure] = useState(false);
  const noted = useStore((state) => state.record.noted.length);
  const now = useStore((state) => state.now);
  const { problem } = planned;
  const { clock } = problem;
  const made = useMemo(() => new Set(problem.lots.map(({ id }) => id)), [problem]);
  const due = start?.state.dueNow.some((bags) => bags > 0) ?? false;
  const index = due ? 0 : problem.rounds.findIndex(({ index: i, at }) => (i > 0 || !start) && at >= now);
  const whole = useStore(useShallow(({ problem, demand }) => ({ problem, demand })));
  const list = useMemo(() => {
    if (index < 0) return null;
    const { problem: all, demand } = whole;
    const atBeds = due && all && demand ? { atBeds: bagsAtBeds({ problem: all, demand }, start!.state) } : {};
    return pickList({ ...planned, ...atBeds }, index, made);
  }, [planned, index, made, whole, due, start]);
  if (!list) return null;
  const bags = list.lots.reduce((sum, lot) => sum + lot.bags, 0);
  const litres = list.lots.reduce((sum, lot) => sum + lot.litres, 0);
  const planned_ = list.lots.filter((lot) => lot.planned).reduce((sum, lot) => sum + lot.bags, 0);
  const left = () => {
    // Long before its time it is a slip of the finger more often than a round.
    if (!due && !sure && list.at - now > EARLY) return setSure(true);
    setSure(false);
    const round = start
      ? due
        ? Math.max(0, start.state.nextRound - 1)
        : roundBefore(start.state, index)
      : index;
    const loads = loadsOf(list);
    const count = loads.reduce((sum, load) => sum + load.bags, 0);
    const off = list.at - now;
    onLeft({
      before: noted,
      at: now,
      text: `Noted: ${countText(count, 'bag')} left ${timeText(clock, now)} ${due ? 'as bags due now' : `with ${roundText(clock, list)}`}${due || off <= 0 ? '' : `, ${lengthText(off)} before its time`}. Wrong? Tap "Wrong entry" under Noted.`,
    });
    note([{ kind: 'leave', by, ...entryTime(clock, now), round, loads }]);
  };
  return (
    <Card
      title={due ? 'Carry now' : `Next bag round: ${roundHead(clock, list)}`}
      about={`${countText(bags, 'bag')}, about ${numberText(litres, 0)} kg`}
      actions={
        <button type="button" className="main" disabled={by === '' || planned_ === bags} onClick={left}>
          {by === '' ? 'Initials first' : sure ? 'Tap again: they have left' : 'Bags have left'}
        </button>
      }
    >
      {due && (
        <p>
          <Signal tone="bad">
            {carriesNow(start!)
              .map((text) => `Carry ${text} now`)
              .join('. ')}
          </Signal>
        </p>
      )}
      {sure && (
        <p className="warn" role="alert">
          It leaves at {timeText(clock, list.at)}, {lengthText(list.at - now)} from now. Have these bags left
          already?
        </p>
      )}
      {planned_ > 0 && <p className="warn">{countText(planned_, 'bag')} of these must still be filled.</p>}
      {start && !start.state.notesRounds && (
        <p>
          <Signal tone="warn">
            No bag round is noted as left. Those before now count as carried, as they were planned.
          </Signal>
        </p>
      )}
      {list.short.map((one) => (
        <p key={one.bath}>
          <Signal tone="bad">{shortText(one)}</Signal>
        </p>
      ))}
      <Scrolls label="Next bag round, rows">
        <PickTable list={list} />
      </Scrolls>
    </Card>
  );
}
