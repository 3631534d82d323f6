/** Cyrillic and Greek letters that cannot be told from Latin ones on a label. */
const TWINS = new Map(
  [...'АаВСсЕеНһІіЈјКкМОоРрТХхУуΑΒΕΖΗΙΚΜΝΟΡΤΥΧο'].map((twin, at) => [
    twin,
    [...'AaBCcEeHhIiJjKkMOoPpTXxYyABEZHIKMNOPTYXo'][at]!,
  ]),
);
const OTHER = /[\u0370-\u052f]/u;

/** A word of Latin letters or digits with twins of other alphabets in it; a word wholly of another alphabet is left alone. */
const untwinned = (word: string): string => {
  if (!OTHER.test(word)) return word;
  const changed = [...word].map((letter) => TWINS.get(letter) ?? letter).join('');
  return OTHER.test(changed) || !/[0-9A-Za-z]/.test(word) ? word : changed;
};

/** Text as it is meant: without control characters and outer blanks, wide and twin letters as the plain ones (NFKC). */
export const tidy = (text: string): string =>
  text
    .normalize('NFKC')
    .replace(/\s+/g, ' ')
    .replace(/[\p{Cc}\p{Cf}]/gu, '')
    .trim()
    .replace(/\S+/g, untwinned);

/** Two names that a person could take for one another: apart from case and blanks they are the same. */
export const looksLike = (a: string, b: string): boolean => a !== b && plain(a) === plain(b);
const plain = (text: string): string =>
  tidy(text)
    .replace(/[\s_.-]+/g, '')
    .toLowerCase();
