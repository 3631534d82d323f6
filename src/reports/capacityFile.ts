import {
  type Agreement,
  type AgreementRow,
  agreementOf,
  agreementRows,
  type Compared,
} from '../capacity/answers/agreement.ts';
import { lacksFirst, type MachineRow } from '../capacity/answers/answers.ts';
import type { Band } from '../capacity/answers/bands.ts';
import { type Certainty, certaintyOf } from '../capacity/answers/certainty.ts';
import type { Given } from '../capacity/answers/limits.ts';
import type { Order, OrderAnswer } from '../capacity/answers/orders.ts';
import type { Study } from '../capacity/answers/study.ts';
import type { Copied } from '../capacity/draws/copies.ts';
import type { Cause } from '../capacity/model/causes.ts';
import { compile } from '../scenario/problem/compile.ts';
import { bagLitresOf } from '../scenario/problem/rules.ts';
import { CAUTION, FORECAST_CAUTION } from '../words/cautions.ts';
import { answerLines, certaintyLines, exceededText, pricingText } from './capacityWords.ts';

/** What the first missing bag lacks: share of all runs, 0..1. */
interface Lack {
  readonly limit: Cause;
  readonly share: number;
}
export interface MachineLine {
  readonly machines: number;
  /** Share of runs in which a bag is missing, and half of its 95 % interval. */
  readonly shortageChance: number;
  readonly error: number;
  /** bags, over all runs */
  readonly bagsShort: number;
  readonly p95BagsShort: number;
  readonly lacksFirst: readonly Lack[];
}
interface SupplyLine {
  readonly item: string;
  readonly onHand: number;
  /** To be on hand at the start so that it lasts at the service level. */
  readonly needed: number;
  readonly runsOutChance: number;
  readonly error: number;
  /** Local times by which it has run out in 5, 50 and 95 of 100 runs; null: later, or never. */
  readonly p5: string | null;
  readonly p50: string | null;
  readonly p95: string | null;
}
interface LimitLine {
  readonly limit: string;
  /** What the limit alone is enough for; null: without end. */
  readonly patients: number | null;
  readonly bagsPerDay: number;
  /** Share of runs: a supply runs out; all else is what the first missing bag lacks. */
  readonly share: number;
  /** Patients of the forecast that it is held against: a supply against the mean day, all else against the peak. */
  readonly asked: number;
  readonly isTooSmall: boolean;
}
type ByBath = Readonly<Record<string, Band>>;

/** The capacity answer as a file; the tables that a person reads are made from it, so both tell the same. */
export interface CapacityFile {
  readonly format: 'bathtide-capacity';
  readonly version: 1;
  readonly scenario: string;
  /** Of the site: all local times are in this zone. */
  readonly timeZone: string;
  readonly start: string;
  readonly answer: readonly string[];
  readonly draws: number;
  readonly seed: number;
  readonly confidence: number;
  readonly machinesListed: number;
  /** 24 h each from the start; `day` counts from 0, `date` is the local date at its beginning. */
  readonly days: readonly {
    readonly day: number;
    readonly date: string;
    readonly census: Band;
    readonly bags: ByBath;
    readonly litres: ByBath;
  }[];
  /** What a machine beyond those listed is. */
  readonly copied: Copied | null;
  readonly machines: readonly MachineLine[];
  readonly smallestMachines: number | null;
  /** The same were supplies without end; null where they are not what lacks. */
  readonly unlimitedSupplies: {
    readonly draws: number;
    readonly machines: readonly MachineLine[];
    readonly smallestMachines: number | null;
  } | null;
  /** Local time of the first bag round at which too many runs are short with the machines listed. */
  readonly firstShort: string | null;
  /** The same in a sentence; '' where it is null. */
  readonly firstShortText: string;
  readonly lacksFirst: readonly Lack[];
  readonly supplies: readonly SupplyLine[];
  readonly limits: readonly LimitLine[];
  /** Ways to reach the service level; none where no purchase does: the remarks say what still runs short. */
  /** What the costs of the lists are counted in. */
  readonly pricing: string;
  readonly orders: readonly Order[];
  readonly agreement: Agreement;
  /** The same by number of machines. */
  readonly agreementRows: readonly AgreementRow[];
  /** How sure the answer is; null: no machine is listed. And the same in sentences. */
  readonly certainty: Certainty | null;
  readonly certaintyText: readonly string[];
  readonly remarks: readonly string[];
  readonly caution: string;
  readonly seconds: number;
}

