// What the dearer truck earns: cash flow with its band, costs per km by parts, the field of distances and prices of energy, shares of
// variance. All numbers are the document's.
import { change, decimals, mark } from '../data.js';
import { draw, make, tip } from '../dom.js';
import { column, figure } from '../figure.js';
import { bars, BOLD, fitted, NARROW_PX, sheet, TEXT_PX, words, wordsPx } from '../paint.js';
import { base, roundStep, sign, signsAlong, upright, valueAxis } from '../theme.js';
import { key } from './answer.js';

const currencyOf = (model) => model.result.prices.currency;
const nameOf = (model, id) => model.trucks.find((truck) => truck.id === id)?.name ?? id;
const figureOf = (truck, name) => truck.figures.find((one) => one.key === name)?.value ?? null;
/** Trucks of a basis that have costs, with their places among all. */
const costed = (basis) => basis.trucks.map((truck, index) => ({ ...truck, index })).filter((truck) => figureOf(truck, 'cost.per_km') !== null);
const basesOf = (model) => model.result.bases.filter((basis) => costed(basis).length > 0);
/** Those that are held against the first. */
const heldAgainst = (basis) => costed(basis).filter((truck) => figureOf(truck, 'extra.sum.0') !== null);
const keysOf = (model, trucks) => make('p', { class: 'keys' }, trucks.map(({ index }) => key(model.trucks[index])));

// ------------------------------------------------------------------------------------------------ cash flow

const yearsOf = (model) => Array.from({ length: model.result.years + 1 }, (_, year) => year);
const discounted = (truck, year) => figureOf(truck, `extra.discounted.${year}`);
const simple = (truck, year) => figureOf(truck, `extra.sum.${year}`);
const bandsOf = (truck) => truck.sure?.discounted_saving_by_year ?? [];

const MARKS = 5;

/** What lies between the ends of a band, as a shape of the chart library. */
const bandSeries = (model, look, truck) => ({
  name: `${model.trucks[truck.index].name}, band`,
  type: 'custom',
  silent: true,
  z: 1,
  data: [[0, 0]],
  encode: { x: 0, y: 1 },
  renderItem: (params, api) => {
    const bands = bandsOf(truck);
    const points = [...bands.map(({ year, high }) => api.coord([year, high])), ...bands.toReversed().map(({ year, low }) => api.coord([year, low]))];
    return { type: 'polygon', shape: { points }, style: { fill: look.series(truck.index), opacity: 0.16 } };
  },
});

/** The axis ends at its own marks, below zero too. */
function rangeOf(years, trucks) {
  const all = trucks.flatMap((truck) => [...years.flatMap((year) => [discounted(truck, year), simple(truck, year)]), ...bandsOf(truck).flatMap(({ low, high }) => [low, high])]);
  const [low, high] = [Math.min(0, ...all), Math.max(0, ...all)];
  const interval = roundStep((high - low || 1) / MARKS);
  return { min: interval * Math.floor(low / interval), max: interval * Math.ceil(high / interval), interval };
}

function flowOption(model, trucks, look) {
  const years = yearsOf(model);
  const points = (truck, of) => years.map((year) => [year, of(truck, year)]);
  const unit = currencyOf(model);
  return {
    ...base(look),
    grid: { left: 62, right: 18, top: 34, bottom: 44 },
    xAxis: valueAxis(look, 'end of year', { min: 0, max: model.result.years, minInterval: 1 }),
    yAxis: upright(look, `saved, ${unit}`, rangeOf(years, trucks)),
    tooltip: {
      ...base(look).tooltip,
      trigger: 'axis',
      formatter: (list) => {
        const year = Math.round(list[0].axisValue);
        return tip(year === 0 ? 'at the beginning' : `end of year ${year}`, trucks.flatMap((truck) => {
          const band = bandsOf(truck)[year];
          const { name } = model.trucks[truck.index];
          return [
            [`${name}, discounted`, `${decimals(discounted(truck, year), 0)} ${unit}`],
            ...(band ? [['5 to 95 % of draws', `${decimals(band.low, 0)} to ${decimals(band.high, 0)}`]] : []),
            [`${name}, not discounted`, decimals(simple(truck, year), 0)],
          ];
        }));
      },
    },
    series: [
      ...trucks.filter((truck) => bandsOf(truck).length > 0).map((truck) => bandSeries(model, look, truck)),
      ...trucks.flatMap((truck, at) => [
        { name: `${truck.name}, not discounted`, type: 'line', data: points(truck, simple), symbol: 'none', lineStyle: look.line(truck.index, 0.9), emphasis: { disabled: true } },
        {
          name: truck.name,
          type: 'line',
          data: points(truck, discounted),
          symbol: 'none',
          lineStyle: look.line(truck.index, 2.4),
          itemStyle: { color: look.series(truck.index) },
          emphasis: { disabled: true },
          markPoint: signsAlong(look, truck.index, points(truck, discounted), [0, model.result.years], (at + 1) / (trucks.length + 1)),
          ...(at === 0 ? { markLine: { silent: true, symbol: 'none', label: { show: false }, lineStyle: { color: look.ink, width: 1.2, type: 'solid' }, data: [{ yAxis: 0 }] } } : {}),
        },
      ]),
    ],
  };
}

