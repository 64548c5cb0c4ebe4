// The flow of energy of one run, from the net battery energy to the road: what moves the truck, what auxiliaries use, what is
// lost, each with its number outside the flow; and beside it what is regenerated, which comes back and is not lost.
import { decimals, looksLikeNothing } from '../data.js';
import { draw } from '../dom.js';
import { quantity } from '../model.js';
import { BOLD, namedPx, NARROW_PX, number, sheet, words, wordsPx } from '../paint.js';

// From the battery to the road: what each place along the way keeps.
export const WAY = [
  { name: 'battery, net', keeps: ['battery_losses_kwh'] },
  { name: 'd.c. bus', keeps: ['auxiliaries_kwh', 'power_take_off_kwh', 'cooling_fan_kwh', 'battery_conditioning_kwh',
    'brake_resistor_kwh'] },
  { name: 'motors', keeps: ['inverter_losses_kwh', 'motor_losses_kwh', 'gear_change_losses_kwh'] },
  { name: 'driveline', keeps: ['gearbox_losses_kwh', 'propeller_shaft_losses_kwh', 'final_drive_losses_kwh', 'hub_losses_kwh'] },
  { name: 'wheels', keeps: ['tyre_slip_losses_kwh', 'retarder_kwh', 'friction_brakes_kwh'] },
  { name: 'road', keeps: ['rolling_resistance_kwh', 'air_drag_kwh', 'potential_kwh', 'kinetic_kwh'] },
];
const ROAD = WAY.length - 1;
/** Comes in beside the battery, below zero in the balance. */
const CHARGING = 'charging_kwh';
const USED = ['auxiliaries_kwh', 'power_take_off_kwh', 'cooling_fan_kwh', 'battery_conditioning_kwh'];

/** Classes of lines, each with the name of its colour in the style sheet. */
export const CLASSES = {
  moves: 'moves the truck',
  used: 'used by auxiliaries',
  lost: 'lost',
  back: 'regenerated: comes back',
  given: 'given by the route',
};
export const classOf = (key) => (key === CHARGING ? 'given' : WAY[ROAD].keeps.includes(key) ? 'moves' : USED.includes(key) ? 'used' : 'lost');

export const chargedOf = (outcome) => Math.max(-(outcome.energy_balance[CHARGING] ?? 0), 0);
/** What the battery gave for good: less what was charged into it. All lines of the balance come to that. */
export const netOf = (outcome) => outcome.battery_kwh - (outcome.charged_stored_kwh ?? 0);

export const lineName = (model, key) => quantity(model, `energy_balance.${key}`).label;
export const lineDigits = (model, key) => quantity(model, `energy_balance.${key}`).digits;
/** Decimals of what lines add up to: those of the lines. */
export const sumDigits = (model, outcome) => Math.max(...Object.keys(outcome.energy_balance).map((key) => lineDigits(model, key)));

// ------------------------------------------------------------------------------------------------ what flows

/** A line that shows more than zeros, with its words. */
const lineOf = (model, key, kwh) => ({ key, kwh, kind: classOf(key), name: lineName(model, key), text: `${decimals(kwh, lineDigits(model, key))} kWh` });

/** Where at some place nothing would flow on towards the road, all that gives stands against all that takes. */
function asOne(net, takes, gives, netText) {
  const given = [...(net > 0 ? [{ name: 'battery, net', kwh: net, text: netText(net) }] : []), ...gives];
  const into = net < 0 ? [{ key: 'net', kwh: -net, kind: 'back', name: 'into the battery, net', text: netText(-net) }] : [];
  const rest = given.reduce((sum, { kwh }) => sum + kwh, 0);
  return { places: [{ name: 'the truck', rest, text: netText(rest), keeps: [...into, ...takes] }], sources: given };
}

/**
 * Places along the way with what reaches each (`rest`), what it keeps, and from where it is given: the battery at the first,
 * a route that ends lower (or a truck that ends slower) at the road. `returns`: what is regenerated and discharged again.
 */
