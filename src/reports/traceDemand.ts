import { compare, divide, multiply, toNumber, whole } from '../exact/fraction.ts';
import type { CourseStep } from '../scenario/problem/types.ts';
import { countText, lengthText, numberText } from '../words/numbers.ts';
import { doseName } from '../words/solutes.ts';
import { roundText, whenText } from '../words/times.ts';
import { amount, computed, type Known, ruleCell, sum, type Trace, typed } from './trace.ts';

const FIELDS = [
  ['dose', 'Effluent dose (prescribed)', 'mL/kg/h', 0],
  ['weight', 'Weight', 'kg', 0],
  ['fluidRemoval', 'Net fluid removal', 'mL/h', 0],
  ['replacement', 'Replacement fluid', 'mL/h', 0],
  ['citrateFlow', 'Citrate flow in the effluent', 'mL/h', 0],
  ['hoursPerDay', 'Therapy hours per day', 'h', 24],
] as const;
type RateField = (typeof FIELDS)[number][0];

/** The row's changes that hold at a minute, in the order in which they do. */
function changesInForce({ scenario, problem }: Prescriptions, patient: number, minute: number) {
  const start = Math.max(0, problem.patients[patient]!.from);
  return (scenario.patients[patient]!.changes ?? [])
    .map((change, index) => ({ change, index, at: Math.max(start, problem.clock.minuteOf(change.at)) }))
    .filter(({ at }) => at <= Math.max(start, minute))
    .sort((a, b) => a.at - b.at);
}

/** The typed cells in force for a patient at a minute: the row's, or the last change's before it. */
function cellsInForce(known: Prescriptions, patient: number, minute: number): Record<RateField, Trace> {
  const { scenario, problem } = known;
  const row = scenario.patients[patient]!;
  const changes = changesInForce(known, patient, minute);
  const cells = FIELDS.map(([field, name, unit, fallback]) => {
    const label = field === 'dose' ? doseName(problem.rules.doseMeans) : name;
    const change = changes.findLast((candidate) => candidate.change[field] != null);
    const cell = change
      ? typed(`${label}, from ${whenText(problem.clock, change.at)}`, change.change[field]!, unit, {
          sheet: 'patients',
          row: patient,
          field: `changes.${change.index}.${field}`,
          isDefault: false,
        })
      : typed(label, row[field] ?? fallback, unit, {
          sheet: 'patients',
          row: patient,
          field,
          isDefault: row[field] == null,
        });
    return [field, cell] as const;
  });
  return Object.fromEntries(cells) as Record<RateField, Trace>;
}

/** Whether a citrate flow counts for a patient at a minute: the anticoagulation in force is citrate. */
function onCitrate(known: Prescriptions, patient: number, minute: number): boolean {
  const typedIn = [
    known.scenario.patients[patient]!,
    ...changesInForce(known, patient, minute).map(({ change }) => change),
  ];
  return typedIn.findLast(({ anticoagulation }) => anticoagulation != null)?.anticoagulation === 'citrate';
}

const stepAt = (steps: readonly CourseStep[], minute: number): CourseStep =>
  steps.findLast(({ at }) => at <= minute) ?? steps[0]!;

/** What a bed's row and its changes come to needs no plan. */
type Prescriptions = Pick<Known, 'scenario' | 'problem'>;

