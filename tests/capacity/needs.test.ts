import { expect, test } from 'vitest';
import { runDraws } from '../../src/capacity/answers/job.ts';
import { withItems } from '../../src/capacity/answers/offers.ts';
import { needKey } from '../../src/capacity/draws/draw.ts';
import type { Scenario } from '../../src/scenario/schema.ts';
import { wardSite } from './worlds.ts';

const chunk = (scenario: Scenario, seed = 1) =>
  runDraws({
    scenario,
    seed,
    first: 3,
    count: 12,
    least: scenario.machines.length,
    most: scenario.machines.length,
  });

test('runs whose patients were drawn for another list of machines, hands or goods are the same as drawn anew', () => {
  const site = wardSite({ supplies: [{ item: 'bag set', onHand: 300, perFill: 1 }] });
  const { start } = site;
  const richer = withItems(site, [
    { kind: 'machine', like: 'M1', count: 2, by: start, weekdays: ['Mon'] },
    { kind: 'technicians', shift: 'day', more: 1, by: start },
    { kind: 'supply', item: 'bag set', quantity: 50, by: start },
    { kind: 'bags', bath: '3K', quantity: 20, litres: 6.5, by: start },
    { kind: 'water', id: 'RO', more: 400, by: start },
  ]);
  expect(needKey(richer)).toBe(needKey(site));
  const before = chunk(site);
  const shared = chunk(richer);
  // Another seed, another dose: nothing is shared with these.
  const other = chunk(site, 2);
  const fewer = chunk({ ...site, patients: site.patients.slice(1) });
  expect(other.bags).not.toEqual(before.bags);
  expect(fewer.bags).not.toEqual(before.bags);
  expect(chunk(richer)).toEqual(shared);
  expect(chunk(site)).toEqual(before);
});