export function flowOf(model, outcome) {
  const digits = sumDigits(model, outcome);
  const seen = ([key, kwh]) => !looksLikeNothing(kwh, lineDigits(model, key));
  const balance = Object.entries(outcome.energy_balance).filter(([key]) => key !== CHARGING);
  const lines = new Map(balance.filter(seen).map(([key, kwh]) => [key, kwh]));
  const netText = (kwh) => `${decimals(kwh, digits)} kWh`;
  const idle = balance.filter((line) => !seen(line)).map(([key]) => lineName(model, key));
  const givesAt = (place) => WAY[place].keeps.filter((key) => lines.get(key) < 0).map((key) => lineOf(model, key, -lines.get(key)));
  // What a charger brings is given beside the battery, less what of it is still there.
  const charging = chargedOf(outcome);
  const net = netOf(outcome);
  const charger = charging > 0 ? [{ key: CHARGING, kwh: charging, name: lineName(model, CHARGING), text: netText(charging) }] : [];
  let rest = net + charging;
  const places = WAY.map(({ name, keeps }, at) => {
    const given = at === ROAD ? givesAt(at).reduce((sum, { kwh }) => sum + kwh, 0) : 0;
    const reaches = rest;
    const kept = keeps.filter((key) => lines.get(key) > 0).map((key) => lineOf(model, key, lines.get(key)));
    rest -= keeps.reduce((sum, key) => sum + (outcome.energy_balance[key] ?? 0), 0);
    const told = at === 0 && charging > 0 ? 'energy input' : name;
    return { name: told, rest: reaches + given, flowsIn: reaches, text: netText(reaches), keeps: kept };
  });
  const gives = WAY.flatMap((_, at) => givesAt(at));
  const straight = places.every(({ flowsIn }) => flowsIn > 0) && gives.every(({ key }) => WAY[ROAD].keeps.includes(key));
  const returned = Math.min(outcome.regenerated_kwh, outcome.discharged_kwh);
  const common = { idle, digits, returns: looksLikeNothing(returned, digits) ? 0 : returned, net, charger, netText: netText(net) };
  if (straight) return { ...common, straight, places, sources: gives };
  return { ...common, straight, ...asOne(net, [...places].reverse().flatMap(({ keeps }) => keeps), [...charger, ...gives], netText) };
}

/** All lines that are kept along the way. */
export const keptOf = (flow) => flow.places.flatMap(({ keeps }) => keeps);
export const sumOf = (flow, kind) => keptOf(flow).reduce((sum, line) => sum + (line.kind === kind ? line.kwh : 0), 0);

// ------------------------------------------------------------------------------------------------ the picture

const GRAPH = { node: 7, most: 250, pitch: 18, gap: 6, top: 8, head: 18, room: 36, apart: 7, least: 1.2, text: 11 };
const WHEELS = ROAD - 1;

/** A band between two uprights, as wide at both ends. */
function band(x1, y1, x2, y2, high, attributes) {
  const bend = (x2 - x1) / 2;
  const path = `M${x1} ${y1}C${x1 + bend} ${y1} ${x2 - bend} ${y2} ${x2} ${y2}v${high}C${x2 - bend} ${y2 + high} ${x1 + bend} ${y1 + high} ${x1} ${y1 + high}z`;
  return draw('path', { d: path, ...attributes });
}

/** What is kept, from the top: the road's, then that of each place before it, so that no two bands cross. */
const fromTheTop = (flow) => flow.places.flatMap(({ keeps }, at) => keeps.map((line) => ({ ...line, at }))).sort((a, b) => b.at - a.at);

/** Where places stand: each has room for its words, and what comes back turns between wheels and road; how much is to spare. */
function placesAt(flow, from, to, label, back) {
  const least = flow.places.map((_, at) => label + GRAPH.apart + (at === 0 ? GRAPH.node + 6 : 0) + (at === WHEELS ? back + 6 : 0));
  if (flow.straight) least[ROAD] = 44;
  const room = () => to - from - least.reduce((sum, one) => sum + one, 0);
  // Where room is scarce the turn is narrower, not the words.
  if (least.length > WHEELS) least[WHEELS] -= Math.min(Math.max(-room(), 0), back);
  const spare = room() / least.length;
  let x = from;
  const xs = least.map((one) => {
    const here = x;
    x += one + spare;
    return here;
  });
  return { xs, spare };
}

