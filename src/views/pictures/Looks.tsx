import type { BathLook } from '../../reports/palette.ts';

/** The fill of a bath's pattern, drawn over its tint. */
export const patternUrl = (prefix: string, bath: number): string => `url(#${prefix}-bath-${bath})`;

function Strokes({ pattern, ink }: Pick<BathLook, 'pattern' | 'ink'>) {
  const line = { stroke: ink, strokeWidth: 1, strokeOpacity: 0.55, fill: 'none' };
  switch (pattern) {
    case 'plain':
      return null;
    case 'waves':
      return <path d="M0,3 l2,-2 l4,4 l2,-2 M0,7 l2,-2 l4,4 l2,-2" {...line} />;
    case 'backslash':
      return <path d="M-2,6 l4,4 M0,0 l8,8 M6,-2 l4,4" {...line} />;
    case 'cross':
      return <path d="M0,8 l8,-8 M0,0 l8,8" {...line} />;
    case 'rows':
      return <path d="M0,2 h8 M0,6 h8" {...line} />;
    case 'columns':
      return <path d="M2,0 v8 M6,0 v8" {...line} />;
    case 'dots':
      return <path d="M1,2 h2 M5,6 h2" {...line} strokeWidth={2} />;
    case 'rings':
      return <circle cx={4} cy={4} r={2.2} {...line} />;
  }
}

/** Patterns of the baths, and the hatches for what is wrong or away. */
export function LookDefs({ looks, prefix }: { looks: readonly BathLook[]; prefix: string }) {
  return (
    <defs>
      {looks.map((look, bath) => (
        <pattern
          key={look.bath}
          id={`${prefix}-bath-${bath}`}
          width={8}
          height={8}
          patternUnits="userSpaceOnUse"
        >
          <Strokes pattern={look.pattern} ink={look.ink} />
        </pattern>
      ))}
      <pattern id={`${prefix}-unmet`} width={7} height={7} patternUnits="userSpaceOnUse">
        <rect width={7} height={7} className="unmet-ground" />
        <path d="M-2,2 l4,-4 M0,7 l7,-7 M5,9 l4,-4" className="unmet-stroke" />
      </pattern>
      <pattern id={`${prefix}-away`} width={9} height={9} patternUnits="userSpaceOnUse">
        <path d="M2.5,2.5 l4,4 M6.5,2.5 l-4,4" className="away-stroke" />
      </pattern>
    </defs>
  );
}

/** Baths with tint, pattern and mark. */
export function Legend({
  looks,
  prefix,
  more,
}: {
  looks: readonly BathLook[];
  prefix: string;
  more?: readonly { readonly sign: string; readonly text: string }[];
}) {
  return (
    <ul className="picture-legend" aria-label="Legend">
      {looks.map((look, bath) => (
        <li key={look.bath}>
          <svg width={26} height={16} aria-hidden="true">
            <rect width={26} height={16} fill={look.tint} />
            <rect width={26} height={16} fill={patternUrl(prefix, bath)} />
            <rect x={0.5} y={0.5} width={25} height={15} className="outline" />
          </svg>
          {look.mark !== look.bath && <b>{look.mark}</b>} {look.bath}
        </li>
      ))}
      {more?.map(({ sign, text }) => (
        <li key={text}>
          <b className="sign" data-sign={sign}>
            {sign}
          </b>{' '}
          {text}
        </li>
      ))}
    </ul>
  );
}
