// For paper: of many trucks, whose own charts are folded, the flow of energy and the temperatures of each, small and side by side.
import { decimals } from '../data.js';
import { draw, make, table } from '../dom.js';
import { finished, placeDigits } from '../model.js';
import { BOLD, number, sheet, words, wordsPx } from '../paint.js';
import { LIMIT, roundStep, seriesName, signKey, theme } from '../theme.js';
import { CLASSES, flowOf, listRows } from './energy_flow.js';
import { alongOf, limitsOf, partsOf, peakRows, per } from './heat.js';

// Two stand side by side between the margins of A4.
const WIDTH_PX = 325;
const TEXT_PX = 10;

/** A truck's name with its sign, and where it ended if it did not finish. */
function titleOf(model, { index, name, own }) {
  const ended = finished(own) ? '' : `, ${own.status} at km ${decimals(own.distance_km, placeDigits(model))}`;
  return make('h4', {}, signKey(index, seriesName(index), `${name}${ended}`));
}

/** A part of paper: a heading, what it shows, and a card of each truck; null where there is none. */
function partOf(title, caption, cards) {
  const told = cards.filter(Boolean);
  return told.length === 0 ? null : make('section', { class: 'small' }, make('h2', {}, title), caption, told.map((one, at) => (at % 2 === 0 ? make('div', { class: 'pair' }, one, told[at + 1]) : null)));
}

// ------------------------------------------------------------------------------------------------ flows

const ROW = { pitch: 17, bar: 3 };

function paintList(look, flow) {
  const rows = listRows(flow);
  const most = Math.max(...rows.map(({ kwh }) => kwh));
  return sheet(WIDTH_PX, rows.length * ROW.pitch + 2, rows.flatMap(({ name, text, kwh, kind }, at) => {
    const y = at * ROW.pitch;
    const weight = kind === 'source' ? BOLD : undefined;
    return [
      words(look, 1, y + 10, name, { size: TEXT_PX, weight }),
      words(look, WIDTH_PX - 1, y + 10, text, { size: TEXT_PX, anchor: 'end', weight }),
      draw('rect', { x: 1, y: y + 12, width: Math.max((kwh / most) * (WIDTH_PX - 2), 1), height: ROW.bar, fill: kind === 'source' ? look.ink : look.flow[kind], 'data-kwh': kwh }),
    ];
  }));
}

function flows(model, look) {
  const told = model.trucks.filter(({ own }) => own?.energy_balance).map((truck) => ({ truck, flow: flowOf(model, truck.own) }));
  const kinds = Object.entries(CLASSES).filter(([kind]) => told.some(({ flow }) => listRows(flow).some((row) => row.kind === kind)));
  const key = kinds.map(([kind, name]) => make('span', {}, make('span', { class: 'swatch', style: `background: var(--${kind === 'moves' ? 'accent' : `flow-${kind}`})` }), name));
  return partOf('From the battery to the road, truck by truck', make('p', { class: 'keys' }, 'At own speeds, kWh, from the largest down:', key),
    told.map(({ truck, flow }) => make('div', {}, titleOf(model, truck), paintList(look, flow))));
}

// ------------------------------------------------------------------------------------------------ temperatures

const PANEL = { high: 104, left: 26, right: 4, top: 16, foot: 26 };

/** The same scale for all trucks: as far as any went, and from the coldest to the hottest winding. */
function scaleOf(told) {
  const all = told.flatMap(({ windings }) => windings);
  const step = roundStep(Math.max(Math.max(...all.map(({ degc }) => degc.reduce((a, b) => Math.max(a, b)))) - Math.min(...all.map(({ degc }) => degc.reduce((a, b) => Math.min(a, b)))), 20) / 3);
  const ends = (pick) => all.map(({ degc }) => degc.reduce((a, b) => pick(a, b)));
  const furthest = Math.max(...told.map(({ truck }) => alongOf(truck).at(-1) / per(truck)));
  return { furthest, step, low: Math.floor(Math.min(...ends(Math.min)) / step) * step, high: Math.ceil(Math.max(...ends(Math.max)) / step) * step, stride: roundStep(furthest / 4) };
}

