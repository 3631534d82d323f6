import { type RefObject, useLayoutEffect, useRef, useState } from 'react';

/** The width of an element in CSS px, followed; `given` when nothing is on screen yet (or for a fixed picture). */
export function useWidth(given: number): [RefObject<HTMLDivElement | null>, number] {
  const ref = useRef<HTMLDivElement | null>(null);
  const [width, setWidth] = useState(given);
  useLayoutEffect(() => {
    const element = ref.current;
    if (!element) return;
    const read = () => {
      const next = Math.floor(element.clientWidth);
      if (next > 0) setWidth(next);
    };
    read();
    const observer = new ResizeObserver(read);
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return [ref, width];
}
