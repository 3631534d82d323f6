import { useMemo, useState } from 'react';
import { createPortal } from 'react-dom';
import type { Demand } from '../../demand/demand.ts';
import type { Cover } from '../../plan/cover.ts';
import type { Plan } from '../../plan/plan.ts';
import { withoutTestsDone } from '../../plan/testDone.ts';
import type { Start } from '../../record/from.ts';
import { type Audited, pastTexts, type Standing } from '../../reports/audited.ts';
import { bagLabels } from '../../reports/labels.ts';
import type { Tints } from '../../reports/palette.ts';
import { shiftAt } from '../../reports/runSheet.ts';
import type { Problem, ShiftBand } from '../../scenario/problem/types.ts';
import type { Bath } from '../../scenario/schema.ts';
import { spanText, whenText } from '../../words/times.ts';
import type { Baseline } from '../state/planned.ts';
import { dayPapers, doneLabels } from './dayPages.ts';
import type { Paper, PaperSize } from './flow.ts';
import { Pages, usePages } from './Pages.tsx';
import { PrintButton } from './PrintButton.tsx';
import { withUnsafe } from './pieces.tsx';
import { labelPaper, logPaper } from './shiftPapers.tsx';
import { stampOf } from './stamp.ts';
import { useBarcodes } from './useBarcodes.ts';
import { stockPaper, weekPaper } from './weekPapers.tsx';
import { runSheetPaper } from './worksheet.tsx';

interface PaperPartProps {
  readonly problem: Problem;
  /** As typed, for the labels. */
  readonly baths: readonly Bath[];
  readonly demand: Demand;
  readonly plan: Plan;
  /** Of the plan's activities. */
  readonly covered: Cover;
  /** The audit's word; null: not audited, which prints as not released. */
  readonly verdict: Audited | null;
  readonly standing: Standing;
  readonly cautions: readonly string[];
  readonly tints?: Tints | undefined;
  /** What was done by now, of a day that is recorded; else null. */
  readonly start: Start | null;
  /** The scenario compiled, from its start, and its need; null while it has errors. */
  readonly whole: { readonly problem: Problem; readonly demand: Demand } | null;
  /** What is traced, as it was asked; and the plan that people were given. */
  readonly suspect: string;
  readonly given: Baseline | null;
  /** The page that a view asked for; '' none. */
  readonly asked: string;
  /** Minute that the shift under way is taken from. */
  readonly now: number;
  /** Prints the pages, and is done when they are out of the page's hands; the name is a suggestion for a PDF. */
  readonly onPrint: (name: string) => Promise<void>;
}

const KINDS = [
  ['run-sheet', 'Shift worksheet'],
  ['week', 'Overview of the whole plan'],
  ['stock', 'Stock board'],
  ['labels', 'Bag labels'],
  ['log', 'Preparation log'],
] as const;
/** Of a day that is recorded: from what was done. */
const DAY_KINDS = [
  ['handover', 'Handover'],
  ['pick', 'Next bag round'],
  ['people', 'Tasks by person'],
  ['recall', 'Recall list'],
  ['trace', 'Trace'],
  ['charts', 'Readings'],
  ['made', 'Made against planned'],
] as const;
const KINDS_ALL = [...KINDS, ...DAY_KINDS] as const;
type Kind = (typeof KINDS_ALL)[number][0];
/** Shifts may overlap, and begin at one time. */
const nameOf = ({ shift, from }: ShiftBand): string => `${shift} ${from}`;
const NONE: Tints = {};
/** Pages on screen: enough to judge by, few enough to scroll. */
const SHOWN = 24;

