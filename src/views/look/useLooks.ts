import { useEffect } from 'react';
import { type State, useStore } from '../state/store.ts';

const KEY = 'bathtide.looks';
const remembered = (): Partial<Pick<State, 'theme' | 'zoom'>> => {
  const { theme, zoom } = JSON.parse(localStorage.getItem(KEY) ?? '{}') as Partial<State>;
  return {
    ...((theme === 'dark' || theme === 'light') && { theme }),
    ...(typeof zoom === 'number' && zoom >= 80 && zoom <= 200 && { zoom }),
  };
};

/** Puts light and zoom on the page and remembers them on this computer. */
export function useLooks(): void {
  const theme = useStore((state) => state.theme);
  const zoom = useStore((state) => state.zoom);
  useEffect(() => {
    const system = window.matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light';
    useStore.getState().set({ theme: system, ...remembered() });
  }, []);
  useEffect(() => {
    document.documentElement.dataset.theme = theme;
    document.documentElement.style.fontSize = `${(13 * zoom) / 100}px`;
    localStorage.setItem(KEY, JSON.stringify({ theme, zoom }));
  }, [theme, zoom]);
}
