import { type Line, rows, type ScenarioField } from './fieldRows.ts';

const LOT: readonly Line[] = [
  ['lot', 'Lot', '', 'Its name: no other lot of stock or deliveries has it.'],
  ['bath', 'Bath', '', 'What the bags hold.'],
  ['bags', 'Bags', 'bags', 'How many there are.', { min: 0, max: 100_000 }],
  ['litres', 'Volume of a bag', 'L a bag', 'What one of them holds.', { above: 0, max: 50, usual: [1, 10] }],
  ['ready', 'Ready', '', 'From then on they may leave.', { none: 'at the start' }],
  ['expires', 'Expires', '', 'No bag hangs after it.', { none: 'never' }],
];
/** What is there, what comes, and what could be had. */
export const STOCK_FIELDS: readonly ScenarioField[] = [
  ...rows('Stock', 'stock[]', LOT),
  ...rows('Deliveries', 'deliveries[]', LOT),
  ...rows('Supplies', 'supplies[]', [
    ['item', 'Item', '', 'Its name and unit, e.g. acid 2K (L).'],
    ['onHand', 'On hand', '', "In the item's own unit, at the start.", { min: 0, max: 1_000_000_000 }],
    ['perCircuit', 'Per circuit', '', 'Used by a new circuit.', { min: 0, max: 1_000_000_000, none: '0' }],
    ['perFill', 'Per fill', '', 'Used by a fill.', { min: 0, max: 1_000_000_000, none: '0' }],
    [
      'perLitre',
      'Per liter',
      '',
      'Used by a liter of dialysate run.',
      { min: 0, max: 1_000_000_000, none: '0' },
    ],
    ['bath', 'Bath', '', 'Only this bath uses it.', { none: 'all' }],
  ]),
  ...rows('Supply deliveries', 'supplies[].deliveries[]', [
    ['at', 'At', '', 'It is there from then on.'],
    ['quantity', 'Quantity', '', "In the item's own unit.", { min: 0, max: 1_000_000_000 }],
  ]),
  ...rows('What could be had', 'offers[]', [
    ['id', 'Offer', '', 'Its name, e.g. loan Monday to Friday.'],
    ['kind', 'Kind', '', 'What it is: machine, water, technicians, supply or bags.'],
    ['of', 'Like or for', '', 'The machine it is like, or its water source, shift, supply or bath.'],
    [
      'pack',
      'Pack',
      '',
      "Smallest amount to be had: machines, mL/min, technicians, the item's unit or bags.",
      { above: 0, max: 1_000_000, none: '1' },
    ],
    [
      'price',
      'Price of a pack',
      '',
      'In your money, or as a weight; all offers in the same.',
      { above: 0, max: 1_000_000_000, none: 'weight 1' },
    ],
    [
      'leadDays',
      'Lead time',
      'days',
      'Days from the start of the plan until it is there.',
      { min: 0, max: 366, none: '0' },
    ],
    [
      'most',
      'At most',
      'packs',
      'No more packs than these can be had.',
      { min: 0, max: 1_000_000, none: 'no limit' },
    ],
    [
      'weekdays',
      'Days of the week',
      '',
      'A machine or technician is there only on these days.',
      { none: 'every day' },
    ],
    [
      'litres',
      'Volume of a bag',
      'L a bag',
      'What a purchased bag holds.',
      { above: 0, max: 50, usual: [1, 10], none: 'the minimum fill volume' },
    ],
    [
      'keepsHours',
      'Keeps',
      'h',
      'A purchased bag expires so long after it is there.',
      { above: 0, max: 100_000, none: 'never expires' },
    ],
  ]),
];
