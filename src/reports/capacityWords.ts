import type { Clock } from '../calendar/clock.ts';
import type { Agreement, AgreementRow } from '../capacity/answers/agreement.ts';
import { type MachineRow, moreIsNoUse, NO_LESS } from '../capacity/answers/answers.ts';
import type { Certainty, Grade } from '../capacity/answers/certainty.ts';
import type { Given } from '../capacity/answers/limits.ts';
import { type OrderItem, type Pricing, pricingOf } from '../capacity/answers/offers.ts';
import type { Order, OrderLine } from '../capacity/answers/orders.ts';
import { type KindNeed, MOST_OF_KIND, type Requirements } from '../capacity/answers/requirements.ts';
import type { Study } from '../capacity/answers/study.ts';
import type { Copied } from '../capacity/draws/copies.ts';
import { CAUSES, type Cause } from '../capacity/model/causes.ts';
import type { Scenario } from '../scenario/schema.ts';
import { countText, numberText, plural, sentenceCase } from '../words/numbers.ts';
import { whenText } from '../words/times.ts';

/** A chance as people say it: 0.034 -> '3.4 %', 0.0002 -> 'under 0.1 %'. */
export function chanceText(chance: number): string {
  if (chance > 0 && chance < 0.001) return 'under 0.1 %';
  if (chance < 1 && chance > 0.999) return 'over 99.9 %';
  return `${numberText(100 * chance)} %`;
}

/** How sure the runs make a chance, e.g. '3.4 % (± 0.4)'. */
export const withError = (chance: number, error: number): string =>
  `${chanceText(chance)} (± ${numberText(100 * error)})`;

/** The service level in words: 'no shortage in at least 95 % of runs'. */
export const levelText = (confidence: number): string =>
  `no shortage in at least ${chanceText(confidence)} of runs`;

const LACK: Record<Cause, string> = {
  'opening stock': 'stock for the opening round',
  supplies: 'supplies',
  technicians: 'technicians',
  water: 'water',
  machines: 'machines',
};
/** What a missing bag lacks, in a sentence. */
export const causeText = (cause: Cause): string => LACK[cause];

const mostLacked = ({ causes }: Pick<MachineRow, 'causes'>): Cause =>
  [...CAUSES].sort((a, b) => causes[b] - causes[a])[0]!;

/** What the first missing bag lacks in most of the runs that fall short, e.g. 'supplies in 62 % of runs'. */
export function lackText(row: Pick<MachineRow, 'causes'>): string {
  const most = mostLacked(row);
  return row.causes[most] > 0 ? `${LACK[most]} in ${chanceText(row.causes[most])} of runs` : 'nothing';
}

/** What a machine beyond those listed is, e.g. 'an extra machine like M4: available 12 % of the time, not for 3K'. */
export function copyText({ id, available, cannot }: Copied): string {
  const less = [
    ...(available < 1 ? [`available ${Math.max(1, Math.round(100 * available))} % of the time`] : []),
    ...(cannot.length > 0 ? [`not for ${cannot.join(', ')}`] : []),
  ];
  return `an extra machine like ${id}${less.length > 0 ? `: ${less.join(', ')}` : ''}`;
}
/** Whether a copy is less than a machine that is always there and for every bath. */
const isPart = (copied: Copied | null): copied is Copied =>
  copied !== null && (copied.available < 1 || copied.cannot.length > 0);

const shortIn = (row: MachineRow): string => withError(row.shortageChance, row.chanceError);

/** What becomes of it with machines beyond those listed, none of them being enough. */
function moreLines({ rows, own, copied }: Study): string[] {
  const mine = rows[own - 1]!;
  const last = rows.at(-1)!;
  const beyond = copied ? [`Each machine beyond the ${own} listed is ${copyText(copied)}.`] : [];
  if (!moreIsNoUse(rows, own))
    return [
      ...beyond,
      `With ${last.machines}, ${shortIn(last)} of runs are still short. First lacking: ${lackText(last)}.`,
      ...ownLines(mine),
    ];
  // Machines that lack, while more of them change nothing, would read as a contradiction.
  const isOther = mostLacked(mine) === 'machines' && mostLacked(last) !== 'machines';
  return [
    ...beyond,
    `More such machines change nothing: ${shortIn(mine)} of runs are short, with ${own} as with ${last.machines}.`,
    `On average ${countText(mine.bagsShort, 'bag')} ${plural(mine.bagsShort, 'is', 'are')} missing.`,
    isOther
      ? `First lacking with ${last.machines}: ${lackText(last)}.`
      : mostLacked(mine) === 'machines' && copied
        ? `First lacking: a machine at that time and for that bath, in ${chanceText(mine.causes.machines)} of runs. An extra machine like ${copied.id} is none.`
        : `First lacking: ${lackText(mine)}.`,
  ];
}

