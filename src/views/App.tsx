import { useEffect } from 'react';
import type { Bridge } from '../bridge.ts';
import type { Scenario } from '../scenario/schema.ts';
import { useStore } from './store.ts';

export function App({ host }: { host: Bridge }) {
  const title = useStore((state) => state.scenario.title);
  const load = useStore((state) => state.load);
  useEffect(() => {
    host.initial().then(({ text, handle, name }) => load(JSON.parse(text) as Scenario, { handle, name }));
  }, [host, load]);
  return <h1>{title}</h1>;
}
