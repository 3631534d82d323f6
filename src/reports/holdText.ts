import { type Held, wilson } from '../hold/hold.ts';
import type { Problem } from '../scenario/problem/types.ts';
import { numberText } from '../words/numbers.ts';
import { roundHead } from '../words/times.ts';

interface HoldRow {
  readonly round: string;
  /** e.g. '93 %' */
  readonly share: string;
  /** e.g. '91 to 94 %': between these the true share lies, 95 % sure. */
  readonly sure: string;
  readonly tone: 'good' | 'warn' | 'bad';
}

/** From which share on a round counts as safe, and below which as unsafe (site assumption). */
const SAFE = 0.95;
const UNSAFE = 0.8;
/** Never 0 or 100 % from a count of days: rounded towards the middle. */
const percent = (share: number): number => Math.min(99.9, Math.max(0.1, 100 * share));

/** Each bag round with the share of played days on which it was served in full. */
export function holdRows({ clock, rounds }: Problem, held: Held): HoldRow[] {
  return held.rounds.map(({ round, full }) => {
    const share = full / held.runs;
    const [low, high] = wilson(full, held.runs);
    return {
      round: roundHead(clock, { round, at: rounds[round]!.at }),
      share:
        full === held.runs
          ? 'every day played'
          : full === 0
            ? 'no day played'
            : `${numberText(percent(share))} %`,
      sure: `${numberText(100 * low)} to ${numberText(100 * high)} %`,
      tone: low >= SAFE ? 'good' : high < UNSAFE ? 'bad' : 'warn',
    };
  });
}
