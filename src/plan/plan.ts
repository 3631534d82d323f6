/** One thing that somebody or some machine does, in whole minutes from the scenario's start, [start, end). */
export type Activity =
  | {
      readonly kind: 'circuit' | 'bath' | 'fill';
      readonly machine: string;
      /** The bath that runs: what the new circuit or the change brings, what the fill fills. */
      readonly bath: string;
      readonly start: number;
      readonly end: number;
    }
  | { readonly kind: 'swap'; readonly machine: string; readonly start: number; readonly end: number }
  | { readonly kind: 'test'; readonly water: string; readonly start: number; readonly end: number }
  | DutyActivity;

/** One occurrence of a duty: work that recurs at times of day. */
export type DutyActivity = {
  readonly kind: 'duty';
  /** The duty's id. */
  readonly duty: string;
  /** The minute T at which it is due; it begins then or up to the duty's slack later. */
  readonly at: number;
  /** Its place, one of the two; neither for a break or work elsewhere. */
  readonly machine?: string;
  readonly water?: string;
  readonly start: number;
  readonly end: number;
};

export type ActivityKind = Activity['kind'];

/** Compared in this order: less is better (M22). */
export interface Score {
  /** L that no lot serves, all baths and rounds. */
  readonly unmetLitres: number;
  /** L h: those litres, each times the hours from its round to the horizon's end. A later shortage leaves time for help. */
  readonly unmetLitreHours: number;
  /** Bags short of the reserve at the end, and of the stock wanted after each round; fractions kept. */
  readonly reserveShort: number;
  /** Technician minutes of circuit, bath, swap and test, and at fills that begin; walking and duties are not in it. */
  readonly handsOnMinutes: number;
  /** The lots' own bags that expire unused within the horizon, fractions kept. */
  readonly expiredBags: number;
}

/** What one round needs of one bath. */
export interface NeedRow {
  readonly bath: string;
  readonly round: number;
  /** Minute at which the round leaves. */
  readonly at: number;
  readonly bags: number;
  readonly litres: number;
  readonly unmetLitres: number;
}

/** Proven: no plan does better (handsOnMinutes: no plan as good in unmetLitres and reserveShort). Null: not proven. */
export interface Bound {
  readonly unmetLitres: number | null;
  readonly handsOnMinutes: number | null;
}

export const NOTHING_PROVEN: Bound = { unmetLitres: null, handsOnMinutes: null };

/** What two proofs show together. */
export function strongest(a: Bound, b: Bound): Bound {
  const most = (x: number | null, y: number | null) => (x === null ? y : y === null ? x : Math.max(x, y));
  return {
    unmetLitres: most(a.unmetLitres, b.unmetLitres),
    handsOnMinutes: most(a.handsOnMinutes, b.handsOnMinutes),
  };
}

export interface Plan {
  readonly activities: readonly Activity[];
  /** Needs above 0, by round, then bath. */
  readonly needs: readonly NeedRow[];
  readonly score: Score;
  readonly bound: Bound;
  /** What the reader should know of how the plan came about, e.g. that a time limit struck. */
  readonly remarks: readonly string[];
  /** How long planning took, s. */
  readonly seconds: number;
}

export const HANDS_ON: readonly ActivityKind[] = ['circuit', 'bath', 'swap', 'test'];
/** Circuit, bath, swap and test: what takes hands for its whole length and counts as hands-on minutes. */
export const isHandsOn = (activity: Activity): boolean =>
  activity.kind !== 'fill' && activity.kind !== 'duty';
/** The machine or water source of an activity; '' for a break or work elsewhere. */
export const placeOf = (activity: Activity): string => {
  if (activity.kind === 'test') return activity.water;
  return activity.kind === 'duty' ? (activity.machine ?? activity.water ?? '') : activity.machine;
};

/** The bath of each activity: what runs or is filled, of a swap that of the fill it ends; '' where there is none. */
export function bathsOf(activities: readonly Activity[]): string[] {
  const fills = new Map<string, string>();
  for (const one of activities) if (one.kind === 'fill') fills.set(`${one.machine}\n${one.end}`, one.bath);
  return activities.map((one) => {
    if (one.kind === 'swap') return fills.get(`${one.machine}\n${one.start}`) ?? '';
    return one.kind === 'test' || one.kind === 'duty' ? '' : one.bath;
  });
}

/** Below 0 when a is the better score. Differences under a millionth are equal. */
export function compareScores(a: Score, b: Score): number {
  for (const key of [
    'unmetLitres',
    'unmetLitreHours',
    'reserveShort',
    'handsOnMinutes',
    'expiredBags',
  ] as const)
    if (Math.abs(a[key] - b[key]) > 1e-6) return a[key] - b[key];
  return 0;
}

/** How many fills there are among activities. */
export const fillsIn = (activities: readonly Activity[]): number =>
  activities.filter(({ kind }) => kind === 'fill').length;

/** Activities in the order of a run sheet: by start, then place, then end. */
export const inOrder = (activities: readonly Activity[]): Activity[] =>
  [...activities].sort((a, b) => a.start - b.start || placeOf(a).localeCompare(placeOf(b)) || a.end - b.end);
