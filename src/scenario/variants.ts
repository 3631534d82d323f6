import { readScenario } from './read.ts';
import type { Scenario } from './schema.ts';

/** A scenario kept beside the one that is worked on, as the file holds it. */
interface KeptVariant {
  /** 'A', 'B', 'C' */
  readonly name: string;
  readonly title?: string;
  readonly note?: string;
  readonly scenario: Scenario;
  /** This version cannot read it: it is kept as it is and written back, and nothing is done with it. */
  readonly broken?: true;
}

const text = (value: string | null | undefined, key: 'title' | 'note') => (value ? { [key]: value } : {});

/** The variants that a scenario's file keeps. */
export const variantsOf = ({ variants }: Pick<Scenario, 'variants'>): KeptVariant[] =>
  (variants ?? []).map(({ name, title, note, scenario }) => {
    const read = readScenario(JSON.stringify(scenario));
    const said = { name, ...text(title, 'title'), ...text(note, 'note') };
    return read.ok
      ? { ...said, scenario: read.scenario }
      : { ...said, scenario: scenario as unknown as Scenario, broken: true };
  });

/** The scenario with these variants in its file, or with none; a variant keeps no variants of its own. */
export function withVariants(scenario: Scenario, variants: readonly KeptVariant[]): Scenario {
  const { variants: _, ...rest } = scenario;
  if (variants.length === 0) return rest;
  const kept = variants.map(({ name, title, note, scenario: inner }) => ({
    name,
    ...text(title, 'title'),
    ...text(note, 'note'),
    scenario: { ...inner, variants: undefined, inUse: undefined } as Record<string, unknown>,
  }));
  return { ...rest, variants: kept };
}
