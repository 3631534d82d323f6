import { datamatrix, drawingSVG } from 'bwip-js/browser';

/** A barcode as one path in a square of `size` units. */
export interface Barcode {
  readonly size: number;
  readonly path: string;
}

/**
 * Data Matrix (ISO/IEC 16022) of plain ASCII text, the only door to the barcode library. The white space around it is
 * the page's to keep: at least one module on each side.
 * @throws Error when the text is too long for one symbol (about 2,300 characters)
 */
export function dataMatrix(text: string): Barcode {
  const svg = datamatrix({ bcid: 'datamatrix', text, scale: 1 }, drawingSVG());
  const size = Number(/viewBox="0 0 (\d+) \d+"/.exec(svg)?.[1]);
  const path = [...svg.matchAll(/<path d="([^"]+)"/g)].map(([, d]) => d).join('');
  if (!size || !path) throw new Error(`no barcode could be drawn of '${text}'`);
  return { size, path };
}