/** Places of all parts in a picture so wide. */
function layoutOf(look, flow, width) {
  const ends = fromTheTop(flow);
  const labels = Math.max(...ends.map((line) => namedPx(look, line.name, line.text))) + 14;
  const last = width - labels;
  const whole = Math.max(...flow.places.map(({ rest }) => rest));
  const scale = GRAPH.most / (whole + 2 * flow.returns);
  const back = flow.returns * scale;
  const label = Math.max(...flow.places.slice(0, WHEELS + 1).map(({ name, text }) => Math.max(wordsPx(look, text, GRAPH.text), wordsPx(look, name, GRAPH.text, BOLD) + 2)));
  const { xs, spare } = placesAt(flow, 4, last, label, back);
  const gives = flow.straight ? flow.sources : [];
  const net = GRAPH.top + (back > 0 ? GRAPH.head + back : 0) + GRAPH.room + back;
  const high = (kwh) => Math.max(kwh * scale, GRAPH.least);
  const road = net - gives.reduce((sum, { kwh }) => sum + high(kwh), 0);
  const pitch = (line) => Math.max(high(line.kwh) + GRAPH.gap, GRAPH.pitch);
  const above = ends.filter(({ at }) => at === flow.places.length - 1).reduce((sum, line) => sum + pitch(line) - line.kwh * scale, 0);
  let lane = Math.max(flow.straight ? road - above : net, GRAPH.top + (gives.length > 0 ? (gives.length + 1) * GRAPH.pitch : 0));
  const lanes = ends.map((line) => {
    const y = lane + (pitch(line) - high(line.kwh)) / 2;
    lane += pitch(line);
    return { line, y, high: high(line.kwh) };
  });
  return { spare, lanes, last, label, scale, back, net, road, high, home: net - 2 * back - GRAPH.room, xOf: (at) => xs[at] ?? last, height: Math.ceil(Math.max(lane, net + whole * scale) + 10) };
}

/** The stream that comes back: out above the net flow as far as the wheels, round, and back over it into the battery. */
function returning(look, flow, { back, net, home, xOf, label, last }) {
  if (flow.returns <= 0) return [];
  const [from, turn] = [xOf(0) + GRAPH.node, flow.straight ? xOf(WHEELS) : xOf(0) + 0.4 * (last - xOf(0))];
  const out = net - back;
  // A curve of this kind reaches three quarters as far as its control points.
  const inner = (label + 2) / 0.75;
  const outer = Math.min(label + 2 + back, flow.straight ? xOf(ROAD) - turn - 2 : Infinity) / 0.75;
  const path =
    `M${from} ${out}H${turn}C${turn + inner} ${out} ${turn + inner} ${home + back} ${turn} ${home + back}` +
    `H${from + 12}v5l-12 ${-5 - back / 2}l12 ${-5 - back / 2}v5H${turn}C${turn + outer} ${home} ${turn + outer} ${net} ${turn} ${net}H${from}z`;
  return [
    draw('path', { d: path, fill: look.flow.back, 'fill-opacity': 0.35, 'data-kwh': flow.returns, 'data-way': 'returns', 'data-px': back }),
    words(look, xOf(0), home - 9, [`regenerated, comes back into the battery `, number(`${decimals(flow.returns, flow.digits)} kWh`)], { colour: look.flow.back }),
  ];
}

function placeMarks(look, flow, { xOf, net, road: roadTop, back, home, scale }) {
  return flow.places.flatMap(({ name, rest, text, flowsIn }, at) => {
    const x = xOf(at);
    const road = flow.straight && at === ROAD;
    const top = at === 0 && back > 0 ? home : road ? roadTop : net - back;
    const upright = draw('rect', { x, y: top, width: GRAPH.node, height: Math.max((road ? net + flowsIn * scale : net + rest * scale) - top, GRAPH.least), fill: look.ink, 'data-place': name, 'data-rest': flowsIn ?? rest });
    if (road) return [upright];
    const y = net - back - GRAPH.room;
    const aside = at === 0 ? x + GRAPH.node + 4 : x;
    return [upright, words(look, aside, y + 14, name, { weight: BOLD, size: GRAPH.text }), words(look, aside, y + 28, text, { size: GRAPH.text })];
  });
}

function picture(look, flow, width, layout) {
  const { lanes, last, scale, net, xOf } = layout;
  const used = flow.places.map(({ rest, flowsIn }) => net + (flowsIn ?? rest) * scale);
  const children = [];
  flow.places.slice(1).forEach(({ flowsIn }, at) => {
    children.push(draw('rect', { x: xOf(at) + GRAPH.node, y: net, width: xOf(at + 1) - xOf(at) - GRAPH.node, height: flowsIn * scale, fill: look.flow.moves, 'fill-opacity': 0.3, 'data-kwh': flowsIn, 'data-way': 'on', 'data-px': flowsIn * scale }));
  });
  for (const { line, y, high } of [...lanes].reverse()) {
    const from = used[line.at] - line.kwh * scale;
    used[line.at] = from;
    const x = xOf(line.at) + GRAPH.node;
    const knee = Math.min(x + Math.max(xOf(line.at + 1) - x, 40), x + 90, last - 12);
    const style = { fill: look.flow[line.kind], 'fill-opacity': 0.45 };
    children.push(band(x, from, knee, y, high, { ...style, 'data-kwh': line.kwh, 'data-key': line.key, 'data-px': line.kwh * scale }));
    children.push(draw('rect', { x: knee, y, width: last - 6 - knee, height: high, ...style }));
    children.push(draw('rect', { x: last - 6, y, width: 5, height: high, fill: look.flow[line.kind] }));
    children.push(draw('line', { x1: last, x2: last + 7, y1: y + high / 2, y2: y + high / 2, stroke: look.soft, 'stroke-width': 0.8 }));
    children.push(words(look, last + 10, y + high / 2 + 4, [`${line.name} `, number(line.text)]));
  }
  children.push(...returning(look, flow, layout), ...placeMarks(look, flow, layout), ...givenMarks(look, flow, layout, width));
  const picture = sheet(width, layout.height, children);
  picture.classList.add('flow');
  return picture;
}

