import { type RefObject, useLayoutEffect, useRef, useState } from 'react';

/** The root's font size, CSS px, at which one unit of a picture is one px: the app's zoom changes it. */
const PLAIN = 13;

export interface Room {
  /** Width of a picture in its own units; on screen each is `scale` CSS px wide. */
  readonly width: number;
  readonly scale: number;
}

/** The room that an element offers to a picture, followed as the window or the app's zoom changes; `given` until it is known. */
export function useRoom(given: number): [RefObject<HTMLDivElement | null>, Room] {
  const ref = useRef<HTMLDivElement | null>(null);
  const [room, setRoom] = useState<Room>({ width: given, scale: 1 });
  useLayoutEffect(() => {
    const element = ref.current;
    if (!element) return;
    const root = document.documentElement;
    const read = () => {
      const scale = Math.max(0.5, Number.parseFloat(getComputedStyle(root).fontSize) / PLAIN || 1);
      const width = Math.floor(element.clientWidth / scale);
      if (width > 0) setRoom((old) => (old.width === width && old.scale === scale ? old : { width, scale }));
    };
    read();
    const resized = new ResizeObserver(read);
    resized.observe(element);
    const zoomed = new MutationObserver(read);
    zoomed.observe(root, { attributes: true, attributeFilter: ['style'] });
    return () => {
      resized.disconnect();
      zoomed.disconnect();
    };
  }, []);
  return [ref, room];
}
