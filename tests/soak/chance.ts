/** Numbers that look like chance and are the same for the same seed (mulberry32, public domain). In [0, 1). */
export function chanceOf(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** A text with a few bytes lost, doubled, changed or swapped with pieces of itself. */
export function mutated(bytes: Uint8Array, chance: () => number): Uint8Array {
  let now = [...bytes.subarray(0, 200_000)];
  const at = () => Math.floor(chance() * Math.max(1, now.length));
  for (let n = 1 + Math.floor(chance() * 4); n > 0; n--) {
    const [from, length] = [at(), 1 + Math.floor(chance() * 12)];
    const what = Math.floor(chance() * 5);
    if (what === 0) now.splice(from, length);
    else if (what === 1) now.splice(from, 0, ...now.slice(at()).slice(0, length));
    else if (what === 2) now[from] = Math.floor(chance() * 256);
    else if (what === 3)
      now.splice(from, 1, ...new TextEncoder().encode('0-9e"{}[],:=\u0000é'.charAt(at() % 16)));
    else now = now.slice(0, at());
  }
  return Uint8Array.from(now);
}
