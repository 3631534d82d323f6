import { limitsOf } from '../fields.ts';
import { NO_SLACK } from '../problem/slack.ts';
import {
  error,
  type Fault,
  type FaultRule,
  type Ground,
  outside,
  placesOf,
  saying,
  warning,
} from './fault.ts';

/** Activities last at least a minute; what follows them may last none. */
function* ruleMinutesOutOfRange({ scenario, rule }: Ground): Iterable<Fault> {
  const given = scenario.rules ?? {};
  const minutes = [
    'swapMinutes',
    'circuitMinutes',
    'stabiliseMinutes',
    'sampleMinutes',
    'releaseMinutes',
    'leadMinutes',
  ];
  for (const field of minutes as (keyof typeof given & string)[])
    yield* outside(['rules', field], given[field] as number | null | undefined, limitsOf(`rules.${field}`));
  if (rule('stabiliseMinutes') + rule('sampleMinutes') === 0)
    yield error(
      ['rules', 'sampleMinutes'],
      'a bath change takes 0 min (Flow after a bath change + Sample)',
      'at least 1 min in all',
    );
}

function* ruleVolumesOutOfRange({ scenario, rule }: Ground): Iterable<Fault> {
  for (const field of ['fillLitres', 'maxLitres'] as const) {
    const value = scenario.rules?.[field];
    yield* outside(['rules', field], value, limitsOf(`rules.${field}`));
    if (value != null && placesOf(value) > 6)
      yield error(
        ['rules', field],
        saying(['rules', field], `${value} L a bag`),
        'at most 6 decimals (a thousandth of a mL)',
      );
  }
  if (rule('maxLitres') < rule('fillLitres'))
    yield error(
      ['rules', 'maxLitres'],
      `Maximum fill volume is ${rule('maxLitres')} L, less than Minimum fill volume (${rule('fillLitres')} L)`,
      'at least Minimum fill volume: what a bag may hold is no less than what it must hold',
    );
}

function* ruleHoursOutOfRange({ scenario }: Ground): Iterable<Fault> {
  const given = scenario.rules ?? {};
  // A bag that hangs for less than some minutes would be hung endlessly often: see the least of `maxHangHours`.
  for (const field of ['circuitHours', 'shelfHours', 'maxHangHours'] as const)
    yield* outside(['rules', field], given[field], limitsOf(`rules.${field}`));
  for (const field of ['circuitHours', 'shelfHours', 'maxHangHours'] as const)
    if (given[field] != null && placesOf(given[field]) > 9)
      yield error(
        ['rules', field],
        saying(['rules', field], `${given[field]} h, with more than 9 decimals`),
        'at most 9 decimals',
      );
}

const TESTS_OF_STORED_FLUID = 'BMC Nephrol 2023;24, DOI 10.1186/s12882-023-03260-9, Table 1';

/** Nobody should work by a shelf life that only this program assumed. */
function* shelfBeyondTests({ scenario, rule }: Ground): Iterable<Fault> {
  const path = ['rules', 'shelfHours'];
  const hours = rule('shelfHours');
  if (scenario.rules?.shelfHours == null)
    yield warning(
      path,
      `shelf life is not set, so bags are planned to keep ${hours} h; published tests of stored fluid end at 48 h`,
      'the hours that tests and procedures of your site allow',
      TESTS_OF_STORED_FLUID,
    );
  else if (hours > 48)
    yield warning(
      path,
      `Shelf life is ${hours} h; published tests of stored fluid end at 48 h`,
      'at most 48 h, or longer as tests and procedures of your site allow',
      TESTS_OF_STORED_FLUID,
    );
}

function* roundsMissing({ scenario, rounds }: Ground): Iterable<Fault> {
  const times = scenario.rules?.rounds;
  if (rounds && rounds.length === 1)
    yield warning(
      ['rules', 'rounds'],
      'no round leaves within the plan: all bags must be there at the start',
      'times of day, e.g. 06:00 and 18:00',
    );
  const seen = new Set<string>();
  for (const [i, time] of (times ?? []).entries()) {
    if (seen.has(time))
      yield warning(['rules', 'rounds', i], `the round ${time} stands twice`, 'each once; it counts once');
    seen.add(time);
  }
}

/** Bags wanted at the end, and after every bag round. */
const wantedOutOfRange = (field: 'reserve' | 'minStock') =>
  function* ({ scenario }: Ground): Iterable<Fault> {
    for (const [bath, bags] of Object.entries(scenario.rules?.[field] ?? {})) {
      yield* outside(['rules', field, bath], bags, limitsOf(`rules.${field}{}`));
      if (placesOf(bags) > 3)
        yield error(['rules', field, bath], saying(['rules', field], `${bags} bags`), 'at most 3 decimals');
    }
  };

