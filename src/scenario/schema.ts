import { z } from 'zod';

// Without this zod compiles validators at run time, which the app's content security policy forbids.
z.config({ jitless: true });

/**
 * The scenario file: shapes only. Ranges, references and times are judged in `faults/`, defaults are applied in
 * `problem/`. Objects are loose: a field that this version does not know is kept and written back.
 */
const time = z.string();
const number = z.number();
const optional = <T extends z.ZodType>(type: T) => type.nullish();

const bathSchema = z.looseObject({
  id: z.string().min(1),
  /** mmol/L, all ions and glucose; calcium and magnesium in mEq/L (M1). */
  potassium: optional(number),
  sodium: optional(number),
  calcium: optional(number),
  magnesium: optional(number),
  chloride: optional(number),
  bicarbonate: optional(number),
  acetate: optional(number),
  glucose: optional(number),
  /** The site's colour for this bath on pictures, #rrggbb. */
  tint: optional(z.string()),
});

const changeSchema = z.looseObject({
  at: time,
  bath: optional(z.string()),
  dose: optional(number),
  weight: optional(number),
  fluidRemoval: optional(number),
  replacement: optional(number),
  hoursPerDay: optional(number),
  /** none, heparin, citrate */
  anticoagulation: optional(z.string()),
  citrateFlow: optional(number),
  /** Always an error: a change cannot change a session. */
  session: optional(z.unknown()),
});

const patientSchema = z.looseObject({
  id: z.string().min(1),
  /** kg */
  weight: number,
  /** prescribed effluent, mL/kg/h */
  dose: number,
  /** mL/h */
  fluidRemoval: optional(number),
  /** mL/h */
  replacement: optional(number),
  /** therapy hours per 24 h */
  hoursPerDay: optional(number),
  /** none, heparin, citrate: checked against the bath's calcium, and never decided here */
  anticoagulation: optional(z.string()),
  /** citrate solution, mL/h, where it counts into the effluent; read only while anticoagulation is citrate */
  citrateFlow: optional(number),
  bath: z.string(),
  from: optional(time),
  until: optional(time),
  changes: optional(z.array(changeSchema)),
  /** A label for pick lists; the plan does not look at it. */
  ward: optional(z.string()),
  /** A class of the site's own scheme, read where too few bags are shared out by class; the plan does not look at it. */
  priority: optional(z.string()),
  /** The bag that hangs at the start: since when, and how much is left in it, L. */
  hanging: optional(z.looseObject({ hungAt: time, litres: number })),
  /** Therapy runs only so many hours from a time of day on, each date. */
  session: optional(z.looseObject({ start: z.string(), hours: number })),
});

const windowSchema = z.looseObject({ from: time, to: time });

const machineSchema = z.looseObject({
  id: z.string().min(1),
  /** dialysate flow, mL/min */
  flow: number,
  positions: z.int(),
  baths: optional(z.array(z.string())),
  water: z.string(),
  available: optional(z.array(windowSchema)),
  loaded: optional(z.looseObject({ bath: z.string(), circuitSince: time })),
  /** share of the flow by which it may be off either way */
  flowTolerance: optional(number),
});

const capacityChangeSchema = z.looseObject({ at: time, capacity: number });

const waterSchema = z.looseObject({
  id: z.string().min(1),
  /** mL/min */
  capacity: number,
  /** min */
  testEvery: z.int(),
  /** min */
  testMinutes: z.int(),
  lastTest: optional(time),
  /** What it gives from a time on, mL/min. */
  capacityChanges: optional(z.array(capacityChangeSchema)),
});

/** A bath that a prescriber has approved in place of another, between dates, but not for every bed. */
const substituteSchema = z.looseObject({
  bath: z.string(),
  /** The bath given instead. */
  by: z.string(),
  from: optional(time),
  until: optional(time),
  /** Beds excluded. */
  except: optional(z.array(z.string())),
  /** Who approved it: initials or a staff code. */
  approvedBy: optional(z.string()),
});

/** Work that recurs at times of day: disinfection, sampling, calibration, breaks. */
const dutySchema = z.looseObject({
  id: z.string().min(1),
  /** A machine or a water source; absent: a break, or work elsewhere. */
  place: optional(z.string()),
  times: z.array(z.string()),
  dates: optional(z.array(z.string())),
  /** min */
  minutes: z.int(),
  /** How much later than its time it may begin, min. */
  slackMinutes: optional(z.int()),
  technicians: optional(z.int()),
  /** mL/min drawn from the source */
  flow: optional(number),
  endsCircuit: optional(z.boolean()),
  voidsTests: optional(z.boolean()),
});

