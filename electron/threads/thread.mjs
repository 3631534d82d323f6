// Threads do not read TypeScript by themselves, also when their parent does.
import { register } from 'tsx/esm/api';

register();
const { draws, compare } = await import('./thread.ts');

export { compare, draws };
