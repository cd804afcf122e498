import type { FailureCode } from '../domain/base/result.ts';

/** What kind of trouble it is, as a heading; where, what and what to do are in the Failure itself. */
export const HEADINGS: Readonly<Record<FailureCode, string>> = {
  unreadable: 'Cannot be read',
  format: 'Not a usable file',
  crs: 'Position not understood',
  content: 'Nothing to use in it',
  plan: 'Plan not accepted',
  newer: 'From a newer version',
  variables: 'No match',
  usage: 'Not accepted',
  storage: 'Not kept',
  graphics: 'No map',
  cancelled: 'Stopped',
};
