import { expect, test } from 'vitest';
import { type Runner, runDraws } from '../../src/capacity/answers/job.ts';
import { study } from '../../src/capacity/answers/study.ts';
import {
  type CapacityEvent,
  type CapacityState,
  isStale,
  NOTHING_YET,
  reduceCapacity,
  secondsFor,
} from '../../src/views/capacity/answersState.ts';
import { wardSite } from './worlds.ts';

const run: Runner = async (jobs) => jobs.map((job) => runDraws(job));
const after = (state: CapacityState, ...events: CapacityEvent[]): CapacityState =>
  events.reduce(reduceCapacity, state);
const made = await study(wardSite({ machines: wardSite().machines.slice(0, 2) }), run, { draws: 5, seed: 1 });
const answered = after(
  NOTHING_YET,
  { kind: 'stage', stage: 'Simulated runs' },
  { kind: 'answered', part: { study: made } },
  { kind: 'answered', part: { compared: [], savings: [] } },
  { kind: 'ended' },
);

test('beginning, progress, cancelling and failing take no answer away', () => {
  const going = after(answered, { kind: 'stage', stage: 'Simulated runs' }, { kind: 'progress', done: 0.4 });
  expect(going).toMatchObject({ study: made, compared: [], savings: [], stage: 'Simulated runs', done: 0.4 });
  expect(after(going, { kind: 'ended' })).toEqual(answered);
  expect(after(going, { kind: 'failed', failure: 'no thread' })).toMatchObject({
    study: made,
    stage: null,
    failure: 'no thread',
  });
});

test('a new answer takes the place of the whole old one: no part of another run stands beside it', () => {
  const next = { ...made, seed: 2 };
  expect(after(answered, { kind: 'answered', part: { study: next } })).toMatchObject({
    study: next,
    compared: null,
    savings: null,
    heat: null,
    needs: null,
    ordered: null,
    variants: null,
  });
});

test('an answer is old once another scenario is on screen, or one with errors', () => {
  expect(isStale(answered, made.scenario)).toBe(false);
  expect(isStale(answered, { ...made.scenario })).toBe(true);
  expect(isStale(answered, null)).toBe(true);
  expect(isStale(NOTHING_YET, made.scenario)).toBe(false);
});

test('what takes long is asked about, with its minutes; the answer before stays meanwhile', () => {
  // 300 runs in 0.135 s: ten million take 4,500 s, 75 minutes.
  const seconds = secondsFor(10_000_000, { draws: 300, seconds: 0.135 });
  expect(seconds / 60).toBeCloseTo(75, 9);
  const asked = after(
    answered,
    { kind: 'stage', stage: 'Timing a few runs' },
    { kind: 'asked', draws: 10_000_000, seconds },
  );
  expect(asked).toMatchObject({ study: made, stage: null, asking: { draws: 10_000_000, seconds } });
  expect(after(asked, { kind: 'ended' })).toEqual(answered);
  expect(after(asked, { kind: 'stage', stage: 'Simulated runs' }).asking).toBeNull();
});

test('another file has nothing to do with the answers', () => {
  expect(after(answered, { kind: 'forgotten' })).toEqual(NOTHING_YET);
});
