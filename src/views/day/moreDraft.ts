import type { Draft } from '../../record/entries.ts';
import type { Start } from '../../record/from.ts';
import { entryTime, outTimes } from '../../record/minuteOf.ts';
import type { State } from '../../record/state.ts';
import { readBagCode } from '../../reports/day/swapLabels.ts';
import { amount } from './form.ts';

export const KINDS = {
  hold: 'Put bags on hold',
  release: 'Note that bags were released',
  discard: 'Discard bags',
  arrive: 'A delivery of bags came',
  count: 'Bags of a lot were counted',
  out: 'Machine or water unavailable',
  duty: 'A duty is done',
  staff: 'Who is on shift, fewer or more technicians',
  note: 'A note for the handover',
} as const;
export type Kind = keyof typeof KINDS;

/** What a person has filled in so far. */
export interface More {
  readonly kind: Kind;
  readonly lot: string;
  /** null: all of the lot. */
  readonly bags: number | null;
  readonly place: string;
  /** min before now at which it was: of a duty and of what became unavailable. */
  readonly ago: number;
  /** h; 0: nobody knows. */
  readonly hours: number;
  readonly text: string;
  /** Bags that came or were counted; of a lot that is not listed, what its label says. As typed. */
  readonly count: string;
  readonly bath: string;
  readonly litres: string;
  readonly expires: string;
}
export const BLANK: More = {
  kind: 'hold',
  lot: '',
  bags: null,
  place: '',
  ago: 0,
  hours: 0,
  text: '',
  count: '',
  bath: '',
  litres: '',
  expires: '',
};

/** The lot's name that a typed or scanned text means: a bag's label names its lot and more. */
export const lotIn = (text: string): string => readBagCode(text)?.lot ?? text.trim();

/** The lot that a text names, here or expected. */
export const listedAs = (text: string, { lots }: State) => lots.find(({ lot }) => lot === lotIn(text));

/** Whether bags can be held, released or discarded of it: of any lot that is known, also one that is filling. */
export const isKnownLot = (text: string, state: State): boolean =>
  listedAs(text, state) !== undefined || state.machines.some(({ underWay }) => underWay?.lot === lotIn(text));

/** A whole number of bags as typed; null: none is typed. */
const bagsOf = (text: string): number | null => (/^\s*\d{1,6}\s*$/.test(text) ? Number(text) : null);

/** Bags that came; of a lot that is not listed with all that its label says. */
function arrival({ lot: text, count, bath, litres, expires }: More, state: State) {
  const [lot, bags] = [lotIn(text), bagsOf(count)];
  if (lot === '' || bags === null) return null;
  if (listedAs(lot, state)) return { lot, bags };
  const volume = amount(litres);
  return bath === '' || !(volume > 0) || expires === '' ? null : { lot, bags, bath, litres: volume, expires };
}

/** The entry that is filled in, or null while something is missing. */
export function draftOf(more: More, { problem, state }: Start, by: string): Draft | null {
  const { kind, bags, place, hours, text } = more;
  const lot = lotIn(more.lot);
  const { clock } = problem;
  const at = state.now - more.ago;
  const common = { kind, by, ...entryTime(clock, at) };
  const made = (fields: object | null) => fields && ({ ...common, ...fields } as unknown as Draft);
  const counted = bagsOf(more.count);
  switch (kind) {
    case 'note':
      return text.trim() === '' ? null : made({ text: text.trim() });
    case 'out': {
      const which = problem.machines.some(({ id }) => id === place) ? { machine: place } : { water: place };
      const times = outTimes(clock, at, hours > 0 ? state.now + 60 * hours : null);
      return place === '' ? null : made({ ...which, ...times });
    }
    case 'arrive':
      return made(arrival(more, state));
    case 'count':
      return counted === null || !listedAs(lot, state) ? null : made({ lot, bags: counted });
    case 'duty':
      return place === '' ? null : made({ duty: place });
    case 'staff':
      return null;
    default:
      return isKnownLot(lot, state)
        ? made({ lot, ...(bags !== null && { bags }), ...(text && { why: text }) })
        : null;
  }
}
