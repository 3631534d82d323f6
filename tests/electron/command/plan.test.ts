import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import {
  closeSync,
  existsSync,
  ftruncateSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Edit, sound } from '../../scenario/sound.ts';

const ROOT = fileURLToPath(new URL('../../../', import.meta.url));
const FIRST_LOOK = path.join(ROOT, 'scenarios', 'first-look.json');
let folder = '';
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'command-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Runs to the end; exit status and what was printed. */
async function ended(child: ChildProcess) {
  let [out, err] = ['', ''];
  child.stdout?.on('data', (part) => {
    out += part;
  });
  child.stderr?.on('data', (part) => {
    err += part;
  });
  const [status, signal] = await once(child, 'close');
  // Files are named as they were typed.
  const lines = err
    .split('\n')
    .filter(Boolean)
    .map((line) => line.replace(folder + path.sep, ''));
  return { status, signal, out, err, lines };
}
const start = (command: string, args: string[], cwd = ROOT) =>
  spawn(command, args, { cwd, stdio: ['ignore', 'pipe', 'pipe'] });
const launch = (...args: string[]) =>
  ended(start(process.execPath, [path.join(ROOT, 'electron/command.mjs'), ...args]));
const npmPlan = (args: string[], cwd = ROOT) =>
  ended(start('npm', ['run', '--silent', 'plan', '--', ...args], cwd));

function file(name: string, text: string | Uint8Array): string {
  const place = path.join(folder, name);
  writeFileSync(place, text);
  return place;
}
const scenario = (name: string, edit: Edit) => file(name, JSON.stringify(sound(edit)));
const short = (s: Parameters<Edit>[0]) => {
  Object.assign(s, { days: 1, machines: [], stock: [], deliveries: [], duties: [], offers: [] });
  s.patients = [{ id: 'bed-01', weight: 100, dose: 25, bath: '2K' }];
};

describe('plan --json', () => {
  it('prints one object with the stated fields and nothing else, the same for the same seed', async () => {
    const [one, two] = await Promise.all([
      npmPlan([FIRST_LOOK, '--json', '--seconds', '30', '--seed', '7']),
      launch('plan', FIRST_LOOK, '--json', '--seconds', '30', '--seed', '7'),
    ]);
    expect(one).toMatchObject({ status: 0, err: '' });
    const plan = JSON.parse(one.out);
    expect(Object.keys(plan)).toEqual([
      'format',
      'version',
      'verdict',
      'caution',
      'scenario',
      'activities',
      'needs',
      'score',
      'bound',
      'remarks',
      'seconds',
    ]);
    expect(plan).toMatchObject({ format: 'bathtide-plan', version: 1 });
    expect(plan.scenario).toBe('First look: two patients, one machine (invented)');
    for (const { kind, ...rest } of plan.activities)
      expect(Object.keys(rest)).toEqual(
        { test: ['water', 'start', 'end'], swap: ['machine', 'start', 'end'] }[kind as string] ?? [
          'machine',
          'bath',
          'start',
          'end',
        ],
      );
    // By hand: 2.6 L/h open a bag each 150 min, 1.95 L/h each 200 min until minute 2160; rounds cover 12 h each.
    expect(plan.needs).toEqual(
      [
        [0, 0, 9],
        [1, 660, 9],
        [2, 1380, 8],
        [3, 2100, 5],
      ].map(([round, at, bags]) => ({ bath: '2K', round, at, bags, litres: bags! * 6.5, unmetLitres: 0 })),
    );
    // Three fills of 8 with the 10 bags in stock are the least that cover 31: a test, a circuit and three swaps.
    expect(plan.score).toEqual({
      unmetLitres: 0,
      unmetLitreHours: 0,
      reserveShort: 0,
      handsOnMinutes: 64,
      expiredBags: 0,
    });
    expect(Object.keys(plan.bound)).toEqual(['unmetLitres', 'handsOnMinutes']);
    const again = JSON.parse(two.out);
    expect({ ...again, seconds: 0 }).toEqual({ ...plan, seconds: 0 });
  });
});

