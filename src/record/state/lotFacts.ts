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
  if (!known) {
    if (!entry.expires)
      doubt(
        books,
        fact,
        `no expiry is noted of the lot ${entry.lot}`,
        'its expiry. It counts as never expiring',
      );
    const origin = {
      lot: entry.lot,
      origin: 'delivery',
      bath,
      litres,
      made: entry.bags,
      ready: at,
      expires,
    } as const;
    addLot(books, new LotBook(origin));
    return;
  }
  if (known.facts.origin === 'delivery' && !books.arrived.has(entry.lot))
    Object.assign(known.facts, { made: entry.bags, ready: at, bath, litres, expires });
  else known.facts.made += entry.bags;
  books.arrived.add(entry.lot);
}