function flowFigure(model, basis) {
  const trucks = heldAgainst(basis);
  if (trucks.length === 0) return null;
  const years = yearsOf(model);
  const unit = currencyOf(model);
  const drawn = trucks.some((truck) => bandsOf(truck).length > 0);
  const first = model.trucks[0].name;
  return figure({
    title: `Saved against ${first}, year by year: ${basis.title.toLowerCase()}`,
    before: keysOf(model, trucks),
    caption: `Thick: all that was saved so far, discounted${drawn ? '; shaded: between what 5 and 95 % of the draws of that lie' : ''}; thin: not discounted. Where a line comes above zero for good, the extra price has paid back: the thin one simply, the thick one with interest. Shares of draws that have paid back are of the thin one, those above zero at the end of the thick one.`,
    alt: `Lines: what is saved against ${first} by the end of each year. At the end, discounted: ${trucks.map((truck) => `${model.trucks[truck.index].name} ${decimals(discounted(truck, model.result.years), 0)} ${unit}`).join(', ')}`,
    height: (width) => (width < 500 ? 290 : 340),
    option: (look) => flowOption(model, trucks, look),
    sheets: [
      {
        title: `saved against ${first}, ${basis.title.toLowerCase()}`,
        file: `payback-${basis.basis}`,
        columns: [
          column('year', '', 0, years, 'end of year'),
          ...trucks.flatMap((truck) => {
            const { id, name } = model.trucks[truck.index];
            const bands = bandsOf(truck);
            return [
              column(`${id}_sum`, unit, 0, years.map((year) => simple(truck, year)), name),
              column(`${id}_discounted`, unit, 0, years.map((year) => discounted(truck, year)), `${name}, discounted`),
              ...(bands.length > 0 ? ['low', 'median', 'high'].map((end, at) => column(`${id}_${end}`, unit, 0, bands.map((band) => band[end]), `${name}, ${[5, 50, 95][at]} % of draws below`)) : []),
            ];
          }),
        ],
      },
    ],
  });
}

export const flow = (model) => basesOf(model).map((basis) => flowFigure(model, basis));

// ------------------------------------------------------------------------------------------------ costs by parts

const PART = { high: 300, line: 14, head: 36, digits: 4, gap: 12 };
const WIDE = { bar: 22, lead: 14, apart: 8 };
const NARROW = { bar: 16, lead: 10, apart: 6 };
const sizesOf = (width) => (width < NARROW_PX ? NARROW : WIDE);
const SHADES = [0.85, 0.5, 0.68];
const partsOf = (truck) => truck.figures.filter((one) => one.key.startsWith('per_km.'));

/** Labels of the parts from top to bottom: where their bars are on average, but never closer than a line. */
function linesOf(middles, top, bottom) {
  const lines = [...middles];
  for (let at = 1; at < lines.length; at += 1) lines[at] = Math.max(lines[at], lines[at - 1] + PART.line);
  const over = Math.max(0, lines.at(-1) - bottom);
  if (over > 0) lines[lines.length - 1] = bottom;
  for (let at = lines.length - 2; at >= 0; at -= 1) lines[at] = Math.min(lines[at], lines[at + 1] - PART.line);
  return lines.map((y) => Math.max(y, top));
}