describe('--json', () => {
  it.each([
    ['plan', '--seconds', '1'],
    ['capacity', '--draws', '20', '--compare', '0'],
    ['sweep', '--draws', '20', '--variants', 'none'],
  ])('leaves the warnings of %s on standard error', async (command, ...more) => {
    const place = scenario(`warned-${command}.json`, (s) => {
      short(s);
      s.patients[0]!.dose = 35;
    });
    const { status, out, lines } = await launch(command, place, '--json', ...more);
    expect(status).toBe(0);
    expect(JSON.parse(out).format).toBe(`bathtide-${command}`);
    expect(lines).toContainEqual(
      expect.stringMatching(/^warning: warned-\w+\.json: patients\[0\] \(bed-01\)\.dose: /),
    );
  });
});

describe('an answer that cannot be written', () => {
  it('is told in one line', async (context) => {
    // The device that is always full: Linux has one.
    if (!existsSync('/dev/full')) return context.skip('no /dev/full here');
    const full = openSync('/dev/full', 'w');
    const child = spawn(
      process.execPath,
      [path.join(ROOT, 'electron/command.mjs'), 'capacity', FIRST_LOOK, '--draws', '20', '--compare', '0'],
      { cwd: ROOT, stdio: ['ignore', full, 'pipe'] },
    );
    const { status, lines } = await ended(child);
    closeSync(full);
    const progress = /^[A-Z][a-z ]+: \d+ %$/;
    expect(lines.filter((line) => !progress.test(line))).toEqual([
      expect.stringMatching(/^The answer could not be written: ENOSPC/),
    ]);
    expect(status).toBe(1);
  });
});

describe('several files', () => {
  it('have all their faults told at once', async () => {
    const bad = ['one.json', 'two.json'].map((name) =>
      scenario(name, (s) => {
        s.patients[1]!.dose = -1;
      }),
    );
    const { status, out, lines } = await launch('sweep', ...bad);
    expect(lines.map((line) => line.split(': ')[0])).toEqual(['one.json', 'two.json']);
    expect({ status, out }).toEqual({ status: 2, out: '' });
  });
  it('of one name are told apart', async () => {
    mkdirSync(path.join(folder, 'south'));
    const both = [scenario('week.json', short), scenario('south/week.json', short)];
    const { out } = await launch('sweep', ...both, '--json', '--draws', '20', '--variants', 'none');
    expect(JSON.parse(out).results.map(({ file }: { file: string }) => file)).toEqual(both);
  });
});

describe('plan for a reader', () => {
  it('shows needs, bags, the day of each machine, score and cautions, plain when not on a terminal', async () => {
    // npm runs scripts in the project; the file is named from where the person stands.
    const { status, out } = await npmPlan(
      ['first-look.json', '--seconds', '30'],
      path.join(ROOT, 'scenarios'),
    );
    expect(status).toBe(0);
    for (const text of [
      'First look: two patients, one machine (invented)',
      'Every need is met.',
      'Need and supply by bag round',
      'Bags hung per day',
      'Machine M1, Mon, Feb 3, 2031',
      'Water source RO-A, Mon, Feb 3, 2031',
      'Fill 8 bags',
      'New circuit',
      'Hands-on work, min',
      'Plan check passed: ',
      'Not sterile. Never infuse.',
    ])
      expect(out).toContain(text);
    expect(out).not.toContain('\u001B');
  });

  it('says what stays unmet, warns on standard error, and ends with status 0', async () => {
    const { status, out, lines } = await launch(
      'plan',
      scenario('short.json', (s) => {
        short(s);
        s.patients[0]!.dose = 35;
      }),
    );
    expect(status).toBe(0);
    expect(out).toMatch(/^Unmet: [\d.,]+ L of the need\./m);
    expect(out).toMatch(/\(unmet \d+\)/);
    expect(
      lines.filter((line) => line.startsWith('warning: short.json: patients[0] (bed-01).dose: ')),
    ).toHaveLength(1);
  });
});