const shiftSchema = z.looseObject({
  id: z.string().min(1),
  from: z.string(),
  to: z.string(),
  technicians: z.int(),
  dates: optional(z.array(z.string())),
});

const lotSchema = z.looseObject({
  lot: z.string().min(1),
  bath: z.string(),
  bags: z.int(),
  /** litres a bag */
  litres: number,
  ready: optional(time),
  expires: optional(time),
});

const deliverySchema = z.looseObject({ at: time, quantity: number });

const supplySchema = z.looseObject({
  item: z.string().min(1),
  onHand: number,
  perCircuit: optional(number),
  perFill: optional(number),
  /** of dialysate run, L */
  perLitre: optional(number),
  bath: optional(z.string()),
  deliveries: optional(z.array(deliverySchema)),
});

/** Something that the site could get: what the order list may buy. */
const offerSchema = z.looseObject({
  id: z.string().min(1),
  /** machine, water, technicians, supply, bags */
  kind: z.string(),
  /** The machine it is like, the water source, shift, supply or bath. */
  of: z.string(),
  /** Smallest amount that can be had: machines, mL/min, technicians, the item's unit, bags. */
  pack: optional(number),
  /** Of one pack, in the site's money or weight. */
  price: optional(number),
  /** Days from the start until it is there. */
  leadDays: optional(number),
  /** Packs at most. */
  most: optional(z.int()),
  /** Machines and technicians: only on these days of the week, Mon to Sun. */
  weekdays: optional(z.array(z.string())),
  /** Bags: L a bag, and h from when they are there until they expire. */
  litres: optional(number),
  keepsHours: optional(number),
});

const rulesSchema = z.looseObject({
  fillLitres: optional(number),
  maxLitres: optional(number),
  circuitHours: optional(number),
  shelfHours: optional(number),
  stabiliseMinutes: optional(z.int()),
  sampleMinutes: optional(z.int()),
  swapMinutes: optional(z.int()),
  circuitMinutes: optional(z.int()),
  releaseMinutes: optional(z.int()),
  rounds: optional(z.array(z.string())),
  leadMinutes: optional(z.int()),
  maxHangHours: optional(number),
  reserve: optional(z.record(z.string(), number)),
  walkMinutes: optional(z.int()),
  fillStartMinutes: optional(z.int()),
  /** Technicians that each kind of work takes. */
  hands: optional(z.record(z.string(), optional(z.int()))),
  /** Bags of each fill that go to tests. */
  sampleBags: optional(z.int()),
  releaseAfterTest: optional(z.boolean()),
  /** Bags wanted in stock after every bag round, by bath. */
  minStock: optional(z.record(z.string(), number)),
  /** time, entry: whether bags leave after a time, or after somebody has noted their release */
  releaseBy: optional(z.string()),
  /** effluent, dialysate: what a dose of mL/kg/h means at this site */
  doseMeans: optional(z.string()),
  /** min */
  steadyMinutes: optional(z.int()),
  /** mg/L of total chlorine that a passed test may show */
  chlorineLimit: optional(number),
  /** share of the expected conductivity by which a measured one may be off either way */
  conductivityTolerance: optional(number),
  pHMin: optional(number),
  pHMax: optional(number),
});

const lawSchema = z.looseObject({
  law: z.enum(['lognormal', 'gamma', 'weibull', 'exponential', 'fixed', 'sample', 'normal']),
  mean: optional(number),
  sd: optional(number),
  value: optional(number),
  values: optional(z.array(number)),
  min: optional(number),
  max: optional(number),
});

export const forecastSchema = z.looseObject({
  days: optional(z.int()),
  draws: optional(z.int()),
  seed: optional(z.int()),
  confidence: optional(number),
  startsPerDay: optional(
    z.union([
      number,
      z.array(number),
      z.looseObject({
        first: optional(number),
        doublingDays: optional(number),
        peakDay: optional(number),
        halvingDays: optional(number),
      }),
    ]),
  ),
  stayDays: optional(lawSchema),
  weight: optional(lawSchema),
  dose: optional(lawSchema),
  hoursPerDay: optional(lawSchema),
  fluidRemoval: optional(lawSchema),
  replacement: optional(lawSchema),
  /** mL/kg/h and h a day that no drawn patient exceeds; optional */
  doseCap: optional(number),
  hoursCap: optional(number),
  bathByDay: optional(z.array(z.looseObject({ fromDay: number, share: z.record(z.string(), number) }))),
  listed: optional(z.enum(['as listed', 'by stay'])),
  breakdowns: optional(z.looseObject({ daysBetween: number, hoursToRepair: number })),
  absence: optional(number),
});

