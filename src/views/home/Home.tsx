import { placeOfPath } from '../../grid/where.ts';
import { DayHome } from '../day/DayHome.tsx';
import { Card } from '../look/Parts.tsx';
import { useTints } from '../look/useTints.ts';
import { ByHandTable, Supplies } from '../panels/Administrator.tsx';
import { Nephrology } from '../panels/Nephrology.tsx';
import { partOf } from '../panels/parts.tsx';
import { Shortages } from '../panels/Shortages.tsx';
import type { Arrangement } from '../state/arrangements.ts';
import type { Planned } from '../state/planned.ts';
import { isCurrent } from '../state/session.ts';
import { jumpTo, useStore } from '../state/store.ts';
import { ClinicalWays } from './ClinicalWays.tsx';
import { NephrologyHome } from './NephrologyHome.tsx';
import { ShortCard } from './ShortCard.tsx';
import './home.css';

/** The administrator's home: enough or not, until when, what is missing. */
const AdministratorHome = ({ planned }: { planned: Planned }) => (
  <div className="home administrator">
    <Card title="This plan">
      <Shortages planned={planned} />
      <ByHandTable planned={planned} />
    </Card>
    <Card title="Supplies that run out" about="soonest first">
      <Supplies planned={planned} />
    </Card>
    <Card title="Capacity">{partOf('capacity').draw(planned)}</Card>
  </div>
);

/** What each role sees first: its own questions, from the same data. */
export function Home({ arrangement }: { arrangement: Arrangement }) {
  const planned = useStore((state) => state.planned);
  const now = useStore((state) => state.now);
  const tints = useTints();
  const current = useStore(isCurrent);
  const searching = useStore(({ planning, searched }) => planning.state === 'planning' && !searched);
  if (!planned) return <p className="pane-head">The home comes with the first plan.</p>;
  if (arrangement === 'technician') return <DayHome planned={planned} />;
  if (arrangement === 'administrator') return <AdministratorHome planned={planned} />;
  const toBed = (row: number) => {
    const place = placeOfPath(planned.scenario, ['patients', row, 'dose']);
    if (place) jumpTo(place);
  };
  return (
    <NephrologyHome
      planned={planned}
      now={now}
      tints={tints}
      onBed={toBed}
      short={current && <ShortCard planned={planned} searching={searching} />}
      wayOut={
        <Card title="Ways out" about="what a decision of the prescriber would save">
          <ClinicalWays planned={planned} />
          <Nephrology />
        </Card>
      }
    />
  );
}
