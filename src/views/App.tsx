import { useCallback, useEffect, useMemo, useState } from 'react';
import type { Bridge } from '../bridge.ts';
import { countText } from '../words/numbers.ts';
import { Divider } from './look/Divider.tsx';
import { Safe } from './look/Safe.tsx';
import { useKeys } from './look/useKeys.ts';
import { useLooks } from './look/useLooks.ts';
import { About, CAUTIONS } from './panels/About.tsx';
import { PARTS } from './panels/parts.tsx';
import { SidePanel } from './panels/SidePanel.tsx';
import { Summary } from './panels/Summary.tsx';
import { type Commands, TopBar } from './panels/TopBar.tsx';
import { ImportDialog } from './sheet/ImportDialog.tsx';
import { SheetPane } from './sheet/SheetPane.tsx';
import { SheetTabs } from './sheet/SheetTabs.tsx';
import { ARRANGEMENTS, type Arrangement } from './state/arrangements.ts';
import { type ExportedFile, exportCalendar, exportPlan, exportSheet } from './state/exports.ts';
import { fileCommands } from './state/files.ts';
import { HostContext, type Notice } from './state/hostContext.ts';
import { proofRemarks } from './state/planned.ts';
import { useStore } from './state/store.ts';

const SEEN = 'bathtide.cautions-seen';

function PartPane() {
  const planned = useStore((state) => state.planned);
  const id = useStore((state) => state.view.part);
  const old = useStore(({ problem }) => problem === null);
  const part = PARTS.find((one) => one.id === id) ?? PARTS[0]!;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must take the focus
    <section className="pane part" tabIndex={0} aria-label={part.title}>
      {planned && old && (
        <p className="pane-head bad">▲ From before the errors: nothing here follows what is typed now.</p>
      )}
      {planned ? part.draw(planned) : <p className="pane-head">A picture comes with the first plan.</p>}
    </section>
  );
}

