import type { ChildProcess } from 'node:child_process';
import type { Readable, Writable } from 'node:stream';

type Parameters_ = Readonly<Record<string, unknown>>;
export interface Told {
  readonly method: string;
  readonly params: Parameters_;
}

/**
 * Talk to a Chromium started with --remote-debugging-pipe (Chrome DevTools Protocol; messages end with a NUL byte).
 * The pipe belongs to the two processes alone: no port that somebody else could ask.
 * @param onEvent hears what Chromium tells unasked
 */
export function speakTo(child: ChildProcess, onEvent: (told: Told) => void) {
  const [, , , down, up] = child.stdio as unknown as [unknown, unknown, unknown, Writable, Readable];
  const waiting = new Map<
    number,
    { resolve: (value: Parameters_) => void; reject: (error: Error) => void }
  >();
  let last = 0;
  let rest = '';
  const fail = (error: Error) => {
    for (const one of waiting.values()) one.reject(error);
    waiting.clear();
  };
  const hear = (text: string) => {
    const said = JSON.parse(text);
    const asked = waiting.get(said.id);
    waiting.delete(said.id);
    if (!asked) return onEvent(said);
    if (said.error) asked.reject(new Error(said.error.message));
    else asked.resolve(said.result);
  };
  up.setEncoding('utf8');
  up.on('data', (part: string) => {
    const pieces = (rest + part).split('\0');
    rest = pieces.pop() ?? '';
    for (const piece of pieces) hear(piece);
  });
  for (const stream of [down, up]) stream.on('error', fail);
  child.once('error', fail);
  child.once('exit', () => fail(new Error('Chromium ended')));
  return (method: string, params: Parameters_ = {}, sessionId?: string): Promise<Parameters_> =>
    new Promise((resolve, reject) => {
      const id = ++last;
      waiting.set(id, { resolve, reject });
      down.write(`${JSON.stringify({ id, method, params, ...(sessionId && { sessionId }) })}\0`);
    });
}
