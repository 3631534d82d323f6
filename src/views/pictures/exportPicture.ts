import { CAUTION } from '../../words/cautions.ts';
import { typefaceFor } from '../look/typeface.ts';

const KEPT = [
  'fill',
  'fill-opacity',
  'stroke',
  'stroke-width',
  'stroke-dasharray',
  'stroke-opacity',
  'opacity',
  'font-family',
  'font-size',
  'font-weight',
  'text-anchor',
  'dominant-baseline',
  'shape-rendering',
  'visibility',
  'display',
] as const;

/** Writes what the style sheet says as attributes, since the file stands alone. Attributes, not `style`: no policy forbids them. */
function inlineStyles(from: Element, to: Element): void {
  const style = getComputedStyle(from);
  for (const name of KEPT) {
    const value = style.getPropertyValue(name);
    if (value) to.setAttribute(name, value.replace(/url\("?[^"#]*(#[^")]+)"?\)/, 'url($1)'));
  }
  to.removeAttribute('class');
  for (const name of to.getAttributeNames())
    if (name === 'tabindex' || name === 'role' || name.startsWith('data-')) to.removeAttribute(name);
  for (let index = 0; index < from.children.length; index++)
    inlineStyles(from.children[index]!, to.children[index]!);
}

/** px below an exported picture, for the caution. */
const FOOT = 20;

/** px above an exported picture, for its title and what it is of. */
const HEAD = 40;

/** A line of text beside a picture, as its file goes about alone. */
function lineAt(
  text: string,
  [x, y]: readonly [number, number],
  scale: number,
  of: CSSStyleDeclaration,
): SVGElement {
  const line = document.createElementNS('http://www.w3.org/2000/svg', 'text');
  line.setAttribute('x', String(x + 8 * scale));
  line.setAttribute('y', String(y));
  line.setAttribute('font-family', of.getPropertyValue('font-family'));
  line.setAttribute('font-size', String(12 * scale));
  line.setAttribute('fill', of.getPropertyValue('color'));
  line.textContent = text;
  return line;
}

/**
 * A picture as an SVG file of its own, as it is on screen, on its background, in the page's own typeface.
 * @param of what it is of: the scenario's title, when it was saved, names of what it shows
 */
export async function svgText(svg: SVGSVGElement, title: string, of: string): Promise<string> {
  const copy = svg.cloneNode(true) as SVGSVGElement;
  inlineStyles(svg, copy);
  copy.querySelectorAll('[data-screen-only]').forEach((node) => {
    node.remove();
  });
  const { width, height } = svg.getBoundingClientRect();
  copy.setAttribute('xmlns', 'http://www.w3.org/2000/svg');
  const box = (svg.getAttribute('viewBox') ?? `0 0 ${width} ${height}`).split(' ').map(Number);
  const scale = box[3]! / height;
  copy.setAttribute('width', String(width));
  const [left = 0, top = 0, , high = 0] = box;
  const head = top - HEAD * scale;
  copy.setAttribute('height', String(height + HEAD + FOOT));
  copy.setAttribute('viewBox', `${left} ${head} ${box[2]} ${high + (HEAD + FOOT) * scale}`);
  const paper = document.createElementNS('http://www.w3.org/2000/svg', 'rect');
  paper.setAttribute('x', String(left));
  paper.setAttribute('y', String(head));
  paper.setAttribute('width', '100%');
  paper.setAttribute('height', '100%');
  paper.setAttribute('fill', getComputedStyle(svg).getPropertyValue('--picture-paper').trim() || '#ffffff');
  copy.prepend(paper);
  const style = getComputedStyle(svg);
  copy.append(
    lineAt(title, [left, head + 16 * scale], scale, style),
    lineAt(of, [left, head + 32 * scale], scale, style),
    lineAt(CAUTION.short, [left, top + high + 14 * scale], scale, style),
  );
  const name = document.createElementNS('http://www.w3.org/2000/svg', 'title');
  name.textContent = title;
  const face = document.createElementNS('http://www.w3.org/2000/svg', 'style');
  face.textContent = await typefaceFor(copy.textContent ?? '');
  copy.prepend(name, face);
  return `<?xml version="1.0" encoding="UTF-8"?>\n${new XMLSerializer().serializeToString(copy)}\n`;
}

/**
 * The same picture as PNG.
 * @param scale pixels per CSS px; less when the picture would pass the browser's limit of canvas size
 * @throws Error when the browser cannot draw it
 */
export async function pngBytes(
  svg: SVGSVGElement,
  title: string,
  of: string,
  scale = 2,
): Promise<Uint8Array<ArrayBuffer>> {
  const { width, height: drawn } = svg.getBoundingClientRect();
  const height = drawn + HEAD + FOOT;
  const image = new Image();
  const url = URL.createObjectURL(new Blob([await svgText(svg, title, of)], { type: 'image/svg+xml' }));
  try {
    await new Promise<void>((resolve, reject) => {
      image.onload = () => resolve();
      image.onerror = () => reject(new Error('The picture could not be drawn as PNG. Save it as SVG.'));
      image.src = url;
    });
    const fit = Math.min(scale, 16_000 / Math.max(width, height, 1));
    const canvas = document.createElement('canvas');
    canvas.width = Math.max(1, Math.round(width * fit));
    canvas.height = Math.max(1, Math.round(height * fit));
    const context = canvas.getContext('2d');
    if (!context) throw new Error('The picture could not be drawn as PNG. Save it as SVG.');
    context.drawImage(image, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, 'image/png'));
    if (!blob) throw new Error('The picture could not be written as PNG. Save it as SVG.');
    return new Uint8Array(await blob.arrayBuffer());
  } finally {
    URL.revokeObjectURL(url);
  }
}
