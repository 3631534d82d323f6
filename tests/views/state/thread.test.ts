import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { expect, test } from 'vitest';
import { openThread } from '../../../src/views/state/thread.ts';

setFlagsFromString('--expose-gc');
const collect: () => void = runInNewContext('gc');

/** A worker that takes questions and never answers, as one that is ended in the midst of its work. */
class Silent extends EventTarget {
  ended = 0;
  postMessage() {}
  terminate() {
    this.ended += 1;
  }
}

/** Asks as the planner does: what waits for the answer still has the door in its hands. */
function asked(end: boolean): WeakRef<Silent> {
  const silent = new Silent();
  const thread = openThread<{ plan(): Promise<number> }>(() => silent as unknown as Worker);
  void (async () => {
    await thread.service.plan();
    await thread.service.plan();
  })();
  if (end) {
    thread.end();
    thread.end();
    expect(silent.ended).toBe(1);
  } else silent.terminate();
  return new WeakRef(silent);
}

test('a thread that is ended with a question open is freed, and all that waits for it', async () => {
  const refs = { ended: asked(true), onlyTerminated: asked(false) };
  for (let n = 0; n < 5; n++) {
    await new Promise((resolve) => setTimeout(resolve));
    collect();
  }
  expect(refs.ended.deref()).toBeUndefined();
  // What the door is given back for: else it is held for ever.
  expect(refs.onlyTerminated.deref()).toBeInstanceOf(Silent);
});
