// Why the trucks differ: a bridge from the first truck's consumption to each other's by causes, and the losses that make it.
import { change, decimals, unitText } from '../data.js';
import { draw } from '../dom.js';
import { column, figure, perTruck } from '../figure.js';
import { bars, NARROW_PX, sheet, words, wordsPx } from '../paint.js';

const ROW_PX = 26;
const BAR_PX = 14;
const FOOT_PX = 8;
const NAME_PX = 16;
const ROOM = 0.12;
const LINES_TOLD = 6;
/** As many more decimals have parts than what they add up to (show/compare_causes.c). */
const PART_DIGITS = 2;

/** Steps from the first truck to the other, as compared: ends as whole bars, causes between them, with what the lower speed of the
 * hybrids makes; what is alike makes none. */
function stepsOf(first, truck, told, digits) {
  const steps = [{ name: first.name, from: 0, to: told.first, end: first.index }];
  let at = told.first;
  const add = (name, part, kind) => {
    steps.push({ name, from: at, to: at + part, part, kind });
    at += part;
  };
  for (const part of told.parts.filter(({ alike }) => !alike)) add(part.label, part.part, part.of);
  if (Math.abs(told.lowered_speed) >= 0.5 * 10 ** -digits) add('speed of the hybrids', told.lowered_speed, 'speed');
  steps.push({ name: truck.name, from: 0, to: told.other, end: truck.index });
  return steps;
}

/** From where to where the axis goes: ends are cut, so that steps can be seen. */
function rangeOf(steps) {
  const all = steps.flatMap(({ from, to, end }) => (end === undefined ? [from, to] : [to]));
  const [low, high] = [Math.min(...all), Math.max(...all)];
  const room = ROOM * (high - low || 0.01 * Math.abs(high));
  return [low - 3 * room, high + room];
}

/** Neither is a truck's: what a cause adds is dark, what it takes off pale; sign and side tell it too. */
const colourOf = (look, part) => (part < 0 ? look.pale : look.ink);

const textOf = (step, digits) => (step.end === undefined ? change(step.part, digits) : decimals(step.to, digits - PART_DIGITS));

function paintBridge(look, width, steps, axis, digits) {
  const narrow = width < NARROW_PX;
  const pitch = narrow ? ROW_PX + 14 : ROW_PX;
  const left = narrow ? 2 : Math.max(...steps.map(({ name }) => wordsPx(look, name))) + 12;
  const behind = Math.max(...steps.map((step) => wordsPx(look, textOf(step, digits)))) + 10;
  const [low, high] = rangeOf(steps);
  const xOf = (value) => left + ((value - low) / (high - low)) * (width - left - behind);
  const height = steps.length * pitch + FOOT_PX + 18;
  // On a phone the next name stands above its bar: the line ends before it.
  const crosses = (step, next) => narrow && xOf(step.to) < wordsPx(look, next.name, 11) + 6;
  const children = [];
  steps.forEach((step, index) => {
    const y = index * pitch + (narrow ? 16 : 4);
    const [a, b] = step.end === undefined ? [Math.min(step.from, step.to), Math.max(step.from, step.to)] : [low, step.to];
    const colour = step.end === undefined ? colourOf(look, step.part) : look.series(step.end);
    if (narrow) children.push(words(look, 2, y - 4, step.name, { size: 11 }));
    else children.push(words(look, left - 10, y + BAR_PX - 3, step.name, { anchor: 'end' }));
    children.push(draw('rect', { x: xOf(a), y, width: Math.max(xOf(b) - xOf(a), 1), height: BAR_PX, fill: colour, 'data-value': step.part ?? step.to }));
    children.push(words(look, xOf(b) + 5, y + BAR_PX - 3, textOf(step, digits), { size: 11 }));
    if (index + 1 < steps.length) children.push(draw('line', { x1: xOf(step.to), x2: xOf(step.to), y1: y + BAR_PX, y2: y + (crosses(step, steps[index + 1]) ? pitch - NAME_PX : pitch), stroke: look.soft, 'stroke-width': 0.8 }));
  });
  children.push(words(look, width - 4, height - 4, `${axis}; bars of the trucks are cut at ${decimals(low, 2)}`, { anchor: 'end', colour: look.soft, size: 11 }));
  return sheet(width, height, children);
}

