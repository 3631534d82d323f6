import { MINUTES_A_DAY } from '../scenario/problem/types.ts';
import type { Known, Question, Trace } from './trace.ts';
import { traceBags, traceHang, traceHung, traceLitres, traceRate, traceRoundBags } from './traceDemand.ts';
import { traceMinute, traceSupply } from './traceNow.ts';
import { traceCovered, traceLot, traceScore, traceUnmet, traceWindow } from './tracePlan.ts';

/** Whether what was asked about is (still) listed: rows, rounds and lots go with edits. */
export function isThere({ problem, demand, covered }: Known, question: Question): boolean {
  switch (question.of) {
    case 'bags':
    case 'litres':
    case 'unmet':
      return question.bath in problem.baths && question.round in problem.rounds;
    case 'roundBags':
      return question.round in problem.rounds;
    case 'hung':
    case 'covered':
      return true;
    case 'dayBags':
      return question.bath in problem.baths && question.day * MINUTES_A_DAY < problem.horizon;
    case 'rate':
      return question.patient in problem.patients;
    case 'hang':
      return question.hang in (demand.hangs[question.patient] ?? []);
    case 'shortest':
    case 'longest':
      return question.machine in problem.machines;
    case 'lot':
      return question.lot in covered.lots;
    case 'water':
      return question.source in problem.water;
    case 'supply':
      return question.supply in problem.supplies;
    case 'score':
    case 'load':
    case 'staff':
      return true;
  }
}

/** "From what?": the trace of any shown number, down to typed cells. */
export function answer(known: Known, question: Question): Trace {
  switch (question.of) {
    case 'bags':
      return traceBags(known, question.bath, { round: question.round });
    case 'hung':
      return traceHung(known, question.from, question.to);
    case 'roundBags':
      return traceRoundBags(known, question.round);
    case 'covered':
      return traceCovered(known, question.minute);
    case 'dayBags':
      return traceBags(known, question.bath, { day: question.day });
    case 'litres':
      return traceLitres(known, question.bath, question.round);
    case 'unmet':
      return traceUnmet(known, question.bath, question.round);
    case 'rate':
      return traceRate(known, question.patient, question.minute);
    case 'hang':
      return traceHang(known, question.patient, question.hang);
    case 'shortest':
    case 'longest':
      return traceWindow(known, question.machine, question.of);
    case 'score':
      return traceScore(known, question.part);
    case 'lot':
      return traceLot(known, question.lot);
    case 'water':
      return traceMinute(known, 'water', question.minute, question.source);
    case 'load':
    case 'staff':
      return traceMinute(known, question.of, question.minute, -1);
    case 'supply':
      return traceSupply(known, question.supply, question.minute);
  }
}
