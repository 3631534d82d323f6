import { readFileSync } from 'node:fs';
import { z } from 'zod';
import type { Route } from '../../src/capacity/region/flow.ts';
import { InputError } from './input.ts';

z.config({ jitless: true });

const regionSchema = z.strictObject({
  format: z.literal('bathtide-region'),
  version: z.literal(1),
  transit: z
    .array(
      z.strictObject({
        from: z.string(),
        to: z.string(),
        hours: z.number().min(0).max(720),
        bagsPerDay: z.number().int().min(1).optional(),
      }),
    )
    .min(1),
});

const EXPECTED =
  '{ "format": "bathtide-region", "version": 1, "transit": [ { "from": "A.json", "to": "B.json", "hours": 5, "bagsPerDay": 60 } ] }';

/**
 * The ways between sites, from a file; one holds both ways unless the way back is listed too.
 * @param names of the sites, as the sweep tells them
 * @throws InputError with one line a fault
 */
export function loadRegion(file: string, names: readonly string[]): Route[] {
  let raw: unknown;
  try {
    raw = JSON.parse(readFileSync(file, 'utf8'));
  } catch (error) {
    // What it quotes of the file may hold line breaks, and a fault is one line.
    const why = String(error instanceof Error ? error.message : error).replace(/[\p{C}\s]+/gu, ' ');
    throw new InputError([`${file}: cannot be read (${why}). Expected: ${EXPECTED}`]);
  }
  const read = regionSchema.safeParse(raw);
  if (!read.success)
    throw new InputError(
      read.error.issues.map(
        ({ path, message }) => `${file}: ${path.join('.')}: ${message}. Expected: ${EXPECTED}`,
      ),
    );
  const lines: string[] = [];
  const { transit } = read.data;
  const site = (name: string, at: string): number => {
    const index = names.indexOf(name);
    if (index < 0)
      lines.push(`${file}: ${at}: "${name}" is none of the sites. Expected: one of ${names.join(', ')}`);
    return index;
  };
  const routes = transit.map(({ from, to, hours, bagsPerDay }, n): Route => {
    if (from === to)
      lines.push(`${file}: transit.${n}.to: the way leads back to "${to}". Expected: another site`);
    return {
      from: site(from, `transit.${n}.from`),
      to: site(to, `transit.${n}.to`),
      hours,
      ...(bagsPerDay !== undefined && { bagsPerDay }),
    };
  });
  if (lines.length > 0) throw new InputError(lines);
  const back = routes
    .map((route) => ({ ...route, from: route.to, to: route.from }))
    .filter((one) => !routes.some(({ from, to }) => from === one.from && to === one.to));
  return [...routes, ...back];
}
