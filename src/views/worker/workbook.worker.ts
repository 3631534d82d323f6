import * as Comlink from 'comlink';
import { fromXlsx } from '../../reports/workbook.ts';

/** Reads workbooks apart from the page, so that one that takes too long can be ended. */
const service = { read: fromXlsx };
export type WorkbookService = typeof service;
Comlink.expose(service);
