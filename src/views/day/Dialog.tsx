import { type ReactNode, useEffect, useRef } from 'react';

interface DialogProps {
  readonly title: string;
  readonly onClose: () => void;
  readonly children: ReactNode;
}

/** A question on top of all else: it keeps the focus, Escape takes it back, and the focus goes back to where it was. */
export function Dialog({ title, onClose, children }: DialogProps) {
  const box = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const dialog = box.current;
    const before = document.activeElement;
    dialog?.showModal();
    return () => {
      dialog?.close();
      // The dialog is gone from the page by now: nothing else would give the focus back.
      if (before instanceof HTMLElement) before.focus({ preventScroll: true });
    };
  }, []);
  return (
    <dialog ref={box} className="note-dialog" aria-label={title} onCancel={onClose} onClose={onClose}>
      <h2>{title}</h2>
      {children}
    </dialog>
  );
}
