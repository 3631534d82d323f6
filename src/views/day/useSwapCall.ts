import { useEffect, useRef } from 'react';
import type { PlaceNow } from '../../reports/day/places.ts';
import { listText } from '../../words/numbers.ts';
import { useStore } from '../state/store.ts';

const SOUND = 'bathtide.sound';
/** min before a swap window opens at which it calls, and before it closes at which it calls again. */
const SOON = 5;

/** How near a swap is: soon, open, about to close; null: nothing calls. */
type Nearness = 'soon' | 'open' | 'closing';
export function nearnessOf(
  { window, tone }: Pick<PlaceNow, 'window' | 'tone'>,
  now: number,
): Nearness | null {
  if (!window || tone === 'bad' || now < window.from - SOON || now > window.to) return null;
  if (now < window.from) return 'soon';
  return now >= window.to - SOON ? 'closing' : 'open';
}

/** Two short notes. A browser that has no sound, or allows none before a tap, stays silent: title, color and word say it too. */
export function ring(): void {
  try {
    const audio = new AudioContext();
    for (const [index, pitch] of [880, 1175].entries()) {
      const note = audio.createOscillator();
      const loud = audio.createGain();
      const at = audio.currentTime + index * 0.25;
      note.frequency.value = pitch;
      loud.gain.setValueAtTime(0.2, at);
      loud.gain.exponentialRampToValueAtTime(0.001, at + 0.22);
      note.connect(loud).connect(audio.destination);
      note.start(at);
      note.stop(at + 0.23);
    }
    setTimeout(() => void audio.close().catch(() => undefined), 1000);
  } catch {
    // No sound here.
  }
}

/** Whether this computer rings, remembered. */
export const ringsHere = (): boolean => localStorage.getItem(SOUND) === 'on';
export const keepRinging = (on: boolean): void => localStorage.setItem(SOUND, on ? 'on' : 'off');

/** Swaps that are near call in the page's title, and, where somebody has turned it on, by a sound each time one comes nearer. */
export function useSwapCall(places: readonly PlaceNow[], now: number): void {
  const sound = useStore((state) => state.sound);
  const near = places.flatMap((place) => {
    const nearness = nearnessOf(place, now);
    return nearness ? [{ id: place.id, nearness }] : [];
  });
  const key = near.map(({ id, nearness }) => `${id} ${nearness}`).join(', ');
  const called = useRef('');
  const own = useRef(document.title);
  useEffect(() => {
    const fresh = key.split(', ').some((one) => one !== '' && !called.current.split(', ').includes(one));
    called.current = key;
    if (fresh && sound) ring();
  }, [key, sound]);
  const names = listText(near.map(({ id }) => id));
  useEffect(() => {
    const before = own.current;
    document.title = names ? `Swap ${names} · ${before}` : before;
    return () => {
      document.title = before;
    };
  }, [names]);
}