/** Taken for "time", a slip here would let bags leave that nobody has released. */
function* releaseByUnknown({ scenario }: Ground): Iterable<Fault> {
  const by = scenario.rules?.releaseBy;
  if (by != null && by !== 'time' && by !== 'entry')
    yield error(['rules', 'releaseBy'], `Bags are released by "${by}"`, 'time or entry, in small letters');
}

/** Taken for "effluent", a slip here would change the liters of every bed. */
function* doseMeansUnknown({ scenario }: Ground): Iterable<Fault> {
  const means = scenario.rules?.doseMeans;
  if (means != null && means !== 'effluent' && means !== 'dialysate')
    yield error(['rules', 'doseMeans'], `A dose means "${means}"`, 'effluent or dialysate, in small letters');
}

function* slackOutOfRange({ scenario }: Ground): Iterable<Fault> {
  for (const field of Object.keys(NO_SLACK) as (keyof typeof NO_SLACK)[])
    yield* outside(['slack', field], scenario.slack?.[field], limitsOf(`slack.${field}`));
}

/** What the record judges measured values by. */
function* siteLimitOutOfRange({ scenario, rule }: Ground): Iterable<Fault> {
  for (const field of ['steadyMinutes', 'chlorineLimit', 'conductivityTolerance', 'pHMin', 'pHMax'] as const)
    yield* outside(['rules', field], scenario.rules?.[field], limitsOf(`rules.${field}`));
  if (rule('pHMin') > rule('pHMax'))
    yield error(
      ['rules', 'pHMax'],
      `Highest pH is ${rule('pHMax')}, less than Lowest pH (${rule('pHMin')})`,
      'at least Lowest pH: else no sample is within the limits',
    );
}

/** So many bags that counting and planning them would take hours, mostly from a mistyped bag size, dose or length. */
function* tooManyBags({ scenario, rule, horizon }: Ground): Iterable<Fault> {
  const most = 500_000;
  const [litres, hang] = [rule('fillLitres'), rule('maxHangHours')];
  if (!(litres > 0) || !(hang > 0) || !(horizon > 0)) return;
  let bags = 0;
  for (const patient of scenario.patients) {
    const rows = [patient, ...(patient.changes ?? [])];
    const top = (field: 'dose' | 'weight') => Math.max(0, ...rows.map((row) => row[field] ?? 0));
    bags += (horizon / 60) * ((top('dose') * top('weight')) / 1000 / litres + 1 / hang) + rows.length;
  }
  if (bags > most)
    yield error(
      ['patients'],
      `the patients may need ${Math.ceil(bags)} bags`,
      `at most ${most} bags; look for a mistyped Minimum fill volume (${litres} L), dose, weight, Maximum hang time or days`,
    );
}

/** Bags and litres are counted in whole parts of a litre; beyond 2^53 parts the count would no longer be exact. */
function* litresTooFine({ scenario, rule }: Ground): Iterable<Fault> {
  const rows = [...(scenario.stock ?? []), ...(scenario.deliveries ?? [])];
  const parts = 10 ** Math.max(placesOf(rule('fillLitres')), ...rows.map((row) => placesOf(row.litres)));
  const stocked = rows.reduce((sum, row) => sum + row.bags * row.litres, 0);
  const lists = [scenario.rules?.reserve, scenario.rules?.minStock];
  const wanted = lists.flatMap((list) => Object.values(list ?? {})).reduce((sum, bags) => sum + bags, 0);
  if ((stocked + (wanted + 500_000) * rule('fillLitres')) * parts > Number.MAX_SAFE_INTEGER)
    yield error(
      ['rules', 'fillLitres'],
      'the litres of stock, deliveries and reserve have too many digits to be counted exactly',
      'fewer decimals in litres, or fewer bags',
    );
}

export const RULES_RULES: Record<string, FaultRule> = {
  ruleMinutesOutOfRange,
  ruleVolumesOutOfRange,
  ruleHoursOutOfRange,
  shelfBeyondTests,
  roundsMissing,
  reserveOutOfRange: wantedOutOfRange('reserve'),
  minStockOutOfRange: wantedOutOfRange('minStock'),
  releaseByUnknown,
  doseMeansUnknown,
  slackOutOfRange,
  siteLimitOutOfRange,
  tooManyBags,
  litresTooFine,
};
