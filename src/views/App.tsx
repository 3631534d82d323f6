import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { Bridge } from '../bridge.ts';
import { CAUTION } from '../words/cautions.ts';
import { countText } from '../words/numbers.ts';
import { failedText } from '../words/verdict.ts';
import { capacitySheets } from './capacity/capacitySheets.ts';
import { FirstHint, FirstUnit } from './home/FirstUnit.tsx';
import { Home } from './home/Home.tsx';
import { Strip } from './home/Strip.tsx';
import { Divider } from './look/Divider.tsx';
import { Safe } from './look/Safe.tsx';
import { useKeys } from './look/useKeys.ts';
import { useLooks } from './look/useLooks.ts';
import { About } from './panels/About.tsx';
import { ChangesDialog } from './panels/ChangesDialog.tsx';
import { FileQuestions, VersionsDialog } from './panels/Clash.tsx';
import { partOf } from './panels/parts.tsx';
import { SidePanel } from './panels/SidePanel.tsx';
import { type Commands, TopBar } from './panels/TopBar.tsx';
import { Tour } from './panels/Tour.tsx';
import { ImportDialog } from './sheet/ImportDialog.tsx';
import { ReviewDialog } from './sheet/ReviewDialog.tsx';
import { SheetPane } from './sheet/SheetPane.tsx';
import { SheetTabs } from './sheet/SheetTabs.tsx';
import { ARRANGEMENTS } from './state/arrangements.ts';
import { keepEarlyKeys } from './state/earlyKeys.ts';
import { exportCalendar, exportPlan, exportSheet } from './state/exports.ts';
import { HostContext } from './state/hostContext.ts';
import { proofRemarks } from './state/planned.ts';
import { SHUT } from './state/reduce.ts';
import { fileCommands, keepDrafts, say, useStore, watchFile } from './state/store.ts';

const SEEN = 'bathtide.cautions-seen';

function PartPane() {
  const planned = useStore((state) => state.planned);
  const id = useStore((state) => state.view.part);
  const old = useStore(({ problem }) => problem === null);
  const part = partOf(id);
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must take the focus
    <section className="pane part" tabIndex={0} aria-label={part.title}>
      {planned && old && (
        <p className="pane-head bad">
          ▲ This is from before the errors. Correct the errors to see what you typed.
        </p>
      )}
      {planned ? part.draw(planned) : <p className="pane-head">The picture appears with the first plan.</p>}
    </section>
  );
}

function NoticeLine() {
  const notice = useStore((state) => state.notice);
  if (!notice || notice.tone === 'done') return null;
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
      <button type="button" onClick={() => say(null)}>
        Close
      </button>
    </div>
  );
}

