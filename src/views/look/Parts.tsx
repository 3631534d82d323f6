import type { ReactNode } from 'react';

/** What a signal says; each has a shape of its own, so that none is told by its colour alone. */
export type Tone = 'good' | 'warn' | 'bad' | 'now' | 'quiet';

const SHAPES: Readonly<Record<Tone, ReactNode>> = {
  good: (
    <path d="M8 .8a7.2 7.2 0 1 1 0 14.4A7.2 7.2 0 0 1 8 .8Zm-1 10.3 4.9-5.4-1.3-1.2L7 8.6 5.3 6.9 4 8.2Z" />
  ),
  warn: <path d="M8 1.2 15.4 14.6H.6Zm-.9 4.3v5h1.8v-5Zm0 6v1.8h1.8v-1.8Z" fillRule="evenodd" />,
  bad: (
    <path
      d="M5 .8h6l4.2 4.2v6L11 15.2H5L.8 11V5Zm.6 3.6L4.4 5.6 6.8 8l-2.4 2.4 1.2 1.2L8 9.2l2.4 2.4 1.2-1.2L9.2 8l2.4-2.4-1.2-1.2L8 6.8Z"
      fillRule="evenodd"
    />
  ),
  now: <path d="M4 1.5 13.5 8 4 14.5Z" />,
  quiet: <circle cx="8" cy="8" r="3" />,
};

/** The shape of a signal; the words beside it say what it means. */
export const Sign = ({ tone }: { tone: Tone }) => (
  <svg className="sign" viewBox="0 0 16 16" fill="currentColor" aria-hidden="true">
    {SHAPES[tone]}
  </svg>
);

/** A word with its shape: covered, short, late, under way. */
export const Signal = ({ tone, children, ...rest }: { tone: Tone; children: ReactNode; title?: string }) => (
  <span className={`signal ${tone}`} {...rest}>
    <Sign tone={tone} />
    <span>{children}</span>
  </span>
);

interface CardProps {
  readonly title: string;
  /** A few words beside the title. */
  readonly about?: ReactNode;
  readonly actions?: ReactNode;
  readonly children: ReactNode;
  readonly className?: string;
}

/** One question and its answer, with a head of its own. */
export const Card = ({ title, about, actions, children, className = '' }: CardProps) => (
  <section className={`card ${className}`} aria-label={title}>
    <header>
      <h2>{title}</h2>
      {about !== undefined && <span className="about">{about}</span>}
      {actions !== undefined && (
        <>
          <span className="spacer" />
          {actions}
        </>
      )}
    </header>
    {children}
  </section>
);

/** What scrolls in its own box, by keys too. */
export const Scrolls = ({ label, children }: { label: string; children: ReactNode }) => (
  // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must take the focus
  <section className="scrolls" tabIndex={0} aria-label={label}>
    {children}
  </section>
);

export interface Look {
  readonly bath: string;
  readonly tint: string;
  readonly ink: string;
}
/** The name of a bath, and in bold what it lacks. */
export const BathText = ({ bath, free }: { bath: string; free: readonly string[] }) => (
  <>
    {bath}
    {free.length > 0 && <b className="free"> {free.join(' ')}</b>}
  </>
);
/** The name of a bath on its tint. */
export const BathChip = ({ look }: { look: Look }) => (
  <span className="chip" style={{ background: look.tint, color: look.ink }}>
    {look.bath}
  </span>
);
