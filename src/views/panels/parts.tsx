import { type ReactNode, useMemo } from 'react';
import { CAUTION, NO_PRESCRIBING } from '../../words/cautions.ts';
import { CapacityView } from '../capacity/CapacityView.tsx';
import { useTints } from '../look/useTints.ts';
import { CoverChart } from '../pictures/CoverChart.tsx';
import { DayChart } from '../pictures/DayChart.tsx';
import { HoldPart } from '../pictures/HoldPart.tsx';
import { SupplyChart } from '../pictures/SupplyChart.tsx';
import { Timeline } from '../pictures/Timeline.tsx';
import { PaperPart } from '../print/PaperPart.tsx';
import { startOf } from '../state/dayRecord.ts';
import { useHost } from '../state/hostContext.ts';
import type { Planned } from '../state/planned.ts';
import { isCurrent, isRecorded } from '../state/session.ts';
import { ask, useStore } from '../state/store.ts';
import { ComparePart, keepVariant } from './ComparePart.tsx';

/** What stands below the sheet: pictures of the plan and of what follows from it. */
interface Part {
  readonly id: string;
  readonly title: string;
  /** Drawn once there is a plan. */
  readonly draw: (planned: Planned) => ReactNode;
}
/** In the foot of each page. */
const PAGE_CAUTIONS = [CAUTION.long, NO_PRESCRIBING];

type PartProps = { readonly planned: Planned };

/** @param around min on either side of now that are shown first; absent: the whole plan */
export function TimelinePart({ planned, around }: PartProps & { readonly around?: number }) {
  const activity = useStore((state) => state.selection.activity);
  const now = useStore((state) => state.now);
  const tints = useTints();
  const { saveExport } = useHost();
  const { activities } = planned.plan;
  const index = useMemo(() => (activity ? activities.indexOf(activity) : -1), [activities, activity]);
  return (
    <Timeline
      problem={planned.problem}
      activities={activities}
      covered={planned.covered}
      tints={tints}
      selected={index < 0 ? null : index}
      onSelect={(at) => {
        useStore
          .getState()
          .select({ activity: at === null ? null : (activities[at] ?? null), question: null });
        if (at !== null) useStore.getState().show({ side: true });
      }}
      now={now}
      around={around}
      marked={planned.changes?.marked}
      onAsk={ask}
      onExport={saveExport}
    />
  );
}

/** Rounds that the selected fill serves, as [bath, round]. */
function useChosen({ problem, plan, covered }: Planned) {
  const activity = useStore((state) => state.selection.activity);
  return useMemo(() => {
    const fills = plan.activities.filter(({ kind }) => kind === 'fill');
    const fill = activity ? fills.indexOf(activity) : -1;
    if (fill < 0) return undefined;
    const lot = problem.lots.length + fill;
    return covered.servings
      .filter((serving) => serving.lot === lot)
      .map(({ bath, round }) => [bath, round] as const);
  }, [activity, plan, problem, covered]);
}

function CoverPart({ planned }: PartProps) {
  const { saveExport } = useHost();
  const now = useStore((state) => state.now);
  return (
    <CoverChart
      problem={planned.problem}
      demand={planned.demand}
      covered={planned.covered}
      tints={useTints()}
      chosen={useChosen(planned)}
      now={now}
      onAsk={ask}
      onExport={saveExport}
    />
  );
}

/** Follows the doses of this moment, not the plan of the moment before. */
function DayPart({ planned }: PartProps) {
  const { saveExport } = useHost();
  const problem = useStore((state) => state.problem) ?? planned.problem;
  const demand = useStore((state) => state.demand) ?? planned.demand;
  return <DayChart problem={problem} demand={demand} tints={useTints()} onAsk={ask} onExport={saveExport} />;
}

function SupplyPart({ planned }: PartProps) {
  const { saveExport } = useHost();
  return (
    <SupplyChart
      problem={planned.problem}
      activities={planned.plan.activities}
      onAsk={ask}
      onExport={saveExport}
    />
  );
}

function Paper({ planned }: PartProps) {
  const { bridge, say } = useHost();
  const now = useStore((state) => state.now);
  const { scenario, problem, demand, plan, covered, verdict } = planned;
  const lost = useStore((state) => state.lost);
  const edited = useStore((state) => !isCurrent(state));
  const start = useStore((state) => (state.problem ? startOf(state) : null));
  const wholeProblem = useStore((state) => state.problem);
  const wholeDemand = useStore((state) => state.demand);
  const whole = useMemo(
    () => wholeProblem && wholeDemand && { problem: wholeProblem, demand: wholeDemand },
    [wholeProblem, wholeDemand],
  );
  const given = useStore((state) => state.given ?? state.baseline);
  const suspect = useStore((state) => state.suspect);
  const asked = useStore((state) => state.toPrint);
  const { madeAt, held } = planned;
  const standing = useMemo(() => ({ madeAt, held, lost, edited }), [madeAt, held, lost, edited]);
  const print = (name: string) =>
    bridge.printPdf(name).then(
      () => {},
      (error: unknown) => say({ tone: 'bad', text: String(error) }),
    );
  return (
    <PaperPart
      problem={problem}
      baths={scenario.baths}
      demand={demand}
      plan={plan}
      covered={covered}
      verdict={verdict}
      standing={standing}
      cautions={PAGE_CAUTIONS}
      tints={useTints()}
      now={now}
      key={asked}
      start={start}
      whole={whole}
      suspect={suspect}
      given={given}
      asked={asked}
      onPrint={print}
    />
  );
}

function CapacityPart() {
  const scenario = useStore((state) => (state.problem ? state.scenario : null));
  const variants = useStore((state) => state.variants);
  const { bridge, say, saveExport } = useHost();
  const print = () =>
    bridge.printPdf('bathtide-capacity.pdf').then(
      () => {},
      (error: unknown) => say({ tone: 'bad', text: String(error) }),
    );
  return (
    <CapacityView
      scenario={scenario}
      recorded={useStore(isRecorded)}
      tints={useTints()}
      onKeep={(name, kept) => keepVariant({ name, scenario: kept, plan: null })}
      onEdit={() => useStore.getState().show({ sheet: 'forecast', split: 0.5 })}
      onOffers={() => useStore.getState().show({ sheet: 'offers', split: 0.5 })}
      onPrint={print}
      variants={variants}
      onExport={saveExport}
    />
  );
}

export const PARTS: readonly Part[] = [
  { id: 'timeline', title: 'Timeline', draw: (planned) => <TimelinePart planned={planned} /> },
  { id: 'cover', title: 'Need and supply', draw: (planned) => <CoverPart planned={planned} /> },
  { id: 'days', title: 'Bags per day', draw: (planned) => <DayPart planned={planned} /> },
  { id: 'supplies', title: 'Supplies left', draw: (planned) => <SupplyPart planned={planned} /> },
  { id: 'hold', title: 'Will it hold?', draw: (planned) => <HoldPart planned={planned} /> },
  { id: 'compare', title: 'Compare variants', draw: (planned) => <ComparePart planned={planned} /> },
  { id: 'capacity', title: 'Capacity', draw: () => <CapacityPart /> },
  { id: 'paper', title: 'Print', draw: (planned) => <Paper planned={planned} /> },
];

/** The picture of that id, the first one where there is none. */
export const partOf = (id: string): Part => PARTS.find((one) => one.id === id) ?? PARTS[0]!;