/** What an act has just done; it goes again by itself. */
function DoneLine() {
  const notice = useStore((state) => state.notice);
  return (
    <p className={notice?.tone === 'done' ? 'said-done' : 'sr-only'} role="status">
      {notice?.tone === 'done' ? `✓ ${notice.text}` : ''}
    </p>
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
          <button type="button" onClick={note} title="Mark this and the changes of the plan as read">
            Mark as read
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

/** A plan that nobody may use: said above everything, even where it pushes the rest down. */
function Alarm() {
  const verdict = useStore((state) => state.planned?.verdict);
  return (
    <div>
      {verdict && !verdict.ok && (
        <div className="notice bad" role="alert">
          ✕ DO NOT USE THIS PLAN. It breaks a rule: {verdict.violations[0]!.message}
        </div>
      )}
    </div>
  );
}

/** All else that must be said, in a place of its own below the work: what is read or typed above stays where it is. */
function Notices() {
  const failure = useStore((state) => state.planning.failure);
  const none = useStore((state) => state.planned === null);
  return (
    <div className="notices">
      <Remarks />
      {failure && (
        <div className="notice bad" role="alert">
          ✕ {failedText(failure, none)}
        </div>
      )}
      <NoticeLine />
    </div>
  );
}

/** The sheet above, a picture below, and what parts them. */
function Panes({ finding, setFinding }: { finding: boolean; setFinding: (on: boolean) => void }) {
  const split = useStore((state) => state.view.split);
  const show = useStore((state) => state.show);
  return (
    <main className="panes">
      {split > SHUT && (
        <div className="pane sheet" style={{ flex: `${split} 1 0` }}>
          <Safe>
            <SheetPane finding={finding} setFinding={setFinding} />
          </Safe>
        </div>
      )}
      <Divider
        kind="row"
        label="Height of the sheet"
        value={split}
        onChange={(to) => show({ split: to < 0.08 ? 0 : to > 0.94 ? 1 : to })}
      />
      {split < 0.96 && (
        <div className="pane" style={{ flex: `${1 - split} 1 0` }}>
          <Safe>
            <PartPane />
          </Safe>
        </div>
      )}
    </main>
  );
}

/** What keys, buttons and the shell's menu command. */
function useCommands(
  bridge: Bridge,
  open: Pick<Commands, 'about' | 'versions' | 'changes' | 'guide'> & { readonly importing: () => void },
) {
  const files = useMemo(() => fileCommands(bridge), [bridge]);
  const { importing, about, versions, changes, guide } = open;
  const commands: Commands = useMemo(() => {
    const session = useStore.getState;
    return {
      ...files,
      importRows: importing,
      exportSheet: (kind) => void files.exportFile(exportSheet(session(), kind)),
      exportPlan: () => {
        session().markUsed();
        void files.exportFile(exportPlan(session(), capacitySheets(session().scenario)));
      },
      exportCalendar: (part) => {
        session().markUsed();
        void files.exportFile(exportCalendar(session(), part, Date.now()));
      },
      about,
      versions,
      changes,
      guide,
    };
  }, [files, importing, about, versions, changes, guide]);
  const host = useMemo(
    () => ({
      bridge,
      say,
      saveExport: (name: string, bytes: Uint8Array) =>
        void files.exportFile(Promise.resolve({ name, bytes })),
    }),
    [bridge, files],
  );
  return { files, commands, host };
}

/** The frame: file and arrangement on top, what always counts below it, sheets, pictures and the panel of the arrangement. */
export function App({ bridge }: { bridge: Bridge }) {
  const [finding, setFinding] = useState(false);
  const [about, setAbout] = useState(() => localStorage.getItem(SEEN) === null);
  const [importing, setImporting] = useState(false);
  const [first, setFirst] = useState(about);
  const [tour, setTour] = useState<number | null>(null);
  const arrangement = useStore((state) => state.view.arrangement);
  const place = useStore((state) => state.view.place);
  const asked = useStore(({ selection }) => selection.question !== null || selection.activity !== null);
  const home = useRef<HTMLElement>(null);
  // What was asked about is closed: the focus goes back to the home, not to the top of the page.
  useEffect(() => {
    if (!asked && document.activeElement === document.body) home.current?.focus({ preventScroll: true });
  }, [asked]);
  const unsaved = useStore((state) => state.unsaved);
  const [kept, setKept] = useState<'versions' | 'changes' | null>(null);
  const [guide, setGuide] = useState(false);
  const dialogs = useMemo(
    () => ({
      importing: () => setImporting(true),
      about: () => setAbout(true),
      versions: () => setKept('versions'),
      changes: () => setKept('changes'),
      guide: () => setGuide(true),
    }),
    [],
  );
  const { files, commands, host } = useCommands(bridge, dialogs);
  const find = useCallback(() => {
    const { view, show } = useStore.getState();
    show({ place: 'sheets', split: Math.max(0.25, view.split) });
    setFinding(true);
    // One that is open already is gone back to.
    document.querySelector<HTMLInputElement>('.find input')?.select();
  }, []);

  useEffect(() => void files.start(), [files]);
  useEffect(() => watchFile(bridge), [bridge]);
  useEffect(() => keepDrafts(bridge), [bridge]);
  useEffect(() => keepEarlyKeys(), []);
  // Variants go to the file with the scenario: what is unsaved of them is among the edits.
  useEffect(() => bridge.setUnsaved(unsaved, false), [bridge, unsaved]);
  useLooks();
  useKeys(bridge, commands, find);

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
          <Strip />
        </Safe>
        <Alarm />
        <div className="work">
          <SheetTabs />
          {place === 'home' ? (
            <main className="panes" tabIndex={-1} aria-label="Home" ref={home}>
              <Safe>
                <Home arrangement={arrangement} />
              </Safe>
            </main>
          ) : (
            <Panes finding={finding} setFinding={setFinding} />
          )}
          {(asked || (place === 'sheets' && arrangement !== 'technician')) && (
            <Safe>
              <SidePanel title={ARRANGEMENTS[arrangement].panel} arrangement={arrangement} />
            </Safe>
          )}
        </div>
        <div>
          <FirstHint open={() => setGuide(true)} />
          {tour !== null && <Tour at={tour} go={setTour} own={commands.create} />}
          <Notices />
        </div>
        <footer className="foot">
          <span>{CAUTION.long}</span>
        </footer>
      </div>
      <DoneLine />
      <ReviewDialog />
      <FileQuestions bridge={bridge} />
      {kept === 'versions' && <VersionsDialog bridge={bridge} close={() => setKept(null)} />}
      {kept === 'changes' && <ChangesDialog bridge={bridge} close={() => setKept(null)} />}
      {guide && <FirstUnit close={() => setGuide(false)} />}
      {importing && <ImportDialog close={() => setImporting(false)} />}
      <About open={about} first={first} close={closeAbout} show={() => setTour(0)} />
    </HostContext>
  );
}
