import { CommanderError, InvalidArgumentError } from 'commander';
import { InputError } from './input.ts';

/** A number in a range, as an option of a command. */
export const number = (what: string, min: number, max: number) => (text: string) => {
  const value = text.trim() === '' ? Number.NaN : Number(text);
  if (!(value >= min && value <= max))
    throw new InvalidArgumentError(`Expected: ${what} from ${min} to ${max}.`);
  return value;
};

/** A whole number in a range, as an option of a command. */
export const whole = (what: string, min: number, max: number) => (text: string) => {
  const value = number(what, min, max)(text);
  if (!Number.isInteger(value)) throw new InvalidArgumentError(`Expected: ${what} from ${min} to ${max}.`);
  return value;
};

export const say = (text: string): boolean => process.stderr.write(`${text}\n`);

/** Progress on one line of standard error where a person watches, else nothing. */
export const progressLine = (): ((text: string) => void) =>
  process.stderr.isTTY ? (text) => void process.stderr.write(`\r\u001B[2K${text}`) : () => {};

/** Progress also where nobody watches, e.g. in a log: a line for each stage and each quarter of it. */
export function progressLines(): (text: string) => void {
  if (process.stderr.isTTY) return progressLine();
  let last = '';
  return (text) => {
    const step = text.replace(/\d+(?= %)/, (percent) => String(Math.floor(Number(percent) / 25) * 25));
    if (step !== last && /%/.test(text)) say(step);
    last = step;
  };
}

/** The reason of a signal by `cancelled`. */
class Cancelled extends Error {
  /** Exit status, by the habit of shells: 128 and the signal's number. */
  readonly status: number;
  constructor(status: number) {
    super('cancelled');
    this.status = status;
  }
}
const SIGNALS = { SIGINT: 130, SIGTERM: 143 } as const;
/** How long a second signal counts as the first: a terminal sends Ctrl+C to every process, and command.mjs passes it on. */
const SAME_MS = 1000;

/** Aborted by Ctrl+C or a plain kill, so that work under way is put away in order; a later one ends the process at once. */
export function cancelled(): AbortSignal {
  const cancel = new AbortController();
  for (const [signal, status] of Object.entries(SIGNALS)) {
    const act = () => {
      cancel.abort(new Cancelled(status));
      setTimeout(() => process.off(signal, act), SAME_MS).unref();
    };
    process.on(signal, act);
  }
  return cancel.signal;
}

/**
 * Runs a command; faults of the input end with status 2 and a line each, faults of the program, or an answer that cannot
 * be written, with 1.
 */
export async function carryOut(act: () => Promise<unknown>, what: string): Promise<void> {
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    // A reader such as `head` that has seen enough is no error.
    if (error.code === 'EPIPE') process.exit(0);
    say(`The answer could not be written: ${error.message}`);
    process.exit(1);
  });
  try {
    await act();
  } catch (error) {
    if (error instanceof CommanderError) process.exitCode = error.exitCode === 0 ? 0 : 2;
    else if (error instanceof InputError) {
      for (const line of error.lines) say(line);
      process.exitCode = 2;
    } else if (error instanceof Cancelled) {
      say('Cancelled; nothing was written.');
      process.exitCode = error.status;
    } else {
      say(`${what} failed, which is a fault of the program: ${error instanceof Error ? error.stack : error}`);
      process.exitCode = 1;
    }
  }
}