describe('bad input ends with status 2, one line a fault, and nothing on standard output', () => {
  const refused = async (name: string, lines: RegExp[], ...more: string[]) => {
    const result = await launch('plan', name, ...more);
    expect(result.lines).toHaveLength(lines.length);
    for (const [i, line] of lines.entries()) expect(result.lines[i]).toMatch(line);
    expect(result).toMatchObject({ status: 2, out: '' });
  };

  it('faults of the scenario, all at once', () =>
    refused(
      scenario('bad.json', (s) => {
        s.patients[1]!.dose = -1;
        s.patients[1]!.bath = '9K';
        s.machines[1]!.flow = 0;
      }),
      [
        /^bad\.json: patients\[1\] \(bed-02\)\.bath: Patients › bed-02 › Bath: bath "9K" is not in the list of baths\. Expected: one of 2K, 4K$/,
        /^bad\.json: patients\[1\] \(bed-02\)\.dose: Patients › bed-02 › Effluent dose \(prescribed\): Effluent dose \(prescribed\) is -1 mL\/kg\/h\. Expected: 0 to 200 mL\/kg\/h/,
        /^bad\.json: machines\[1\] \(M2\)\.flow: Machines › M2 › Dialysate flow: Dialysate flow is 0 mL\/min\. Expected: above 0/,
      ],
      '--json',
    ));
  it('no file', () => refused(path.join(folder, 'none.json'), [/none\.json: no such file\. Expected: /]));
  it('a folder', () => refused(folder, [/: a folder\. Expected: /]));
  it('no JSON', () => refused(file('words.json', 'hello'), [/^words\.json: not JSON at line 1, column 1/]));
  it('no text', () =>
    refused(file('image.json', new Uint8Array([0x89, 0x50, 0xff, 0xfe])), [/^image\.json: not UTF-8 text/]));
  it('an empty file', () => refused(file('empty.json', ''), [/^empty\.json: the file is empty/]));
  it('50 MB', () => {
    const place = path.join(folder, 'large.json');
    const handle = openSync(place, 'w');
    ftruncateSync(handle, 50_000_000);
    closeSync(handle);
    return refused(place, [/^large\.json: the file has 50 MB\. Expected: .*at most 20 MB$/]);
  });
  it('a wrong option', () =>
    refused(FIRST_LOOK, [/--seconds.*'soon' is invalid\. Expected: seconds from 0\.1/], '--seconds', 'soon'));
  it.each(['../../plan', 'tables'])('no such command: %s', async (name) => {
    const result = await launch(name, FIRST_LOOK);
    expect(result).toMatchObject({ status: 2, out: '' });
    expect(result.lines).toEqual([expect.stringMatching(/Expected: plan, capacity, sweep, worker, bench/)]);
  });
  it('no broker', async () => {
    // Port 1 (tcpmux) is nobody's.
    const result = await launch('sweep', FIRST_LOOK, '--broker', 'redis://127.0.0.1:1');
    expect(result).toMatchObject({ status: 2, out: '' });
    expect(result.lines).toEqual([
      expect.stringMatching(/^The broker at redis:.* does not answer: .*Expected: /),
    ]);
  });
});

describe('a signal', () => {
  const warned = () =>
    scenario('slow.json', (s) => {
      s.patients[0]!.dose = 35;
      s.patients[1]!.dose = 35;
      s.duties = [];
    });
  /** Resolves at the first warning: the work begins. */
  const begun = (child: ChildProcess) => once(child.stderr!, 'data');
  const own = (...args: string[]) =>
    spawn(args[0]!, args.slice(1), { cwd: ROOT, stdio: ['ignore', 'pipe', 'pipe'], detached: true });
  const command = path.join(ROOT, 'electron/command.mjs');

  // `ended` waits for the pipes to close, which they do only when no process holds them any more.
  it('ends the planning too', async () => {
    const child = start(process.execPath, [command, 'plan', warned()]);
    const done = ended(child);
    await begun(child);
    child.kill('SIGTERM');
    expect(await done).toMatchObject({ status: null, signal: 'SIGTERM', out: '' });
  });
  it.each([
    ['SIGINT', 130],
    ['SIGTERM', 143],
  ] as const)(
    '%s to every process, as by a terminal, puts a forecast away in order',
    async (signal, status) => {
      const child = own(process.execPath, command, 'capacity', warned(), '--draws', '9000000');
      const done = ended(child);
      await begun(child);
      process.kill(-child.pid!, signal);
      const { lines, ...rest } = await done;
      expect(rest).toMatchObject({ status, signal: null, out: '' });
      expect(lines.at(-1)).toBe('Cancelled; nothing was written.');
    },
  );
  it('to npm alone ends what it started', async () => {
    const child = own('npm', 'run', '--silent', 'plan', '--', warned(), '--json', '--seconds', '20');
    const done = ended(child);
    await begun(child);
    child.kill('SIGTERM');
    expect(await done).toMatchObject({ out: '' });
  });
});
