import { nextDate } from '../../calendar/clock.ts';
import { customFields } from '../../grid/columns.ts';
import { tableOf, toCsv, withCaution } from '../../grid/csv.ts';
import { sheetOf } from '../../grid/sheets.ts';
import { withoutTestsDone } from '../../plan/testDone.ts';
import { warningsOf } from '../../reports/audited.ts';
import { planTables } from '../../reports/planTables.ts';
import type { NamedTable } from '../../reports/workbook.ts';
import { DO_NOT_USE } from '../../words/verdict.ts';
import { nameFor } from './files.ts';
import { isCurrent, isRecorded, type Session } from './session.ts';

interface ExportedFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}
const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);

/** The sheet on screen as a file. */
export async function exportSheet({ scenario, view }: Session, kind: 'csv' | 'xlsx'): Promise<ExportedFile> {
  const sheet = sheetOf(view.sheet);
  const table = withCaution(tableOf(sheet, [...sheet.fields, ...customFields(sheet, scenario)], scenario));
  const name = nameFor({ scenario }, `-${sheet.title.toLowerCase().replaceAll(' ', '-')}.${kind}`);
  if (kind === 'csv') return { name, bytes: utf8(toCsv(table)) };
  const { toXlsx } = await import('../../reports/workbook.ts');
  return { name, bytes: await toXlsx([{ name: sheet.title, table }]) };
}

const NO_PLAN = 'Wait for the plan: there is none to write yet.';

/**
 * The whole plan with every sheet, one workbook.
 * @param capacity sheets of the capacity answer, if there is one
 * @throws Error while there is no plan
 */
export async function exportPlan(
  { planned, scenario: current, lost }: Session,
  capacity: readonly NamedTable[] = [],
): Promise<ExportedFile> {
  if (!planned) throw new Error(NO_PLAN);
  const { scenario, problem, demand, plan, verdict, madeAt, held } = planned;
  const standing = { madeAt, held, lost, edited: current !== scenario };
  const { toXlsx } = await import('../../reports/workbook.ts');
  return {
    name: nameFor({ scenario: current }, '-plan.xlsx'),
    bytes: await toXlsx([...planTables(scenario, problem, demand, plan, verdict, standing), ...capacity]),
  };
}

/**
 * The schedule as iCalendar: of the day that `now` lies in, or of the whole horizon.
 * @throws Error while there is no plan, or one that broke a rule
 */
export async function exportCalendar(
  session: Session,
  part: 'day' | 'whole',
  madeAt: number,
): Promise<ExportedFile> {
  const { planned, now, lost, scenario } = session;
  if (!planned) throw new Error(NO_PLAN);
  if (!planned.verdict.ok)
    throw new Error(`${DO_NOT_USE}: it breaks a rule, so it is not written as a schedule.`);
  const { toCalendar } = await import('../../reports/calendarFile.ts');
  const { problem, plan, verdict, madeAt: planMadeAt, held } = planned;
  const standing = { madeAt: planMadeAt, held, lost, edited: !isCurrent(session) };
  const warnings = warningsOf(problem.clock, verdict, standing);
  const toDo = isRecorded(session) ? withoutTestsDone(problem, plan.activities) : plan.activities;
  const written = (from: number, to: number) => utf8(toCalendar(problem, toDo, from, to, madeAt, warnings));
  if (part === 'whole')
    return { name: nameFor({ scenario }, '-schedule.ics'), bytes: written(0, problem.horizon) };
  const day = problem.clock.localOf(now).slice(0, 10);
  const from = problem.clock.minuteOf(`${day}T00:00`);
  const to = problem.clock.minuteOf(`${nextDate(day, 1)}T00:00`);
  return {
    name: nameFor({ scenario }, `-${day}.ics`),
    bytes: written(Math.max(0, from), Math.min(problem.horizon, to)),
  };
}