/** What the pump runs while therapy runs, mL per hour: the dose less what the bath does not give. */
export function traceFlow(known: Prescriptions, patient: number, minute: number): Trace {
  const { problem } = known;
  const { id } = problem.patients[patient]!;
  const cells = cellsInForce(known, patient, minute);
  const means = problem.rules.doseMeans;
  const dosed = means === 'dialysate';
  const citrate = onCitrate(known, patient, minute);
  const others = dosed
    ? []
    : [
        cells.fluidRemoval,
        cells.replacement,
        ...(citrate && cells.citrateFlow.value > 0 ? [cells.citrateFlow] : []),
      ];
  const gross = others.reduce((rest, { value }) => rest - value, cells.dose.value * cells.weight.value);
  const flow = Math.max(0, gross);
  const named = ['net fluid removal', 'replacement fluid', 'citrate flow'].slice(0, others.length);
  const said = [
    `${amount(cells.dose.value, 'mL/kg/h')} x ${amount(cells.weight.value, 'kg')}`,
    ...others.map(({ value, unit }) => amount(value, unit)),
  ].join(' - ');
  return computed(
    `Dialysate flow of ${id} while therapy runs`,
    flow,
    'mL/h',
    `${[`${means} dose x weight`, ...named].join(' - ')}${dosed ? '' : ', at least 0'} (Plan and rules: a dose means ${means})`,
    `${said} = ${amount(flow, 'mL/h')}${gross < 0 ? ', below 0, so 0' : ''}`,
    () => [cells.dose, cells.weight, ...others],
  );
}

/** Dialysate that runs into a patient, mL per elapsed hour. */
export function traceRate(known: Known, patient: number, minute: number): Trace {
  const { problem } = known;
  const course = problem.patients[patient]!;
  const perHour = toNumber(multiply(stepAt(course.steps, minute).rate, whole(60)));
  const flow = traceFlow(known, patient, minute);
  const { hoursPerDay } = cellsInForce(known, patient, minute);
  return computed(
    `Dialysate of ${course.id}, averaged over the day`,
    perHour,
    'mL/h',
    'flow while therapy runs x therapy hours per day / 24',
    `${amount(flow.value, 'mL/h')} x ${amount(hoursPerDay.value, 'h')} / 24 h = ${amount(perHour, 'mL/h')}`,
    () => [flow, hoursPerDay],
  );
}

/** One bag: why it hangs in that minute. */
export function traceHang(known: Known, patient: number, index: number): Trace {
  const { problem, demand } = known;
  const course = problem.patients[patient]!;
  const hang = demand.hangs[patient]![index]!;
  const before = index > 0 ? demand.hangs[patient]![index - 1]! : null;
  const when = whenText(problem.clock, hang.minute);
  const step = stepAt(course.steps, hang.minute);
  const volume = amount(toNumber(problem.rules.bagMl), 'mL');
  const bath = problem.baths[hang.bath]!;
  const say = (formula: string, filled: string, parts: () => readonly Trace[]) =>
    computed(`Bag ${index + 1} of ${course.id}, ${bath}, hung ${when}`, 1, 'bag', formula, filled, parts);
  const bagCell = () => ruleCell(known, 'fillLitres', 'Minimum fill volume', problem.rules.fillLitres, 'L');
  if (!before)
    return say(
      'the first bag hangs when therapy starts',
      `start ${whenText(problem.clock, Math.max(0, course.from))}`,
      () => [traceRate(known, patient, hang.minute)],
    );
  if (hang.bath !== before.bath)
    return say(
      'at a new bath the rest of the open bag is discarded',
      `${problem.baths[before.bath]} to ${bath} ${when}`,
      () => [traceRate(known, patient, hang.minute)],
    );
  const since = hang.minute - before.minute;
  const single = !course.steps.some(({ at }) => at > before.minute && at <= hang.minute);
  const rate = stepAt(course.steps, before.minute).rate;
  const through = single && rate.n > 0n ? divide(problem.rules.bagMl, rate) : null;
  const limit = through
    ? compare(through, problem.rules.maxHang) > 0
    : since >= Math.floor(toNumber(problem.rules.maxHang));
  if (limit)
    return say(
      'a hung bag is discarded after the maximum hang time',
      `${lengthText(since)} after the previous bag`,
      () => [
        ruleCell(known, 'maxHangHours', 'Maximum hang time', toNumber(problem.rules.maxHang) / 60, 'h'),
        traceRate(known, patient, before.minute),
      ],
    );
  return say(
    'the previous bag has run through: volume / rate',
    through
      ? `${volume} / ${amount(toNumber(rate) * 60, 'mL/h')} = ${amount(toNumber(through), 'min', 1)} after the previous bag`
      : `${volume} at rates that changed meanwhile: ${lengthText(since)} after the previous bag`,
    () => [
      bagCell(),
      traceRate(known, patient, before.minute),
      ...(through && step === stepAt(course.steps, before.minute)
        ? []
        : [traceRate(known, patient, hang.minute)]),
    ],
  );
}