function NoticeLine({ notice, close }: { notice: Notice; close: () => void }) {
  return (
    <div className={`notice ${notice.tone}`} role="alert">
      <span>
        {notice.tone === 'bad' ? '✕' : '!'} {notice.text}
      </span>
      {notice.details && notice.details.length > 1 && (
        <details>
          <summary>all {notice.details.length}</summary>
          <ul>
            {notice.details.slice(0, 50).map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </details>
      )}
      <span className="spacer" />
      <button type="button" onClick={close}>
        Close
      </button>
    </div>
  );
}

/** What the reader should know of the plan on screen: what is lost in full, the rest a line until it is unfolded. */
function Remarks() {
  const lost = useStore((state) => state.lost);
  const planned = useStore((state) => state.planned);
  const note = useStore((state) => state.noteChanges);
  // What there is to say of the proof stands with what is proven.
  const ofProof = planned ? proofRemarks(planned.proof) : [];
  const [first, ...more] = planned?.plan.remarks.filter((remark) => !ofProof.includes(remark)) ?? [];
  return (
    <>
      {lost.length > 0 && (
        <div className="notice warn" role="alert">
          <span>▲ {lost.join(' ')}</span>
          <button type="button" onClick={note} title="Take note of this and of what has changed in the plan">
            Noted
          </button>
        </div>
      )}
      {first !== undefined && (
        <details className="notice remarks">
          <summary>
            {first} {more.length > 0 && <small>({countText(more.length, 'remark')} more)</small>}
          </summary>
          {more.map((remark) => (
            <p key={remark}>{remark}</p>
          ))}
        </details>
      )}
    </>
  );
}

/** The frame: file and arrangement on top, what always counts below it, sheets, pictures and the panel of the arrangement. */
export function App({ bridge }: { bridge: Bridge }) {
  const [notice, setNotice] = useState<Notice | null>(null);
  const [finding, setFinding] = useState(false);
  const [about, setAbout] = useState(() => localStorage.getItem(SEEN) === null);
  const [importing, setImporting] = useState(false);
  const [first, setFirst] = useState(about);
  const view = useStore((state) => state.view);
  const show = useStore((state) => state.show);
  const unsaved = useStore((state) => state.unsaved);
  const variants = useStore((state) => state.variants.length > 0);
  const failure = useStore((state) => state.planning.failure);
  const verdict = useStore((state) => state.planned?.verdict);
  const files = useMemo(() => fileCommands(bridge), [bridge]);
  const host = useMemo(
    () => ({
      bridge,
      say: setNotice,
      saveExport: (name: string, bytes: Uint8Array) => void files.exportFile(name, bytes).then(setNotice),
    }),
    [bridge, files],
  );
  const commands: Commands = useMemo(() => {
    const written = async (making: Promise<ExportedFile>): Promise<Notice | null> => {
      try {
        const { name, bytes } = await making;
        return await files.exportFile(name, bytes);
      } catch (error) {
        return { tone: 'bad', text: error instanceof Error ? error.message : String(error) };
      }
    };
    const told = (act: () => Promise<Notice | null>) => () => void act().then(setNotice);
    return {
      create: told(files.create),
      open: told(files.open),
      openRecent: (handle) => void files.openRecent(handle).then(setNotice),
      save: told(files.save),
      saveAs: told(files.saveAs),
      importRows: () => setImporting(true),
      exportSheet: (kind) => void written(exportSheet(kind)).then(setNotice),
      exportPlan: () => void written(exportPlan()).then(setNotice),
      exportCalendar: (part) => void written(exportCalendar(part, Date.now())).then(setNotice),
      about: () => setAbout(true),
    };
  }, [files]);
  const find = useCallback(() => {
    const { view, show } = useStore.getState();
    show({ split: Math.max(0.25, view.split) });
    setFinding(true);
    // One that is open already is gone back to.
    document.querySelector<HTMLInputElement>('.find input')?.select();
  }, []);

  useEffect(() => {
    void files.start().then(setNotice);
  }, [files]);
  useEffect(() => bridge.setUnsaved(unsaved, variants), [bridge, unsaved, variants]);
  useLooks();
  useKeys(bridge, commands, find);

  const side = ARRANGEMENTS[view.arrangement as Arrangement];
  const closeAbout = () => {
    localStorage.setItem(SEEN, 'yes');
    setAbout(false);
    setFirst(false);
  };
  return (
    <HostContext value={host}>
      <div className="app">
        <TopBar commands={commands} />
        <Safe>
          <Summary />
        </Safe>
        <div>
          {notice && <NoticeLine notice={notice} close={() => setNotice(null)} />}
          {failure && (
            <div className="notice bad" role="alert">
              ✕ The planner stopped: {failure}. The plan on screen is the one before.
            </div>
          )}
          {verdict && !verdict.ok && (
            <div className="notice bad" role="alert">
              ✕ This plan breaks a rule and must not be used: {verdict.violations[0]!.message}
            </div>
          )}
          <Remarks />
        </div>
        <div className="work">
          <SheetTabs />
          <main className="panes">
            {view.split > 0.04 && (
              <div className="pane sheet" style={{ flex: `${view.split} 1 0` }}>
                <Safe>
                  <SheetPane finding={finding} setFinding={setFinding} />
                </Safe>
              </div>
            )}
            <Divider
              kind="row"
              label="Height of the sheet"
              value={view.split}
              onChange={(split) => show({ split: split < 0.08 ? 0 : split > 0.94 ? 1 : split })}
            />
            {view.split < 0.96 && (
              <div className="pane" style={{ flex: `${1 - view.split} 1 0` }}>
                <Safe>
                  <PartPane />
                </Safe>
              </div>
            )}
          </main>
          <Safe>
            <SidePanel title={side.panel} arrangement={view.arrangement} />
          </Safe>
        </div>
        <footer className="foot">
          {CAUTIONS.slice(0, 2).map((text) => (
            <span key={text}>{text}</span>
          ))}
          <span>Release and use follow the site’s own procedures.</span>
        </footer>
      </div>
      {importing && <ImportDialog close={() => setImporting(false)} />}
      <About open={about} first={first} close={closeAbout} />
    </HostContext>
  );
}
