import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { expect, test } from 'vitest';
import { accountOf } from '../../../src/audit/account.ts';
import { demandOf } from '../../../src/demand/demand.ts';
import { asPlan } from '../../../src/plan/asPlan.ts';
import { NOTHING_PROVEN } from '../../../src/plan/plan.ts';
import { compile } from '../../../src/scenario/problem/compile.ts';
import { ShortCard } from '../../../src/views/home/ShortCard.tsx';
import { shortPieces } from '../../../src/views/print/shortPapers.tsx';
import { at, tinyWorld } from '../../world.ts';

const bed = (id: string) => ({ id, weight: 100, dose: 65, bath: '2K', from: at(1320) });
// Two beds want two bags each, which the round at 06:00 brings; nothing is planned.
const planned = (bags: number) => {
  const scenario = tinyWorld({
    patients: [bed('bed-1'), bed('bed-2')],
    stock: [{ lot: 'S', bath: '2K', bags, litres: 6.5 }],
    rules: { rounds: ['06:00'], leadMinutes: 720 },
  });
  const problem = compile(scenario);
  const meaning = { scenario, problem, demand: demandOf(problem) };
  const plan = asPlan(problem, [], { bound: NOTHING_PROVEN, remarks: [], seconds: 0 });
  const account = accountOf(meaning, plan, { now: 0 });
  return { ...account, madeAt: '', changes: null, proof: { state: 'none' } as const, held: 0 };
};
const drawn = (bags: number, searching = false) =>
  renderToStaticMarkup(createElement(ShortCard, { planned: planned(bags), searching }));
const CAUTION = 'The tool chooses none and nobody.';

test('the card names each bed that may go short under every way, with the caution first', () => {
  const html = drawn(3);
  expect(html).toContain(CAUTION);
  expect(html.indexOf(CAUTION)).toBeLessThan(html.indexOf('bed-1'));
  const rows = [...html.matchAll(/<tr><th scope="row">(.*?)<\/th>(.*?)<\/tr>/g)].map(([, head, cells]) => [
    head,
    ...[...cells!.matchAll(/<td>(.*?)<\/td>/g)].map(
      ([, cell]) => /none|\d+ bags?, [\d.]+ h/.exec(cell!)?.[0],
    ),
  ]);
  // Nobody has a class: the class way shares as equally as the equal share.
  expect(rows).toEqual([
    ['All beds', '1 bag, 1 h', '1 bag, 1 h', '1 bag, 1 h', '1 bag, 1 h'],
    ['bed-1', 'none', '1 bag, 1 h', '1 bag, 1 h', '1 bag, 1 h'],
    ['bed-2', '1 bag, 1 h', 'none', 'none', 'none'],
  ]);
  expect(html).not.toContain('so far');
  expect(drawn(3, true)).toContain('so far');
});

test('no card and nothing on paper where every need is met', () => {
  expect(drawn(4)).toBe('');
  expect(shortPieces(planned(4))).toEqual([]);
});

test('paper names the beds under each way and has the caution above them on each page', () => {
  const rows = shortPieces(planned(3));
  const title = rows[0]?.kind === 'row' ? (rows[0].table.title as React.ReactElement) : null;
  expect(renderToStaticMarkup(title)).toContain(CAUTION);
  const cells = rows.map((piece) => (piece.kind === 'row' ? piece.cells.slice(1) : []));
  expect(cells).toEqual([
    ['none', ...Array(3).fill(expect.stringMatching(/^1 bag, 1 h, .+ to /))],
    [expect.stringMatching(/^1 bag, 1 h, .+ to /), 'none', 'none', 'none'],
    Array(4).fill('1 bag, 1 h'),
  ]);
});
