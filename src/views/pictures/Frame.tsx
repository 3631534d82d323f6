import { type ReactNode, useId, useRef, useState } from 'react';
import { localTime } from '../state/planned.ts';
import { useStore } from '../state/store.ts';
import { pngBytes, svgText } from './exportPicture.ts';
import './pictures.css';

/** Receives a picture's file; the app hands it to its host. */
export type OnExport = (name: string, bytes: Uint8Array) => void;

interface FrameProps {
  readonly title: string;
  /** One sentence that says what the picture shows, read by screen readers too. */
  readonly summary: string;
  /** File name without ending. */
  readonly name: string;
  /** Names of what it shows, for its file. */
  readonly names?: string | undefined;
  readonly onExport?: OnExport | undefined;
  readonly tools?: ReactNode;
  readonly legend?: ReactNode;
  readonly children: ReactNode;
}

/** A picture with its title, what it says in a sentence, its legend and its ways out as SVG and PNG. */
export function Frame({ title, summary, name, names, onExport, tools, legend, children }: FrameProps) {
  const body = useRef<HTMLDivElement>(null);
  const [failed, setFailed] = useState('');
  const id = useId();
  const scenario = useStore((state) => state.scenario.title);
  const save = async (kind: 'svg' | 'png') => {
    const svg = body.current?.querySelector('svg');
    if (!svg || !onExport) return;
    // The file goes about alone: whose it is, and of when.
    const of = [scenario, `saved ${localTime(new Date())}`, names].filter(Boolean).join(' · ');
    try {
      const bytes =
        kind === 'svg'
          ? new TextEncoder().encode(await svgText(svg, title, of))
          : await pngBytes(svg, title, of);
      setFailed('');
      onExport(`${name}.${kind}`, bytes);
    } catch (error) {
      setFailed(error instanceof Error ? error.message : String(error));
    }
  };
  return (
    <figure className="picture" aria-labelledby={`${id}-title`}>
      <div className="picture-head">
        <h2 id={`${id}-title`}>{title}</h2>
        <p className="picture-summary">{summary}</p>
        <div className="picture-tools">
          {tools}
          {onExport && (
            <>
              <button type="button" onClick={() => void save('svg')} aria-label={`Save ${title} as SVG`}>
                SVG
              </button>
              <button type="button" onClick={() => void save('png')} aria-label={`Save ${title} as PNG`}>
                PNG
              </button>
            </>
          )}
        </div>
      </div>
      {failed && (
        <p className="picture-failed" role="alert">
          {failed}
        </p>
      )}
      {legend}
      <div ref={body} className="picture-body">
        {children}
      </div>
    </figure>
  );
}
