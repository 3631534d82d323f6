import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';

const utf8 = new TextEncoder();

/** SHA-256 (FIPS 180-4) of a text's UTF-8 bytes, as 64 hexadecimal digits. */
export const sha256Of = (text: string): string => bytesToHex(sha256(utf8.encode(text)));
