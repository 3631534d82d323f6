import { availableParallelism } from 'node:os';
import { Command } from 'commander';
import { serveBroker, withoutPassword } from '../threads/broker.ts';
import { openPool } from '../threads/pool.ts';
import { cancelled, carryOut, say, whole } from './options.ts';

interface Options {
  readonly broker: string;
  readonly threads: number;
  readonly lock: number;
}

async function work({ broker, threads, lock }: Options): Promise<void> {
  const signal = cancelled();
  const pool = openPool({ threads });
  try {
    const serving = await serveBroker(broker, pool, { lock: lock * 1000 });
    say(`Working for ${withoutPassword(broker)} on ${threads} threads. Ctrl+C ends.`);
    await new Promise((resolve) => signal.addEventListener('abort', resolve));
    say(`Ending after the jobs under way; ${serving.done()} done.`);
    await serving.close();
  } finally {
    await pool.close();
  }
}

const command = new Command('worker')
  .description(
    'Simulates runs for sweeps that other computers ask for through a Redis broker, until you end it.',
  )
  .usage('--broker redis://HOST:PORT [--threads N]')
  .requiredOption('--broker <url>', 'Redis server')
  .option('--threads <N>', 'default: one a core', whole('a whole number', 1, 256), availableParallelism())
  .option(
    '--lock <S>',
    'after so many seconds of silence the jobs of this worker go to others',
    whole('a whole number', 2, 3600),
    30,
  )
  .exitOverride()
  .action(work);
await carryOut(() => command.parseAsync(process.argv), 'The worker');
