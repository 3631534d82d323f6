// A host of its own with two pages: edits its beds, saves, merges what others saved. Started by parts.ts.
import path from 'node:path';
import { createServices } from '../../electron/files/services.ts';
import { merge } from '../../src/scenario/merge.ts';
import { writeScenario } from '../../src/scenario/read.ts';
import type { Scenario } from '../../src/scenario/schema.ts';

const [folder = '', configDir = '', name = '', seconds = '1'] = process.argv.slice(2);
const file = path.join(folder, 'week.json');
const services = createServices({
  examples: folder,
  folders: [folder],
  configDir,
  launch: { file, named: true },
});
const beds: Record<string, number> = {};
let saves = 0;
let merged = 0;

/** One page: what it has read, and what it has made of it. */
async function page(id: string, until: number, edit: (scenario: Scenario) => Scenario) {
  const opened = await services.initial();
  let base = { text: opened.text, digest: opened.digest };
  while (Date.now() < until) {
    const mine = edit(JSON.parse(base.text));
    let text = writeScenario(mine);
    for (;;) {
      const done = await services.save(opened.handle, { text, base: base.digest, page: id });
      if ('digest' in done) {
        base = { text, digest: done.digest };
        saves += 1;
        // For whoever kills it: now it is at the next one.
        if (id === 'saver') process.stdout.write('saved\n');
        break;
      }
      const theirs = JSON.parse(done.newer.text);
      const { value, conflicts } = merge({
        base: JSON.parse(done.base ?? base.text),
        mine: JSON.parse(text),
        theirs,
      });
      if (conflicts.length > 0) throw new Error(`asked about ${JSON.stringify(conflicts[0])}`);
      merged += 1;
      base = done.newer;
      text = writeScenario(value as Scenario);
    }
  }
}

process.stdout.write('go\n');
const until = Date.now() + 1000 * Number(seconds);
if (name === 'saver') {
  await page('saver', until, (scenario) => ({
    ...scenario,
    title: `save ${Number(/\d+$/.exec(scenario.title)?.[0] ?? 0) + 1}`,
  }));
} else {
  await Promise.all(
    ['a', 'b'].map((one) => {
      let n = 0;
      const mine = [1, 2, 3].map((bed) => `${name}-${one}-${bed}`);
      return page(one, until, (scenario) => {
        const bed = mine[n++ % mine.length]!;
        const weight = 50 + (n % 70);
        beds[bed] = weight;
        const bath = scenario.baths[0]!.id;
        const patients = scenario.patients.some(({ id }) => id === bed)
          ? scenario.patients.map((one) => (one.id === bed ? { ...one, weight } : one))
          : [...scenario.patients, { id: bed, weight, dose: 25, bath }];
        return { ...scenario, patients };
      });
    }),
  );
}
process.stdout.write(`${JSON.stringify({ beds, saves, merged })}\n`);
