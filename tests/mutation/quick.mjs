// A mutant is killed by the first example that fails: nobody reads the smallest one, and to search for it takes longest.
import fc from 'fast-check';

fc.configureGlobal({ endOnFailure: true });
