import type { NeedRow, Plan, Score } from '../plan/plan.ts';
import type { Facts } from './facts.ts';
import type { Finding, Violation } from './verdict.ts';

/** Claimed numbers come from floating sums: a millionth of the value, at least a millionth, is no difference. */
const same = (a: number, b: number) => Math.abs(a - b) <= 1e-6 * Math.max(1, Math.abs(b));
/** L, bags and minutes of the score, in its order. */
const UNITS: Record<keyof Score, string> = {
  unmetLitres: 'L',
  unmetLitreHours: 'L h',
  reserveShort: 'bags',
  handsOnMinutes: 'min',
  expiredBags: 'bags',
};
const NAMES: Record<keyof Score, string> = {
  unmetLitres: 'unmet litres',
  unmetLitreHours: 'unmet litre hours',
  reserveShort: 'bags short of the reserve',
  handsOnMinutes: 'hands-on minutes',
  expiredBags: 'bags that expire unused',
};
const KEYS = Object.keys(UNITS) as (keyof Score)[];

/** The needs that a plan claims are those that the plan check counts, row by row. */
export function needsClaimed(
  facts: Facts,
  claimed: readonly NeedRow[],
  counted: readonly NeedRow[],
): Finding {
  const key = ({ bath, round }: NeedRow) => JSON.stringify([bath, round]);
  const said = new Map(claimed.map((row) => [key(row), row]));
  const violations: Violation[] = [];
  const differ = (row: NeedRow, wrong: string, amount: number, unit: string) =>
    violations.push({
      rule: 'needs-claimed',
      message: `Need of ${row.bath} in the round at ${facts.at(row.at)}: ${wrong}.`,
      start: row.at,
      end: row.at,
      place: row.bath,
      amount,
      unit,
    });
  for (const row of counted) {
    const other = said.get(key(row));
    said.delete(key(row));
    if (!other) differ(row, `the plan leaves out ${row.bags} bags`, row.bags, 'bags');
    else if (other.bags !== row.bags)
      differ(
        row,
        `the plan says ${other.bags} bags, the plan check counts ${row.bags}`,
        Math.abs(other.bags - row.bags),
        'bags',
      );
    else if (!same(other.litres, row.litres))
      differ(
        row,
        `the plan says ${other.litres} L, the plan check counts ${row.litres} L`,
        Math.abs(other.litres - row.litres),
        'L',
      );
    else if (!same(other.unmetLitres, row.unmetLitres))
      differ(
        row,
        `the plan says ${other.unmetLitres} L unmet, the plan check counts ${row.unmetLitres} L`,
        Math.abs(other.unmetLitres - row.unmetLitres),
        'L',
      );
    else if (other.at !== row.at)
      differ(row, `the plan puts the round at ${facts.at(other.at)}`, Math.abs(other.at - row.at), 'min');
  }
  for (const row of said.values())
    differ(row, `the plan says ${row.bags} bags, the plan check counts none`, row.bags, 'bags');
  if (claimed.length > counted.length && violations.length === 0)
    differ(claimed[0]!, 'the plan lists a need twice', claimed.length - counted.length, 'rows');
  return { violations, count: counted.length };
}

/** The score that a plan claims is the one that the plan check counts. */
export function scoreClaimed(facts: Facts, claimed: Score, counted: Score): Finding {
  const violations = KEYS.filter((key) => !same(claimed[key], counted[key])).map((key) => ({
    rule: 'score-claimed',
    message: `The plan claims ${claimed[key]} ${NAMES[key]}, the plan check counts ${counted[key]}.`,
    start: 0,
    end: facts.problem.horizon,
    place: '',
    amount: Math.abs(claimed[key] - counted[key]),
    unit: UNITS[key],
  }));
  return { violations, count: KEYS.length };
}

/** No plan is better than what is proven that no plan can be better than. */
export function boundHolds(facts: Facts, bound: Plan['bound'], counted: Score): Finding {
  const violations = (['unmetLitres', 'handsOnMinutes'] as const).flatMap((key) => {
    const least = bound[key];
    if (least === null || least <= counted[key] || same(least, counted[key])) return [];
    return {
      rule: 'bound-holds',
      message: `The plan says that none can have fewer than ${least} ${NAMES[key]}, yet it has ${counted[key]}.`,
      start: 0,
      end: facts.problem.horizon,
      place: '',
      amount: least - counted[key],
      unit: UNITS[key],
    };
  });
  return { violations, count: 2 };
}
