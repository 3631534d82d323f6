import { type Case, set } from './sound.ts';

export const OFFERS_CASES: Record<string, readonly Case[]> = {
  duplicateOffer: [
    ['one name twice', set('offers.1.id', 'loan'), ['error offers.1.id']],
    ['names that differ', set('offers.1.id', 'loan 2'), []],
  ],
  offerUnclear: [
    ['no such kind', set('offers.0.kind', 'machines'), ['error offers.0.kind']],
    ['no such machine', set('offers.0.of', 'M9'), ['error offers.0.of']],
    ['a bath for a machine', set('offers.0.of', '2K'), ['error offers.0.of']],
    ['no such supply', set('offers.2.of', 'acid'), ['error offers.2.of']],
    ['nothing to be had', set('offers', []), []],
  ],
  offerNumberOutOfRange: [
    ['a pack of nothing', set('offers.2.pack', 0), ['error offers.2.pack']],
    ['half a bag', set('offers.1.pack', 0.5), ['error offers.1.pack']],
    ['half a liter of acid', set('offers.2.pack', 0.5), []],
    ['for nothing', set('offers.0.price', 0), ['error offers.0.price']],
    ['there before the start', set('offers.0.leadDays', -1), ['error offers.0.leadDays']],
    ['none at all', set('offers.0.most', 0), []],
    ['a bag of 12 L', set('offers.1.litres', 12), ['warning offers.1.litres']],
  ],
  offerDaysUnclear: [
    ['a day in another language', set('offers.0.weekdays', ['Mon', 'Die']), ['error offers.0.weekdays.1']],
    ['no day', set('offers.0.weekdays', []), ['error offers.0.weekdays']],
    ['bags on Mondays', set('offers.1.weekdays', ['Mon']), ['warning offers.1.weekdays']],
  ],
  offerPriceMissing: [
    ['one without', set('offers.1.price', null), ['warning offers.1.price']],
    ['all without', set('offers', [{ id: 'a', kind: 'machine', of: 'M1' }]), []],
  ],
};
