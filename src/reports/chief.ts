import { demandOf } from '../demand/demand.ts';
import { cover, lotsOfFills } from '../plan/cover.ts';
import { DEFAULT_RULES } from '../scenario/problem/rules.ts';
import { countText, hoursText, missingText, numberText } from '../words/numbers.ts';
import { roundText, whenText } from '../words/times.ts';
import { compareVariants, unranked, type Variant } from './compare.ts';
import { firstShort, roundNeeds } from './coverage.ts';
import { supplySeries } from './supplySeries.ts';

/** One line of the page: what is asked, of whom, variant by variant. */
interface ChiefRow {
  readonly head: string;
  readonly cells: readonly string[];
}
/** One page for who decides: variants side by side, nothing chosen. */
export interface ChiefPage {
  /** Name and title of each. */
  readonly names: readonly string[];
  readonly rows: readonly ChiefRow[];
  /** Why none is marked best, or what best would mean. */
  readonly ranking: string;
  readonly sources: readonly string[];
}

/** How much of a variant's prescriptions is not as in the first one. */
function asked(first: Variant, { scenario }: Variant): string {
  const before = new Map(first.scenario.patients.map((row) => [row.id, JSON.stringify(row)]));
  const changed = scenario.patients.filter((row) => before.get(row.id) !== JSON.stringify(row)).length;
  const gone = first.scenario.patients.filter(
    ({ id }) => !scenario.patients.some((row) => row.id === id),
  ).length;
  const parts = [
    ...(changed > 0 ? [`${countText(changed, 'prescription')} new or changed`] : []),
    ...(gone > 0 ? [`${countText(gone, 'bed')} taken out`] : []),
  ];
  return parts.length > 0 ? parts.join(', ') : 'nothing';
}

/** What stays unmet and when, in words. */
function unmetOf({ problem, plan }: Variant): string {
  const demand = demandOf(problem);
  const covered = cover(problem, demand, lotsOfFills(problem, plan.activities));
  const needs = roundNeeds({ problem, demand, covered });
  const first = firstShort(needs, 0);
  if (!first) return 'nothing';
  const rounds = needs.filter(({ unmetLitres }) => unmetLitres > 1e-9).length;
  const { index, at } = first.round;
  return `${numberText(plan.score.unmetLitres)} L in ${countText(rounds, 'bag round')}, first ${roundText(problem.clock, { round: index, at })}`;
}

function suppliesOf({ problem, plan }: Variant): string {
  const series = supplySeries(problem, plan.activities);
  const out = series.filter(({ runsOut }) => runsOut !== null);
  if (series.length === 0) return 'none listed';
  return out.length === 0
    ? 'all last'
    : out.map(({ item, runsOut }) => `${item} runs out ${whenText(problem.clock, runsOut!)}`).join('; ');
}

/**
 * The page of the variants.
 * @param alike their plans were searched with the same effort
 */
export function chiefPage(variants: readonly Variant[], alike: boolean): ChiefPage {
  const first = variants[0]!;
  const row = (head: string, cell: (variant: Variant) => string): ChiefRow => ({
    head,
    cells: variants.map(cell),
  });
  const defaults = (['fillLitres', 'circuitHours', 'shelfHours'] as const).filter(
    (key) => first.scenario.rules?.[key] == null,
  );
  const said = { fillLitres: 'fill volume', circuitHours: 'circuit life', shelfHours: 'shelf life' };
  const why = unranked(compareVariants(variants), alike);
  return {
    names: variants.map(({ name, title, scenario }) => `${name}: ${title ?? scenario.title}`),
    rows: [
      row('Notes', ({ note }) => note ?? ''),
      row(`Asks of the prescriber, against ${first.name}`, (one) => asked(first, one)),
      row(
        'Asks of the technicians',
        ({ plan }) => `${hoursText(plan.score.handsOnMinutes)} of hands-on work`,
      ),
      row('Asks of the machines', ({ problem, plan }) => {
        const of = (kind: string) => plan.activities.filter((one) => one.kind === kind).length;
        return `${countText(problem.machines.length, 'machine')}, ${countText(of('fill'), 'fill')}, ${countText(of('circuit'), 'new circuit')}`;
      }),
      row('Asks of the supplies', suppliesOf),
      row('Unmet', unmetOf),
      row('Short of the reserve', ({ problem, plan }) =>
        missingText(plan.score.reserveShort * problem.rules.fillLitres, problem.rules.fillLitres),
      ),
    ],
    ranking: why ?? 'Same needs, same shortages, same effort: less work is less work.',
    sources: [
      'Beds, doses, baths, machines, shifts and stock: as typed in each variant.',
      defaults.length > 0
        ? `Defaults, not typed: ${defaults.map((key) => `${said[key]} ${DEFAULT_RULES[key]} ${key === 'fillLitres' ? 'L' : 'h'}`).join(', ')}. Check them against your site's procedure.`
        : 'Fill volume, circuit life and shelf life: as typed.',
      'Needs: dose x weight less the other flows, in whole bags. Each plan is searched, not proven best.',
    ],
  };
}
