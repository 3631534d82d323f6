import {
  CellApiModule,
  CellStyleModule,
  ClientSideRowModelApiModule,
  ClientSideRowModelModule,
  ColumnApiModule,
  CustomEditorModule,
  EventApiModule,
  LocaleModule,
  ModuleRegistry,
  NumberFilterModule,
  RenderApiModule,
  RowApiModule,
  ScrollApiModule,
  TextFilterModule,
  TooltipModule,
  themeBalham,
} from 'ag-grid-community';
import type { Density } from '../state/session.ts';

ModuleRegistry.registerModules([
  CellApiModule,
  CellStyleModule,
  ClientSideRowModelApiModule,
  ClientSideRowModelModule,
  ColumnApiModule,
  CustomEditorModule,
  EventApiModule,
  LocaleModule,
  NumberFilterModule,
  RenderApiModule,
  RowApiModule,
  ScrollApiModule,
  TextFilterModule,
  TooltipModule,
]);

/** The host's nonce for styles; a page without one needs none. */
export const NONCE = document.querySelector<HTMLMetaElement>('meta[property=csp-nonce]')?.nonce || undefined;
/** Our colours on the grid, at a zoom in percent; rows for fingers are higher. */
export const themeAt = (zoom: number, density: Density) =>
  themeBalham.withParams({
    fontFamily: 'inherit',
    fontSize: (13 * zoom) / 100,
    headerFontSize: (12.5 * zoom) / 100,
    rowHeight: ((density === 'touch' ? 42 : 27) * zoom) / 100,
    headerHeight: ((density === 'touch' ? 44 : 34) * zoom) / 100,
    spacing: (5 * zoom) / 100,
    backgroundColor: 'var(--surface)',
    foregroundColor: 'var(--text)',
    headerBackgroundColor: 'var(--raised)',
    headerTextColor: 'var(--text)',
    borderColor: 'var(--line)',
    inputBorder: { color: 'var(--edge)' },
    accentColor: 'var(--accent)',
    oddRowBackgroundColor: 'var(--surface)',
    rowHoverColor: 'var(--hover)',
    columnBorder: { color: 'var(--line)' },
    wrapperBorder: false,
    wrapperBorderRadius: 0,
  });
