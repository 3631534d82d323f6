import { createPortal } from 'react-dom';
import type { ChiefPage as Page } from '../../reports/chief.ts';
import { CAUTION, NO_PRESCRIBING } from '../../words/cautions.ts';
import { useHost } from '../state/hostContext.ts';
import { localTime } from '../state/planned.ts';
import { useStore } from '../state/store.ts';
import './chief.css';

function Body({ page: { names, rows, ranking, sources } }: { page: Page }) {
  const title = useStore((state) => state.scenario.title);
  return (
    <>
      <p>
        <b>{title}</b>, {localTime(new Date()).replace('T', ' ')}
      </p>
      <table className="plain">
        <thead>
          <tr>
            <th scope="col">What</th>
            {names.map((name) => (
              <th key={name} scope="col">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(({ head, cells }) => (
            <tr key={head}>
              <th scope="row">{head}</th>
              {cells.map((cell, index) => (
                <td key={names[index]}>{cell}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      <p role="note">{ranking}</p>
      <h3>Where the numbers come from</h3>
      <ul>
        {sources.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      <p>
        {CAUTION.long} {NO_PRESCRIBING}
      </p>
    </>
  );
}

/** One page for who decides: variants side by side, on screen and, while it is shown, on paper. */
export function ChiefPage({ page }: { page: Page }) {
  const { bridge, say } = useHost();
  const print = () =>
    bridge.printPdf('bathtide-variants.pdf').then(
      () => {},
      (error: unknown) => say({ tone: 'bad', text: String(error) }),
    );
  return (
    <section className="chief" aria-label="Variants on one page">
      <header>
        <h2>Variants on one page</h2>
        <button type="button" onClick={() => void print()}>
          Print this page
        </button>
      </header>
      <Body page={page} />
      {createPortal(
        <div className="paper-print chief-print" aria-hidden="true">
          <h2>Variants</h2>
          <Body page={page} />
        </div>,
        document.body,
      )}
    </section>
  );
}
