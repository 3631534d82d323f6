import type { Chunk } from '../../src/capacity/answers/job.ts';

/** A chunk as plain JSON: its tables in base64, in this order and with these types. */
const TABLES = {
  census: Int32Array,
  bags: Int32Array,
  short: Float64Array,
  cause: Int8Array,
  round: Int16Array,
  supplyAtStart: Float64Array,
  supplyRound: Int16Array,
} as const;
type Table = keyof typeof TABLES;
const NAMES = Object.keys(TABLES) as Table[];

export type WireChunk = { readonly first: number; readonly count: number } & Readonly<Record<Table, string>>;

/** All computers that a broker serves are little-endian today; one that is not must not answer with swapped numbers. */
export const littleEndian = (): boolean => new Uint8Array(new Uint16Array([1]).buffer)[0] === 1;

export const toWire = (chunk: Chunk): WireChunk => ({
  first: chunk.first,
  count: chunk.count,
  ...(Object.fromEntries(
    NAMES.map((name) => {
      const { buffer, byteOffset, byteLength } = chunk[name];
      return [name, Buffer.from(buffer, byteOffset, byteLength).toString('base64')];
    }),
  ) as Record<Table, string>),
});

export function fromWire(wire: WireChunk): Chunk {
  const table = <T extends Table>(name: T): InstanceType<(typeof TABLES)[T]> => {
    const bytes = Uint8Array.from(Buffer.from(wire[name], 'base64'));
    return new TABLES[name](bytes.buffer) as InstanceType<(typeof TABLES)[T]>;
  };
  return {
    first: wire.first,
    count: wire.count,
    census: table('census'),
    bags: table('bags'),
    short: table('short'),
    cause: table('cause'),
    round: table('round'),
    supplyAtStart: table('supplyAtStart'),
    supplyRound: table('supplyRound'),
  };
}
