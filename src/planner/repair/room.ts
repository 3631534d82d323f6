import { movedBetween, movedCount } from '../../plan/moved.ts';
import { type Activity, compareScores } from '../../plan/plan.ts';
import { worthOf } from '../schedule/pieces.ts';
import { pushedIn } from './push.ts';
import { repaired } from './repair.ts';
import type { Setting } from './replay.ts';

/**
 * What is best of: the plan as it stands after its repair, room made for what that leaves unmet, and room made instead
 * of the fills that the repair put into hours of rest, which often takes a circuit less. Of equals, what moves least.
 */
export function withRoom(
  setting: Setting,
  previous: readonly Activity[],
  stands: readonly Activity[],
): readonly Activity[] {
  const { problem, demand } = setting;
  const bare = repaired(setting, previous, 0);
  const moved = (way: readonly Activity[]) => movedCount(movedBetween(previous, way));
  const ways = new Set([stands, pushedIn(setting, stands)]);
  if (bare.length !== stands.length) ways.add(pushedIn(setting, bare));
  return [...ways].reduce((a, b) => {
    const than = compareScores(worthOf(problem, demand, b), worthOf(problem, demand, a));
    return than < 0 || (than === 0 && moved(b) < moved(a)) ? b : a;
  });
}
