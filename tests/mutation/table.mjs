// SURVIVORS.md: the figures of each room, and each mutant that lived with a word why. Read and written by code; only the
// words are a person's.

const HEAD = `# What the mutation tests found

A mutant is the code with one small change. It is killed when a test fails or never ends. Written by
\`npm run mutants\`, one room: \`npm run mutants demand\`, some of its files: \`npm run mutants audit src/audit/claims.ts\`.
Only the last column is typed by hand, and it is kept: why the mutant may live. "equivalent": no input shows the change.
"wording": only the text of a sentence, not its numbers. "fault": only what another check refuses first. "speed": the same
answer, later. "load": the code does not even load, which the runner does not count as a failing test. "open": a test is
wanted. A room of rooms.json, or a file of it, without figures has not been judged: the figures of a room are those of the
files listed below it.
`;
const COUNTS = 'mutants | killed | of these never ended | survived | not covered | killed % |';
const RULE = '| --- | --- | ---: | ---: | ---: | ---: | ---: | ---: |';
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

/** What a table says: { figures: room -> file -> cells, survivors: room -> [[place, code, becomes, why]] }. */
export function readTable(text) {
  const figures = {};
  const survivors = {};
  let room = '';
  for (const line of text.split('\n')) {
    if (line.startsWith('## ')) {
      room = line.slice(3).trim();
      figures[room] = {};
      survivors[room] = [];
    }
    if (room === '' || !line.startsWith('| ') || /^\| (file|mutant|---)/.test(line)) continue;
    const row = cells(line);
    if (row.length === 4) survivors[room].push(row);
    else figures[room][row[0]] = row;
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

/** A row of figures. @param count [killed, of these never ended, survived, not covered] */
function figuresOf(name, date, count) {
  const [killed, ended, survived, bare] = count;
  const all = killed + survived + bare;
  const share = all === 0 ? '' : ((100 * killed) / all).toFixed(1);
  return [name, date, all, killed, ended, survived, bare, share].map(String);
}
const countOf = (row) => row.slice(3, 7).map(Number);

/** Of a file's mutants: its figures; and rows for those that lived, with the words they had. */
function judged(file, { source, mutants }, { date, words }) {
  const count = { Killed: 0, Timeout: 0, Survived: 0, NoCoverage: 0 };
  const rows = [];
  for (const { status, location, replacement } of mutants) {
    if (!(status in count)) continue;
    count[status] += 1;
    if (status !== 'Survived' && status !== 'NoCoverage') continue;
    const [code, becomes] = [cell(textAt(source, location)), cell(replacement)];
    const why = words.get(`${file} ${code} ${becomes}`) ?? 'open';
    rows.push([`${file}:${location.start.line}`, code, becomes, why]);
  }
  const { Killed, Timeout, Survived, NoCoverage } = count;
  return { row: figuresOf(file, date, [Killed + Timeout, Timeout, Survived, NoCoverage]), rows };
}

const fileOf = ([place]) => place.split(':')[0];
const byFile = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

/** The table with some files of a room judged anew; its other files stand. @param report files as the mutation report has them, and the date */
export function tableOf({ figures, survivors }, room, { files, date }) {
  const before = survivors[room] ?? [];
  const words = new Map(before.map((row) => [`${fileOf(row)} ${row[1]} ${row[2]}`, row[3]]));
  const rooms = { ...figures, [room]: { ...figures[room] } };
  let lived = before.filter((row) => !Object.hasOwn(files, fileOf(row)));
  for (const [file, report] of Object.entries(files)) {
    const { row, rows } = judged(file, report, { date, words });
    rooms[room][file] = row;
    lived = [...lived, ...rows];
  }
  const line = (row) => `| ${row.join(' | ')} |`;
  const sums = Object.entries(rooms).map(([name, rows]) => {
    const all = Object.values(rows);
    const count = all.map(countOf).reduce((sum, own) => sum.map((n, index) => n + own[index]));
    return figuresOf(name, all.map(([, day]) => day).sort()[0], count);
  });
  const parts = Object.entries(rooms).map(([name, rows]) => {
    const own = Object.values(rows).sort(([a], [b]) => byFile(a, b));
    const all = (name === room ? lived : survivors[name]).toSorted((a, b) => byFile(fileOf(a), fileOf(b)));
    const table = `| file | judged on | ${COUNTS}\n${RULE}\n${own.map(line).join('\n')}`;
    return `## ${name}\n\n${table}\n\n${ROWS}\n${all.map(line).join('\n')}\n`;
  });
  return `${HEAD}\n| room | judged since | ${COUNTS}\n${RULE}\n${sums.map(line).join('\n')}\n\n${parts.join('\n')}`;
}
