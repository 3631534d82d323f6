import { openStation } from '../../../electron/files/journal.ts';

// Notes without end, and says the number of each entry once it is confirmed. Run by the test that kills it.
const [folder = ''] = process.argv.slice(2);
const station = await openStation(folder, 'tablet', () => new Date().toISOString());
for (let n = 0; ; n++) {
  const text = 'x'.repeat(n % 300);
  const lines = await station.note([{ kind: 'note', at: '2031-02-03T07:00', by: 'AB', text }]);
  process.stdout.write(`${JSON.parse(lines[0]!).n}\n`);
}
