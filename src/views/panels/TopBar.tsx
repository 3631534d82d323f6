import { type KeyboardEvent, useEffect, useRef, useState } from 'react';
import type { FileRef } from '../../bridge.ts';
import { dateText } from '../../words/times.ts';
import { ARRANGEMENTS, type Arrangement } from '../state/arrangements.ts';
import { useHost } from '../state/hostContext.ts';
import { useStore } from '../state/store.ts';

export interface Commands {
  readonly create: () => void;
  readonly open: () => void;
  readonly openRecent: (handle: string) => void;
  readonly save: () => void;
  readonly saveAs: () => void;
  readonly importRows: () => void;
  readonly exportSheet: (kind: 'csv' | 'xlsx') => void;
  readonly exportPlan: () => void;
  readonly exportCalendar: (part: 'day' | 'whole') => void;
  readonly about: () => void;
  /** Saved states of the file that are kept. */
  readonly versions: () => void;
  /** Who changed which prescription, when. */
  readonly changes: () => void;
  /** From nothing to a first plan. */
  readonly guide: () => void;
}

const Mark = () => (
  <svg viewBox="0 0 32 32" aria-hidden="true">
    <rect width="32" height="32" rx="7" fill="#0f5c70" />
    <path
      d="M5 12c4-4 7-4 11 0s7 4 11 0M5 20c4-4 7-4 11 0s7 4 11 0"
      fill="none"
      stroke="#e8f4f2"
      strokeWidth="3"
      strokeLinecap="round"
    />
  </svg>
);

function FileMenu({ commands }: { commands: Commands }) {
  const { bridge } = useHost();
  const [open, setOpen] = useState(false);
  const [recent, setRecent] = useState<readonly FileRef[]>([]);
  const menu = useRef<HTMLDivElement>(null);
  const day = useStore(({ problem, now }) =>
    problem ? dateText(problem.clock.localOf(now).slice(0, 10)) : '',
  );
  useEffect(() => {
    if (!open) return;
    bridge.recent().then(setRecent, () => setRecent([]));
    menu.current?.querySelector<HTMLElement>('.menu-list button')?.focus();
    const away = (event: Event) => {
      if (!menu.current?.contains(event.target as Node)) setOpen(false);
    };
    document.addEventListener('pointerdown', away);
    return () => document.removeEventListener('pointerdown', away);
  }, [open, bridge]);
  /** The focus goes back to the button, and from a dialog that an item opens back to it as well. */
  const close = () => {
    setOpen(false);
    menu.current?.querySelector('button')?.focus();
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (!open) return;
    const items = [...(menu.current?.querySelectorAll<HTMLElement>('.menu-list button') ?? [])];
    const at = items.indexOf(document.activeElement as HTMLElement);
    if (event.key === 'Escape') close();
    // From there the Tab key goes on.
    if (event.key === 'Tab') close();
    if (event.key === 'Home' || event.key === 'End') {
      items.at(event.key === 'Home' ? 0 : -1)?.focus();
      event.preventDefault();
    }
    if (event.key === 'ArrowDown') items[(at + 1) % items.length]?.focus();
    if (event.key === 'ArrowUp') items.at(at - 1)?.focus();
    if (event.key.startsWith('Arrow')) event.preventDefault();
  };
  const item = (label: string, act: () => void, keys = '') => (
    <button
      type="button"
      role="menuitem"
      onClick={() => {
        close();
        act();
      }}
    >
      {label} <small>{keys}</small>
    </button>
  );
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: keys of the menu inside
    <div className="menu" ref={menu} onKeyDown={onKeyDown}>
      <button type="button" aria-haspopup="menu" aria-expanded={open} onClick={() => setOpen(!open)}>
        File ▾
      </button>
      {open && (
        <div className="menu-list" role="menu" aria-label="File">
          {item('New scenario', commands.create)}
          {item('First plan, step by step …', commands.guide)}
          {item('Open …', commands.open, 'Ctrl+O')}
          {item('Save', commands.save, 'Ctrl+S')}
          {item('Save as …', commands.saveAs, 'Ctrl+Shift+S')}
          {item('Earlier versions …', commands.versions)}
          {item('Who changed what …', commands.changes)}
          <hr />
          {item('Import rows from CSV or XLSX …', commands.importRows)}
          {item('This sheet as CSV …', () => commands.exportSheet('csv'))}
          {item('This sheet as XLSX …', () => commands.exportSheet('xlsx'))}
          {item('Whole plan as XLSX …', commands.exportPlan)}
          {item('Schedule of one day as iCalendar …', () => commands.exportCalendar('day'), day)}
          {item('Whole schedule as iCalendar …', () => commands.exportCalendar('whole'))}
          <small className="menu-note">
            Imported again, the same work moves and is not added twice. Delete by hand what is no longer
            planned, or import into an empty calendar.
          </small>
          {recent.length > 0 && <hr />}
          {recent.slice(0, 6).map(({ handle, name }) => (
            <span key={handle}>{item(name, () => commands.openRecent(handle))}</span>
          ))}
        </div>
      )}
    </div>
  );
}

