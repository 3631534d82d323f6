import { CommanderError, InvalidArgumentError } from 'commander';
import { InputError } from './input.ts';

/** A whole number in a range, as an option of a command. */
export const whole = (what: string, min: number, max: number) => (text: string) => {
  const value = text.trim() === '' ? Number.NaN : Number(text);
  if (!Number.isInteger(value) || value < min || value > max)
    throw new InvalidArgumentError(`Right: ${what} from ${min} to ${max}.`);
  return value;
};

export const say = (text: string): boolean => process.stderr.write(`${text}\n`);

/** Progress on one line of standard error where a person watches, else nothing. */
export const progressLine = (): ((text: string) => void) =>
  process.stderr.isTTY ? (text) => void process.stderr.write(`\r\u001B[2K${text}`) : () => {};

/** Runs a command; faults of the input end with status 2 and a line each, faults of the program with 1. */
export async function carryOut(act: () => Promise<unknown>, what: string): Promise<void> {
  // A reader such as `head` that has seen enough is no error.
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    process.exit(error.code === 'EPIPE' ? 0 : 1);
  });
  try {
    await act();
  } catch (error) {
    if (error instanceof CommanderError) process.exitCode = error.exitCode === 0 ? 0 : 2;
    else if (error instanceof InputError) {
      for (const line of error.lines) say(line);
      process.exitCode = 2;
    } else {
      say(`${what} failed, which is a fault of the program: ${error instanceof Error ? error.stack : error}`);
      process.exitCode = 1;
    }
  }
}
