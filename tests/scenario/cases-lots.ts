import { type Case, set } from './sound.ts';

/** By name of the rule: what happens, the edit, and the faults that the rule then finds. */
export const LOTS_CASES: Record<string, readonly Case[]> = {
  duplicateLot: [
    ['across stock and deliveries', set('deliveries.0.lot', 'P-1'), ['error deliveries.0.lot']],
    [
      'within stock',
      (s) => {
        s.stock.push({ ...s.stock[0]! });
      },
      ['error stock.1.lot'],
    ],
  ],
  bagsOutOfRange: [
    ['none', set('stock.0.bags', 0), []],
    ['below 0', set('stock.0.bags', -4), ['error stock.0.bags']],
  ],
  litresOutOfRange: [
    ['5 L', set('stock.0.litres', 5), []],
    ['none', set('stock.0.litres', 0), ['error stock.0.litres']],
    ['millilitres', set('deliveries.0.litres', 5000), ['error deliveries.0.litres']],
    ['a small bag', set('stock.0.litres', 0.5), ['warning stock.0.litres']],
    ['seven decimals', set('stock.0.litres', 6.5000001), ['error stock.0.litres']],
  ],
  expiredLot: [
    ['a minute left', set('stock.0.expires', '2031-02-03T07:01'), []],
    ['at the start', set('stock.0.expires', '2031-02-03T07:00'), ['warning stock.0.expires']],
    ['before it is ready', set('deliveries.0.expires', '2031-02-04T12:00'), ['warning deliveries.0.expires']],
  ],
  lotExpiresWithinRound: [
    // The round of Tuesday 06:00 covers 07:00 to 19:00.
    ['at the end of what a round covers', set('stock.0.expires', '2031-02-04T19:00'), []],
    ['a minute before', set('stock.0.expires', '2031-02-04T18:59'), ['warning stock.0.expires']],
    ['never', set('stock.0.expires', null), []],
  ],
  lotAfterLastRound: [
    // The last round leaves on Sunday 18:00; that of Monday 06:00 would cover from 07:00, when the plan has ended.
    ['at the last round', set('deliveries.0.ready', '2031-02-09T18:00'), []],
    ['a minute later', set('deliveries.0.ready', '2031-02-09T18:01'), ['warning deliveries.0.ready']],
  ],
  deliveryWithoutTime: [
    ['stock', set('stock.0.ready', null), []],
    ['delivery', set('deliveries.0.ready', null), ['warning deliveries.0']],
  ],
  bagsOfOtherVolume: [
    ['the volume of a fill', set('deliveries.0.litres', 6.5), []],
    ['5 L beside fills of 6.5 L', set('deliveries.0.litres', 5), ['warning deliveries.0.litres']],
    ['larger ones', set('stock.0.litres', 10), ['warning stock.0.litres']],
    [
      'a lot without bags',
      (s) => {
        s.stock[0]!.bags = 0;
        s.stock[0]!.litres = 5;
      },
      [],
    ],
  ],
  supplyOutOfRange: [
    ['none left', set('supplies.0.onHand', 0), []],
    [
      'below 0',
      (s) => {
        s.supplies[0]!.onHand = -1;
        s.supplies[1]!.perLitre = -0.02;
        s.supplies[0]!.deliveries![0]!.quantity = -5;
      },
      ['error supplies.0.onHand', 'error supplies.0.deliveries.0.quantity', 'error supplies.1.perLitre'],
    ],
  ],
  supplyTooFine: [
    ['nine decimals', set('supplies.1.perLitre', 0.022222222), []],
    ['sixteen decimals', set('supplies.1.perLitre', 1 / 45), ['error supplies.1']],
    ['huge and fine', set('supplies.1.onHand', 900_000_000), ['error supplies.1']],
  ],
  duplicateSupply: [['same item', set('supplies.1.item', 'circuit'), ['warning supplies.1.item']]],
  supplyNeverUsed: [
    ['no use given', set('supplies.0.perCircuit', null), ['warning supplies.0']],
    [
      '0 a fill',
      (s) => {
        s.supplies[0]!.perCircuit = null;
        s.supplies[0]!.perFill = 0;
      },
      ['warning supplies.0'],
    ],
    ['per fill', set('supplies.0.perFill', 2), []],
  ],
  supplyDeliveryOutsidePlan: [
    ['last minute', set('supplies.0.deliveries.0.at', '2031-02-10T06:59'), []],
    [
      'at the end',
      (s) => {
        s.supplies![0]!.deliveries![0]!.at = '2031-02-10T07:00';
        s.forecast = {};
      },
      ['warning supplies.0.deliveries.0.at'],
    ],
    [
      'at the end, but within the forecast',
      (s) => {
        s.supplies![0]!.deliveries![0]!.at = '2031-02-10T07:00';
        s.forecast = { days: 8 };
      },
      [],
    ],
    ['before', set('supplies.0.deliveries.0.at', '2031-02-03T06:59'), ['warning supplies.0.deliveries.0.at']],
  ],
};
