import type { Activity } from '../../src/plan/plan.ts';

/** How plans go wrong, each with the rules that it may break; `pick` chooses a whole number below n. */
export type Mutation = (plan: readonly Activity[], pick: (n: number) => number) => Activity[];

const change = (
  plan: readonly Activity[],
  index: number,
  by: Partial<Record<'start' | 'end', number>>,
): Activity[] =>
  plan.map((activity, i) =>
    i === index
      ? { ...activity, start: activity.start + (by.start ?? 0), end: activity.end + (by.end ?? 0) }
      : activity,
  );
const some = (plan: readonly Activity[], kinds: readonly Activity['kind'][], pick: (n: number) => number) => {
  const indexes = plan.flatMap(({ kind }, index) => (kinds.includes(kind) ? [index] : []));
  return indexes.length === 0 ? -1 : indexes[pick(indexes.length)]!;
};
const any: Activity['kind'][] = ['circuit', 'bath', 'fill', 'swap', 'test', 'duty'];
const replace = (plan: readonly Activity[], index: number, other: Partial<Activity>): Activity[] =>
  plan.map((activity, i) => (i === index ? ({ ...activity, ...other } as Activity) : activity));

export const MUTATIONS: Readonly<Record<string, Mutation>> = {
  'moves one a little': (plan, pick) => {
    const by = pick(41) - 20;
    return change(plan, some(plan, any, pick), { start: by, end: by });
  },
  'moves one far': (plan, pick) => {
    const by = pick(3000) - 1500;
    return change(plan, some(plan, any, pick), { start: by, end: by });
  },
  'moves all': (plan, pick) => {
    const by = pick(61) - 30;
    return plan.map((activity) => ({ ...activity, start: activity.start + by, end: activity.end + by }));
  },
  'moves a fill with its swap': (plan, pick) => {
    const index = some(plan, ['fill'], pick);
    const fill = plan[index];
    if (fill?.kind !== 'fill') return [...plan];
    const by = pick(101) - 50;
    const partner = plan.findIndex(
      (a) => a.kind === 'swap' && a.machine === fill.machine && a.start === fill.end,
    );
    return change(change(plan, index, { start: by, end: by }), partner, { start: by, end: by });
  },
  'makes one longer or shorter': (plan, pick) => {
    const index = some(plan, any, pick);
    const length = index < 0 ? 1 : plan[index]!.end - plan[index]!.start;
    return change(plan, index, { end: Math.max(1 - length, pick(21) - 10) });
  },
  'leaves one out': (plan, pick) => {
    const index = some(plan, any, pick);
    return plan.filter((_, i) => i !== index);
  },
  'leaves a test out': (plan, pick) => {
    const index = some(plan, ['test'], pick);
    return plan.filter((_, i) => i !== index);
  },
  'leaves a circuit out': (plan, pick) => {
    const index = some(plan, ['circuit'], pick);
    return plan.filter((_, i) => i !== index);
  },
  'says one twice': (plan, pick) => (plan.length === 0 ? [] : [...plan, plan[some(plan, any, pick)]!]),
  'takes another bath': (plan, pick) =>
    replace(plan, some(plan, ['circuit', 'bath', 'fill'], pick), {
      bath: ['2K', '4K', '0K', '9K'][pick(4)]!,
    }),
  'takes another machine': (plan, pick) =>
    replace(plan, some(plan, ['circuit', 'bath', 'fill', 'swap'], pick), {
      machine: ['M1', 'M2', 'M3', 'M9'][pick(4)]!,
    }),
  'tests another source': (plan, pick) =>
    replace(plan, some(plan, ['test'], pick), { water: ['RO', 'RO-2'][pick(2)]! }),
  'moves a duty': (plan, pick) => {
    const by = pick(121) - 60;
    return change(plan, some(plan, ['duty'], pick), { start: by, end: by });
  },
  'leaves a duty out': (plan, pick) => {
    const index = some(plan, ['duty'], pick);
    return plan.filter((_, i) => i !== index);
  },
  'does a duty for another time': (plan, pick) => {
    const index = some(plan, ['duty'], pick);
    const duty = plan[index];
    return duty?.kind === 'duty'
      ? replace(plan, index, { at: duty.at + [-1, 1, 1440][pick(3)]! })
      : [...plan];
  },
  'does a duty elsewhere': (plan, pick) => {
    const index = some(plan, ['duty'], pick);
    const place = [{ machine: 'M1' }, { machine: 'M2' }, { water: 'RO' }, {}][pick(4)]!;
    return replace(plan, index, { machine: undefined, water: undefined, ...place } as Partial<Activity>);
  },
  'adds a batch': (plan, pick) => {
    const start = pick(1400);
    const end = start + 40 + pick(60);
    const machine = ['M1', 'M2'][pick(2)]!;
    return [
      ...plan,
      { kind: 'fill', machine, bath: ['2K', '4K'][pick(2)]!, start, end },
      { kind: 'swap', machine, start: end, end: end + 8 },
    ];
  },
  'adds a circuit': (plan, pick) => {
    const start = pick(1400);
    return [
      ...plan,
      { kind: 'circuit', machine: ['M1', 'M2'][pick(2)]!, bath: '2K', start, end: start + 30 },
    ];
  },
};

/** What a broken file may hold: nothing that a careful writer would write. */
export const HOSTILE: Readonly<Record<string, (activity: Activity) => unknown>> = {
  'no number': (activity) => ({ ...activity, start: Number.NaN }),
  'no end': (activity) => ({ ...activity, end: Number.POSITIVE_INFINITY }),
  'no time at all': ({ kind }) => ({ kind }),
  backwards: (activity) => ({ ...activity, start: activity.end, end: activity.start }),
  'half minutes': (activity) => ({ ...activity, start: activity.start + 0.5 }),
  'text for a number': (activity) => ({ ...activity, start: String(activity.start) }),
  'an unknown kind': (activity) => ({ ...activity, kind: 'rest' }),
  nothing: () => null,
  'a list': () => [],
};
