import type { Problem } from '../../scenario/problem/types.ts';
import { WORK, WORK_SIGNS } from '../../words/activities.ts';

interface Sign {
  readonly sign: string;
  readonly text: string;
}

/** The legend of a problem's timeline beside its baths: only what it can show. */
export const timelineSigns = ({ duties, rules }: Problem): readonly Sign[] => [
  ...WORK_SIGNS,
  ...(duties.length > 0
    ? [{ sign: WORK.duty.mark, text: 'duty (white): disinfection, break or other work by the clock' }]
    : []),
  ...(rules.walkMinutes > 0 ? [{ sign: ' ', text: 'technicians walking' }] : []),
  { sign: '⊔', text: 'swap window: not before, not after' },
  { sign: '××', text: 'machine unavailable' },
];

/** Of a plan that was made again: how what moved is marked. */
export const CHANGE_SIGNS: readonly Sign[] = [
  { sign: '◤', text: 'new' },
  { sign: '▶', text: 'moved' },
];
