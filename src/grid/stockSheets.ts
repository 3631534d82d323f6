import { OFFER_KINDS, offerNames, WEEKDAYS } from '../scenario/offerNames.ts';
import { NESTED } from '../scenario/unassigned.ts';
import { listRows, nestedRows, type Sheet } from './sheet.ts';
import { always, bath, field, items, likeAbove, named, needed, type Rest } from './sheetParts.ts';

const lots = (
  { id, title, one, about }: Pick<Sheet, 'title' | 'one' | 'about'> & { readonly id: 'stock' | 'deliveries' },
  ready: Rest,
): Sheet => ({
  id,
  title,
  one,
  about,
  list: id,
  rows: listRows(id),
  fields: [
    field(['lot', 'Lot', 'text', 'Name of the lot.'], needed(110)),
    bath('Bath of its bags.', needed(90)),
    field(['bags', 'Bags', 'integer', 'How many bags.'], needed(80)),
    field(['litres', 'Volume per bag', 'number', 'Liters in one bag.'], { unit: 'L', ...needed(95) }),
    field(
      [
        'ready',
        'Ready',
        'time',
        'From when its bags may leave. Only stock ready at the start serves the opening round.',
      ],
      {
        width: 145,
        ...ready,
      },
    ),
    field(
      [
        'expires',
        'Expires',
        'time',
        'A lot serves a bag round only if it expires after that round’s last hang.',
      ],
      {
        fallback: always('never'),
        width: 145,
      },
    ),
  ],
  fresh: (scenario, above) => ({
    lot: named(scenario[id] ?? [], 'lot', id === 'stock' ? 'S-1' : 'D-1', above),
    ...likeAbove(above, 'bath', 'litres'),
  }),
});

export const supplies: Sheet = {
  id: 'supplies',
  title: 'Supplies',
  one: 'supply',
  about: 'What making dialysate uses up. It is used when the work that needs it starts.',
  list: 'supplies',
  rows: listRows('supplies'),
  fields: [
    field(['item', 'Item', 'text', 'Name, with its unit if it is not counted in pieces.'], needed(140)),
    field(['onHand', 'On hand', 'number', 'There at the start, in the item’s own unit.'], needed(95)),
    field(['perCircuit', 'Per circuit', 'number', 'Used by each new circuit.'], {
      fallback: always('0'),
      width: 100,
    }),
    field(['perFill', 'Per fill', 'number', 'Used by each fill.'], { fallback: always('0'), width: 90 }),
    field(
      [
        'perLitre',
        'Per liter',
        'number',
        'Used by each liter of dialysate, also during bath changes and new circuits.',
      ],
      {
        fallback: always('0'),
        width: 100,
      },
    ),
    bath('Used by this bath only.', { fallback: always('all'), width: 85 }),
    field(['deliveriesCount', 'Deliveries', 'fixed', 'Deliveries are on the sheet Supply deliveries.'], {
      width: 100,
      show: ({ value }) =>
        Array.isArray(value.deliveries) && value.deliveries.length > 0 ? String(value.deliveries.length) : '',
    }),
  ],
  fresh: (scenario, above) => ({ item: named(scenario.supplies ?? [], 'item', 'empty bag', above) }),
};

export const supplyDeliveries: Sheet = {
  id: 'supplyDeliveries',
  title: 'Supply deliveries',
  one: 'delivery',
  about: 'Supplies that arrive during the plan.',
  ...NESTED.supplyDeliveries,
  rows: nestedRows('supplyDeliveries'),
  fields: [
    field(['owner', 'Item', 'choice', 'Which supply.'], {
      choices: items,
      ...needed(140),
      show: ({ owner }) => owner ?? '',
    }),
    field(['at', 'At', 'time', 'When it arrives.'], needed(145)),
    field(['quantity', 'Quantity', 'number', 'How much, in the item’s own unit.'], needed(100)),
  ],
  fresh: () => ({}),
};

export const offers: Sheet = {
  id: 'offers',
  title: 'What could be had',
  one: 'offer',
  about:
    'What you could get: the order list of Capacity buys only of these. Without rows everything can be had and counts 1.',
  list: 'offers',
  rows: listRows('offers'),
  fields: [
    field(['id', 'Offer', 'text', 'Name of the offer, e.g. loan Monday to Friday.'], needed(160)),
    field(['kind', 'Kind', 'choice', 'machine, water, technicians, supply or bags.'], {
      choices: () => OFFER_KINDS,
      ...needed(110),
    }),
    field(
      ['of', 'Like or for', 'choice', 'The machine it is like, or its water source, shift, supply or bath.'],
      {
        choices: (scenario) => [
          ...new Set(OFFER_KINDS.flatMap((kind) => offerNames(scenario, kind).map(String))),
        ],
        ...needed(130),
      },
    ),
    field(
      ['pack', 'Pack', 'number', 'Smallest amount: machines, mL/min, technicians, the item’s unit or bags.'],
      {
        fallback: always('1'),
        width: 80,
      },
    ),
    field(['price', 'Price of a pack', 'number', 'In your money, or as a weight; all offers in the same.'], {
      fallback: always('weight 1'),
      width: 115,
    }),
    field(['leadDays', 'Lead time', 'number', 'Days from the start of the plan until it is there.'], {
      unit: 'days',
      fallback: always('0'),
      width: 105,
    }),
    field(['most', 'At most', 'integer', 'No more packs than these can be had.'], {
      unit: 'packs',
      fallback: always('no limit'),
      width: 105,
    }),
    field(
      [
        'weekdays',
        'Days of the week',
        'list',
        'A machine or technician is there only on these days: Mon, Tue ...',
      ],
      {
        choices: () => WEEKDAYS,
        fallback: always('every day'),
        width: 170,
      },
    ),
    field(['litres', 'Volume of a bag', 'number', 'What a purchased bag holds.'], {
      unit: 'L',
      fallback: always('minimum fill volume'),
      width: 125,
    }),
    field(['keepsHours', 'Keeps', 'number', 'A purchased bag expires so long after it is there.'], {
      unit: 'h',
      fallback: always('never expires'),
      width: 105,
    }),
  ],
  fresh: (scenario, above) => ({
    id: named(scenario.offers ?? [], 'id', 'offer 1', above),
    ...likeAbove(above, 'kind'),
  }),
};

export const stock = lots(
  { id: 'stock', title: 'Stock', one: 'lot', about: 'Bags there at the start, made here or bought.' },
  { fallback: always('at the start') },
);
export const deliveries = lots(
  { id: 'deliveries', title: 'Deliveries', one: 'lot', about: 'Bags that arrive during the plan.' },
  { required: true },
);
