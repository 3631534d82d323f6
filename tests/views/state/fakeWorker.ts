import * as Comlink from 'comlink';

/** A worker's end of a channel in this thread: what its service does when asked is for the test to say. */
export function fakeWorker(service: unknown) {
  const { port1, port2 } = new MessageChannel();
  Comlink.expose(service, port2 as unknown as Comlink.Endpoint);
  const made = Object.assign(port1, {
    ended: false,
    onerror: null as ((event: { message: string }) => void) | null,
    terminate() {
      made.ended = true;
      port1.close();
    },
  });
  return made;
}
export type FakeWorker = ReturnType<typeof fakeWorker>;
export const asWorker = (made: FakeWorker) => made as unknown as Worker;
