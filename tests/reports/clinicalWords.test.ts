import { expect, test } from 'vitest';
import { clinicalText } from '../../src/reports/clinicalWords.ts';
import { compile } from '../../src/scenario/problem/compile.ts';
import { tinyWorld } from '../world.ts';

const problem = compile(tinyWorld());

test('a cap that would do is told with its unit; below the usual range of doses it says so', () => {
  const [high, low] = [27.5, 22].map((cap) => clinicalText(problem, { kind: 'dose', cap, lowest: 10 }));
  expect(high!.text).toContain('27.5 mL/kg/h for all would do');
  expect(high!.more.join(' ')).not.toContain('below');
  // KDIGO AKI guideline 2012, 5.8.4: deliver 20-25 mL/kg/h, prescribe more; its wording from memory, the range published elsewhere too.
  expect(low!.more[0]).toBe('This is below the usual range: deliver 20-25, so prescribe 25-30 (KDIGO 2012).');
  expect(clinicalText(problem, { kind: 'hours', cap: 21.5, lowest: 12 }).text).toContain(
    'At most 21.5 h of therapy per day for all',
  );
});

test('a cap that was not found is no proof that there is none', () => {
  const { tone, text, more } = clinicalText(problem, { kind: 'dose', cap: null, lowest: 10 });
  expect([tone, text]).toEqual([
    'quiet',
    'No cap of the dose was found, down to 10 mL/kg/h, that leaves nothing unmet.',
  ]);
  expect(more.join(' ')).toContain('proves nothing');
});

test('a delivery says how much of what, by when and how long it must keep', () => {
  const deliveries = [{ bath: '2K', round: 2, by: 1080, bags: 2, goodUntil: 1440 }];
  expect(clinicalText(problem, { kind: 'deliveries', deliveries }).more).toEqual([
    '2 bags of 2K by Mon, Feb 3, 18:00, good until Tue, Feb 4, 00:00',
  ]);
});

test('a substitute names bath, dates, beds left out and who approved it, or that nobody did', () => {
  const row = { bath: '2K', by: '4K', from: '2031-02-03T18:00', except: ['bed-1', 'bed-2'] };
  const some = clinicalText(problem, { kind: 'substitute', row, unmetLitres: 13 });
  expect(some).toEqual({
    tone: 'quiet',
    text: '4K in place of 2K for all beds but bed-1 and bed-2, from 2031-02-03 18:00: 13 L would still be unmet.',
    more: ['Nobody is named who approved it. Ask first.'],
  });
  const all = clinicalText(problem, {
    kind: 'substitute',
    row: { ...row, approvedBy: 'AB' },
    unmetLitres: 0,
  });
  expect([all.tone, all.more]).toEqual(['good', ['Approved by AB.']]);
});