/** Bars of a truck from top to bottom: the first part is uppermost; what is below zero hangs below it. */
function stackOf(truck, yOf) {
  let [above, below] = [partsOf(truck).reduce((sum, { value }) => sum + Math.max(value, 0), 0), 0];
  return partsOf(truck).map(({ key: name, value }) => {
    const from = value < 0 ? below : above;
    if (value < 0) below += value;
    else above -= value;
    const to = value < 0 ? below : above;
    return { name, value, top: Math.min(yOf(from), yOf(to)), bottom: Math.max(yOf(from), yOf(to)) };
  });
}

const leader = (look, x1, y1, x2, y2) => draw('line', { x1, y1, x2, y2, stroke: look.soft, 'stroke-width': 0.6 });

/** Trucks in a row, as many as there is room for, over one scale; names at the left, numbers behind each bar. */
function paintRow(look, width, trucks, scale, pitch) {
  const { bar, lead } = sizesOf(width);
  const names = partsOf(trucks[0]).map(({ label: name }) => name);
  const left = Math.max(...names.map((name) => wordsPx(look, name, 11))) + 4;
  const foot = PART.head + PART.high;
  const yOf = (value) => PART.head + ((scale.most - value) / (scale.most - scale.least)) * PART.high;
  const stacks = trucks.map((truck) => stackOf(truck, yOf));
  const told = names.map((_, part) => part).filter((part) => trucks.some((truck) => Math.abs(partsOf(truck)[part].value) >= 0.5 * 10 ** -PART.digits));
  const middle = (part) => stacks.reduce((sum, stack) => sum + (stack[part].top + stack[part].bottom) / 2, 0) / stacks.length;
  const lines = linesOf(told.map(middle), PART.head + 6, foot - 9);
  const children = told.map((part, at) => words(look, left, lines[at] + 4, names[part], { anchor: 'end', size: 11 }));
  trucks.forEach((truck, place) => {
    const x = left + lead + 4 + place * pitch;
    const stack = stacks[place];
    const colour = look.series(truck.index);
    const total = figureOf(truck, 'cost.per_km');
    children.push(
      signOf(look, truck.index, x + 6.5, 8.5, 13),
      words(look, x, PART.head - 8, decimals(total, PART.digits), { weight: BOLD }),
    );
    told.forEach((part, at) => {
      const { top, bottom, value, name } = stack[part];
      const there = Math.abs(value) >= 0.5 * 10 ** -PART.digits;
      const y = (top + bottom) / 2;
      const end = x + bar;
      if (there) {
        children.push(draw('rect', { x, y: top, width: bar, height: Math.max(bottom - top, 0.6), fill: colour, 'fill-opacity': SHADES[part % SHADES.length], stroke: look.paper, 'stroke-width': bottom - top > 3 ? 1 : 0, 'data-value': value, 'data-key': name }));
        children.push(leader(look, end + 1, y, end + lead - 2, lines[at]));
        if (place === 0) children.push(leader(look, left + 3, lines[at], x - 1, y));
      }
      children.push(words(look, end + lead, lines[at] + 4, decimals(value, PART.digits), { size: 11 }));
    });
  });
  return sheet(width, foot + PART.gap, [leader(look, left, yOf(0), width, yOf(0)), children]);
}

function paintParts(look, width, trucks) {
  const { bar, lead, apart } = sizesOf(width);
  const values = trucks.map((truck) => partsOf(truck).map(({ value }) => value));
  const sum = (list) => list.reduce((all, one) => all + one, 0);
  const scale = { most: Math.max(...values.map((list) => sum(list.filter((one) => one > 0)))), least: Math.min(0, ...values.map((list) => sum(list.filter((one) => one < 0)))) };
  const left = Math.max(...partsOf(trucks[0]).map(({ label: name }) => wordsPx(look, name, 11))) + 4;
  const widest = Math.max(...trucks.flatMap((truck) => [wordsPx(look, decimals(figureOf(truck, 'cost.per_km'), PART.digits), TEXT_PX, BOLD) - bar - lead, ...partsOf(truck).map(({ value }) => wordsPx(look, decimals(value, PART.digits), 11))]));
  const least = bar + lead + widest + apart;
  const room = width - left - lead - 4;
  const most = Math.max(1, Math.floor(room / least));
  const rows = Math.ceil(trucks.length / most);
  const each = Math.ceil(trucks.length / rows);
  const pitch = Math.min(room / each, 150);
  const groups = Array.from({ length: rows }, (_, row) => trucks.slice(row * each, (row + 1) * each));
  return make('div', { class: rows > 1 ? 'pieces' : null }, groups.map((group) => make('div', {}, paintRow(look, width, group, scale, pitch))));
}

