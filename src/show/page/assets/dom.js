// Elements are made here and only here; texts become text nodes, so that nothing of a file is ever read as markup.

const SVG = 'http://www.w3.org/2000/svg';

function fill(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes ?? {})) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith('on')) element.addEventListener(name.slice(2), value);
    else element.setAttribute(name, value === true ? '' : String(value));
  }
  element.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

export const make = (name, attributes, ...children) => fill(document.createElement(name), attributes, children);
export const draw = (name, attributes, ...children) => fill(document.createElementNS(SVG, name), attributes, children);

/** A table with a caption; rows are lists of cells, the first of each is its heading. Cells may be elements. */
export function table(caption, head, rows, attributes) {
  const cell = (content, at) =>
    at === 0 ? make('th', { scope: 'row' }, content) : make('td', {}, content);
  return make(
    'div',
    { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': caption },
    make(
      'table',
      attributes,
      make('caption', {}, caption),
      make('thead', {}, make('tr', {}, head.map((text) => make('th', { scope: 'col' }, text)))),
      make('tbody', {}, rows.map((row) => make('tr', {}, row.map(cell)))),
    ),
  );
}

/** What a pointer shows: a heading, and names with values. */
export const tip = (title, rows) =>
  make(
    'div',
    { class: 'tip' },
    title === null ? null : make('b', {}, title),
    rows.map(([name, value]) => [make('span', {}, name), make('i', {}, value)]),
  );

let numbers = 0;
export const freshId = (start) => `${start}-${(numbers += 1)}`;
