import { useMemo, useState } from 'react';
import type { Start } from '../../record/from.ts';
import { type Act, type PlaceNow, placesNow } from '../../reports/day/places.ts';
import { bathLooks, type Tints } from '../../reports/palette.ts';
import { lengthText } from '../../words/numbers.ts';
import { timeText, whenText } from '../../words/times.ts';
import { BathChip, Sign } from '../look/Parts.tsx';
import type { Planned } from '../state/planned.ts';
import { BUTTONS } from './forms.tsx';
import { NoteDialog } from './NoteDialog.tsx';
import { nearnessOf, useSwapCall } from './useSwapCall.ts';

interface CardProps {
  readonly place: PlaceNow;
  readonly planned: Planned;
  readonly now: number;
  readonly tints: Tints;
  readonly onAct: (act: Act) => void;
}

/** How long until a window opens or closes, in words. */
function countdown(window: { from: number; to: number }, now: number): string {
  if (now < window.from)
    return `${now >= window.from - 5 ? 'SWAP SOON: ' : ''}opens in ${lengthText(window.from - now)}`;
  return now <= window.to
    ? `SWAP NOW: closes in ${lengthText(window.to - now)}`
    : `closed ${lengthText(now - window.to)} ago`;
}

function PlaceCard({ place, planned, now, tints, onAct }: CardProps) {
  const { clock } = planned.problem;
  const look = bathLooks(planned.problem.baths, tints).find(({ bath }) => bath === place.bath);
  const { next } = place;
  const planAct = next && next.activity.start <= now + 30 ? next.act : null;
  // What is unsafe comes before what is planned.
  const first = place.tone === 'bad' ? place.acts[0] : place.window ? 'off' : (planAct ?? place.acts[0]);
  return (
    <section className={`card place ${place.tone} ${nearnessOf(place, now) ?? ''}`} aria-label={place.id}>
      <header>
        <h3>{place.id}</h3>
        {look && <BathChip look={look} />}
        {place.window && place.tone !== 'bad' && (
          <span className="about">{countdown(place.window, now)}</span>
        )}
      </header>
      <p className={`state ${place.tone}`}>
        <Sign tone={place.tone} /> {place.says}
      </p>
      {next && place.tone !== 'bad' && (
        <p className="next-there">
          Next{' '}
          {next.activity.start < now + 720
            ? timeText(clock, next.activity.start)
            : whenText(clock, next.activity.start)}
          {next.noLater > next.activity.start && ` (no later than ${timeText(clock, next.noLater)})`}:{' '}
          {next.order.replace(`${place.id}: `, '')}
        </p>
      )}
      <div className="acts">
        {first && (
          <button type="button" className="main" onClick={() => onAct(first)}>
            {BUTTONS[first]} …
          </button>
        )}
        {place.acts
          .filter((act) => act !== first)
          .slice(0, 2)
          .map((act) => (
            <button type="button" key={act} onClick={() => onAct(act)}>
              {BUTTONS[act]} …
            </button>
          ))}
      </div>
    </section>
  );
}

interface PlacesProps {
  readonly start: Start;
  readonly planned: Planned;
  readonly tints: Tints;
  /** The plan answers what was noted; else what it has next is not shown. */
  readonly current: boolean;
}

/** Every machine and water source as it is; a tap on a button notes what was done there. */
export function PlaceCards({ start, planned, tints, current }: PlacesProps) {
  const [open, setOpen] = useState<{ place: PlaceNow; act: Act } | null>(null);
  const { now } = start.state;
  const places = useMemo(
    () => placesNow(start, current ? planned.plan.activities : []),
    [start, current, planned],
  );
  useSwapCall(places, now);
  return (
    <div className="places">
      {places.map((place) => (
        <PlaceCard
          key={`${place.kind} ${place.id}`}
          place={place}
          planned={planned}
          now={now}
          tints={tints}
          onAct={(act) => setOpen({ place, act })}
        />
      ))}
      {open && (
        <NoteDialog
          place={open.place}
          first={open.act}
          problem={start.problem}
          scenario={planned.scenario}
          now={now}
          onClose={() => setOpen(null)}
        />
      )}
    </div>
  );
}
