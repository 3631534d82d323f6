// Threads do not read TypeScript by themselves, also when their parent does.
import { register } from 'tsx/esm/api';

register();
await import('./rivalAnswer.ts');