/** File, undo, the three arrangements, zoom, light and the size of what is hit. */
export function TopBar({ commands }: { commands: Commands }) {
  const title = useStore((state) => state.scenario.title);
  const file = useStore((state) => state.file);
  const unsaved = useStore((state) => state.unsaved);
  const past = useStore((state) => state.history.past.at(-1)?.label);
  const future = useStore((state) => state.history.future[0]?.label);
  const arrangement = useStore((state) => state.view.arrangement);
  const zoom = useStore((state) => state.zoom);
  const theme = useStore((state) => state.theme);
  const density = useStore((state) => state.density);
  const { undo, redo, arrange, set } = useStore.getState();
  const zoomTo = (to: number) => set({ zoom: Math.min(200, Math.max(80, to)) });
  return (
    <header className="top">
      <span className="brand">
        <Mark /> Bathtide
      </span>
      <FileMenu commands={commands} />
      <div className="file">
        <h1 title={title}>{title}</h1>
        <span>
          {file?.name ?? 'not saved yet'}
          {unsaved ? ' · edited' : ''}
        </span>
      </div>
      <div className="group">
        <button
          type="button"
          disabled={past === undefined}
          onClick={undo}
          title={past && `Undo ${past} (Ctrl+Z)`}
        >
          ↶ Undo
        </button>
        <button
          type="button"
          disabled={future === undefined}
          onClick={redo}
          title={future && `Redo ${future} (Ctrl+Y)`}
        >
          ↷ Redo
        </button>
      </div>
      <div className="spacer" />
      {/* biome-ignore lint/a11y/useSemanticElements: a row of toggles */}
      <div className="group" role="group" aria-label="Arrangement">
        {(Object.keys(ARRANGEMENTS) as Arrangement[]).map((key, index) => (
          <button
            key={key}
            type="button"
            aria-pressed={arrangement === key}
            title={`Alt+${index + 1}`}
            onClick={() => arrange(key)}
          >
            {ARRANGEMENTS[key].title}
          </button>
        ))}
      </div>
      <div className="spacer" />
      {/* biome-ignore lint/a11y/useSemanticElements: a row of buttons */}
      <div className="group" role="group" aria-label="Zoom">
        <button type="button" aria-label="Smaller" disabled={zoom <= 80} onClick={() => zoomTo(zoom - 10)}>
          −
        </button>
        <button type="button" aria-label={`Zoom ${zoom} %, back to 100 %`} onClick={() => zoomTo(100)}>
          {zoom} %
        </button>
        <button type="button" aria-label="Larger" disabled={zoom >= 200} onClick={() => zoomTo(zoom + 10)}>
          +
        </button>
      </div>
      <button
        type="button"
        aria-pressed={theme === 'dark'}
        onClick={() => set({ theme: theme === 'dark' ? 'light' : 'dark' })}
      >
        Dark
      </button>
      <button
        type="button"
        aria-pressed={density === 'touch'}
        title="Larger buttons and rows, for fingers and gloves"
        onClick={() => set({ density: density === 'touch' ? 'dense' : 'touch' })}
      >
        Touch
      </button>
      <button type="button" onClick={commands.about}>
        Help
      </button>
    </header>
  );
}
