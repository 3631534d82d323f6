import { FIELDS } from '../../src/scenario/fields.ts';

const range = ({ limits }: (typeof FIELDS)[number]): string => {
  if (!limits) return '';
  const { min, max, aboveMin, usual } = limits;
  const whole =
    max === Number.MAX_SAFE_INTEGER ? `from ${min}` : `${aboveMin ? 'above ' : ''}${min} to ${max}`;
  return usual ? `${whole}; usual ${usual[0]} to ${usual[1]}` : whole;
};

const COLUMNS = ['field', 'on screen', 'unit', 'may be', 'when absent', 'meaning'];

/** The table of the scenario's fields as README.md shows it, Markdown. */
export function fieldTable(): string {
  const rows = FIELDS.map((field) => [
    `\`${field.path}\``,
    `${field.sheet} › ${field.name}`,
    field.unit,
    range(field),
    field.fallback ?? '-',
    field.help,
  ]);
  return [COLUMNS, COLUMNS.map(() => '---'), ...rows].map((cells) => `| ${cells.join(' | ')} |`).join('\n');
}
