import { describe, expect, test } from 'vitest';
import { keyAct, type Press } from '../../../src/views/sheet/keys.ts';
import { blockOf, extended, holds, moved, type Range, single } from '../../../src/views/sheet/range.ts';

const size = { rows: 10, columns: 5 };
const focus = { row: 4, column: 2 };
const press = (keys: string, editing = false): Press => {
  const parts = keys.split('+');
  return {
    key: parts.at(-1)!,
    shift: parts.includes('Shift'),
    ctrl: parts.includes('Ctrl'),
    editing,
  };
};
const act = (keys: string, range: Range | null = single(focus), editing = false) =>
  keyAct(press(keys, editing), { range, focus, size });

// What spreadsheets do with these keys: common practice, no source.
describe('keys in a sheet', () => {
  test.each([
    ['Ctrl+Enter', 'insert'],
    ['Delete', 'clear'],
    ['Backspace', 'clear'],
    ['Shift+Delete', 'remove'],
    ['Ctrl+Delete', 'remove'],
    ['Ctrl+Backspace', 'remove'],
    ['Ctrl+d', 'fillDown'],
    ['Ctrl+Shift+D', 'duplicate'],
    ['Ctrl+c', 'page'],
    ['Ctrl+S', 'page'],
  ])('%s: %s', (keys, wanted) => {
    expect(act(keys)).toEqual({ do: wanted });
  });
  test.each(['ArrowDown', 'Enter', 'F2', 'a', 'Tab', 'Shift+Tab', 'Shift+a'])('%s is the grid’s', (keys) => {
    expect(act(keys)).toBeNull();
  });
  test('in an editor only Esc and Tab are ours: Delete takes a letter, not the cell', () => {
    expect(act('Escape', null, true)).toEqual({ do: 'cancel' });
    expect(act('Shift+Tab', null, true)).toEqual({ do: 'tab', back: true });
    for (const keys of ['Delete', 'Ctrl+d', 'Ctrl+Enter', 'Shift+ArrowDown', 'Ctrl+a', 'Home'])
      expect(act(keys, null, true)).toBeNull();
  });
  test('Shift and an arrow draws the range from its anchor, Ctrl takes it to the edge', () => {
    expect(act('Shift+ArrowDown')).toEqual({
      do: 'select',
      show: true,
      range: { anchor: focus, head: { row: 5, column: 2 } },
    });
    const drawn: Range = { anchor: focus, head: { row: 7, column: 3 } };
    expect(act('Ctrl+Shift+ArrowUp', drawn)).toMatchObject({
      range: { anchor: focus, head: { row: 0, column: 3 } },
    });
    expect(act('Shift+ArrowDown', null)).toBeNull();
  });
  test.each([
    ['ArrowUp', 3, 2],
    ['ArrowDown', 5, 2],
    ['ArrowLeft', 4, 1],
    ['ArrowRight', 4, 3],
  ])('Shift+%s goes one cell on', (key, row, column) => {
    expect(act(`Shift+${key}`)).toMatchObject({ range: { anchor: focus, head: { row, column } } });
  });
  test('Home and End go along the row, with Ctrl to a corner', () => {
    expect(act('Home')).toEqual({ do: 'move', to: { row: 4, column: 0 } });
    expect(act('Ctrl+End')).toEqual({ do: 'move', to: { row: 9, column: 4 } });
    expect(act('Shift+End')).toMatchObject({ do: 'select', range: { head: { row: 4, column: 4 } } });
  });
  test('Ctrl+A takes all and scrolls nowhere', () => {
    expect(act('Ctrl+a')).toEqual({
      do: 'select',
      show: false,
      range: { anchor: { row: 0, column: 0 }, head: { row: 9, column: 4 } },
    });
  });
});

describe('a range', () => {
  test('holds what lies between its corners, whichever was first', () => {
    const block = blockOf({ anchor: { row: 6, column: 3 }, head: { row: 4, column: 1 } });
    expect(block).toEqual({ top: 4, bottom: 6, left: 1, right: 3 });
    expect([holds(block, 4, 3), holds(block, 7, 3), holds(block, 5, 0)]).toEqual([true, false, false]);
  });
  test('does not leave the sheet', () => {
    expect(extended(single({ row: 9, column: 4 }), 'ArrowDown', false, size)!.head.row).toBe(9);
    expect(extended(single({ row: 0, column: 0 }), 'ArrowLeft', true, size)!.head.column).toBe(0);
    expect(extended(single(focus), 'PageDown', false, size)).toBeNull();
  });
  test('goes with its rows, and is the same one where they stay', () => {
    const range: Range = { anchor: { row: 2, column: 0 }, head: { row: 3, column: 1 } };
    expect(moved(range, (row) => row)).toBe(range);
    expect(moved(range, (row) => row + 4)).toEqual({
      anchor: { row: 6, column: 0 },
      head: { row: 7, column: 1 },
    });
  });
});