const owned = { owner: z.string().min(1) };
/** Rows by the sheet they were typed on, before anyone said, or rightly said, whose they are. Nothing is planned with them. */
const unassignedSchema = z.looseObject({
  changes: optional(z.array(changeSchema.extend(owned))),
  hours: optional(z.array(windowSchema.extend(owned))),
  capacityChanges: optional(z.array(capacityChangeSchema.extend(owned))),
  supplyDeliveries: optional(z.array(deliverySchema.extend(owned))),
});

export const scenarioSchema = z.looseObject({
  format: z.literal('bathtide-scenario'),
  version: z.literal(1),
  title: z.string(),
  timeZone: z.string(),
  start: time,
  days: z.int(),
  baths: z.array(bathSchema),
  patients: z.array(patientSchema),
  machines: z.array(machineSchema),
  water: z.array(waterSchema),
  shifts: z.array(shiftSchema),
  stock: optional(z.array(lotSchema)),
  deliveries: optional(z.array(lotSchema)),
  supplies: optional(z.array(supplySchema)),
  duties: optional(z.array(dutySchema)),
  substitutes: optional(z.array(substituteSchema)),
  offers: optional(z.array(offerSchema)),
  rules: optional(rulesSchema),
  /** What a plan is made with beyond the rules, so that work may be late. It is judged by the rules alone. */
  slack: optional(
    z.looseObject({
      roundMinutes: optional(z.int()),
      swapMinutes: optional(z.int()),
      testMinutes: optional(z.int()),
      circuitMinutes: optional(z.int()),
      restMinutes: optional(z.int()),
      bags: optional(z.int()),
    }),
  ),
  forecast: optional(forecastSchema),
  /** The plan that people work by and until when it is done (see `inUse.ts`). The command line plans without it. */
  inUse: optional(z.looseObject({ start: time, now: time, activities: z.array(z.looseObject({})) })),
  /** What was begun and does not count, by the minute of its begin: a fill whose bags are lost, water's test that failed. */
  lost: optional(
    z.array(z.looseObject({ machine: optional(z.string()), water: optional(z.string()), at: time })),
  ),
  unassigned: optional(unassignedSchema),
  /** Scenarios kept beside this one for comparing; nothing is planned with them until one is taken. */
  variants: optional(
    z.array(
      z.looseObject({
        name: z.string(),
        title: optional(z.string()),
        note: optional(z.string()),
        scenario: z.record(z.string(), z.unknown()),
      }),
    ),
  ),
  /** Suggestions that the site does not want to see again; see `suggestions.ts`. */
  declined: optional(z.array(z.string())),
  /** The site's own columns: arithmetic over a row's fields, shown beside them, never planned with. */
  columns: optional(
    z.array(
      z.looseObject({
        sheet: z.string(),
        name: z.string(),
        expression: z.string(),
        unit: optional(z.string()),
      }),
    ),
  ),
});

/** A scenario as its file says it: local times, optional fields absent. The one truth; all else is computed from it. */
export type Scenario = z.infer<typeof scenarioSchema>;
export type Bath = z.infer<typeof bathSchema>;
export type Patient = z.infer<typeof patientSchema>;
export type PrescriptionChange = z.infer<typeof changeSchema>;
export type MachineRow = z.infer<typeof machineSchema>;
export type WaterRow = z.infer<typeof waterSchema>;
export type ShiftRow = z.infer<typeof shiftSchema>;
export type LotRow = z.infer<typeof lotSchema>;
export type LostRow = NonNullable<Scenario['lost']>[number];
export type DutyRow = z.infer<typeof dutySchema>;
export type SubstituteRow = z.infer<typeof substituteSchema>;
export type OfferRow = z.infer<typeof offerSchema>;
export type RulesRow = z.infer<typeof rulesSchema>;
export type Forecast = z.infer<typeof forecastSchema>;
export type Law = z.infer<typeof lawSchema>;
