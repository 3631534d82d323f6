// SURVIVORS.md: the figures of each room, and each mutant that lived with a word why. Read and written by code; only the
// words are a person's.

const HEAD = `# What the mutation tests found

A mutant is the code with one small change. It is killed when a test fails or never ends. Written by
\`npm run mutants\`, one room: \`npm run mutants demand\`. Only the last column is typed by hand, and it is kept: why the
mutant may live. "equivalent": no input shows the change. "wording": only the text of a sentence, not its numbers.
"fault": only what another check refuses first. "speed": the same answer, later. "open": a test is wanted. A room of rooms.json without
figures has not been judged to its end.
`;
const FIGURES =
  '| room | judged on | mutants | killed | of these never ended | survived | not covered | killed % |\n| --- | --- | ---: | ---: | ---: | ---: | ---: | ---: |';
const ROWS = '| mutant | code | becomes | why |\n| --- | --- | --- | --- |';
const LONGEST = 70;

/** Code in a cell: one line, no bars, not endless. */
function cell(code) {
  const line = code.replace(/\s+/g, ' ').replaceAll('|', '¦').replaceAll('`', "'");
  return `\`${line.length > LONGEST ? `${line.slice(0, LONGEST - 3)}...` : line}\``;
}
const cells = (line) =>
  line
    .slice(1, -1)
    .split('|')
    .map((text) => text.trim());

/** What a table says: { figures: room -> cells, survivors: room -> [[place, code, becomes, why]] }. */
export function readTable(text) {
  const figures = {};
  const survivors = {};
  let room = '';
  for (const line of text.split('\n')) {
    if (line.startsWith('## ')) room = line.slice(3).trim();
    if (!line.startsWith('| ') || /^\| (room|mutant|---)/.test(line)) continue;
    const row = cells(line);
    if (room === '') figures[row[0]] = row;
    else survivors[room] = [...(survivors[room] ?? []), row];
  }
  return { figures, survivors };
}

/** The text between two places of a file, each line and column from 1. */
function textAt(source, { start, end }) {
  const lines = source.split('\n').slice(start.line - 1, end.line);
  lines[lines.length - 1] = lines.at(-1).slice(0, end.column - 1);
  lines[0] = lines[0].slice(start.column - 1);
  return lines.join('\n');
}

/** Of a report's mutants: how many, by status; and rows for those that lived, with the words they had. */
function judged(files, before) {
  const words = new Map(
    before.map(([place, code, becomes, why]) => [`${place.split(':')[0]} ${code} ${becomes}`, why]),
  );
  const count = { Killed: 0, Timeout: 0, Survived: 0, NoCoverage: 0 };
  const rows = [];
  for (const [file, { source, mutants }] of Object.entries(files))
    for (const { status, location, replacement } of mutants) {
      if (!(status in count)) continue;
      count[status] += 1;
      if (status !== 'Survived' && status !== 'NoCoverage') continue;
      const [code, becomes] = [cell(textAt(source, location)), cell(replacement)];
      const why = words.get(`${file} ${code} ${becomes}`) ?? 'open';
      rows.push([`${file}:${location.start.line}`, code, becomes, why]);
    }
  return { count, rows };
}

/** The table with a room judged anew. @param report its files as the mutation report has them, and the date */
export function tableOf({ figures, survivors }, room, { files, date }) {
  const { count, rows } = judged(files, survivors[room] ?? []);
  const killed = count.Killed + count.Timeout;
  const all = killed + count.Survived + count.NoCoverage;
  const share = ((100 * killed) / all).toFixed(1);
  figures[room] = [room, date, all, killed, count.Timeout, count.Survived, count.NoCoverage, share].map(
    String,
  );
  survivors[room] = rows;
  const line = (row) => `| ${row.join(' | ')} |`;
  const parts = Object.keys(figures).map(
    (name) => `## ${name}\n\n${ROWS}\n${(survivors[name] ?? []).map(line).join('\n')}\n`,
  );
  return `${HEAD}\n${FIGURES}\n${Object.values(figures).map(line).join('\n')}\n\n${parts.join('\n')}`;
}
