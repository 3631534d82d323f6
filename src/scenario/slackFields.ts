import { DAY, rows, type ScenarioField } from './fieldRows.ts';

/** What a plan is made with beyond the rules. */
export const SLACK_FIELDS: readonly ScenarioField[] = rows('Plan and rules', 'slack', [
  [
    'roundMinutes',
    'Slack before a bag round',
    'min',
    'The plan has bags ready so long before they must be.',
    { min: 0, max: DAY, none: '0' },
  ],
  [
    'swapMinutes',
    'Slack before bags are overfull',
    'min',
    'The plan has swaps so long before the latest minute, as far as the fill window allows.',
    { min: 0, max: DAY, none: '0' },
  ],
  [
    'testMinutes',
    'Slack before a total chlorine test is due',
    'min',
    'The plan has tests so long before they are due, half the time between tests at most.',
    { min: 0, max: DAY, none: '0' },
  ],
  [
    'circuitMinutes',
    'Slack before the end of a circuit',
    'min',
    'The plan leaves so much of the life of each circuit, half of it at most.',
    { min: 0, max: DAY, none: '0' },
  ],
  [
    'restMinutes',
    'Slack after a swap',
    'min',
    'The plan lets machine and technicians rest so long after a swap.',
    { min: 0, max: DAY, none: '0' },
  ],
  [
    'bags',
    'Slack in stock',
    'bags',
    'The plan keeps so many more bags of each bath in use after every bag round, where it can.',
    { min: 0, max: 1000, none: '0' },
  ],
]);
