import type { Bridge, OpenedFile } from '../../bridge.ts';
import { knowsZone } from '../../calendar/clock.ts';
import { newScenario } from '../../grid/newScenario.ts';
import { repairable } from '../../scenario/faults/repairable.ts';
import { withPlanInUse } from '../../scenario/inUse.ts';
import { faultLine, readScenario, writeScenario } from '../../scenario/read.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { fileStem } from '../../words/times.ts';
import type { Notice } from './hostContext.ts';
import { parted, toPutRight } from './judge.ts';
import { localTime } from './planned.ts';
import { settled } from './settle.ts';
import { useStore } from './store.ts';

/** Shows a file. One with faults is opened to be put right where the sheets can show it; else it is refused, and said why. */
export function showFile({ text, ...file }: OpenedFile): Notice | null {
  const reading = readScenario(text);
  if (reading.ok) {
    useStore.getState().load(reading.scenario, file);
    const told = [...reading.warnings.filter(({ path }) => path[0] === 'inUse'), ...reading.taken].map(
      (fault) => faultLine(file.name, fault),
    );
    return told[0] === undefined ? null : { tone: 'warn', text: told[0], details: told };
  }
  const found = repairable(text);
  if (found) {
    const { scenario, taken } = found;
    useStore.getState().load(scenario, file);
    // The very faults that the sheets mark, so that both count the same.
    const { errors, warnings } = parted(useStore.getState().faults);
    return {
      tone: 'warn',
      text: `${file.name} has ${toPutRight(errors.length, warnings.length)}`,
      details: [...errors, ...taken].map((fault) => faultLine(file.name, fault)),
    };
  }
  const details = parted(reading.faults).errors.map((fault) => faultLine(file.name, fault));
  return { tone: 'bad', text: `${file.name} was not opened: ${details[0]}`, details };
}

/** Nothing typed yet, from today 07:00 where this computer is. */
function blank(): Scenario {
  const { timeZone } = Intl.DateTimeFormat().resolvedOptions();
  return newScenario(`${localTime(new Date()).slice(0, 10)}T07:00`, knowsZone(timeZone) ? timeZone : 'UTC');
}

/** A name for a file that goes out, from the scenario's title. */
export const nameFor = (ending: string): string => `${fileStem(useStore.getState().scenario.title)}${ending}`;

/** What goes to the file: the scenario, and the plan that people work by. */
const written = (): string => {
  const { scenario, inUse } = useStore.getState();
  const plan = inUse();
  // One that cannot be read stays as it was.
  return writeScenario(plan ? withPlanInUse(scenario, plan) : scenario);
};

/** What the file commands do; each returns what must be said, or null. */
export const fileCommands = (bridge: Bridge) => {
  const guard = async (act: () => Promise<Notice | null>): Promise<Notice | null> => {
    try {
      return await act();
    } catch (error) {
      return { tone: 'bad', text: error instanceof Error ? error.message : String(error) };
    }
  };
  const keep = () => {
    const { unsaved, variants } = useStore.getState();
    if (variants.length > 0 && !unsaved) return window.confirm('Leave the variants that you kept?');
    return !unsaved || window.confirm('Leave without saving your edits?');
  };
  const saveAs = () =>
    guard(async () => {
      await settled();
      const { scenario } = useStore.getState();
      const file = await bridge.saveAs(nameFor('.json'), written());
      if (file && useStore.getState().scenario === scenario) useStore.getState().saved(file);
      return null;
    });
  return {
    async start(): Promise<Notice | null> {
      return guard(async () => showFile(await bridge.initial()));
    },
    async create(): Promise<Notice | null> {
      await settled();
      if (keep()) useStore.getState().load(blank(), null);
      return null;
    },
    open: () =>
      guard(async () => {
        await settled();
        if (!keep()) return null;
        const file = await bridge.open();
        return file && showFile(file);
      }),
    openRecent: (handle: string) =>
      guard(async () => {
        await settled();
        return keep() ? showFile(await bridge.openRecent(handle)) : null;
      }),
    saveAs,
    save: () =>
      guard(async () => {
        await settled();
        const { file, scenario } = useStore.getState();
        if (!file || file.readOnly) return saveAs();
        const done = await bridge.save(file.handle, written(), file.digest ?? null);
        if ('newer' in done)
          return {
            tone: 'bad',
            text: `${file.name} was saved by somebody else since you opened it. Nothing was written. Use "Save as" with another name, or open it again.`,
          };
        const now = { ...file, digest: done.digest };
        if (useStore.getState().scenario === scenario) useStore.getState().saved(now);
        else useStore.setState({ file: now }); // edited while it was written: the next save begins from here
        return null;
      }),
    exportFile: (name: string, bytes: Uint8Array) =>
      guard(async () => {
        await bridge.exportFile(name, bytes);
        return null;
      }),
  };
};