/** What the route gives joins at the road, from above; where all stands at one place, the sources are named above all bands. */
function givenMarks(look, flow, { xOf, net, high, scale }, width) {
  const said = ({ name, text }) => [`${flow.straight ? 'given' : 'from'}: ${name} `, number(text)];
  if (!flow.straight) return flow.sources.map((source, at) => words(look, width - 4, GRAPH.top + 12 + 16 * (at + 1), said(source), { colour: look.flow.given, anchor: 'end' }));
  const x = xOf(ROAD);
  let y = net;
  return flow.sources.flatMap((source, at) => {
    y -= high(source.kwh);
    const line = GRAPH.top + 12 + GRAPH.pitch * (at + 1);
    const fits = x - 12 + namedPx(look, `given: ${source.name}`, source.text) < width;
    return [
      draw('line', { x1: x - 8, x2: x - 8, y1: line + 4, y2: y, stroke: look.soft, 'stroke-width': 0.8 }),
      draw('rect', { x: x - 16, y, width: 16, height: high(source.kwh), fill: look.flow.given, 'data-kwh': source.kwh, 'data-way': 'given', 'data-px': source.kwh * scale }),
      words(look, fits ? x - 12 : width - 4, line, said(source), { colour: look.flow.given, anchor: fits ? 'start' : 'end' }),
    ];
  });
}

// ------------------------------------------------------------------------------------------------ the list

const LIST = { row: 30, head: 22 };
const listed = (flow) => [...keptOf(flow)].sort((a, b) => b.kwh - a.kwh);

export const listRows = (flow) => [
  ...(flow.net > 0 ? [{ name: 'net battery energy', text: flow.netText, kwh: flow.net, kind: 'source' }] : []),
  ...(flow.straight ? flow.charger.map(({ name, text, kwh }) => ({ name, text, kwh, kind: 'source' })) : []),
  ...flow.sources.filter(({ key }) => key).map((line) => ({ ...line, name: `given: ${line.name}`, kind: 'given' })),
  ...listed(flow),
  ...(flow.returns > 0 ? [{ name: 'regenerated, comes back', text: `${decimals(flow.returns, flow.digits)} kWh`, kwh: flow.returns, kind: 'back', way: 'returns' }] : []),
];

const listHeight = (flow) => listRows(flow).length * LIST.row + 8;

/** Where there is no room for a flow: what gives, what takes from the largest down, what comes back. */
function list(look, flow, width) {
  const rows = listRows(flow);
  const most = Math.max(...rows.map(({ kwh }) => kwh));
  return sheet(width, listHeight(flow), rows.flatMap(({ name, text, kwh, kind, key, way }, at) => {
    const y = at * LIST.row;
    const bold = kind === 'source' ? BOLD : undefined;
    return [
      words(look, 2, y + 15, name, { weight: bold }),
      words(look, width - 4, y + 15, text, { anchor: 'end', weight: bold }),
      draw('rect', { x: 2, y: y + 20, width: Math.max((kwh / most) * (width - 6), 1), height: 6, fill: kind === 'source' ? look.ink : look.flow[kind], 'data-kwh': kwh, 'data-key': key, 'data-way': way, 'data-px': (kwh / most) * (width - 6) }),
    ];
  }));
}

/** A picture where its words have room beside each other, else the list. */
export function paintFlow(look, flow, width) {
  if (width < NARROW_PX) return list(look, flow, width);
  const layout = layoutOf(look, flow, width);
  return layout.spare > 2 - GRAPH.apart ? picture(look, flow, width, layout) : list(look, flow, width);
}