function partsFigure(model, basis) {
  const trucks = costed(basis);
  const unit = `${currencyOf(model)}/km`;
  return figure({
    title: basis.title,
    before: keysOf(model, trucks),
    caption: `A bar for each truck, its parts upon each other over one scale from zero, ${unit}; above it all together. Numbers stand in the line of their part.`,
    alt: `Stacked bars, ${unit}: ${trucks.map((truck) => `${model.trucks[truck.index].name} ${decimals(figureOf(truck, 'cost.per_km'), PART.digits)}`).join(', ')}`,
    paint: (look, width) => paintParts(look, width, trucks),
    sheets: [
      {
        title: `cost per km by parts, ${basis.title.toLowerCase()}`,
        file: `payback-parts-${basis.basis}`,
        columns: [
          column('part', '', 0, partsOf(trucks[0]).map((one) => one.label), 'part'),
          ...trucks.map((truck) => column(`${model.trucks[truck.index].id}_per_km`, unit, PART.digits, partsOf(truck).map(({ value }) => value), model.trucks[truck.index].name)),
        ],
      },
    ],
  });
}

export const parts = (model) => basesOf(model).map((basis) => partsFigure(model, basis));

// ------------------------------------------------------------------------------------------------ the field

const FIELD = { row: 30, foot: 42, head: 22, right: 10 };
const PER_THOUSAND = 1000;

/** Where one truck takes over from another, for each two of which that is so: a price of energy for each distance, null: at none. */
function bordersOf({ takes_over: over }) {
  const pairs = [...new Set(over.flatMap((list) => list.map(({ below, above }) => `${below} ${above}`)))];
  return pairs.map((pair) => ({ pair, line: over.map((list) => list.find(({ below, above }) => `${below} ${above}` === pair)?.energy_price ?? null) }));
}

/** A line in pieces: none where nothing turns. */
function piecesOf(line, xOf, yOf) {
  const pieces = [[]];
  line.forEach((price, at) => {
    if (price === null) pieces.push([]);
    else pieces.at(-1).push([xOf(at), yOf(price)]);
  });
  return pieces.filter((piece) => piece.length > 0);
}

const signOf = (look, index, x, y, size) =>
  draw('svg', { x: x - size / 2, y: y - size / 2, width: size, height: size, viewBox: '-6.5 -6.5 13 13' }, draw('path', { d: sign(look, index).symbol.replace('path://', ''), fill: look.series(index) }));

/** A border between regions; that of a lone distance is as wide as its column. */
function borderOf(look, pair, pieces, pitch) {
  const path = (stroke, wide) => (piece) => {
    const points = piece.length > 1 ? piece : [[piece[0][0] - pitch / 2, piece[0][1]], [piece[0][0] + pitch / 2, piece[0][1]]];
    return draw('polyline', { points: points.map((point) => point.join(',')).join(' '), fill: 'none', stroke, 'stroke-width': wide, 'data-line': stroke === look.ink ? pair : null });
  };
  return [pieces.map(path(look.paper, 5)), pieces.map(path(look.ink, 2.2))];
}

/** Two strokes: several cost alike. */
const equals = (look, x, y) => [-2, 2].map((by) => draw('line', { x1: x - 4, x2: x + 4, y1: y + by, y2: y + by, stroke: look.ink, 'stroke-width': 1.2 }));

/** Two strokes that meet: no battery suffices. */
const cross = (look, x, y) => draw('g', { 'data-crossed': 'true' }, [-1, 1].map((slope) => draw('line', { x1: x - 4, x2: x + 4, y1: y - 4 * slope, y2: y + 4 * slope, stroke: look.ink, 'stroke-width': 1.2 })));

