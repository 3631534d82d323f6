import * as Comlink from 'comlink';

/**
 * A worker with the one door to its service. Both are kept together: once a door is out of reach, its collection closes
 * the worker's side, and a second door to the same worker would never be answered.
 */
export interface Thread<Service> {
  readonly worker: Worker;
  readonly service: Comlink.Remote<Service>;
  /**
   * Ends the worker; questions under way are never answered. The door is given back too: its register holds the worker,
   * the worker the questions, and what waits for an answer the door, so nothing of them would ever be freed.
   */
  end(): void;
}

export function openThread<Service>(makeWorker: () => Worker): Thread<Service> {
  const worker = makeWorker();
  const service = Comlink.wrap<Service>(worker);
  let over = false;
  return {
    worker,
    service,
    end() {
      if (over) return;
      over = true;
      service[Comlink.releaseProxy]();
      worker.terminate();
    },
  };
}
