import { type Cover, cover } from '../../plan/cover.ts';
import { signOf } from '../../plan/moved.ts';
import type { Activity } from '../../plan/plan.ts';
import { neededTests } from '../schedule/neededTests.ts';
import { lotsOfPieces, piecesOf, type ReleaseOf } from '../schedule/pieces.ts';
import { cheapest } from './gaps.ts';
import { replay, type Setting } from './replay.ts';
import { useful } from './useful.ts';
import { firstWanted } from './wanted.ts';

/** Fills put in at most, unless told otherwise, and needs tried in vain at most: what is left is for the search. */
const MOST_FILLS = 24;
const MOST_VAIN = 12;

/**
 * The plan before an edit, changed as little as the edit demands: what is no longer allowed goes, what serves nothing
 * any more goes, and fills for needs that are new come into hours in which a machine rests. All else stays to the
 * minute. Valid where history is; never clever. Where even history cannot stand as it stood, history alone.
 * @param previous valid when it was made, perhaps for another scenario
 * @param most fills put in at most
 */
export function repaired(setting: Setting, previous: readonly Activity[], most = MOST_FILLS): Activity[] {
  const { problem, demand, history } = setting;
  let { pieces, clerk } = replay(setting, piecesOf(problem, previous, new Set(history)), previous);
  const releases = (): ReleaseOf => (machine, filled) => clerk.releaseOf(machine, filled);
  const withoutUseless = () => {
    const needed = useful(problem, demand, pieces, releases());
    if (needed.length < pieces.length) ({ pieces, clerk } = replay(setting, needed, clerk.activities));
  };
  withoutUseless();
  let covered = cover(problem, demand, lotsOfPieces(problem, pieces, releases()));
  let vain = 0;
  for (let fills = 0; fills < most && vain < MOST_VAIN; ) {
    const wanted = firstWanted(problem, covered, vain);
    if (!wanted) break;
    const mark = clerk.mark();
    const put = cheapest(setting, clerk, pieces, wanted);
    const more = put && [...pieces, ...put].sort((a, b) => a.start - b.start);
    const better = more && cover(problem, demand, lotsOfPieces(problem, more, releases()));
    if (better && lessMissing(better, covered)) {
      pieces = more;
      covered = better;
      fills += 1;
    } else {
      clerk.backTo(mark);
      vain += 1;
    }
  }
  withoutUseless();
  const made = neededTests(problem, clerk.activities, history);
  const signs = new Set(made.map(signOf));
  const stands = history.every((activity) => signs.has(signOf(activity)));
  return stands ? made : [...history];
}

const sum = (parts: readonly number[]): number => parts.reduce((total, one) => total + one, 0);

function lessMissing(a: Cover, b: Cover): boolean {
  const [unmet, before] = [sum(a.unmet.flat()), sum(b.unmet.flat())];
  const short = (one: Cover) => sum(one.reserveShort) + sum(one.stockShort.flat());
  return unmet < before || (unmet === before && short(a) < short(b));
}
