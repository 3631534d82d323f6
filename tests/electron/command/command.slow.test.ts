import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import { wardSite } from '../../capacity/worlds.ts';

const launcher = fileURLToPath(new URL('../../../electron/command.mjs', import.meta.url));
const folder = mkdtempSync(path.join(tmpdir(), 'bathtide-capacity-'));
afterAll(() => rmSync(folder, { recursive: true }));

function write(name: string, value: unknown): string {
  const file = path.join(folder, name);
  writeFileSync(file, typeof value === 'string' ? value : JSON.stringify(value));
  return file;
}

async function command(...args: string[]): Promise<{ status: number | null; out: string; err: string }> {
  const child = spawn(process.execPath, [launcher, ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
  let [out, err] = ['', ''];
  child.stdout.on('data', (part) => {
    out += part;
  });
  child.stderr.on('data', (part) => {
    err += part;
  });
  const status = await new Promise<number | null>((resolve) => child.once('close', resolve));
  return { status, out, err };
}

const ward = write('ward.json', wardSite());
/** The one thing unusual in it, as standard error tells it. */
const SHELF_LIFE = expect.stringMatching(/^warning: [^\n]*ward\.json: rules\.shelfHours: [^\n]*\n$/);
const BAND = ['mean', 'p25', 'p5', 'p50', 'p75', 'p95'];

describe('npm run capacity', () => {
  test('--json prints the one object of the planning rules, the same on any number of threads', async () => {
    const args = ['capacity', ward, '--json', '--draws', '120', '--seed', '4', '--compare', '1'];
    const [two, one] = await Promise.all([
      command(...args, '--threads', '2'),
      command(...args, '--threads', '1'),
    ]);
    expect(two).toMatchObject({ status: 0, err: SHELF_LIFE });
    const { seconds, ...made } = JSON.parse(two.out);
    const { seconds: _, ...again } = JSON.parse(one.out);
    expect(again).toEqual(made);
    expect(seconds).toBeGreaterThan(0);
    expect(Object.keys(made)).toEqual([
      'format',
      'version',
      'scenario',
      'timeZone',
      'start',
      'answer',
      'draws',
      'seed',
      'confidence',
      'machinesListed',
      'days',
      'copied',
      'machines',
      'smallestMachines',
      'unlimitedSupplies',
      'firstShort',
      'firstShortText',
      'lacksFirst',
      'supplies',
      'limits',
      'pricing',
      'orders',
      'agreement',
      'agreementRows',
      'certainty',
      'certaintyText',
      'remarks',
      'caution',
    ]);
    expect(made).toMatchObject({ format: 'bathtide-capacity', version: 1, draws: 120, seed: 4 });
    expect(made.days).toHaveLength(14);
    const day = made.days[3];
    expect(Object.keys(day)).toEqual(['day', 'date', 'census', 'bags', 'litres']);
    expect(day.day).toBe(3);
    expect(Object.keys(day.census).sort()).toEqual(BAND);
    expect(Object.keys(day.bags)).toEqual(['2K', '3K', '4K']);
    expect(Object.keys(day.bags['2K']).sort()).toEqual(BAND);
    expect(day.litres['4K'].mean).toBeCloseTo(day.bags['4K'].mean * 6.5, 9);
    expect(made.machines[0]).toMatchObject({ machines: 1, shortageChance: 1 });
    expect(Object.keys(made.machines[0])).toEqual([
      'machines',
      'shortageChance',
      'error',
      'bagsShort',
      'p95BagsShort',
      'lacksFirst',
    ]);
    const enough = made.machines.find((row: { machines: number }) => row.machines === made.smallestMachines);
    expect(enough.shortageChance).toBeLessThanOrEqual(0.05);
    expect(Object.keys(made.agreement)).toEqual(['draws', 'agree', 'meanBagsDifference']);
    expect(made.agreement.draws).toBe(1);
  });

  test('a person reads tables and a picture', async () => {
    const { status, out, err } = await command('capacity', ward, '--draws', '60', '--compare', '0');
    expect(status).toBe(0);
    // Who waits sees how far it is, also where standard error is no terminal.
    expect(err).toContain('Simulated runs: 100 %');
    for (const text of [
      'machine',
      'Patients at the end of each day',
      '60 simulated runs of 14 days',
      'Bottlenecks',
      '=',
    ])
      expect(out).toContain(text);
  });

  test('faults: a line each with file, field, what is wrong and what would be right; status 2, nothing printed', async () => {
    const site = wardSite();
    site.forecast = { ...site.forecast, confidence: 3, stayDays: { law: 'gamma', mean: 9 } };
    const { status, out, err } = await command('capacity', write('bad.json', site), '--json');
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toMatch(/bad\.json: forecast\.confidence.*Expected: /m);
    expect(err).toMatch(/bad\.json: forecast\.stayDays\.sd.*Expected: /m);
    expect((await command('capacity', ward, '--draws', 'many')).status).toBe(2);
  });
});

test('npm run sweep: sites x variants in one table', async () => {
  const { status, out, err } = await command(
    'sweep',
    ward,
    '--variants',
    'none,dose-20',
    '--draws',
    '40',
    '--json',
  );
  expect({ status, err }).toEqual({ status: 0, err: SHELF_LIFE });
  const { results } = JSON.parse(out);
  expect(results.map(({ file, variant }: { file: string; variant: string }) => [file, variant])).toEqual([
    ['ward.json', 'none'],
    ['ward.json', 'dose-20'],
  ]);
  const wrong = await command('sweep', ward, '--variants', 'magic');
  expect(wrong.status).toBe(2);
  expect(wrong.err).toMatch(/the change "magic" is not known\. Expected: none, /);
});
