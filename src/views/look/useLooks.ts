import { useEffect } from 'react';
import { type State, useStore } from '../state/store.ts';

const KEY = 'bathtide.looks';
const remembered = (): Partial<Pick<State, 'theme' | 'zoom' | 'density'>> => {
  const { theme, zoom, density } = JSON.parse(localStorage.getItem(KEY) ?? '{}') as Partial<State>;
  return {
    ...((theme === 'dark' || theme === 'light') && { theme }),
    ...((density === 'dense' || density === 'touch') && { density }),
    ...(typeof zoom === 'number' && zoom >= 80 && zoom <= 200 && { zoom }),
  };
};

/** Puts light, zoom and the size of what is hit on the page and remembers them on this computer. */
export function useLooks(): void {
  const theme = useStore((state) => state.theme);
  const zoom = useStore((state) => state.zoom);
  const density = useStore((state) => state.density);
  useEffect(() => {
    const system = window.matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light';
    // A screen that is touched alone, such as a tablet, starts with larger targets.
    const coarse = window.matchMedia('(pointer: coarse) and (hover: none)').matches ? 'touch' : 'dense';
    useStore.getState().set({ theme: system, density: coarse, ...remembered() });
  }, []);
  useEffect(() => {
    document.documentElement.dataset.theme = theme;
    document.documentElement.dataset.density = density;
    document.documentElement.style.fontSize = `${(13 * zoom) / 100}px`;
    localStorage.setItem(KEY, JSON.stringify({ theme, zoom, density }));
  }, [theme, zoom, density]);
}