function ownLines(mine: MachineRow): string[] {
  const said = `With the ${mine.machines} listed, ${shortIn(mine)} of runs are short.`;
  return mine.shortageChance > 0 ? [`${said} First lacking: ${lackText(mine)}.`] : [said];
}

/** What unlimited supplies would change; nothing where they are not what lacks. */
function suppliedLines({ supplied, rows, own }: Study): string[] {
  if (supplied === null) return [];
  if (supplied.smallest !== null)
    return [`With unlimited supplies, ${countText(supplied.smallest, 'machine')} would be enough.`];
  const [before, after] = [rows[own - 1]!.bagsShort, supplied.rows[own - 1]!.bagsShort];
  const fewer =
    after * NO_LESS < before
      ? [
          `Unlimited supplies would leave ${numberText(after)} of those ${countText(before, 'bag')} unmet with the ${own} listed.`,
        ]
      : [];
  return [...fewer, 'Even with unlimited supplies, no number of such machines would be enough.'];
}

/** What copies of a machine that is always there and for every bath would change; nothing where that was not asked. */
function fullerLines({ fuller, supplied }: Study): string[] {
  if (fuller === null) return [];
  const also = supplied ? ' and with unlimited supplies' : '';
  return fuller.smallest !== null
    ? [
        `If each added machine is like ${fuller.id} (always available, every bath)${also}, ${fuller.smallest} in all are enough.`,
      ]
    : [
        `If each added machine is like ${fuller.id} (always available, every bath)${also}, ${fuller.last.machines} in all are still too few.`,
        `First lacking then: ${lackText(fuller.last)}.`,
      ];
}

/** The administrator's answer: one sentence, then what it rests on. */
export function answerLines(study: Study): string[] {
  const { smallest, own, rows, confidence, days, copied } = study;
  const level = `${levelText(confidence)} over ${countText(days.length, 'day')}`;
  if (own === 0) return ['No machine is listed. List one machine to ask how many are needed.'];
  if (smallest === null) {
    const which = isPart(copied) ? `No number of extra machines like ${copied.id}` : 'No number of machines';
    const [head, tail] = study.fuller?.smallest ? [fullerLines(study), []] : [[], fullerLines(study)];
    return [
      ...head,
      `${which} is enough for the service level: ${level}.`,
      ...moreLines(study),
      ...suppliedLines(study),
      ...tail,
    ];
  }
  const added =
    copied && smallest > own ? [`Each machine beyond the ${own} listed is ${copyText(copied)}.`] : [];
  return [
    `${countText(smallest, 'machine')} ${plural(smallest, 'is', 'are')} enough for the service level: ${level}.`,
    ...added,
    ...ownLines(rows[own - 1]!),
  ];
}
export const answerText = (study: Study): string => answerLines(study).join(' ');

/** Whether the service level can be reached with machines alone: good news or bad. */
export const isReached = ({ smallest }: Pick<Study, 'smallest'>): boolean => smallest !== null;

/** What the runs say of a limit, e.g. 'runs out in 2.8 % of runs'. */
export const givenText = ({ kind, share }: Given): string =>
  `${kind === 'supply' ? 'runs out' : 'lacks first'} in ${chanceText(share)} of runs`;

/** Whole patients or bags that a limit is enough for: never more than it is. */
export const enoughOf = (value: number): string => numberText(Math.floor(value + 1e-9), 0);

/** What a limit alone is enough for. */
export const enoughText = ({ census, bagsPerDay }: Pick<Given, 'census' | 'bagsPerDay'>): string =>
  `enough for ${countText(Math.floor(census + 1e-9), 'patient')} (${countText(Math.floor(bagsPerDay + 1e-9), 'bag')} per day)`;

