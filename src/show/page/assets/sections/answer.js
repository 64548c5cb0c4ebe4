// The answer, in the program's own sentences, and the trucks side by side.
import { bound, change, decimals, duration, unitText, words } from '../data.js';
import { draw, make, table } from '../dom.js';
import { finished, quantity, value } from '../model.js';
import { theme } from '../theme.js';

// Beside the short list of the document: what slowed the truck.
const BESIDE = ['motor_braking_kwh', 'ledger.friction_brakes_kwh'];

/** Keys and names in the order of the document; behind a use of energy that at the common speed. */
function told(model) {
  const name = (key) => quantity(model, key).name ?? words(key);
  const short = model.result.headline.flatMap(({ key, name: text, unit }) =>
    unit === 'kWh/km' ? [[key, text], [`common.${key}`, `${text}, at the common speed`]] : [[key, text]],
  );
  return [...short, ...BESIDE.map((key) => [key, name(key)])];
}

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

function said(what, number) {
  if (what.unit === 's') return duration(number);
  if (typeof number === 'boolean') return number ? 'yes' : 'no';
  return decimals(number, what.digits);
}

function difference(what, number, first) {
  if (number === null || first === null || !Number.isFinite(number - first)) return null;
  if (what.unit === 's') {
    const gap = number - first;
    return Math.abs(gap) < 0.05 ? '0 s' : `${gap > 0 ? '+' : ''}${duration(gap)}`;
  }
  return change(number - first, what.digits);
}

function ofTruck(truck, name) {
  return name.startsWith('common.')
    ? value(finished(truck.common) ? truck.common : null, name.slice('common.'.length))
    : value(truck.own, name);
}

/** Rows of the table: numbers of each truck and, behind the first, what is different. */
function rows(model) {
  return told(model).filter(([name]) => model.trucks.some((truck) => ofTruck(truck, name) !== null)).map(([name, text]) => {
    const what = quantity(model, name.replace('common.', ''));
    const first = ofTruck(model.trucks[0], name);
    const unit = what.unit === 's' || what.unit === '' ? '' : `, ${unitText(what.unit)}`;
    return [
      `${text}${unit}`,
      ...model.trucks.map((truck, index) => {
        const number = ofTruck(truck, name);
        const gap = index > 0 && typeof number === 'number' ? difference(what, number, first) : null;
        return [said(what, number), gap === null ? null : make('small', {}, gap)];
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
    ? `Side by side at their own speeds; small: what is different from ${first}`
    : 'What the run came to';
  const comparison = table(caption, head, rows(model), { class: 'side' });
  comparison.classList.add('whole');
  return [
    make('div', { class: 'verdict' }, verdict(model).map((text) => make('p', {}, bound(text)))),
    comparison,
    warnings(model),
  ];
}