function axes(look, { furthest, step, low, high, stride }, xOf, yOf, unit) {
  const level = (y) => draw('line', { x1: PANEL.left, x2: WIDTH_PX - PANEL.right, y1: y, y2: y, stroke: look.rule, 'stroke-width': 0.6 });
  const rows = Array.from({ length: Math.round((high - low) / step) + 1 }, (_, k) => low + k * step);
  const columns = Array.from({ length: Math.floor(furthest / stride + 1e-9) + 1 }, (_, k) => k * stride);
  const mark = (x) => `${Number(x.toPrecision(6))}`;
  return [
    words(look, 0, 9, 'winding, °C', { size: TEXT_PX - 1, colour: look.soft }),
    rows.flatMap((degc) => [level(yOf(degc)), words(look, PANEL.left - 3, yOf(degc) + 3, mark(degc), { size: TEXT_PX - 1, colour: look.soft, anchor: 'end' })]),
    columns.map((x) => words(look, Math.min(xOf(x), WIDTH_PX - 8), PANEL.high - PANEL.foot + 10, mark(x), { size: TEXT_PX - 1, colour: look.soft, anchor: 'middle' })),
    words(look, (PANEL.left + WIDTH_PX) / 2, PANEL.high - 5, unit, { size: TEXT_PX - 1, colour: look.soft, anchor: 'middle' }),
  ];
}

/** Names of units stand where their lines end, above each other where they would touch; the first is drawn thicker. */
function namesAt(look, colour, ends) {
  let above = Infinity;
  return [...ends].sort((a, b) => b.y - a.y).map(({ x, y, name }) => {
    above = Math.min(y - 3, above - TEXT_PX);
    const wide = wordsPx(look, name, TEXT_PX - 1);
    return words(look, Math.min(x, WIDTH_PX - PANEL.right - wide - 2), Math.max(above, 8), name, { size: TEXT_PX - 1, colour });
  });
}

function paintWindings(look, { truck, windings }, scale) {
  const xOf = (along) => PANEL.left + (along / scale.furthest) * (WIDTH_PX - PANEL.left - PANEL.right);
  const yOf = (degc) => PANEL.high - PANEL.foot - ((degc - scale.low) / (scale.high - scale.low)) * (PANEL.high - PANEL.foot - PANEL.top);
  const colour = look.series(truck.index);
  const lines = windings.map(({ degc }, at) =>
    draw('polyline', { points: Array.from(degc, (one, row) => `${xOf(alongOf(truck)[row] / per(truck)).toFixed(1)},${yOf(one).toFixed(1)}`).join(' '), fill: 'none', stroke: colour, 'stroke-width': at === 0 ? 1.6 : 0.8, 'data-unit': windings[at].unit.name }),
  );
  const inside = (degc) => degc > scale.low && degc < scale.high;
  const limits = [...new Set(windings.flatMap(limitsOf))].filter(inside).map((degc) =>
    draw('line', { x1: PANEL.left, x2: WIDTH_PX - PANEL.right, y1: yOf(degc), y2: yOf(degc), stroke: look.soft, 'stroke-width': 0.8, 'stroke-dasharray': LIMIT.join(' ') }),
  );
  const ends = windings.length < 2 ? [] : windings.map(({ degc, unit }) => ({ x: xOf(alongOf(truck).at(-1) / per(truck)), y: yOf(degc.at(-1)), name: unit.name }));
  return sheet(WIDTH_PX, PANEL.high, [axes(look, scale, xOf, yOf, truck.byClock ? 'clock of the day, h' : 'distance, km'), limits, lines, namesAt(look, colour, ends)]);
}

function temperatures(model, look) {
  const told = model.trucks.filter(({ trace }) => trace !== null).map(partsOf)
    .map((parts) => ({ ...parts, windings: parts.panels.flatMap(({ lines }) => lines.filter(({ part }) => part === 'winding')) }))
    .filter(({ windings }) => windings.length > 0);
  if (told.length === 0) return null;
  const scale = scaleOf(told);
  const caption = make('p', { class: 'about' }, 'Windings over one scale for all trucks; of two drive units the first is the thicker line; dashed: derating begins, no torque. Peaks with the range at the ends of stated time constants, where they were, and stated limits.');
  return partOf('Temperatures, truck by truck', caption, told.map((parts) => {
    const { head, rows } = peakRows(model, parts);
    return make('div', {}, titleOf(model, parts.truck), paintWindings(look, parts, scale), table('Peaks', head, rows));
  }));
}

// ------------------------------------------------------------------------------------------------ on paper

/** Puts them into the page before it is printed. */
export function putSmall(model) {
  const look = theme();
  document.getElementById('energy')?.append(...[flows(model, look)].filter(Boolean));
  document.querySelector('[data-charts="evidence"]')?.append(...[temperatures(model, look)].filter(Boolean));
}

export const takeSmall = () => document.querySelectorAll('section.small').forEach((one) => one.remove());