const HATCH_PX = 7;

/** Slanting lines over a cell: more hours a year than one truck has. */
function hatch(look, x, y, width, height) {
  const count = Math.ceil((width + height) / HATCH_PX);
  const lines = Array.from({ length: count }, (_, at) => {
    const from = (at + 0.5) * HATCH_PX;
    const [x1, y1] = from <= width ? [from, 0] : [width, from - width];
    const [x2, y2] = from <= height ? [0, from] : [from - height, height];
    return draw('line', { x1: x + x1, y1: y + y1, x2: x + x2, y2: y + y2, stroke: look.ink, 'stroke-opacity': 0.45, 'stroke-width': 0.8 });
  });
  return draw('g', { 'data-hatched': 'true' }, lines);
}

/** Names of every so many distances, as there is room for. */
function everyOf(look, names, pitch) {
  const widest = Math.max(...names.map((name) => wordsPx(look, name, 11)));
  return Math.max(1, Math.ceil((widest + 6) / pitch));
}

function paintField(model, look, width, basis) {
  const { annual_km: distances, energy_price: prices, costs_least: least, alike, trucks_needed: needed, battery_suffices: suffices } = basis.field;
  const texts = prices.map((price) => decimals(price, 3));
  const left = Math.max(...texts.map((text) => wordsPx(look, text, 11))) + 8;
  const pitch = (width - left - FIELD.right) / distances.length;
  const high = prices.length * FIELD.row;
  const step = prices[1] - prices[0];
  const xOf = (at) => (at + 0.5) * pitch;
  const yOf = (price) => high - ((price - prices[0]) / step + 0.5) * FIELD.row;
  const placeOf = (id) => model.trucks.find((truck) => truck.id === id);
  const cells = least.flatMap((row, at) =>
    row.map((id, k) => {
      const truck = id === null ? null : placeOf(id);
      const [x, y] = [xOf(at), yOf(prices[k])];
      return [
        draw('rect', { x: at * pitch, y: y - FIELD.row / 2, width: pitch, height: FIELD.row, fill: truck ? look.series(truck.index) : look.land, 'fill-opacity': 0.2, stroke: look.paper, 'stroke-width': 1, 'data-key': id ?? '' }),
        needed[at][k] > 1 ? hatch(look, at * pitch, y - FIELD.row / 2, pitch, FIELD.row) : null,
        truck && !suffices[at][k] ? cross(look, x, y) : null,
        truck && suffices[at][k] && alike[at][k] ? equals(look, x, y) : null,
        truck && suffices[at][k] && !alike[at][k] ? signOf(look, truck.index, x, y, Math.min(11, pitch - 3)) : null,
      ];
    }),
  );
  const lines = bordersOf(basis.field).map(({ pair, line }) => borderOf(look, pair, piecesOf(line, xOf, yOf), pitch));
  const names = distances.map((km) => mark(km / PER_THOUSAND));
  const every = everyOf(look, names, pitch);
  return sheet(width, FIELD.head + high + FIELD.foot, [
    words(look, 0, 13, `price of energy at the depot, ${basis.field.energy_price_unit}`, { colour: look.soft, size: 11 }),
    prices.map((price, k) => words(look, left - 6, FIELD.head + yOf(price) + 4, texts[k], { anchor: 'end', colour: look.soft, size: 11 })),
    draw('svg', { x: left, y: FIELD.head, width: width - left - FIELD.right, height: high, overflow: 'hidden' }, cells, lines),
    names.map((name, at) => ((at + 1) % every === 0 ? words(look, left + xOf(at), FIELD.head + high + 14, name, { anchor: 'middle', colour: look.soft, size: 11 }) : null)),
    words(look, left + (width - left - FIELD.right) / 2, FIELD.head + high + 33, 'distance a year, thousand km', { anchor: 'middle', colour: look.soft }),
  ]);
}

