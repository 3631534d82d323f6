import { type FaultRule, type Ground, warning } from './fault.ts';

/** Words that begin a label of a place or a study, not a person. */
const PLACE =
  /^(bed|room|ward|bay|unit|box|cabin|study|subject|patient|case|site|icu|micu|sicu|picu|ccu|hdu|north|south|east|west|left|right|main|upper|lower)$/i;
const NAME = /^(\p{Lu}[\p{L}'’-]*\p{Ll}),? +(\p{Lu}[\p{L}'’-]*\p{Ll}|\p{Lu}\.)$/u;
const DATE = /\b(\d{1,2}[-/.]\d{1,2}[-/.](\d{2}|(19|20)\d{2})|(19|20)\d{2}[-/.]\d{1,2}[-/.]\d{1,2})\b/;
const NUMBER = /\d{6,}|\b(mrn|nhs|ssn|hrn|dob)\b/i;

/** What a label looks like that would tell who somebody is, or null. Common practice, no source: looks, not knowledge. */
export function looksLike(id: string): 'a name' | 'a date of birth' | 'a record number' | null {
  if (id.length > 200) return null;
  const [, first = '', second = ''] = NAME.exec(id.trim()) ?? [];
  if (first !== '' && !PLACE.test(first) && !PLACE.test(second)) return 'a name';
  if (DATE.test(id)) return 'a date of birth';
  return NUMBER.test(id) ? 'a record number' : null;
}

/** Files are copied and printed: nobody should be known from them who need not be. */
function* tellsWho({ scenario }: Ground) {
  for (const [i, { id }] of scenario.patients.entries()) {
    const kind = looksLike(id);
    if (kind)
      yield warning(
        ['patients', i, 'id'],
        `${id} looks like ${kind}`,
        'a bed or study label, e.g. bed-04: the plan needs no more, and files and papers are passed on',
      );
  }
}

export const PRIVACY_RULES: Record<string, FaultRule> = { tellsWho };
