import { bathSheet, substitutes } from './bathSheet.ts';
import { capacityChanges, duties, hours, machines, shifts, waterSheet } from './floorSheets.ts';
import { changes, patients } from './patientSheets.ts';
import type { Sheet } from './sheet.ts';
import { deliveries, offers, stock, supplies, supplyDeliveries } from './stockSheets.ts';

/** The sheets of lists, in the order of the tabs. */
export const LISTS: readonly Sheet[] = [
  patients,
  changes,
  bathSheet,
  substitutes,
  machines,
  hours,
  waterSheet,
  capacityChanges,
  shifts,
  duties,
  stock,
  deliveries,
  supplies,
  supplyDeliveries,
  offers,
];
