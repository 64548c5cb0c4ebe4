// A figure: heading, chart, what to see in it, its numbers as a table and as a CSV file.
import { bound, csv, decimals, heading, unitText } from './data.js';
import { freshId, make, table } from './dom.js';
import { theme } from './theme.js';

const TABLE_ROWS = 240;
const NEAR_PX = 600;
// On paper two charts with their captions fit one side.
const PAPER_SHARE = 0.86;
// Of what is written on between the margins of A4 (style.css).
const PAPER_PX = 680;

const figures = new Set();

// ------------------------------------------------------------------------------------------------ the library

let library = null;

/** Unpacks the chart library; the promise of it, one for all who ask. */
export function bringLibrary() {
  library ??= globalThis.evenerUnpack('chart-script');
  return library;
}

// ------------------------------------------------------------------------------------------------ drawing

// Set before the browser counts sheets: what changed its height later would leave blank ones.
let onPaper = false;

/** Whether charts are drawn for a sheet. */
export const isForPaper = () => onPaper || matchMedia('print').matches;

/** Width of a frame, on paper as wide there as it is among what stands beside it. */
function widthOf(frame) {
  if (!onPaper) return frame.clientWidth;
  const main = document.querySelector('main');
  const { paddingLeft, paddingRight } = getComputedStyle(main);
  const room = main.clientWidth - parseFloat(paddingLeft) - parseFloat(paddingRight);
  return Math.min(PAPER_PX, Math.round((PAPER_PX * frame.clientWidth) / room));
}

class Figure {
  constructor(frame, parts) {
    this.frame = frame;
    this.parts = parts;
    this.chart = null;
    this.drawn = false;
    this.width = 0;
    this.shown = null; // the look and width that it was drawn with
  }

  /** Draws it, anew where the look or the width changed. */
  draw() {
    const width = widthOf(this.frame);
    if (width === 0) {
      this.width = 0; // folded: drawn anew when it is opened
      return;
    }
    if (!this.parts.paint && !globalThis.evenerCharts) {
      bringLibrary().then(() => this.draw());
      return;
    }
    const look = theme();
    const shown = JSON.stringify([look, width, isForPaper()]);
    this.width = this.frame.clientWidth;
    if (shown === this.shown) return;
    this.shown = shown;
    this.chart?.dispose();
    this.chart = null;
    this.drawn = true;
    if (this.parts.paint) {
      this.frame.replaceChildren(this.parts.paint(look, width));
      return;
    }
    const height = Math.round(this.parts.height(width) * (isForPaper() && !this.parts.firm ? PAPER_SHARE : 1));
    this.frame.style.height = `${height}px`;
    this.chart = globalThis.evenerCharts.init(this.frame, null, { renderer: 'svg', width, height });
    this.chart.setOption(this.parts.option(look, width, height));
    this.parts.ready?.(this.chart, look);
  }

  redraw() {
    if (this.drawn) this.draw();
  }

  get isNear() {
    const { top, bottom } = this.frame.getBoundingClientRect();
    return bottom > -NEAR_PX && top < innerHeight + NEAR_PX;
  }
}

const watcher = new IntersectionObserver(
  (entries) => {
    for (const entry of entries.filter(({ isIntersecting }) => isIntersecting)) {
      watcher.unobserve(entry.target);
      [...figures].find(({ frame }) => frame === entry.target)?.draw();
    }
  },
  { rootMargin: `${NEAR_PX}px` },
);

let turn = 0;
/** One after another, so that the page answers the reader between them. */
function redrawInTurn(list) {
  clearTimeout(turn);
  const [first, ...others] = list;
  if (!first) return;
  first.redraw();
  turn = setTimeout(redrawInTurn, 0, others);
}

/** In another look: those near the window at once, the others in turn; for paper all at once. */
export function redrawAll() {
  const far = [];
  for (const figure of figures) {
    if (isForPaper() || figure.isNear) figure.redraw();
    else far.push(figure);
  }
  redrawInTurn(far);
}

/** For paper all are drawn, also those that were never looked at. */
export function toPaper() {
  onPaper = true;
  figures.forEach((figure) => figure.draw());
}

export function fromPaper() {
  onPaper = false;
  figures.forEach((figure) => figure.redraw());
}

