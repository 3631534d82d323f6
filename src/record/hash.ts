import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';

const utf8 = new TextEncoder();

/** SHA-256 (FIPS 180-4) of bytes, as 64 hexadecimal digits. */
const sha256OfBytes = (bytes: Uint8Array): string => bytesToHex(sha256(bytes));

/** SHA-256 of a text's UTF-8 bytes. */
export const sha256Of = (text: string): string => sha256OfBytes(utf8.encode(text));

/** SHA-256 of each line of a text that has its end, in order: the text is turned into bytes once, not line by line. */
export function* sha256OfLines(text: string): Generator<string, void> {
  const bytes = utf8.encode(text);
  let from = 0;
  for (let end = bytes.indexOf(0x0a); end >= 0; from = end + 1, end = bytes.indexOf(0x0a, from))
    yield sha256OfBytes(bytes.subarray(from, end));
}
