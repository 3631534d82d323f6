import { typefaceFor } from '../look/typeface.ts';

/** The state of form fields lives in properties, which a clone of the page does not carry. */
function copyFields(from: ParentNode, to: ParentNode) {
  const fields = 'input, textarea, select';
  const copies = to.querySelectorAll<HTMLElement>(fields);
  from.querySelectorAll<HTMLElement>(fields).forEach((field, index) => {
    const copy = copies[index];
    if (field instanceof HTMLInputElement && copy) {
      copy.setAttribute('value', field.value);
      copy.toggleAttribute('checked', field.checked);
    }
    if (field instanceof HTMLTextAreaElement && copy) copy.textContent = field.value;
    if (field instanceof HTMLSelectElement && copy) {
      copy.querySelectorAll('option').forEach((option, at) => {
        option.toggleAttribute('selected', at === field.selectedIndex);
      });
    }
  });
}

/** Canvases are bitmaps outside the markup: they go along as pictures. */
function copyCanvases(from: ParentNode, to: ParentNode) {
  const copies = to.querySelectorAll('canvas');
  from.querySelectorAll('canvas').forEach((canvas, index) => {
    const picture = document.createElement('img');
    picture.src = canvas.toDataURL();
    copies[index]?.replaceWith(picture);
  });
}

/**
 * The page as it stands, as one HTML text that needs nothing else: its style rules and typeface inside, no scripts, no
 * open dialog.
 * The host prints it to a PDF.
 */
export async function snapshot(): Promise<string> {
  const page = document.documentElement.cloneNode(true) as HTMLElement;
  copyFields(document, page);
  copyCanvases(document, page);
  for (const part of page.querySelectorAll('script, link, style, meta, dialog')) part.remove();
  const sheets = [...document.styleSheets, ...document.adoptedStyleSheets];
  const rules = sheets
    .flatMap((sheet) => [...sheet.cssRules])
    .flatMap((rule) => (rule instanceof CSSFontFaceRule ? [] : [rule.cssText]));
  rules.unshift(await typefaceFor(page.textContent ?? ''));
  const style = document.createElement('style');
  style.textContent = rules.join('\n').replaceAll('</', '<\\/');
  const charset = document.createElement('meta');
  charset.setAttribute('charset', 'utf-8');
  page.querySelector('head')?.prepend(charset, style);
  return `<!doctype html>\n${page.outerHTML}`;
}
