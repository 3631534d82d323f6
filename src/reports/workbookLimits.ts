import { Unzip, UnzipInflate, zipSync } from 'fflate';

/** What a workbook may hold that is read: far above any scenario, far below what stops a computer. */
export const MOST = {
  /** bytes, packed */
  packed: 20_000_000,
  /** bytes, all parts unpacked */
  unpacked: 60_000_000,
  rows: 20_000,
  columns: 500,
  parts: 1_000,
};
/** Bytes given to the unpacker at a time: each can grow a thousandfold before it is counted. */
const PIECE = 16_384;

const refuse = (what: string, expected: string): never => {
  throw new Error(`${what}. Expected: ${expected}`);
};
const millions = (bytes: number) => `${Math.round(bytes / 1e6)} MB`;

/** Every part of a ZIP (APPNOTE.TXT 6.3), counted while it is unpacked: what its head says of its size may be a lie. */
function unpacked(bytes: Uint8Array): Record<string, Uint8Array> {
  const parts = new Map<string, Uint8Array[]>();
  let size = 0;
  const unzip = new Unzip((part) => {
    if (parts.has(part.name) || parts.size >= MOST.parts)
      refuse('The workbook has too many parts, or one twice', `at most ${MOST.parts} parts, each once`);
    const pieces: Uint8Array[] = [];
    parts.set(part.name, pieces);
    part.ondata = (error, piece) => {
      if (error) throw error;
      size += piece.length;
      if (size > MOST.unpacked)
        refuse(`The workbook unpacks to more than ${millions(MOST.unpacked)}`, 'a workbook of fewer rows');
      pieces.push(piece);
    };
    part.start();
  });
  unzip.register(UnzipInflate);
  for (let at = 0; at < bytes.length; at += PIECE)
    unzip.push(bytes.subarray(at, at + PIECE), at + PIECE >= bytes.length);
  return Object.fromEntries([...parts].map(([name, pieces]) => [name, joined(pieces)]));
}

function joined(pieces: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(pieces.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}

/** XFD -> 16384 */
const columnOf = (letters: string): number =>
  [...letters].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 64, 0);

const REFERENCE = /\s(?:r|ref)\s*=\s*(?:"([^"]*)"|'([^']*)')/g;
const PLACE = /^\$?([A-Z]{0,3})\$?(\d{0,7})$/;

/** Looks at where the cells of a sheet say they are, before anybody makes a table of that size. */
function checkPlaces(name: string, xml: string): void {
  if (/<!(DOCTYPE|ENTITY)/i.test(xml)) refuse(`${name} declares entities`, 'a workbook without them');
  if (!/^xl\/worksheets\//i.test(name)) return;
  for (const [, double, single] of xml.matchAll(REFERENCE)) {
    const reference = double ?? single ?? '';
    // Letters written as numbers (&#88;) would be read as letters by the reader of the sheet.
    if (reference.includes('&')) refuse(`${name} hides where its cells are`, 'cells such as B2');
    for (const place of reference.split(':')) {
      const [, letters = '', row = ''] = PLACE.exec(place) ?? [];
      if (columnOf(letters) > MOST.columns || Number(row) > MOST.rows)
        refuse(
          `${name} has a cell at ${place.slice(0, 12)}`,
          `at most ${MOST.rows} rows and ${MOST.columns} columns. Delete what lies beyond your table, also empty cells with a format`,
        );
    }
  }
}

/**
 * A workbook (XLSX, ECMA-376) within limits, packed anew: so what is read afterwards is what was looked at here.
 * @throws Error with what is wrong and what is expected; before anything of a size that a file could name is made
 */
export function withinLimits(bytes: Uint8Array): Uint8Array {
  if (bytes.length > MOST.packed)
    refuse(`The workbook has ${millions(bytes.length)}`, `at most ${millions(MOST.packed)}`);
  const parts = unpacked(bytes);
  if (Object.keys(parts).length === 0) refuse('The file is no workbook', 'a file saved as .xlsx');
  const decoder = new TextDecoder();
  for (const [name, part] of Object.entries(parts)) {
    const twoBytes = (part[0] === 0xff && part[1] === 0xfe) || (part[0] === 0xfe && part[1] === 0xff);
    // Another encoding would hide from the look below what the reader then sees.
    if (/\.(xml|rels)$/i.test(name) && (twoBytes || part.subarray(0, 200).includes(0)))
      refuse(`${name} is not UTF-8`, 'a workbook as spreadsheets save it');
    if (/\.xml$/i.test(name)) checkPlaces(name, decoder.decode(part));
  }
  return zipSync(parts, { level: 0 });
}