function fieldFigure(model, basis) {
  const { against_first: against, annual_km: distances, energy_price: prices } = basis.field;
  const borders = basis.field.takes_over.flat();
  const several = basis.field.trucks_needed.flat().some((count) => count > 1);
  const short = basis.field.battery_suffices.flat().some((suffices) => !suffices);
  const takers = [...new Set(borders.map(({ below, above }) => `${nameOf(model, below)} and ${nameOf(model, above)}`))];
  return figure({
    title: basis.title,
    before: keysOf(model, basis.trucks.map((_, index) => ({ index }))),
    caption: `Colour and sign of a cell: the truck of least cost per km there, of those that do what the duty demands; an equals sign: another costs as much.${takers.length > 0 ? ' Lines: where one takes over from another as energy gets dearer; between the distances they run straight, and they end where one takes over at any price, or where a battery is replaced once more.' : ''}${several ? ' Hatched: on the road, at stops and charging one truck has not the hours for it; it takes several, and what a kilometre costs is that of a truck that could.' : ''}${short ? ' A cross: no battery that was found suffices there; none is to be bought so.' : ''}`,
    alt: `Field of distances and prices of energy with the truck of least cost; a line where the answer turns lies between ${takers.length === 0 ? 'no trucks' : takers.join(', ')}`,
    paint: (look, width) => paintField(model, look, width, basis),
    sheets: [
      {
        title: `which costs least, ${basis.title.toLowerCase()}`,
        file: `payback-field-${basis.basis}`,
        columns: [
          column('annual_km', 'km', 0, distances.flatMap((km) => prices.map(() => km)), 'distance a year'),
          column('energy_price', basis.field.energy_price_unit, 3, distances.flatMap(() => prices), 'price of energy'),
          column('costs_least', '', 0, basis.field.costs_least.flat().map((id) => (id === null ? null : nameOf(model, id))), 'costs least'),
          column('trucks_needed', '', 0, basis.field.trucks_needed.flat(), 'trucks needed'),
          column('battery_suffices', '', 0, basis.field.battery_suffices.flat().map((suffices) => (suffices ? 'yes' : 'no')), 'a battery suffices'),
          ...against.map(({ truck, net_present_value: values }) => column(`${truck}_net_present_value`, basis.field.net_present_value_unit, 0, values.flat(), `net present value, ${nameOf(model, truck)}`)),
        ],
      },
    ],
  });
}

export const field = (model) => basesOf(model).filter((basis) => basis.field).map((basis) => fieldFigure(model, basis));

// ------------------------------------------------------------------------------------------------ shares

const LEAST_SHARE = 0.005;

function sharesFigure(model, basis, truck) {
  const causes = truck.sure.causes.filter(({ share }) => share >= LEAST_SHARE);
  const { name, id, index } = model.trucks[truck.index];
  const unit = currencyOf(model);
  if (causes.length === 0) return null;
  return figure({
    title: `What brings the variance of ${name}: ${basis.title.toLowerCase()}`,
    caption: `Shares of the variance of its net present value against ${model.trucks[0].name}, by first order; behind each, by how much one standard uncertainty moves that value.`,
    alt: `Bars: ${causes.map((cause) => `${cause.label} ${decimals(100 * cause.share, 0)} %`).join(', ')}`,
    paint: (look, width) =>
      bars(
        look,
        width,
        causes.map((cause) => ({
          name: width < NARROW_PX ? cause.label : fitted(look, cause.label, 0.4 * width),
          rows: [{ name: '', colour: look.series(index), value: 100 * cause.share, text: `${decimals(100 * cause.share, 1)} %, ${change(cause.net_present_value, 0)} ${unit}` }],
        })),
        'share of the variance, %',
      ),
    sheets: [
      {
        title: `shares of the variance of ${name}, ${basis.title.toLowerCase()}`,
        file: `payback-shares-${basis.basis}-${id}`,
        columns: [
          column('datum', '', 0, truck.sure.causes.map((cause) => cause.label), 'datum'),
          column('share_percent', '%', 1, truck.sure.causes.map(({ share }) => 100 * share), 'share'),
          column('net_present_value', unit, 0, truck.sure.causes.map((cause) => cause.net_present_value), 'moves it by'),
        ],
      },
    ],
  });
}

export const shares = (model) => basesOf(model).flatMap((basis) => heldAgainst(basis).filter((truck) => truck.sure).map((truck) => sharesFigure(model, basis, truck)));
