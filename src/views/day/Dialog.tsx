import { type ReactNode, useEffect, useRef } from 'react';

interface DialogProps {
  readonly title: string;
  readonly onClose: () => void;
  readonly children: ReactNode;
}

/** A question on top of all else: it keeps the focus, and Escape takes it back. */
export function Dialog({ title, onClose, children }: DialogProps) {
  const box = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const dialog = box.current;
    dialog?.showModal();
    return () => dialog?.close();
  }, []);
  return (
    <dialog ref={box} className="note-dialog" aria-label={title} onCancel={onClose} onClose={onClose}>
      <h2>{title}</h2>
      {children}
    </dialog>
  );
}
