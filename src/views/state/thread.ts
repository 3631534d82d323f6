import * as Comlink from 'comlink';

/**
 * A worker with the one door to its service. Both are kept together: once a door is out of reach, its collection closes
 * the worker's side, and a second door to the same worker would never be answered.
 */
export interface Thread<Service> {
  readonly worker: Worker;
  readonly service: Comlink.Remote<Service>;
}

export function openThread<Service>(makeWorker: () => Worker): Thread<Service> {
  const worker = makeWorker();
  return { worker, service: Comlink.wrap<Service>(worker) };
}
