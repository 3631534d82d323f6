export type Arrangement = 'nephrology' | 'technician' | 'administrator';

export interface View {
  readonly arrangement: Arrangement;
  /** The home of the role, or the sheets and pictures. */
  readonly place: 'home' | 'sheets';
  readonly sheet: string;
  /** What stands below the sheet, see `parts.tsx`. */
  readonly part: string;
  /** Share of the height that the sheet has, 0..1. */
  readonly split: number;
  /** Whether the panel of the arrangement is open. */
  readonly side: boolean;
}

/** One scenario, three arrangements of the same parts: what each reader looks at first. */
export const ARRANGEMENTS: Readonly<
  Record<
    Arrangement,
    { readonly title: string; readonly panel: string; readonly view: Omit<View, 'arrangement'> }
  >
> = {
  nephrology: {
    title: 'Nephrology lead',
    panel: 'What the doses need',
    view: { place: 'home', sheet: 'patients', part: 'cover', split: 0.52, side: true },
  },
  technician: {
    title: 'Technician lead',
    panel: 'This shift',
    view: { place: 'home', sheet: 'machines', part: 'timeline', split: 0.24, side: true },
  },
  administrator: {
    title: 'Administrator',
    panel: 'What is short',
    view: { place: 'home', sheet: 'supplies', part: 'capacity', split: 0.28, side: true },
  },
};