/** "drivetrain -4.9 %". */
const said = (told) => told.parts.filter(({ alike }) => !alike).map((part) => `${part.label} ${change(part.percent, 1)} %`).join(', ');

/** Parts that the average over the orders alone decides, with what they come to together. */
function hanging(told) {
  const parts = told.parts.filter((part) => part.hangs_on_order);
  if (parts.length === 0) return '';
  const named = parts.map((part) => `${part.label} (${change(part.least_percent, 1)} to ${change(part.most_percent, 1)} %)`).join(', ');
  if (parts.length === 1) return ` By order of exchange: ${named}.`;
  return ` By order of exchange: ${named}; they hang together, and only their sum tells, ${change(parts.reduce((sum, part) => sum + part.percent, 0), 1)} %.`;
}

function bridge(first, truck, told, unit, digits) {
  const steps = stepsOf(first, truck, told, digits);
  const alike = told.parts.filter((part) => part.alike).map(({ label }) => label);
  return figure({
    title: `By causes: ${truck.name} against ${first.name}`,
    caption: `Each bar: what the exchange of that cause changes at one speed, averaged over all orders of exchange.${alike.length > 0 ? ` Alike: ${alike.join(', ')}.` : ''}${hanging(told)}`,
    alt: `Bridge from ${first.name} ${decimals(told.first, digits)} to ${truck.name} ${decimals(told.other, digits)} ${unit}: ${said(told)}`,
    paint: (look, width) => paintBridge(look, width, steps, unit, digits),
    sheets: [
      {
        title: `causes of ${truck.name}`,
        file: `why-${truck.id}`,
        columns: [
          column('cause', '', 0, told.parts.map(({ label }) => label), 'cause'),
          column('part', unit, digits, told.parts.map(({ part }) => part), 'part'),
          column('percent', '%', 1, told.parts.map(({ percent }) => percent), 'part'),
          column('least_percent', '%', 1, told.parts.map((part) => part.least_percent), 'least by order'),
          column('most_percent', '%', 1, told.parts.map((part) => part.most_percent), 'most by order'),
          column('low_percent', '%', 1, told.parts.map((part) => part.low_percent), 'interval from'),
          column('high_percent', '%', 1, told.parts.map((part) => part.high_percent), 'to'),
        ],
      },
    ],
  });
}

/** The largest lines of the part that holds the drivetrain; null where that is alike. */
function lines(truck, told, unit, digits) {
  const part = told.parts.find(({ causes }) => causes.includes('drivetrain'));
  if (part.alike) return null;
  const largest = [...part.lines].sort((a, b) => Math.abs(b.part) - Math.abs(a.part)).slice(0, LINES_TOLD);
  return figure({
    title: `What the ${part.label} changes most: ${truck.name}`,
    caption: 'Lines of the energy balance within that cause, averaged as it is: all lines together are its part.',
    alt: `Bars: ${largest.map((line) => `${line.label} ${change(line.part, digits)}`).join(', ')} ${unit}`,
    paint: (look, width) =>
      bars(
        look,
        width,
        largest.map((line) => ({ name: line.label, rows: [{ name: '', colour: colourOf(look, line.part), value: line.part, text: change(line.part, digits) }] })),
        unit,
      ),
    sheets: [
      {
        title: `lines of ${part.label}`,
        file: `why-lines-${truck.id}`,
        columns: [
          column('line', '', 0, part.lines.map(({ label }) => label), 'line'),
          column('part', unit, digits, part.lines.map((line) => line.part), 'part'),
          column('percent', '%', 2, part.lines.map(({ percent }) => percent), 'part'),
        ],
      },
    ],
  });
}

export function why(model) {
  const told = model.result.why;
  if (!model.compares || !told) return null;
  const unit = unitText(told.unit);
  const digits = told.unit === 'kWh/km' ? 4 : 5;
  const first = model.trucks.find(({ id }) => id === told.against);
  const of = (truck) => told.trucks.find(({ name, state }) => name === truck.id && state === 'found');
  return perTruck(model, 'Causes', (truck) => (of(truck) ? [bridge(first, truck, of(truck), unit, digits), lines(truck, of(truck), unit, digits)] : null));
}
