// Tables sorted by a column: a button in each heading, once for rising, twice for falling.
import { make } from './dom.js';

/** What the program says that a cell is sorted by, else its first number, with its true minus, else its text. */
function valueOf(row, column) {
  const cell = row.cells[column];
  if (cell?.dataset.sort !== undefined) return Number(cell.dataset.sort);
  const text = cell?.textContent.trim() ?? '';
  const number = /[\u2212+]?\d[\d\u202f.]*/.exec(text);
  return number && /^[\u2212+<>\s\d]/.test(text) ? Number(number[0].replace('\u2212', '-').replaceAll('\u202f', '')) : text.toLowerCase();
}

/** Rows without a value there stand at the end, whichever way it is sorted. */
function compare(a, b, way) {
  if (typeof a !== typeof b) return typeof a === 'number' ? -1 : 1;
  return way * (typeof a === 'number' ? a - b : a.localeCompare(b));
}

function sortBy(table, column, way) {
  const [body] = table.tBodies;
  const rows = [...body.rows].map((row) => [valueOf(row, column), row]);
  rows.sort(([a], [b]) => compare(a, b, way));
  body.append(...rows.map(([, row]) => row));
  [...table.tHead.rows[0].cells].forEach((cell, at) => (at === column ? cell.setAttribute('aria-sort', way > 0 ? 'ascending' : 'descending') : cell.removeAttribute('aria-sort')));
}

export function sortable(table) {
  if (table.tBodies[0].rows.length < 2) return;
  [...table.tHead.rows[0].cells].forEach((cell, column) => {
    if (cell.textContent.trim() === '') return;
    const act = () => sortBy(table, column, cell.getAttribute('aria-sort') === 'ascending' ? -1 : 1);
    const within = cell.querySelector('.who') ?? cell;
    const chart = within.querySelector('svg');
    const button = make('button', { type: 'button', class: 'sort', onclick: act }, ...[...within.childNodes].filter((one) => one !== chart));
    within.replaceChildren(...[button, chart].filter(Boolean));
  });
}
