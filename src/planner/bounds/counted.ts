import type { Problem } from '../../scenario/problem/types.ts';
import type { Buckets } from './buckets.ts';
import { type Allowed, Columns } from './columns.ts';
import type { LinearModel } from './model.ts';
import { bathRows, campaignRows } from './rows/baths.ts';
import { circuitRows, lineRows } from './rows/circuits.ts';
import { coverRows } from './rows/cover.ts';
import { machineRows } from './rows/machines.ts';
import { staffRows } from './rows/staff.ts';
import { stintRows } from './rows/stints.ts';
import { supplyRows } from './rows/supplies.ts';
import { testRows } from './rows/tests.ts';
import { waterRows } from './rows/water.ts';
import { wholeRows } from './rows/whole.ts';

/**
 * Rows up to which each kind is asked by itself how often it takes a bath: in larger models that took many times as long
 * and proved no minute more, but many litres.
 */
const SMALL = { minutes: 600, litres: 2000 };

/** Rows up to which it is followed which set-up bears each bath's fills. */
const MEDIUM = 1000;

/** Buckets in a row, from another one than the first, whose whole lines are counted in a larger model. */
const FAR = 4;

/**
 * The counted model: what any valid plan does, summed over the machines of a kind and the minutes of a bucket, so that
 * machines have no names and the solver meets no symmetry. Every valid plan is a point of it (a row's comment says why),
 * so its least value is a bound on every plan; the other way round is not true. Bags are counted in bags of fillLitres.
 *
 * Fills, set-ups and tests are counted in the bucket in which they end. What is done of them before the cut, less what
 * is still to do of swaps after it, is carried over the cut (`carry`), within what can be under way at one moment.
 * @param allowed null: minimises unmet bags; else minimises hands-on minutes of plans no worse than that
 */
export function countedModel(problem: Problem, buckets: Buckets, allowed: Allowed | null): LinearModel {
  const columns = new Columns(problem, buckets, allowed);
  const { model } = columns;
  const covered = testRows(columns);
  const kinds = [...buckets.kinds.keys()];
  for (const k of kinds) {
    bathRows(columns, k);
    circuitRows(columns, k);
    machineRows(columns, k, covered);
  }
  waterRows(columns, covered);
  staffRows(columns);
  supplyRows(columns);
  coverRows(columns);
  const small = model.rowLower.length <= (allowed ? SMALL.minutes : SMALL.litres);
  if (small) for (const k of kinds) campaignRows(columns, k);
  if (model.rowLower.length <= MEDIUM) for (const k of kinds) stintRows(columns, k);
  for (const k of kinds) lineRows(columns, k, small ? buckets.cuts.length - 1 : FAR);
  wholeRows(columns, small);
  return model;
}
