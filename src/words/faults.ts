/** A fault in words: where, what is wrong, what was expected. */
interface Said {
  /** The names on the screen, or a file and the field's path; '' where the sentence says it. */
  readonly where?: string;
  /** e.g. 'The dose is 300 mL/kg/h'. No stop at its end. */
  readonly wrong: string;
  /** e.g. '0 to 200 mL/kg/h'. No stop at its end. */
  readonly expected: string;
}

/** 'Patients › bed-04 › Weight: weight is 0 kg. Expected: 1 to 400 kg.' */
export const faultText = ({ where = '', wrong, expected }: Said): string =>
  `${where ? `${where}: ` : ''}${wrong}. Expected: ${expected}.`;
