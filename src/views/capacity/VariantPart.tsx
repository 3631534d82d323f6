import type { VariantAnswer } from '../../capacity/answers/variants.ts';
import { pricingText, withError } from '../../reports/capacityWords.ts';
import { inputDifferences } from '../../reports/compare.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { countText, numberText } from '../../words/numbers.ts';

export interface NamedScenario {
  readonly name: string;
  readonly title?: string | undefined;
  readonly scenario: Scenario;
}

interface VariantPartProps {
  readonly variants: readonly NamedScenario[];
  readonly scenario: Scenario;
  readonly answers: readonly VariantAnswer[] | null;
  readonly busy: boolean;
  readonly compare: (variants: readonly NamedScenario[]) => void;
}

/** Kept variants beside the scenario on screen: machines needed, runs short, and the settings that differ. */
export function VariantPart({ variants, scenario, answers, busy, compare }: VariantPartProps) {
  if (variants.length === 0) return null;
  const all = [{ name: 'On screen', scenario }, ...variants];
  return (
    <section className="capacity-part">
      <h3>Variants</h3>
      <p className="capacity-actions">
        <button type="button" disabled={busy} onClick={() => compare(all)}>
          Compare {countText(variants.length, 'variant')} on bags, machines, chance and cost
        </button>
      </p>
      {answers && (
        <table className="plain">
          <caption>{pricingText(scenario)}</caption>
          <thead>
            <tr>
              <th scope="col">Variant</th>
              <th scope="col" className="number">
                Machines needed
              </th>
              <th scope="col" className="number">
                Runs short with those listed (± error)
              </th>
              <th scope="col" className="number">
                Hung per day, bags
              </th>
              <th scope="col" className="number">
                Cost to reach the service level
              </th>
              <th scope="col">Settings that differ</th>
            </tr>
          </thead>
          <tbody>
            {answers.map(({ name, own, row, smallest, bagsPerDay, cost }) => {
              const mine = all.find((one) => one.name === name);
              const differ = mine ? inputDifferences([scenario, mine.scenario]) : [];
              return (
                <tr key={name}>
                  <th scope="row">
                    {mine && 'title' in mine && mine.title ? `${name}: ${mine.title}` : name}
                  </th>
                  <td className="number">{smallest ?? 'no number is enough'}</td>
                  <td className="number">
                    {row ? `${withError(row.shortageChance, row.chanceError)} (${own} listed)` : '-'}
                  </td>
                  <td className="number">{numberText(bagsPerDay)}</td>
                  <td className="number">{cost === null ? 'no purchase reaches it' : numberText(cost)}</td>
                  <td>
                    {differ.length === 0
                      ? 'none'
                      : differ.map(({ label, values }) => `${label}: ${values[1] ?? 'not set'}`).join('; ')}
                  </td>
                </tr>
              );
            })}
          </tbody>
        </table>
      )}
    </section>
  );
}
