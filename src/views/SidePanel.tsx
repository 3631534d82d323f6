import type { Arrangement } from './arrangements.ts';
import { useStore } from './store.ts';

/** The panel of the arrangement: what this reader asks first. */
export function SidePanel({ title, arrangement }: { title: string; arrangement: Arrangement }) {
  const open = useStore((state) => state.view.side);
  const show = useStore((state) => state.show);
  return (
    <aside className="side" aria-label={title}>
      <button
        type="button"
        className="plain side-toggle"
        aria-expanded={open}
        aria-label={`${open ? 'Hide' : 'Show'} ${title}`}
        onClick={() => show({ side: !open })}
      >
        {open ? '›' : '‹'}
      </button>
      {open && (
        <div className="side-body">
          <h2>{title}</h2>
          <p>{arrangement}</p>
        </div>
      )}
    </aside>
  );
}
