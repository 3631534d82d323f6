import type { Verdict } from '../../src/audit/verdict.ts';
import type { Activity, Plan } from '../../src/plan/plan.ts';
import { verdictText } from '../../src/reports/audited.ts';
import type { Problem } from '../../src/scenario/problem/types.ts';
import { CAUTION } from '../../src/words/cautions.ts';
import { countText, numberText } from '../../src/words/numbers.ts';
import { whenText } from '../../src/words/times.ts';
import { bagsTable, CAUTIONS, needsTable, type Paint, runSheets, scoreTable } from './tables.ts';

const written = (activity: Activity) =>
  activity.kind === 'duty'
    ? {
        kind: activity.kind,
        duty: activity.duty,
        at: activity.at,
        ...(activity.machine != null && { machine: activity.machine }),
        ...(activity.water != null && { water: activity.water }),
        start: activity.start,
        end: activity.end,
      }
    : activity.kind === 'test'
      ? { kind: activity.kind, water: activity.water, start: activity.start, end: activity.end }
      : {
          kind: activity.kind,
          machine: activity.machine,
          ...('bath' in activity && { bath: activity.bath }),
          start: activity.start,
          end: activity.end,
        };

/** The one object of `--json`: minutes from the scenario's start. What the plan check found comes first. */
export const planFile = (problem: Problem, plan: Plan, verdict: Verdict) => {
  const { needs, score, bound, seconds } = plan;
  return {
    format: 'bathtide-plan',
    version: 1,
    verdict: {
      ok: verdict.ok,
      says: verdictText(problem.clock, verdict, problem.now),
      rulesChecked: verdict.checked.length,
      violations: verdict.violations,
    },
    caution: CAUTION.long,
    scenario: problem.title,
    activities: plan.activities.map(written),
    needs: needs.map(({ bath, round, at, bags, litres, unmetLitres }) => ({
      bath,
      round,
      at,
      bags,
      litres,
      unmetLitres,
    })),
    score: {
      unmetLitres: score.unmetLitres,
      unmetLitreHours: score.unmetLitreHours,
      reserveShort: score.reserveShort,
      handsOnMinutes: score.handsOnMinutes,
      expiredBags: score.expiredBags,
    },
    bound: { unmetLitres: bound.unmetLitres, handsOnMinutes: bound.handsOnMinutes },
    remarks: plan.remarks,
    seconds,
  };
};

/** Each broken rule in a sentence. */
export const brokenRules = ({ violations }: Verdict): string[] =>
  violations.map(({ rule, message }) => `${rule}: ${message}`);

/** What a person reads. A plan that breaks a rule says so before anything else. */
export function planText(problem: Problem, plan: Plan, verdict: Verdict, paint: Paint): string {
  const title = (text: string) => `\n${paint(['bold', 'underline'], text)}`;
  const unmet = plan.score.unmetLitres;
  const { clock, horizon, patients, machines } = problem;
  const says = verdictText(clock, verdict, problem.now);
  return [
    ...(verdict.ok ? [] : [paint(['red', 'bold'], says), ...brokenRules(verdict), '']),
    paint('bold', problem.title),
    `${whenText(clock, 0, true)} to ${whenText(clock, horizon, true)}, ${clock.timeZone}; ${countText(patients.length, 'patient')}, ${countText(machines.length, 'machine')}`,
    unmet > 1e-9
      ? paint(['red', 'bold'], `Unmet: ${numberText(unmet)} L of the need. See the bag rounds marked unmet.`)
      : paint('green', 'Every need is met.'),
    title('Need and supply by bag round'),
    needsTable(problem, plan, paint),
    title('Bags hung per day'),
    bagsTable(problem),
    title('Work by machine'),
    runSheets(problem, plan, paint),
    title('How good the plan is'),
    says,
    scoreTable(plan, paint),
    ...(plan.remarks.length > 0 ? [title('Remarks'), ...plan.remarks.map((remark) => `- ${remark}`)] : []),
    title('Cautions'),
    ...CAUTIONS.map((caution) => `- ${caution}`),
    `\nPlanned in ${numberText(plan.seconds, 2)} s.`,
    '',
  ].join('\n');
}
