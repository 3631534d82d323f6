import { useMemo, useState } from 'react';
import { roundBefore, type Start } from '../../record/from.ts';
import { loadsOf, type PickList, pickList } from '../../reports/day/pickList.ts';
import { countText, numberText } from '../../words/numbers.ts';
import { whenText } from '../../words/times.ts';
import { BathText, Card, Signal } from '../look/Parts.tsx';
import type { Planned } from '../state/planned.ts';
import { note, useStore } from '../state/store.ts';
import { entryTime } from './NoteDialog.tsx';

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
        {list.rows.map(({ ward, bed, bath, free, bags, picks }) => (
          <tr key={`${bed} ${bath}`}>
            <td>{ward}</td>
            <th scope="row">{bed}</th>
            <td>
              <BathText bath={bath} free={free} />
            </td>
            <td className="number">{bags}</td>
            <td className="grows">
              {picks.length === 0
                ? 'Too few bags: the people responsible decide'
                : picks.map(({ lot, bags: count }) => `${count} × ${lot}`).join(', ')}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** min before a bag round from which it is asked once more. */
const EARLY = 30;

/** The next bag round, and what is due now: what leaves, from which lots; taken as left by one tap. */
export function RoundCard({ start, planned }: { start: Start | null; planned: Planned }) {
  const by = useStore((state) => state.by);
  const [sure, setSure] = useState(false);
  const now = useStore((state) => state.now);
  const { problem } = planned;
  const { clock } = problem;
  const made = useMemo(() => new Set(problem.lots.map(({ id }) => id)), [problem]);
  const due = start?.state.dueNow.some((bags) => bags > 0) ?? false;
  const index = due ? 0 : problem.rounds.findIndex(({ index: i, at }) => (i > 0 || !start) && at >= now);
  const list = useMemo(() => (index < 0 ? null : pickList(planned, index, made)), [planned, index, made]);
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
    note([{ kind: 'leave', by, ...entryTime(clock, now), round, loads: loadsOf(list) }]);
  };
  return (
    <Card
      title={due ? 'Carry now' : `Next bag round: ${whenText(clock, list.at)}`}
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
            {start!.state.dueNow
              .flatMap((count, bath) => (count > 0 ? [`Carry ${count} of ${problem.baths[bath]} now`] : []))
              .join('. ')}
          </Signal>
        </p>
      )}
      {planned_ > 0 && <p className="warn">{countText(planned_, 'bag')} of these must still be filled.</p>}
      {start && !start.state.notesRounds && (
        <p className="muted">
          No bag round is noted as left. Those before now count as carried, as they were planned.
        </p>
      )}
      {list.short.map(({ bath, wanted, unmetLitres }) => (
        <p key={bath}>
          <Signal tone="bad">
            {bath}: {numberText(unmetLitres)} L unmet of {countText(wanted, 'bag')}
          </Signal>
        </p>
      ))}
      <div className="scrolls">
        <PickTable list={list} />
      </div>
    </Card>
  );
}