const times = ({ mean, p5, p25, p50, p75, p95 }: Band, factor: number): Band => ({
  mean: mean * factor,
  p5: p5 * factor,
  p25: p25 * factor,
  p50: p50 * factor,
  p75: p75 * factor,
  p95: p95 * factor,
});

const machineLine = (row: MachineRow): MachineLine => ({
  machines: row.machines,
  shortageChance: row.shortageChance,
  error: row.chanceError,
  bagsShort: row.bagsShort,
  p95BagsShort: row.p95BagsShort,
  lacksFirst: lacksFirst(row),
});

const limitLine = (limit: Given, { peak, meanCensus }: Study): LimitLine => ({
  limit: limit.what,
  patients: Number.isFinite(limit.census) ? limit.census : null,
  bagsPerDay: limit.bagsPerDay,
  share: limit.share,
  asked: limit.kind === 'supply' ? meanCensus : peak.p95,
  isTooSmall: limit.beyond,
});

interface Found {
  readonly study: Study;
  readonly compared: readonly Compared[];
  /** Null: not asked. */
  readonly ordered: OrderAnswer | null;
  /** How long the runs took. */
  readonly seconds: number;
}

export function capacityFile({ study: made, compared, ordered, seconds }: Found): CapacityFile {
  const { scenario, rows, supplied, own } = made;
  const { clock } = compile(scenario);
  const litres = bagLitresOf(scenario);
  const byBath = (bands: readonly Band[], factor: number) =>
    Object.fromEntries(scenario.baths.map(({ id }, bath) => [id, times(bands[bath]!, factor)]));
  const local = (minute: number | null) => (minute === null ? null : clock.localOf(minute));
  const mine = rows[own - 1];
  const certainty = certaintyOf(made, compared);
  return {
    format: 'bathtide-capacity',
    version: 1,
    scenario: scenario.title,
    timeZone: scenario.timeZone,
    start: scenario.start,
    answer: answerLines(made),
    draws: made.draws,
    seed: made.seed,
    confidence: made.confidence,
    machinesListed: own,
    days: made.days.map(({ day, census, bags }) => ({
      day,
      date: clock.localOf(day * 1440).slice(0, 10),
      census,
      bags: byBath(bags, 1),
      litres: byBath(bags, litres),
    })),
    copied: made.copied,
    machines: rows.map(machineLine),
    smallestMachines: made.smallest,
    unlimitedSupplies: supplied && {
      draws: supplied.draws,
      machines: supplied.rows.map(machineLine),
      smallestMachines: supplied.smallest,
    },
    firstShort: local(made.first.minute),
    firstShortText: exceededText(made, clock),
    lacksFirst: mine ? lacksFirst(mine) : [],
    supplies: made.supplies.map((row) => ({
      item: row.item,
      onHand: row.onHand,
      needed: row.wanted,
      runsOutChance: row.runsOut,
      error: row.runsOutError,
      p5: local(row.p5),
      p50: local(row.p50),
      p95: local(row.p95),
    })),
    limits: made.limits.map((limit) => limitLine(limit, made)),
    pricing: pricingText(scenario),
    orders: ordered?.orders ?? [],
    agreement: agreementOf(compared),
    agreementRows: agreementRows(compared),
    certainty,
    certaintyText: certaintyLines(certainty, made.draws),
    remarks: [...made.remarks, ...(ordered?.remarks ?? [])],
    caution: `${CAUTION.long} ${FORECAST_CAUTION}`,
    seconds,
  };
}