/** Bags of a bath hung in from..to-1, patient by patient. */
function bagsBetween(known: Known, bath: number, from: number, to: number): Trace[] {
  return known.demand.hangs.flatMap((hangs, patient) => {
    const mine = hangs
      .map((hang, index) => ({ hang, index }))
      .filter(({ hang }) => hang.bath === bath && hang.minute >= from && hang.minute < to);
    if (!mine.length) return [];
    const times = mine.map(({ hang }) => whenText(known.problem.clock, hang.minute));
    return computed(
      known.problem.patients[patient]!.id,
      mine.length,
      mine.length === 1 ? 'bag' : 'bags',
      'bags hung in this time',
      times.length > 6 ? `${times.slice(0, 6).join('; ')} and ${times.length - 6} more` : times.join('; '),
      () => mine.map(({ index }) => traceHang(known, patient, index)),
    );
  });
}

/** Bags of a bath in a round, or in a day. */
export function traceBags(known: Known, bath: number, span: { round: number } | { day: number }): Trace {
  const { problem } = known;
  const { clock } = problem;
  const name = problem.baths[bath]!;
  if ('day' in span) {
    const from = span.day * 1440;
    return sum(
      `Bags of ${name} hung on day ${span.day + 1}`,
      'bags',
      `bags hung from ${whenText(clock, from)}, 24 h, over all patients`,
      bagsBetween(known, bath, from, from + 1440),
    );
  }
  const { at, from, to, index } = problem.rounds[span.round]!;
  const round = roundText(clock, { round: index, at });
  return sum(
    `Bags of ${name} in ${round}`,
    'bags',
    `bags hung from ${whenText(clock, from)} to before ${whenText(clock, to)}, over all patients`,
    bagsBetween(known, bath, from, to),
  );
}

/** Bags of all baths hung in from..to-1, bath by bath. */
export function traceHung(known: Known, from: number, to: number): Trace {
  const { clock, baths } = known.problem;
  const span = `hung from ${whenText(clock, from)} to before ${whenText(clock, to)}`;
  const parts = baths.map((name, bath) =>
    sum(`Bags of ${name}`, 'bags', `bags ${span}, over all patients`, bagsBetween(known, bath, from, to)),
  );
  return sum(`All bags ${span}`, 'bags', 'bags of each bath', parts);
}

/** Bags of all baths in a round. */
export function traceRoundBags(known: Known, round: number): Trace {
  const { clock, rounds, baths } = known.problem;
  const parts = baths.map((_, bath) => traceBags(known, bath, { round }));
  return sum(
    `All bags in ${roundText(clock, { round, at: rounds[round]!.at })}`,
    'bags',
    'bags of each bath',
    parts,
  );
}

/** Litres of a bath in a round. */
export function traceLitres(known: Known, bath: number, round: number): Trace {
  const bags = traceBags(known, bath, { round });
  const { fillLitres } = known.problem.rules;
  const litres = (bags.value * known.problem.bagParts) / known.problem.partsPerLitre;
  return computed(
    bags.label.replace('Bags', 'Litres'),
    litres,
    'L',
    'bags x liters per bag',
    `${countText(bags.value, 'bag')} x ${numberText(fillLitres, 3)} L = ${amount(litres, 'L')}`,
    () => [bags, ruleCell(known, 'fillLitres', 'Minimum fill volume', fillLitres, 'L')],
  );
}