/** What the forecast asks of a limit: a supply must last over all days together, all else on the fullest one. */
export const askedText = (
  { kind }: Given,
  { peak, meanCensus }: Pick<Study, 'peak' | 'meanCensus'>,
): string =>
  kind === 'supply'
    ? `the mean day has ${numberText(meanCensus, 0)}`
    : `the peak is ${numberText(peak.p95, 0)}`;

/** When the machines listed first fall short too often, '' when they never do. */
export function exceededText({ first, confidence }: Study, clock: Clock): string {
  if (first.minute === null) return '';
  return `Capacity is first exceeded at the bag round of ${whenText(clock, first.minute)}: by then more than ${chanceText(1 - confidence)} of runs are short.`;
}

const dayText = ({ weekdays }: { readonly weekdays?: readonly string[] }): string =>
  weekdays ? `, only ${weekdays.join(', ')}` : '';

/** A line of an order in words, e.g. '3 machines like M16', '120 of bag set'. */
export function itemText(item: OrderItem): string {
  switch (item.kind) {
    case 'machine':
      return `${countText(item.count, 'machine')} like ${item.like}${dayText(item)}`;
    case 'water':
      return `${numberText(item.more, 0)} mL/min more water at ${item.id}`;
    case 'technicians':
      return `${countText(item.more, 'technician')} more in each shift ${item.shift}${dayText(item)}`;
    case 'supply':
      return `${numberText(item.quantity)} of ${item.item}`;
    case 'bags':
      return `${countText(item.quantity, 'bag')} of ${item.bath} (${numberText(item.litres)} L each)`;
  }
}

const GRADE: Readonly<Record<Grade, string>> = {
  sure: 'Sure: the simulated runs decide it, and full plans to the minute agree.',
  fair: 'Fairly sure: the simulated runs decide it; too few full plans were made to confirm it.',
  open: 'Not sure: the simulated runs do not decide it. Simulate more runs, or allow for one machine more.',
  against: 'DO NOT RELY ON THIS ANSWER: full plans to the minute speak against it.',
};

/** How sure the answer is, and why: one sentence of judgement, then what it rests on. */
export function certaintyLines(certainty: Certainty | null, runs: number): string[] {
  if (certainty === null) return [];
  const { grade, allowed, rows } = certainty;
  const byRuns = rows.map(({ machines, chance, error }) => {
    const side =
      Math.abs(chance - allowed) <= error ? 'too close to tell' : chance > allowed ? 'too many' : 'within it';
    return `With ${countText(machines, 'machine')}, ${withError(chance, error)} of ${numberText(runs)} runs are short; ${chanceText(allowed)} are allowed: ${side}.`;
  });
  const byPlans = rows.map(({ machines, plans, plansShort, agree }) =>
    plans === 0
      ? `No run with ${countText(machines, 'machine')} was planned to the minute yet.`
      : `With ${countText(machines, 'machine')}, ${countText(plans, 'run')} ${plural(plans, 'was', 'were')} also planned to the minute: ${plansShort} short. Model and plan agree in ${agree} of ${plans}.`,
  );
  return [
    GRADE[grade],
    ...byRuns,
    ...byPlans,
    'The error is half of a 95 % interval. Half of the planned runs are those on which the answer turns.',
    'A full plan made quickly may miss a better one; the assumptions below may be wrong.',
  ];
}

const kindText = ({ like, more, ...rest }: KindNeed): string =>
  `${countText(more ?? 0, 'machine')} more like ${like}${dayText(rest)}`;

/** What is just enough of everything, a sentence each. */
export function requirementLines({ kinds, beside, technicians, water }: Requirements): string[] {
  const alone = kinds.map((kind) =>
    kind.more === null
      ? `Machines like ${kind.like}${dayText(kind)} alone are not enough, up to ${MOST_OF_KIND} more.`
      : kind.more === 0
        ? `The machines listed are enough; none like ${kind.like} is needed.`
        : `${kindText(kind)} ${plural(kind.more, 'is', 'are')} just enough alone.`,
  );
  if (beside === null)
    return [...alone, 'One kind of machine alone is not enough: see the order list for what is.'];
  const with_ = beside.more ? `With ${kindText(beside)}` : 'With the machines listed';
  return [
    ...new Set(alone),
    ...technicians.map(({ shift, technicians: count }) =>
      count === null
        ? `${with_}, no number of technicians in shift ${shift} alone is enough.`
        : `${with_}, ${countText(count, 'technician')} in shift ${shift} ${plural(count, 'is', 'are')} just enough, the other shifts as listed.`,
    ),
    ...water.map(({ id, capacity }) =>
      capacity === null
        ? `${with_}, no capacity of ${id} up to 3 times the listed one is enough.`
        : `${with_}, ${numberText(capacity, 0)} mL/min at ${id} is just enough, the other sources as listed.`,
    ),
  ];
}

