import { useCallback, useEffect, useRef, useState } from 'react';
import { type Compared, comparisons } from '../../capacity/agreement.ts';
import { specOf } from '../../capacity/forecast.ts';
import { type Lever, type LeverSaving, leversOf, together } from '../../capacity/levers.ts';
import { type Requirements, requirements } from '../../capacity/requirements.ts';
import { type Study, study } from '../../capacity/study.ts';
import { type HeatMap, heatMap, leverSavings } from '../../capacity/sweeps.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { Cancelled, openThreads, type Threads } from './threads.ts';

/** All that the administrator is told; parts come one after the other. */
export interface Answers {
  readonly study: Study | null;
  readonly needs: Requirements | null;
  readonly heat: HeatMap | null;
  readonly savings: readonly LeverSaving[] | null;
  /** Draws that were also planned fully. */
  readonly compared: readonly Compared[] | null;
}
export interface Capacity extends Answers {
  /** What is being worked out, null: nothing. */
  readonly stage: string | null;
  /** 0..1 of that */
  readonly done: number;
  readonly failure: string | null;
  /** Draws all answers; what stands is replaced part by part. */
  start(draws: number): void;
  cancel(): void;
  /** Adds the saving of levers pulled together. */
  combine(levers: readonly Lever[]): void;
}

const NOTHING: Answers = { study: null, needs: null, heat: null, savings: null, compared: null };
/** Sweeps compare like with like on the same patients, so fewer draws do. */
const SWEEP = 400;

/** Heat map and levers need machines asked about around the answer. */
function around(made: Study): { machines: number[]; most: number } {
  const middle = (made.supplied ?? made).smallest ?? made.own;
  const last = Math.max(middle + 2, made.own + 1);
  const first = Math.max(1, Math.min(middle, made.own) - 4);
  return { machines: Array.from({ length: last - first + 1 }, (_, n) => first + n), most: last };
}

/** Where supplies run out whatever is done, levers are compared as if they did not: else none would tell anything. */
const pulledOn = ({ scenario, supplied }: Study): Scenario =>
  supplied ? { ...scenario, supplies: [] } : scenario;

/** Runs the forecast of a scenario without error faults on threads of its own. */
export function useCapacity(scenario: Scenario | null): Capacity {
  const [answers, setAnswers] = useState<Answers>(NOTHING);
  const [work, setWork] = useState<{ stage: string | null; done: number; failure: string | null }>({
    stage: null,
    done: 0,
    failure: null,
  });
  const threads = useRef<Threads | null>(null);
  const cancel = useCallback(() => {
    threads.current?.close();
    threads.current = null;
  }, []);
  useEffect(() => cancel, [cancel]);

  const during = useCallback(
    async (
      act: (
        open: Threads,
        stage: (name: string) => void,
        onProgress: (done: number) => void,
      ) => Promise<void>,
    ) => {
      cancel();
      const open = openThreads();
      threads.current = open;
      const current = () => threads.current === open;
      const stage = (name: string) => setWork({ stage: name, done: 0, failure: null });
      try {
        await act(open, stage, (done) => current() && setWork((before) => ({ ...before, done })));
        if (current()) setWork({ stage: null, done: 1, failure: null });
      } catch (error) {
        if (threads.current !== null && !current()) return;
        const failure =
          error instanceof Cancelled ? null : error instanceof Error ? error.message : String(error);
        setWork({ stage: null, done: 0, failure });
      } finally {
        if (current()) cancel();
        else open.close();
      }
    },
    [cancel],
  );

  const start = useCallback(
    (draws: number) => {
      if (!scenario) return;
      const { seed } = specOf(scenario);
      void during(async (open, stage, onProgress) => {
        setAnswers(NOTHING);
        const tell = (part: Partial<Answers>) => setAnswers((before) => ({ ...before, ...part }));
        stage('Drawing patients');
        const made = await study(scenario, open.run, { draws, seed, onProgress });
        tell({ study: made });
        if (made.own === 0) return;
        const sweep = { draws: Math.min(draws, SWEEP), seed, onProgress };
        stage('Machines and technicians');
        const { machines, most } = around(made);
        const technicians = Array.from(
          { length: Math.max(3, ...scenario.shifts.map((row) => row.technicians)) + 1 },
          (_, n) => n + 1,
        );
        tell({
          heat: await heatMap({ ...scenario, supplies: [] }, open.run, { ...sweep, machines, technicians }),
        });
        stage('Just enough of everything');
        tell({ needs: await requirements(made, open.run, sweep) });
        stage('Levers');
        tell({
          savings: await leverSavings(pulledOn(made), leversOf(scenario), open.run, { ...sweep, most }),
        });
        stage('Full plans beside the fast model');
        const jobs = comparisons(made).map((job) => ({ scenario, seed, ...job }));
        let planned = 0;
        const compared = await open.compare(jobs, (more) => {
          planned += more;
          onProgress(planned / jobs.length);
        });
        tell({ compared });
      });
    },
    [scenario, during],
  );

  const combine = useCallback(
    (levers: readonly Lever[]) => {
      const base = answers.study;
      if (!base || levers.length === 0) return;
      const { seed } = base;
      void during(async (open, stage, onProgress) => {
        stage('Levers together');
        const { most } = around(base);
        const options = { draws: Math.min(base.draws, SWEEP), seed, onProgress, most };
        const made = await leverSavings(pulledOn(base), [together(levers)], open.run, options);
        setAnswers((before) => ({
          ...before,
          savings: [...(before.savings ?? []).filter(({ id }) => id !== made[0]!.id), ...made],
        }));
      });
    },
    [answers.study, during],
  );
  return { ...answers, ...work, start, cancel, combine };
}
