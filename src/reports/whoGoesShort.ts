import { bedsShort, missedBy, SHARINGS, type Sharing } from '../plan/short.ts';
import { SHORT_CAUTION } from '../words/cautions.ts';
import { countText, numberText, plural } from '../words/numbers.ts';
import { roundText } from '../words/times.ts';
import type { Covered } from './coverage.ts';

/** How each way of sharing is called, and what it does. */
const SHARING_WORDS: Readonly<Record<Sharing, { readonly name: string; readonly says: string }>> = {
  need: { name: 'As the need falls', says: 'Bags go to whoever hangs one first; the last ones go without.' },
  equal: { name: 'Equal share for all', says: 'Each bed gives up the same share of its bags.' },
  priority: {
    name: 'By priority class',
    says: 'A class gives up bags only when the classes after it have none left. Beds without a class come last.',
  },
  rotation: { name: 'In rotation', says: 'Beds give up one bag each in turn, from round to round.' },
};

/** One bed under one way of sharing. */
export interface ShortBed {
  readonly bed: string;
  readonly ward: string | null;
  readonly priority: string | null;
  readonly bags: number;
  /** Hours of therapy without dialysate, were all other bags hung as they are due. */
  readonly hours: number;
  /** Minutes: when the first of them would be hung, and when the last would end. Other bags hang in between. */
  readonly from: number;
  readonly to: number;
  /** e.g. '2 bags in the bag round of Mon, Feb 3, 18:00 (3.2 h)' */
  readonly rounds: readonly string[];
}
interface ShortWay {
  readonly sharing: Sharing;
  readonly name: string;
  readonly says: string;
  readonly beds: readonly ShortBed[];
  readonly bags: number;
  /** All beds together; and of the bed that goes without the longest. */
  readonly hours: number;
  readonly mostHours: number;
}
/** One bed under all ways, side by side. */
interface ShortRow extends Pick<ShortBed, 'bed' | 'ward' | 'priority'> {
  /** In the order of the ways; null: it goes without nothing. */
  readonly byWay: readonly (ShortBed | null)[];
}
interface WhoGoesShort {
  readonly ways: readonly ShortWay[];
  /** The beds that are short under at least one way, in the order of the list. */
  readonly rows: readonly ShortRow[];
  /** Bags that nothing serves and that no bed can be named for. */
  readonly unnamed: number;
  readonly caution: string;
}

/** Each number is written once: writing one takes longer than finding who goes without. */
function once(write: (value: number) => string): (value: number) => string {
  const written = new Map<number, string>();
  return (value) => {
    const known = written.get(value) ?? write(value);
    written.set(value, known);
    return known;
  };
}

/** Who would go short of a plan's unmet bags, under each way of sharing side by side; no ways where nothing is unmet. */
export function whoGoesShort({ problem, demand, covered }: Covered): WhoGoesShort {
  const names = problem.rounds.map(({ index, at }) => roundText(problem.clock, { round: index, at }));
  const bagsText = once((bags) => countText(bags, 'bag'));
  const hoursText = once((hours) => numberText(hours));
  const missed = missedBy(problem, demand, covered.unmet);
  const wayOf = (sharing: Sharing): ShortWay => {
    const beds = bedsShort(missed(sharing)).map((bed): ShortBed => {
      const { id, ward, priority } = problem.patients[bed.patient]!;
      const rounds = bed.rounds.map(({ round, bags, hours }) => {
        return `${bagsText(bags)} in ${names[round]} (${hoursText(hours)} h)`;
      });
      return {
        bed: id,
        ward,
        priority,
        bags: bed.bags,
        hours: bed.hours,
        from: bed.from,
        to: bed.to,
        rounds,
      };
    });
    const hours = beds.map((bed) => bed.hours);
    return {
      sharing,
      ...SHARING_WORDS[sharing],
      beds,
      bags: beds.reduce((sum, { bags }) => sum + bags, 0),
      hours: hours.reduce((sum, one) => sum + one, 0),
      mostHours: Math.max(0, ...hours),
    };
  };
  const ways = SHARINGS.map(wayOf).filter(({ beds }) => beds.length > 0);
  const found = ways.map(({ beds }) => new Map(beds.map((bed) => [bed.bed, bed])));
  const rows = problem.patients.flatMap(({ id, ward, priority }): ShortRow[] => {
    const byWay = found.map((beds) => beds.get(id) ?? null);
    return byWay.some(Boolean) ? [{ bed: id, ward, priority, byWay }] : [];
  });
  const missing = covered.unmet
    .flat()
    .reduce((sum, parts) => sum + Math.max(0, Math.ceil(parts / problem.bagParts - 1e-9)), 0);
  return { ways, rows, unnamed: missing - (ways[0]?.bags ?? 0), caution: SHORT_CAUTION };
}

/** e.g. '3 bags, 9.6 h' */
export const shortText = ({ bags, hours }: Pick<ShortBed, 'bags' | 'hours'>): string =>
  `${countText(bags, 'bag')}, ${numberText(hours)} h`;

/** Bags that are short, and that the ways name no bed for; null: none. */
export const unnamedText = (unnamed: number): string | null =>
  unnamed > 0
    ? `${countText(unnamed, 'more bag')} ${plural(unnamed, 'is', 'are')} unmet. No bed can be named.`
    : null;