/** A list in one sentence: its way, cost and what it leaves short. */
export const orderText = ({ way, cost, shortageChance, error, chanceAtOnce }: Order): string =>
  `${sentenceCase(way)}: cost ${numberText(cost)}; then ${withError(shortageChance, error)} of runs are short. Ordered at once: ${chanceText(chanceAtOnce)}.`;

/** Of a recorded day: what the answers and the dates of a list leave out. */
export const fromStartText = (clock: Clock): string =>
  `This forecast begins at the scenario’s start, ${whenText(clock, 0)}, with the stock typed there. It leaves out what was noted since. Before you order, continue in a new scenario and simulate there.`;

export const ORDER_HEADS = [
  'Get',
  'order by',
  'there by',
  'cost',
  'runs short with this line alone',
  'with all but this line',
] as const;
/** A line of a list under `ORDER_HEADS`. */
export const orderCells = (line: OrderLine, clock: Clock): string[] => [
  line.offer === null ? itemText(line) : `${itemText(line)} (${line.offer})`,
  whenText(clock, clock.minuteOf(line.orderBy)),
  whenText(clock, clock.minuteOf(line.by)),
  numberText(line.cost),
  chanceText(line.chanceAlone),
  chanceText(line.chanceWithout),
];
/** What the dates and chances of a list mean. */
export const orderNote = (runs: number): string =>
  `No line can be lowered by one pack. Dates are the latest that keep the service level, except in the soonest list: order sooner where you can. Alone and without: the first ${numberText(Math.min(runs, 1000))} of the same runs.`;

const COST_OF: Readonly<Record<Pricing, string>> = {
  typed: 'Costs are the prices typed on the sheet What could be had.',
  'partly typed': 'Some offers have no price: a pack of them counts 1. Type all prices first.',
  weights: '',
};
/** What the cost of a list is counted in. */
export function pricingText(scenario: Scenario): string {
  const pricing = pricingOf(scenario);
  if (pricing !== 'weights') return COST_OF[pricing];
  return scenario.offers?.length
    ? 'No price is typed: each pack counts 1. Type prices on the sheet What could be had.'
    : 'No price is typed: each machine, technician, 100 mL/min of water, bag and unit of a supply counts 1. Type offers and prices on the sheet What could be had.';
}

/** Share of the runs in which fast model and full plans must say the same for the model alone to be relied on. */
const AGREED = 0.95;

/** How far the fast model may be relied on: in how many runs it says what full plans say, and which way it errs. */
export function agreementLines(
  { agree, draws, meanBagsDifference }: Agreement,
  rows: readonly AgreementRow[],
): string[] {
  const modelOnly = rows.reduce((sum, { fastOnly }) => sum + fastOnly, 0);
  const planOnly = rows.reduce((sum, { plannedOnly }) => sum + plannedOnly, 0);
  const runs = countText(draws, 'run');
  const said = [
    `The answers come from a fast model. It agrees with full plans on short or not in ${agree} of ${runs}.`,
    `Mean difference: ${countText(meanBagsDifference, 'bag')} (model less plan).`,
  ];
  if (agree >= AGREED * draws) return said;
  return [
    ...said,
    'DO NOT RELY ON THESE CHANCES ALONE: agreement is below 95 of 100.',
    ...(planOnly > 0
      ? [
          `Only the full plan was short in ${planOnly} of ${runs}: a shortage may be likelier than it says here.`,
        ]
      : []),
    ...(modelOnly > 0
      ? [
          `Only the model was short in ${modelOnly} of ${runs}: a shortage may be less likely than it says here.`,
        ]
      : []),
  ];
}
