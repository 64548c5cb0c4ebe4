// The answer, in the program's own sentences, and the trucks side by side.
import { bound, change, decimals, duration, durationChange, unitText } from '../data.js';
import { draw, make, table } from '../dom.js';
import { finished, value } from '../model.js';
import { theme } from '../theme.js';
import { ranked } from './ranked.js';

/** Colour and dashes of a truck, as the charts draw it. */
export function mark(truck) {
  const look = theme();
  const dashes = look.dashes(truck.index);
  return draw(
    'svg',
    { width: 26, height: 8, 'aria-hidden': 'true' },
    draw('line', {
      x1: 0,
      x2: 26,
      y1: 4,
      y2: 4,
      style: `stroke: var(--series-${(truck.index % 6) + 1})`,
      'stroke-width': 3,
      'stroke-dasharray': dashes === 'solid' ? undefined : dashes.join(' '),
    }),
  );
}

export const key = (truck) => make('span', { class: 'key' }, mark(truck), truck.name);

const isTime = (row) => row.unit === 's';

/** Of a share its per cent. */
const scaled = (row, number) => (row.kind === 'share' ? 100 * number : number);

function said(row, told) {
  if (typeof told === 'string') return make('span', { class: 'words' }, told);
  if (typeof told === 'boolean') return told ? 'yes' : 'no';
  if (told === null) return '\u2013';
  return isTime(row) ? duration(told) : decimals(scaled(row, told), row.digits);
}

/** In per cent of the first truck, or in the unit of the row: what the row asks for. */
function difference(row, told, first) {
  if (!row.change || typeof told !== 'number' || typeof first !== 'number') return null;
  const gap = told - first;
  if (row.change === 'percent') return Math.abs(first) < row.percent_from ? null : `${change((100 * gap) / Math.abs(first), 1)} %`;
  if (isTime(row)) return durationChange(gap);
  return change(scaled(row, gap), row.digits);
}

/** The label, and the short one for narrow windows: the style sheet shows one of them. */
export function headOf(row) {
  const unit = row.kind === 'share' ? '%' : row.unit;
  const head = (label) => `${label}${unit === 's' || unit === '' ? '' : `, ${unitText(unit)}`}`;
  return [make('span', { class: 'long' }, head(row.label)), make('span', { class: 'short' }, head(row.short_label))];
}

/** Of the rows that the document lists the value of a truck; what a run has that did not finish at the common speed is
 * no value to be held against others. */
const valueOf = (truck, row) =>
  row.key.startsWith('common.') && !finished(truck.common) ? null : (value(truck.told, row.key) ?? null);

/** Rows of the table: what the document lists, in its order; of each truck and, behind the first, what is different. */
function rows(model) {
  return (model.result.rows ?? model.result.headline)
    .filter((row) => model.trucks.some((truck) => valueOf(truck, row) !== null))
    .map((row) => {
      const first = valueOf(model.trucks[0], row);
      return [
        headOf(row),
        ...model.trucks.map((truck, index) => {
          const told = valueOf(truck, row);
          const gap = index > 0 ? difference(row, told, first) : null;
          return [said(row, told), gap === null ? null : make('small', {}, gap)];
        }),
      ];
    });
}

/** The heading has said already which trucks go where. */
function verdict(model) {
  const told = (text) => text.startsWith(`${model.title}: `) || text === `${model.title}.`;
  return model.compares ? model.answer.filter((text) => !told(text)) : model.answer;
}

/** What was found amiss about each truck: axle loads, say, beyond what is permitted. */
function warnings(model) {
  const texts = model.compares
    ? model.trucks.flatMap((truck) => (truck.own?.findings ?? []).map((text) => `${truck.name}: ${text}`))
    : (model.result.findings ?? []).map(({ text }) => text);
  if (texts.length === 0) return null;
  return make(
    'div',
    { class: 'caution' },
    make('p', {}, texts.length === 1 ? 'To be noted:' : `To be noted, ${texts.length} findings:`),
    make('ul', {}, texts.map((text) => make('li', {}, text))),
  );
}

export function answer(model) {
  const head = ['', ...model.trucks.map((truck) => (model.compares ? key(truck) : truck.name))];
  const first = model.trucks[0]?.name;
  const caption = model.compares
    ? `Side by side at their own speeds; small: difference against ${first}`
    : 'Results';
  const comparison = table(caption, head, rows(model), { class: 'side' });
  comparison.classList.add('whole');
  return [
    ranked(model),
    make('div', { class: 'verdict' }, verdict(model).map((text) => make('p', {}, bound(text)))),
    comparison,
    warnings(model),
  ];
}