/** Chooses what to print, shows its pages as they will come out, and prints them. */
export function PaperPart(props: PaperPartProps) {
  const {
    problem,
    baths,
    demand,
    plan,
    covered,
    verdict,
    standing,
    cautions,
    tints = NONE,
    now,
    start,
    whole,
    suspect,
    given,
    asked,
    onPrint,
  } = props;
  const { shifts, horizon } = problem;
  const [kinds, setKinds] = useState<ReadonlySet<Kind>>(
    new Set([KINDS_ALL.find(([kind]) => kind === asked)?.[0] ?? 'run-sheet']),
  );
  const [size, setSize] = useState<PaperSize>('A4');
  const [chosen, setChosen] = useState('');
  const band = shifts.find((one) => nameOf(one) === chosen) ?? shiftAt(problem, now);
  const shift = useMemo(
    () => band ?? { shift: 'whole', from: 0, to: horizon, technicians: 0 },
    [band, horizon],
  );
  const stamp = useMemo(
    () => stampOf(problem, verdict, standing, cautions),
    [problem, verdict, standing, cautions],
  );
  const past = useMemo(() => pastTexts(verdict, standing), [verdict, standing]);
  const barred = stamp.barred !== null;
  const labels = useMemo(
    () =>
      kinds.has('labels') && !barred
        ? start
          ? doneLabels(start, baths, Math.max(0, shift.from))
          : bagLabels(problem, plan.activities, Math.max(0, shift.from), Math.min(horizon, shift.to), baths)
        : [],
    [kinds, barred, problem, plan, shift, horizon, baths, start],
  );
  const { done, codes } = useBarcodes(useMemo(() => labels.map(({ code }) => code), [labels]));
  const papers = useMemo(() => {
    const day =
      start && whole && dayPapers({ start, whole, baths, demand, plan, covered, shift, suspect, given });
    // A test that was done early is on no list of work to do.
    const toDo = start ? withoutTestsDone(problem, plan.activities) : plan.activities;
    const safe = (paper: Paper) =>
      start ? withUnsafe(paper, start, whenText(problem.clock, start.state.now)) : paper;
    const make: Partial<Record<Kind, () => Paper>> = {
      ...day,
      'run-sheet': () => safe(runSheetPaper(problem, toDo, shift, past)),
      week: () => weekPaper({ problem, demand, plan, covered, tints, past }),
      stock: () => safe(stockPaper(problem, covered, Math.max(problem.now, shift.from))),
      labels: () => labelPaper(problem, labels, codes ?? new Map(), shift),
      log: () => safe(logPaper(problem, toDo, shift)),
    };
    return KINDS_ALL.filter(
      ([kind]) => kinds.has(kind) && !(kind === 'labels' && (barred || !codes)),
    ).flatMap(([kind]) => make[kind]?.() ?? []);
  }, [
    problem,
    demand,
    plan,
    covered,
    tints,
    shift,
    kinds,
    barred,
    labels,
    codes,
    past,
    start,
    whole,
    baths,
    suspect,
    given,
  ]);
  const { copy, pages } = usePages(papers, size, stamp.warnings.length > 0);
  const day = problem.clock.localOf(Math.max(0, shift.from)).slice(0, 10);
  return (
    <div className="paper-part">
      <div className="paper-tools">
        <fieldset>
          <legend>Print</legend>
          {(start ? KINDS_ALL : KINDS).map(([kind, label]) => (
            <label key={kind}>
              <input
                type="checkbox"
                checked={kinds.has(kind)}
                disabled={barred && kind === 'labels'}
                onChange={() => {
                  const next = new Set(kinds);
                  if (!next.delete(kind)) next.add(kind);
                  setKinds(next);
                }}
              />{' '}
              {label}
            </label>
          ))}
        </fieldset>
        <label>
          Shift{' '}
          <select value={band ? nameOf(band) : ''} onChange={(event) => setChosen(event.target.value)}>
            {shifts.map((one) => (
              <option key={nameOf(one)} value={nameOf(one)}>
                {one.shift}: {spanText(problem.clock, one.from, one.to)}
              </option>
            ))}
          </select>
        </label>
        <label>
          Paper size{' '}
          <select value={size} onChange={(event) => setSize(event.target.value as PaperSize)}>
            <option>A4</option>
            <option>Letter</option>
          </select>
        </label>
        <PrintButton
          pages={pages.length}
          disabled={pages.length === 0 || !codes}
          onPrint={() => onPrint(`bathtide-${day}.pdf`)}
        />
        {!codes && (
          <span role="status">
            Making barcodes: {done} of {labels.length}
          </span>
        )}
        {barred && <b className="bad">{stamp.barred}: the pages are marked, and labels are not printed.</b>}
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must take the focus */}
      <section className="paper-desk" tabIndex={0} aria-label="Pages as they print">
        <Pages pages={pages} shown={SHOWN} stamp={stamp} size={size} />
        {pages.length > SHOWN && (
          <p className="paper-more">
            The first {SHOWN} of {pages.length} pages are shown here; all are printed.
          </p>
        )}
      </section>
      {copy}
      {createPortal(
        <div className="paper-print">
          <Pages pages={pages} stamp={stamp} size={size} />
        </div>,
        document.body,
      )}
    </div>
  );
}
