/**
 * Whether the bags of a fill hold what they must and no more than they may: by what was measured, else by the minutes
 * that it ran (1000 x bags x litres / flow, M13).
 */
export function volumeDoubt(fill: {
  /** L in a bag, or null where nobody measured */
  readonly litres: number | null;
  readonly minutes: number;
  readonly shortest: number;
  readonly longest: number;
  readonly fillLitres: number;
  readonly maxLitres: number;
}): 'overfull' | 'too little' | null {
  const { litres, minutes, shortest, longest, fillLitres, maxLitres } = fill;
  if (litres !== null) {
    if (litres > maxLitres + 1e-9) return 'overfull';
    return litres < fillLitres - 1e-9 ? 'too little' : null;
  }
  if (minutes > longest) return 'overfull';
  return minutes < shortest ? 'too little' : null;
}
