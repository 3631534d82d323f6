import { listText } from '../words/numbers.ts';
import { isHeadingLine, type Mapping, mapHeadings } from './headings.ts';
import type { Sheet } from './sheet.ts';

/** A table as a person keeps it, with what stands around its rows parted from them. */
interface Tabled {
  readonly headings: readonly string[];
  /** Which field each heading means. */
  readonly mapping: Mapping;
  readonly rows: readonly (readonly string[])[];
  /** Lines that are no rows, in words; they are shown before anything counts. */
  readonly passed: readonly string[];
}

/** Headings stand within so many lines from the top. */
const TOP = 15;
const filled = (line: readonly string[]): string[] =>
  line.map((text) => text.trim()).filter((text) => text !== '');
const short = (line: readonly string[]): string => {
  const text = filled(line).join(' ');
  return text.length > 40 ? `${text.slice(0, 39)}…` : text;
};
const TOTAL = /^(?:grand |sub)?totals?\b|^sum\b|^average\b|^mean\b|^Σ/i;
const NOTE = /^(?:notes?\b|remarks?\b|\*|†|legend\b|source\b|printed\b|page \d)/i;

/** A sum below or between rows: its first text says so. */
const isTotal = (line: readonly string[]): boolean => TOTAL.test(filled(line)[0] ?? '');
/** One text alone that is a sentence or says that it is a note, where rows have several. */
const isNote = (line: readonly string[]): boolean => {
  const texts = filled(line);
  return texts.length === 1 && (NOTE.test(texts[0]!) || texts[0]!.split(/\s+/).length >= 4);
};

/**
 * Finds the headings below titles, and leaves out blank lines, repeated headings, totals and notes. Without a line that
 * looks like headings the first one is taken for it.
 */
export function tableIn(sheet: Sheet, lines: readonly (readonly string[])[]): Tabled {
  const mapped = lines.slice(0, TOP).map((line) => mapHeadings(sheet.fields, line));
  const found = mapped.findIndex((mapping, at) => isHeadingLine(mapping, lines[at]!));
  const head = Math.max(0, found);
  const headings = lines[head] ?? [];
  const same = (line: readonly string[]) => line.join('\t').trim() === headings.join('\t').trim();
  const rows: (readonly string[])[] = [];
  const passed = lines
    .slice(0, head)
    .filter((line) => filled(line).length > 0)
    .map((line) => `title '${short(line)}'`);
  for (const line of lines.slice(head + 1)) {
    if (filled(line).length === 0) continue;
    if (same(line)) passed.push('repeated headings');
    else if (isTotal(line)) passed.push(`total '${short(line)}'`);
    else if (isNote(line)) passed.push(`note '${short(line)}'`);
    else rows.push(line);
  }
  return { headings, mapping: mapped[head] ?? [], rows, passed };
}

/** What was passed over, as one sentence; '' where nothing was. */
export const passedText = (passed: readonly string[]): string =>
  passed.length === 0 ? '' : `Passed over: ${listText(passed)}.`;
