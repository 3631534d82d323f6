import { limitsOf } from '../fields.ts';
import { OFFER_KINDS, type OfferKind, offerNames, WEEKDAYS } from '../offerNames.ts';
import type { OfferRow } from '../schema.ts';
import { error, type Fault, type FaultRule, type Ground, outside, repeated, warning } from './fault.ts';

const rows = ({ scenario }: Ground): readonly OfferRow[] => scenario.offers ?? [];
const isKind = (kind: string): kind is OfferKind => (OFFER_KINDS as readonly string[]).includes(kind);
/** What is only had whole. */
const WHOLE: readonly string[] = ['machine', 'technicians', 'bags'];

function* duplicateOffer(ground: Ground): Iterable<Fault> {
  yield* repeated('offers', rows(ground), 'id');
}

/** What it is, and of which machine, source, shift, supply or bath: else nothing could be bought. */
function* offerUnclear(ground: Ground): Iterable<Fault> {
  for (const [i, { kind, of }] of rows(ground).entries()) {
    if (kind === '' || of === '') continue;
    if (!isKind(kind)) {
      yield error(['offers', i, 'kind'], `"${kind}" is no kind of offer`, `one of ${OFFER_KINDS.join(', ')}`);
      continue;
    }
    const names = offerNames(ground.scenario, kind);
    // A name that is not known may be the one that is missed.
    if (!names.includes(of) && !names.includes(''))
      yield error(
        ['offers', i, 'of'],
        `"${of}" is not listed for the kind ${kind}`,
        names.length > 0 ? `one of ${names.join(', ')}` : `a ${kind} in its list first`,
      );
  }
}

function* offerNumberOutOfRange(ground: Ground): Iterable<Fault> {
  for (const [i, row] of rows(ground).entries()) {
    for (const field of ['pack', 'price', 'leadDays', 'most', 'litres', 'keepsHours'] as const)
      yield* outside(['offers', i, field], row[field], limitsOf(`offers[].${field}`));
    if (WHOLE.includes(row.kind) && row.pack != null && row.pack > 0 && row.pack % 1 !== 0)
      yield error(['offers', i, 'pack'], `pack is ${row.pack}`, `a whole number of ${row.kind}`);
  }
}

function* offerDaysUnclear(ground: Ground): Iterable<Fault> {
  for (const [i, { kind, weekdays }] of rows(ground).entries()) {
    if (weekdays == null) continue;
    if (weekdays.length === 0)
      yield error(
        ['offers', i, 'weekdays'],
        'the offer has no day of the week',
        'Mon, Tue ..., or nothing: every day',
      );
    for (const [j, day] of weekdays.entries())
      if (day !== '' && !(WEEKDAYS as readonly string[]).includes(day))
        yield error(
          ['offers', i, 'weekdays', j],
          `"${day}" is no day of the week`,
          `one of ${WEEKDAYS.join(', ')}`,
        );
    if (isKind(kind) && kind !== 'machine' && kind !== 'technicians')
      yield warning(
        ['offers', i, 'weekdays'],
        `days of the week say nothing of ${kind}`,
        'days for machines and technicians only',
      );
  }
}

/** Some have prices and some count 1: the cheapest list then follows from what was not typed. */
function* offerPriceMissing(ground: Ground): Iterable<Fault> {
  if (!rows(ground).some(({ price }) => price != null)) return;
  for (const [i, { id, price }] of rows(ground).entries())
    if (price == null)
      yield warning(
        ['offers', i, 'price'],
        `"${id}" has no price; others have`,
        'a price, or none at any offer',
      );
}

export const OFFER_RULES: Record<string, FaultRule> = {
  duplicateOffer,
  offerUnclear,
  offerNumberOutOfRange,
  offerDaysUnclear,
  offerPriceMissing,
};
