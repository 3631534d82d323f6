import type { Law, Scenario } from '../../scenario/schema.ts';
import {
  boughtBags,
  doseCap,
  hoursCap,
  type Lever,
  type LeverSaving,
  longerShift,
  moreMachines,
  moreTechnicians,
  moreWater,
  oneBath,
} from './levers.ts';
import { kindsListed } from './offers.ts';

/** A change whose number a person types. */
export interface LeverForm {
  /** Name of its levers up to their number: 'dose', 'technicians-night'. */
  readonly id: string;
  /** What the number is of, e.g. 'Dose at most'. */
  readonly label: string;
  readonly unit: string;
  readonly min: number;
  readonly max: number;
  readonly step: number;
  /** Asked about when nobody types another. */
  readonly usual: number;
  readonly make: (value: number) => Lever;
}

const middle = (law: Law | null | undefined): number | null =>
  law?.law === 'fixed' ? (law.value ?? null) : (law?.mean ?? null);

function prescriptionForms({ patients, forecast }: Scenario): LeverForm[] {
  const doses = [...patients.map((row) => row.dose), middle(forecast?.dose) ?? 25];
  const hours = [...patients.map((row) => row.hoursPerDay ?? 24), middle(forecast?.hoursPerDay) ?? 22];
  return [
    {
      id: 'dose',
      label: 'Dose at most',
      unit: 'mL/kg/h',
      min: 5,
      max: 60,
      step: 0.5,
      usual: Math.min(20, Math.max(...doses)),
      make: doseCap,
    },
    {
      id: 'hours',
      label: 'Therapy at most',
      unit: 'h per day',
      min: 1,
      max: 24,
      step: 0.5,
      usual: Math.min(18, Math.max(...hours)),
      make: hoursCap,
    },
  ];
}

/** One form for each shift, machine kind, water source in use and bath: what is changed is said by its name. */
function resourceForms(scenario: Scenario): LeverForm[] {
  const { machines, water, baths } = scenario;
  const shifts = [...new Set(scenario.shifts.map(({ id }) => id))];
  const counted = { min: 1, step: 1 };
  return [
    ...shifts.flatMap((id): LeverForm[] => [
      {
        ...counted,
        id: `longer-${id}`,
        label: `Shift ${id} longer by`,
        unit: 'h',
        max: 12,
        usual: 2,
        make: (value) => longerShift(id, value),
      },
      {
        ...counted,
        id: `technicians-${id}`,
        label: `More in shift ${id}`,
        unit: 'technicians',
        max: 50,
        usual: 1,
        make: (value) => moreTechnicians(id, value),
      },
    ]),
    ...kindsListed(scenario).map(
      ({ id }): LeverForm => ({
        ...counted,
        id: `machines-${id}`,
        label: `More like ${id}`,
        unit: 'machines',
        max: 50,
        usual: 1,
        make: (value) => moreMachines(id, value),
      }),
    ),
    ...water
      .filter(({ id }) => machines.some((machine) => machine.water === id))
      .map(
        ({ id, capacity }): LeverForm => ({
          id: `water-${id}`,
          label: `More water at ${id}`,
          unit: 'mL/min',
          min: 1,
          max: 1_000_000,
          step: 100,
          usual: Math.max(100, Math.round(capacity / 200) * 100),
          make: (value) => moreWater(id, value),
        }),
      ),
    ...baths.map(
      ({ id }): LeverForm => ({
        ...counted,
        id: `bought-${id}`,
        label: `Bought at the start, ${id}`,
        unit: 'bags',
        max: 100_000,
        usual: 100,
        make: (value) => boughtBags(id, value),
      }),
    ),
  ];
}

/** What somebody could change in a scenario, each with its number. */
export const leverForms = (scenario: Scenario): LeverForm[] => [
  ...prescriptionForms(scenario),
  ...resourceForms(scenario),
];

/** Changes without a number: everybody on one bath, where there are several. */
const baths = ({ baths }: Scenario): Lever[] => (baths.length > 1 ? baths.map(({ id }) => oneBath(id)) : []);

/** The changes asked about first: every form with its usual number, and all on the bath that most patients have. */
export function leversOf(scenario: Scenario): Lever[] {
  const count = (bath: string) => scenario.patients.filter((row) => row.bath === bath).length;
  const main = [...scenario.baths].sort((a, b) => count(b.id) - count(a.id))[0];
  return [
    ...leverForms(scenario).map(({ make, usual }) => make(usual)),
    ...(main && scenario.baths.length > 1 ? [oneBath(main.id)] : []),
  ];
}

/** Most numbers in one range. */
const MOST = 50;

/**
 * The changes that a typed number or range makes: '20', '19 to 25', '19-25', '19..25'. Whole ends go in whole steps.
 * @returns null: no number of this form
 */
export function leversTyped({ min, max, step, make }: LeverForm, text: string): Lever[] | null {
  const number = String.raw`(\d+(?:[.,]\d+)?)`;
  const [, low, high] =
    new RegExp(`^\\s*${number}(?:\\s*(?:to|-|–|\\.\\.)\\s*${number})?\\s*$`).exec(text) ?? [];
  if (low === undefined) return null;
  const [from, to] = [low, high ?? low].map((part) => Number(part.replace(',', '.'))) as [number, number];
  if (!(from >= min && to <= max && to >= from)) return null;
  const stride = from % 1 === 0 && to % 1 === 0 ? Math.max(1, step) : step;
  const steps = Math.floor((to - from) / stride + 1e-9) + 1;
  return steps > MOST ? null : Array.from({ length: steps }, (_, n) => make(from + n * stride));
}

/** The form that a change is of: its name up to the number. */
const formOf = (id: string): string => id.replace(/-[\d.]+$/, '');

/**
 * The changes that save most, one of a kind, the most telling first: where a person typed numbers of a kind, these and
 * not the usual one.
 */
export function bestSavings(
  scenario: Scenario,
  savings: readonly LeverSaving[],
  count: number,
): LeverSaving[] {
  const usual = new Set(leversOf(scenario).map(({ id }) => id));
  const typed = new Set(savings.filter(({ id }) => !usual.has(id)).map(({ id }) => formOf(id)));
  const kinds = new Set<string>();
  return savings
    .filter(({ id, bagsShort }) => bagsShort > 0.05 && (!usual.has(id) || !typed.has(formOf(id))))
    .sort((a, b) => b.bagsShort - a.bagsShort || b.bagsPerDay - a.bagsPerDay)
    .filter(({ id }) => {
      const isNew = !kinds.has(formOf(id));
      kinds.add(formOf(id));
      return isNew;
    })
    .slice(0, count);
}

/**
 * Changes by name: 'dose-20', 'bath-2K', or a range of them, 'machines-M1-1..4'.
 * @returns null: the scenario has no such change
 */
export function leversNamed(scenario: Scenario, name: string): Lever[] | null {
  const fixed = baths(scenario).find(({ id }) => id === name);
  if (fixed) return [fixed];
  const [, id, low, high] = /^(.*)-([\d.]+?)(?:\.\.([\d.]+))?$/.exec(name) ?? [];
  const form = leverForms(scenario).find((one) => one.id === id);
  if (!form) return null;
  const [from, to] = [Number(low), Number(high ?? low)];
  if (!(from >= form.min && to <= form.max && to >= from)) return null;
  const steps = Math.floor((to - from) / form.step + 1e-9) + 1;
  return steps > MOST ? null : Array.from({ length: steps }, (_, n) => form.make(from + n * form.step));
}
