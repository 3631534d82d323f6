// npm run soak [-- --part files|plans|kills|together|browsers|edits] [--size 0.01]: long tests, bounded in count and time.
import { parseArgs } from 'node:util';
import { browsersTogether, editedForLong } from './browsers.ts';
import { drawnPlans, killedSaves, type Soaked, spoiltFiles, together } from './parts.ts';

const { values } = parseArgs({
  options: {
    part: { type: 'string' },
    size: { type: 'string', default: '1' },
    seed: { type: 'string', default: '1' },
  },
});
const size = Number(values.size);
const seed = Number(values.seed);
const at = (whole: number) => Math.max(1, Math.round(whole * size));
const PARTS: Readonly<Record<string, () => Promise<Soaked>>> = {
  files: () => spoiltFiles(at(100_000), seed),
  plans: () => drawnPlans(at(10_000), seed),
  kills: () => killedSaves(at(200), seed),
  together: () => together(2, at(600)),
  browsers: () => browsersTogether(at(600), seed),
  edits: () => editedForLong(at(3600), seed),
};
if (values.part !== undefined && !PARTS[values.part]) {
  console.error(`No part "${values.part}". Expected: ${Object.keys(PARTS).join(', ')}`);
  process.exit(2);
}
let failed = 0;
for (const [name, part] of Object.entries(PARTS)) {
  if (values.part !== undefined && values.part !== name) continue;
  const { figures, faults } = await part();
  console.log(
    `${name}: ${Object.entries(figures)
      .map(([what, value]) => `${what} ${value}`)
      .join(', ')}`,
  );
  for (const fault of faults.slice(0, 20)) console.log(`  FAULT ${fault}`);
  failed += faults.length;
}
console.log(failed === 0 ? 'Nothing was lost, nothing failed.' : `${failed} faults.`);
process.exit(failed === 0 ? 0 : 1);
