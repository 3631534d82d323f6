/** Whether a list of ranges as style sheets write it (U+0041-005A, U+20AC) has a character of a text; '' has all. */
export function hasOneOf(ranges: string, text: string): boolean {
  if (ranges.trim() === '') return text !== '';
  const spans = ranges.split(',').map((range) => {
    const [from = '', to = from] = range.trim().replace(/^U\+/i, '').split('-');
    // A ? stands for any digit.
    return [from.replaceAll('?', '0'), to.replaceAll('?', 'F')].map((hex) => Number.parseInt(hex, 16));
  });
  return [...new Set(text)].some((letter) => {
    const code = letter.codePointAt(0)!;
    return spans.some(([from, to]) => code >= from! && code <= to!);
  });
}

const base64 = (bytes: Uint8Array): string => {
  let letters = '';
  for (const byte of bytes) letters += String.fromCharCode(byte);
  return btoa(letters);
};

/**
 * The page's own typeface as style rules that hold their files: what leaves the page finds no file beside it.
 * @param text what is written in it: files of other alphabets stay out
 * @returns '' where a file cannot be had; then the reader's own typeface stands in
 */
export async function typefaceFor(text: string): Promise<string> {
  const faces = [...document.styleSheets].flatMap((sheet) =>
    [...sheet.cssRules].flatMap((rule) =>
      rule instanceof CSSFontFaceRule ? [{ style: rule.style, from: sheet.href ?? document.baseURI }] : [],
    ),
  );
  const rules = faces
    .filter(({ style }) => hasOneOf(style.getPropertyValue('unicode-range'), text))
    .map(async ({ style, from }) => {
      const path = /url\("?([^")]+)"?\)/.exec(style.getPropertyValue('src'))?.[1];
      if (path === undefined) return '';
      const bytes = new Uint8Array(await (await fetch(new URL(path, from))).arrayBuffer());
      const told = ['font-family', 'font-style', 'font-weight', 'unicode-range']
        .map((name) => [name, style.getPropertyValue(name)] as const)
        .filter(([, value]) => value !== '')
        .map(([name, value]) => `${name}:${value}`);
      return `@font-face{${told.join(';')};src:url(data:font/woff2;base64,${base64(bytes)}) format("woff2")}`;
    });
  return (await Promise.all(rules).catch(() => [])).join('\n');
}
