import type { Bridge, OpenedFile } from '../bridge.ts';
import { withPlanInUse } from '../scenario/inUse.ts';
import { faultLine, readScenario, writeScenario } from '../scenario/read.ts';
import type { Scenario } from '../scenario/schema.ts';
import type { Notice } from './hostContext.ts';
import { settled } from './settle.ts';
import { EMPTY, useStore } from './store.ts';

const LISTS = ['baths', 'patients', 'machines', 'water', 'shifts'] as const;
const OPTIONAL_LISTS = ['stock', 'deliveries', 'supplies'] as const;
const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const isRows = (value: unknown): boolean => Array.isArray(value) && value.every(isRecord);

/** A file with faults that the sheets can still show, so that they can be put right here. */
function repairable(text: string): Scenario | null {
  try {
    const raw: unknown = JSON.parse(text.replace(/^\ufeff/, ''));
    if (!isRecord(raw) || raw.format !== 'bathtide-scenario' || raw.version !== 1) return null;
    const shown = LISTS.every((list) => isRows(raw[list]));
    const rest = OPTIONAL_LISTS.every((list) => raw[list] == null || isRows(raw[list]));
    const head = ['title', 'timeZone', 'start'].every((key) => typeof raw[key] === 'string');
    return shown && rest && head && typeof raw.days === 'number' ? (raw as Scenario) : null;
  } catch {
    return null;
  }
}

/** Shows a file. One with faults is opened to be put right where the sheets can show it; else it is refused, and said why. */
export function showFile({ text, ...file }: OpenedFile): Notice | null {
  const reading = readScenario(text);
  if (reading.ok) {
    useStore.getState().load(reading.scenario, file);
    return null;
  }
  const details = reading.faults.map((fault) => faultLine(file.name, fault));
  const scenario = repairable(text);
  if (scenario) {
    useStore.getState().load(scenario, file);
    return {
      tone: 'warn',
      text: `${file.name} has ${details.length} faults to put right before it can be planned.`,
      details,
    };
  }
  return { tone: 'bad', text: `${file.name} was not opened: ${details[0]}`, details };
}

const fileName = (title: string): string =>
  `${
    title
      .trim()
      .replace(/[^\p{L}\p{N}]+/gu, '-')
      .toLowerCase() || 'scenario'
  }`;
/** A name for a file that goes out, from the scenario's title. */
export const nameFor = (ending: string): string => `${fileName(useStore.getState().scenario.title)}${ending}`;

/** What goes to the file: the scenario, and the plan that people work by. */
const written = (): string => {
  const { scenario, inUse } = useStore.getState();
  return writeScenario(withPlanInUse(scenario, inUse()));
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
  const keep = () => !useStore.getState().unsaved || window.confirm('Leave without saving your edits?');
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
      if (keep()) useStore.getState().load(EMPTY, null);
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
        await bridge.save(file.handle, written());
        if (useStore.getState().scenario === scenario) useStore.getState().saved(file);
        return null;
      }),
    exportFile: (name: string, bytes: Uint8Array) =>
      guard(async () => {
        await bridge.exportFile(name, bytes);
        return null;
      }),
  };
};
