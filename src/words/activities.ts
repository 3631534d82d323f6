import { countText, sentenceCase } from './numbers.ts';

export interface Work {
  /** In a sentence: 'one bath change', 'two bath changes'. */
  readonly one: string;
  readonly many: string;
  /** What to do, as an order. */
  readonly verb: string;
  /** Between the work and its bath, in a name and in an order; '' where no bath is said. */
  readonly joins: readonly [name: string, order: string];
  /** Its letter on the timeline; a fill bears the mark of its bath. */
  readonly mark: string;
}

/** The one table of what is done at machines and water sources. */
export const WORK = {
  circuit: {
    one: 'new circuit',
    many: 'new circuits',
    verb: 'Set up a new circuit',
    joins: ['for', 'for'],
    mark: 'C',
  },
  bath: {
    one: 'bath change',
    many: 'bath changes',
    verb: 'Change the bath',
    joins: ['to', 'to'],
    mark: 'B',
  },
  fill: { one: 'fill', many: 'fills', verb: 'Start the fill', joins: ['of', 'of'], mark: '' },
  swap: { one: 'bag swap', many: 'bag swaps', verb: 'Swap the bags', joins: ['of', 'of'], mark: 'S' },
  test: {
    one: 'total chlorine test',
    many: 'total chlorine tests',
    verb: 'Test total chlorine',
    joins: ['', ''],
    mark: 'T',
  },
  duty: { one: 'duty', many: 'duties', verb: 'Do the duty', joins: ['', ''], mark: 'D' },
} as const satisfies Record<string, Work>;

type WorkKind = keyof typeof WORK;

/** The legend of the timeline's letters. */
export const WORK_SIGNS: readonly { readonly sign: string; readonly text: string }[] = (
  ['circuit', 'bath', 'swap', 'test'] as const
).map((kind) => ({ sign: WORK[kind].mark, text: WORK[kind].one }));

/** Letters that no bath is marked with: the two concentrates, and the work on the timeline. */
export const TAKEN_LETTERS: readonly string[] = [
  'A',
  ...Object.values(WORK).flatMap(({ mark }) => (mark ? [mark] : [])),
];

/** Any activity of a plan: what, and where. */
interface Doing {
  readonly kind: WorkKind;
  readonly machine?: string;
  readonly water?: string;
  readonly bath?: string;
  /** A duty's own name. */
  readonly duty?: string;
}
const placeOf = ({ machine, water }: Doing): string => machine ?? water ?? '';

/**
 * In a sentence, e.g. 'fill of 2K on M1', 'bath change to 3K on M2', 'total chlorine test of Loop 1'.
 * @param bath what runs or is filled; default: as the activity says, '' where it says none
 */
export function workText(doing: Doing, bath = doing.bath ?? ''): string {
  const { one, joins } = WORK[doing.kind];
  const place = placeOf(doing);
  const name = doing.duty ?? (bath && joins[0] ? `${one} ${joins[0]} ${bath}` : one);
  return place ? `${name} ${doing.kind === 'test' ? 'of' : 'on'} ${place}` : name;
}

/** At the head of a row or panel, e.g. 'Fill of 2K on M1'. Bath as in `workText`. */
export const workTitle = (doing: Doing, bath?: string): string => sentenceCase(workText(doing, bath));

/** As an order, e.g. 'M1: Change the bath to 3K', 'Loop 1: Test total chlorine'. Bath as in `workText`. */
export function workOrder(doing: Doing, bath = doing.bath ?? ''): string {
  const { verb, joins } = WORK[doing.kind];
  const place = placeOf(doing);
  const order = doing.duty ?? (bath && joins[1] ? `${verb} ${joins[1]} ${bath}` : verb);
  return place ? `${place}: ${order}` : order;
}

/** Its name alone, at the head of a cell: 'New circuit'. */
export const workName = (kind: WorkKind): string => sentenceCase(WORK[kind].one);

/** '1 bath change', '12 bath changes'. */
export const workCount = (value: number, kind: WorkKind): string =>
  countText(value, WORK[kind].one, WORK[kind].many);
