import type { Fact } from '../fold.ts';
import { minuteOf } from '../minuteOf.ts';
import { addLot, type Books, doubt } from './books.ts';
import { LotBook } from './lots.ts';

/** Bags of a lot are held, released, discarded or counted. */
export function lotJudged(books: Books, fact: Fact<'hold' | 'release' | 'discard' | 'count'>): void {
  const { entry, at, noted } = fact;
  const lot = books.lots.get(entry.lot);
  if (!lot) {
    doubt(
      books,
      fact,
      `no lot is called ${entry.lot}`,
      'a lot of stock, a delivery or a fill; the entry does not count',
    );
    return;
  }
  const bags = entry.bags ?? null;
  if (bags !== null && bags > lot.here && (entry.kind === 'hold' || entry.kind === 'discard'))
    doubt(
      books,
      fact,
      `${bags} bags of ${entry.lot} are named, and ${lot.here} are there`,
      'at most the bags that are there; count them',
    );
  const why = entry.kind === 'count' ? '' : (entry.why ?? '');
  if (entry.kind === 'hold')
    lot.hold({ cause: 'by hand', entry: entry.id, at, noted, why, bags: bags ?? 'all' });
  else if (entry.kind === 'release') lot.release({ at, noted, bags, entry: entry.id });
  else if (entry.kind === 'discard') lot.discard(at, bags, why, entry.id);
  else lot.count(entry.bags as number);
}

/** A delivery of the scenario came, or a lot that nobody had listed. */
export function lotArrived(books: Books, fact: Fact<'arrive'>): void {
  const { entry, at } = fact;
  const { clock } = books.problem;
  const known = books.lots.get(entry.lot);
  const bath = entry.bath ?? known?.facts.bath ?? null;
  const litres = entry.litres ?? known?.facts.litres ?? null;
  if (
    bath === null ||
    !books.problem.baths.includes(bath) ||
    litres === null ||
    (known && known.facts.origin === 'fill')
  ) {
    doubt(
      books,
      fact,
      `the lot ${entry.lot} that arrived is in no list`,
      'its bath, litres a bag and expiry too; its bags do not count',
    );
    return;
  }
  const expires = entry.expires ? minuteOf(clock, entry.expires) : (known?.facts.expires ?? null);
  const came = { made: entry.bags, ready: at, bath, litres, expires };
  const isFirst = !books.arrived.has(entry.lot);
  books.arrived.add(entry.lot);
  if (!known) {
    addLot(books, new LotBook({ lot: entry.lot, origin: 'delivery', ...came }));
    if (!entry.expires)
      doubt(
        books,
        fact,
        `no expiry is noted of the lot ${entry.lot}`,
        'its expiry. It counts as never expiring',
      );
  } else if (isFirst && known.facts.origin === 'delivery') firstCame(books, fact, known, came);
  else moreCame(books, fact, known, came);
}

type Came = Parameters<LotBook['came']>[0];

/** A listed delivery came: it is as it came, whatever was listed or counted before. */
function firstCame(books: Books, fact: Fact<'arrive'>, lot: LotBook, came: Came): void {
  const { bath, lot: name } = lot.facts;
  if (bath !== came.bath)
    doubt(
      books,
      fact,
      `${name} is listed as ${bath}, and came as ${came.bath}`,
      'the bath on its label, in the list too',
    );
  if (lot.came(came))
    doubt(
      books,
      fact,
      `bags of ${name} were counted before its arrival was noted`,
      'its bags counted again; only those that arrived count',
    );
}

/** More bags of a lot that is here: only the same bags add up, and the earliest expiry that is noted counts for all. */
function moreCame(books: Books, fact: Fact<'arrive'>, { facts }: LotBook, came: Came): void {
  const { lot } = fact.entry;
  if (came.bath !== facts.bath || came.litres !== facts.litres) {
    const as = (one: Pick<Came, 'bath' | 'litres'>) => `${one.bath}, ${one.litres} L a bag`;
    const wrong = `${lot} is here as ${as(facts)}, and more of it came as ${as(came)}`;
    doubt(books, fact, wrong, 'another name for other bags; these bags do not count');
    return;
  }
  const [here, other] = [facts.expires, came.expires].map((one) => one ?? Number.POSITIVE_INFINITY);
  if (here !== other) {
    doubt(
      books,
      fact,
      `two expiries are noted of the lot ${lot}`,
      'the one on its label; the earlier counts',
    );
    facts.expires = Math.min(here!, other!);
  }
  facts.made += came.made;
}