let waiting = 0;
new ResizeObserver(() => {
  cancelAnimationFrame(waiting);
  waiting = requestAnimationFrame(() => figures.forEach((figure) => figure.frame.clientWidth !== figure.width && figure.redraw()));
}).observe(document.documentElement);

// ------------------------------------------------------------------------------------------------ numbers

function shown(column, row) {
  const value = column.values[row];
  const digits = Array.isArray(column.digits) ? column.digits[row] : column.digits;
  return typeof value === 'number' ? decimals(value, digits ?? 2) : (value ?? '\u2013');
}

/** All rows where they are few; else as many as can be read, evenly picked, and it says so. */
function numbersTable(sheet) {
  const rows = sheet.columns[0]?.values.length ?? 0;
  const every = Math.max(1, Math.ceil(rows / TABLE_ROWS));
  const picked = [];
  for (let row = 0; row < rows; row += every) {
    picked.push(sheet.columns.map((column) => shown(column, row)));
  }
  const note = every > 1 ? ` One row of each ${every}; the CSV file holds all ${rows}.` : '';
  return table(`${sheet.title}.${note}`, sheet.columns.map((column) => column.heading ?? heading(column)), picked);
}

function save(name, text) {
  const url = URL.createObjectURL(new Blob([text], { type: 'text/csv' }));
  const link = make('a', { href: url, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 1000);
}

function numbersOf(sheet) {
  const details = make('details', { class: 'numbers' }, make('summary', {}, `Table: ${sheet.title}`));
  details.addEventListener('toggle', () => {
    if (details.open && details.children.length === 1) details.append(numbersTable(sheet));
  });
  const button = make(
    'button',
    { type: 'button', class: 'csv', onclick: () => save(`${sheet.file}.csv`, csv(sheet.columns)) },
    'CSV',
    make('span', { class: 'unseen' }, ` file: ${sheet.title}`),
  );
  return make('div', { class: 'sheet' }, details, button);
}

/** A column of a sheet made on the spot; digits: of all its rows, or a list with those of each. */
export const column = (key, unit, digits, values, text) => ({
  key,
  unit,
  digits,
  values,
  heading: text === undefined ? undefined : `${text}${unit ? `, ${unitText(unit)}` : ''}`,
});

// ------------------------------------------------------------------------------------------------ the figure

/**
 * title, caption (text), alt (text), height(width) in px, option(look, width, height), ready(chart, look), or paint(look, width),
 * which gives a picture of its own height; sheets: [{title, file, columns}], before: elements between heading and chart; firm: as high
 * on paper as on a screen; told: its numbers stand in a table that is printed, so that it is not.
 */
export function figure(parts) {
  const id = freshId('figure');
  const frame = make('div', { class: 'chart', role: 'img', 'aria-label': parts.alt });
  const element = make(
    'figure',
    { 'aria-labelledby': id, class: parts.told ? 'told-twice' : null },
    make('h3', { id }, parts.title),
    parts.before,
    frame,
    make('figcaption', {}, bound(parts.caption)),
    parts.sheets.map(numbersOf),
  );
  figures.add(new Figure(frame, parts));
  watcher.observe(frame);
  return element;
}

// ------------------------------------------------------------------------------------------------ phones

const PHONE = '(max-width: 600px)';

/** On a phone what goes beyond the answer of a comparison is folded; on paper it is open. */
export const foldOnPhone = (model, title, content) =>
  model.compares && !model.limits && matchMedia(PHONE).matches ? make('details', { class: 'paper' }, make('summary', {}, title), content) : content;

// ------------------------------------------------------------------------------------------------ many trucks

/** More trucks than that have their own figures folded, each behind its name. */
const UNFOLDED = 3;

/** What is told of each truck by itself; `of(truck)` gives elements or null. */
export function perTruck(model, what, of) {
  const told = model.trucks.map((truck) => ({ truck, content: of(truck) })).filter(({ content }) => content !== null && [content].flat(Infinity).some(Boolean));
  if (model.trucks.length <= UNFOLDED) return told.map(({ content }) => content);
  return told.map(({ truck, content }) => make('details', { class: 'folded' }, make('summary', {}, `${what}: ${truck.name}`), content));
}
