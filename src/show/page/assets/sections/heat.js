// Temperatures along the route: windings of each truck over one scale; of each truck that models more all of its parts, and the
// friction brakes of its axles, with the limits that its files state. Dashed lines are limits and nothing else.
import { decimals } from '../data.js';
import { make, table, tip } from '../dom.js';
import { column, figure } from '../figure.js';
import { placeDigits, quantity, unitName } from '../model.js';
import { axisEnd, base, label, LIMIT, roundStep, seriesName, signKey, signsAlong, upright, valueAxis } from '../theme.js';

// Along the route, or over the clock of a day.
const PER = { place: 1000, clock: 3600 };
export const per = (truck) => (truck.byClock ? PER.clock : PER.place);
export const alongOf = (truck) => truck.trace.of(truck.byClock ? 'time_s' : 'place_m');
const byClock = (model) => model.trucks.some((truck) => truck.byClock);
const along = (model) => (byClock(model) ? 'over the day' : 'along the route');
/** "at km 12.3", "after 1.25 h". */
const atText = (model, value) => (byClock(model) ? `after ${decimals(value, HOUR_DIGITS)} h` : `at km ${decimals(value, placeDigits(model))}`);
const HOUR_DIGITS = 2;
const alongColumn = (truck) =>
  truck.byClock ? column('time_s', 's', 1, alongOf(truck), 'clock of the day') : column('place_m', 'm', 1, alongOf(truck), 'distance along the route');
const of = (model, truck) => (model.compares ? `: ${truck.name}` : '');
const BRAKE = 'axle_brake_temperature_degc';
const COOLANT = 'coolant_temperature_degc';

// Parts of a drive unit, as they are drawn; the winding is what counts most.
const PARTS = [
  { part: 'winding', style: { width: 1.8 } },
  { part: 'housing', style: { width: 1.2 } },
  { part: 'inverter', style: { width: 0.8, opacity: 0.45 } },
  { part: 'gearbox oil', style: { width: 1 } },
  { part: 'axle oil', style: { width: 1 } },
];
const keyed = (part) => part.replace(' ', '_');
const named = (truck, unit, part) => (truck.units.length > 1 ? `${unit.name}, ${part}` : part);

// ------------------------------------------------------------------------------------------------ what there is

/** A temperature over the route; `peak` and `limits` are keys of results and of the chart of limits. */
function unitLines(truck, unit) {
  return PARTS.map(({ part, style }) => ({
    truck,
    unit,
    part,
    style,
    name: named(truck, unit, part),
    key: `${keyed(part)}_temperature_degc`,
    degc: truck.trace.ofUnit(unit.name, `${keyed(part)}_temperature_degc`),
    peak: ['drive_units', unit.name, `peak_${keyed(part)}_temperature`],
    limits: ['from', 'to'].map((end) => `drive_units.${unit.name}.${keyed(part)}_derate_${end}_degc`),
  })).filter(({ degc }) => degc !== undefined);
}

function coolantLine(truck) {
  const degc = truck.trace.of(COOLANT);
  return degc === undefined
    ? null
    : { truck, part: 'coolant', name: 'coolant', key: COOLANT, style: { width: 1.2 }, degc, peak: ['peak_coolant_temperature'], limits: ['coolant_limit_degc'] };
}

/** What the weather acts on beside the drive: the battery, and tyres that warm up as they roll. */
const OUTSIDE = [
  { part: 'battery', style: { width: 1.6 } },
  { part: 'tyres', key: 'tyre', style: { width: 1.2 } },
];
const outsideLines = (truck) =>
  OUTSIDE.map(({ part, key = part, style }) => ({
    truck,
    part,
    name: part,
    style,
    key: `${key}_temperature_degc`,
    degc: truck.trace.of(`${key}_temperature_degc`),
    peak: [`peak_${key}_temperature`],
    limits: [],
  })).filter(({ degc }) => degc !== undefined);

const brakeLines = (truck) =>
  truck.trace.list
    .filter(({ key }) => key.endsWith(`.${BRAKE}`))
    .map(({ key }) => {
      const axle = key.slice(0, -BRAKE.length - 1);
      return {
        truck,
        part: 'friction brakes',
        name: axle,
        key: `${axle}_${BRAKE}`,
        style: { width: 1.4 },
        degc: truck.trace.of(key),
        peak: ['axles', axle, 'peak_brake_temperature'],
        limits: [`axles.${axle}.brake_limit_degc`],
      };
    });

/** All that is modelled of a truck beside its windings goes into charts of its own. */
export function partsOf(truck) {
  const panels = truck.units.map((unit) => ({ unit, lines: unitLines(truck, unit) }));
  const coolant = coolantLine(truck);
  const more = coolant !== null || panels.some(({ lines }) => lines.some(({ part }) => part !== 'winding'));
  return { truck, panels, coolant, brakes: brakeLines(truck), outside: outsideLines(truck), more };
}

export const limitsOf = (line) => line.limits.map((key) => line.truck.heatLimits?.of(key)?.[0] ?? null).filter((degc) => degc !== null);

/** A result of a line, `end` behind the name of its peak. */
const peakOf = ({ truck, peak }, end = '') => {
  const [last, ...above] = [...peak].reverse();
  const holder = above.reverse().reduce((held, name) => held?.[name], truck.own ?? {});
  return holder?.[`${last}${end}_degc`] ?? null;
};

const hottestRow = (degc) => degc.reduce((best, one, row) => (one > degc[best] ? row : best), 0);
const placeOf = ({ truck, degc }) => alongOf(truck)[hottestRow(degc)] / per(truck);
const hottestOf = (lines) => lines.reduce((best, line) => (line.degc[hottestRow(line.degc)] > best.degc[hottestRow(best.degc)] ? line : best));
const peakDigits = (model) => quantity(model, 'peak_winding_temperature_degc').digits;

/** "leading, winding: 140 °C at km 12.3", as results have it. */
const hottest = (model, line) =>
  `${decimals(peakOf(line) ?? line.degc[hottestRow(line.degc)], peakDigits(model))} °C ${atText(model, placeOf(line))}`;

// ------------------------------------------------------------------------------------------------ lines of a chart

const pointsOf = ({ truck, degc }) => Array.from(degc, (one, row) => [alongOf(truck)[row] / per(truck), one]);

/** Signs of one of several lines over the same way, each at places of its own; `more`: its name at the first. */
function signsOn(look, colour, line, index, count, more) {
  const points = pointsOf(line);
  return signsAlong(look, index, points, [0, points.at(-1)[0]], (index + 0.6) / (count + 0.2), { spots: 3, colour, ...more });
}

/** Which sign is whose, above a chart of one truck. */
const keyOf = (truck, names) =>
  make('p', { class: 'keys' }, names.map((name, index) => signKey(index, name === 'coolant' ? 'ink' : seriesName(truck.index), name)));

const alongAxis = (look, truck, more = {}) =>
  valueAxis(look, truck.byClock ? 'clock of the day, h' : 'distance, km', { min: 0, max: ({ max }) => axisEnd(max), splitLine: { show: false }, ...more });

const placeTip = (look, lines) => ({
  ...base(look).tooltip,
  trigger: 'axis',
  formatter: (points) => {
    const place = points[0].axisValue * per(lines[0].truck);
    return tip(
      `${lines[0].truck.byClock ? 'h' : 'km'} ${decimals(points[0].axisValue, 2)}`,
      lines.map(({ truck, name, degc }) => {
        const here = truck.trace.valueAt(alongOf(truck), degc, place);
        return [name, here === null ? '\u2013' : `${decimals(here, 1)} °C`];
      }),
    );
  },
});

/** Dashed lines behind all others; their words before them, those of different parts on different sides. */
function limitSeries(look, marks, width, panel = 0) {
  const across = (more) => ({ type: 'line', xAxisIndex: panel, yAxisIndex: panel, data: [], silent: true, markLine: { silent: true, symbol: 'none', ...more } });
  if (marks.length === 0) return [];
  return [
    across({
      z: 1,
      lineStyle: { color: look.soft, width: 1, type: LIMIT },
      data: marks.map(({ degc }) => ({ yAxis: degc, label: { show: false } })),
    }),
    across({
      z: 6,
      lineStyle: { width: 0 },
      data: marks.map(({ degc, name, words, side }) => ({
        yAxis: degc,
        label: label(look, look.soft, { formatter: `${width < 500 ? name : words} ${decimals(degc, 0)} °C`, position: side, fontSize: 10.5, backgroundColor: look.paper, padding: [0, 3] }),
      })),
    }),
  ];
}

/** From a round number below all that is drawn to one above, with room for words. */
function range(lines, marks, steps = 4) {
  const ends = lines.flatMap(({ degc }) => [degc.reduce((a, b) => Math.min(a, b)), degc.reduce((a, b) => Math.max(a, b))]);
  const all = [...ends, ...marks.map(({ degc }) => degc)];
  const [least, most] = [Math.min(...all), Math.max(...all)];
  const step = roundStep(Math.max(most - least, 20) / steps);
  return { min: Math.floor(least / step) * step, max: Math.ceil((most + 0.1 * (most - least)) / step) * step, interval: step };
}

// ------------------------------------------------------------------------------------------------ windings side by side

const SIDE = { gap: 34, foot: 44, alone: 220, several: 110 };
const heightOfSide = (panels) => panels.length * (SIDE.gap + (panels.length === 1 ? SIDE.alone : SIDE.several)) + SIDE.foot;

/** A panel for each truck, all over the same scale. */
function windingsOption(model, panels, look, width) {
  const all = panels.flatMap(({ lines }) => lines);
  const high = panels.length === 1 ? SIDE.alone : SIDE.several;
  const last = panels.length - 1;
  const quantity = 'winding temperature, °C';
  const furthest = Math.max(...panels.map(({ truck }) => alongOf(truck).at(-1) / per(truck)));
  return {
    ...base(look),
    grid: panels.map((_, at) => ({ left: 46, right: 16, top: SIDE.gap + at * (high + SIDE.gap), height: high, outerBoundsMode: 'none' })),
    xAxis: panels.map(({ truck }, at) => alongAxis(look, truck, { gridIndex: at, max: axisEnd(furthest), ...(at < last ? { name: '', axisLabel: { show: false } } : {}) })),
    yAxis: panels.map(({ truck }, at) =>
      upright(look, !model.compares ? quantity : at === 0 ? `${quantity}: ${truck.name}` : truck.name, { gridIndex: at, ...range(all, [], panels.length === 1 ? 5 : 3) }),
    ),
    axisPointer: { link: [{ xAxisIndex: 'all' }], lineStyle: { color: look.accent }, label: { show: false } },
    tooltip: placeTip(look, all),
    series: panels.flatMap(({ truck, lines }, at) =>
      lines.map((line, index) => ({
        name: line.name,
        type: 'line',
        xAxisIndex: at,
        yAxisIndex: at,
        symbol: 'none',
        sampling: 'minmax',
        data: pointsOf(line),
        lineStyle: { color: look.series(truck.index), width: 1.4 },
        emphasis: { disabled: true },
        markPoint: lines.length > 1 ? signsOn(look, look.series(truck.index), line, index, lines.length, { spots: width < 500 ? 1 : 2, name: line.unit.name, position: 'top' }) : undefined,
      })),
    ),
  };
}

function windingsFigure(model, parts) {
  const windings = parts
    .map(({ truck, panels }) => ({ truck, lines: panels.flatMap(({ unit, lines }) => lines.filter(({ part }) => part === 'winding').map((line) => ({ ...line, name: unitName(model, truck, unit) }))) }))
    .filter(({ lines }) => lines.length > 0);
  const found = windings.flatMap(({ lines }) => lines);
  if (found.length === 0) return null;
  const most = hottestOf(found);
  return figure({
    title: 'Winding temperatures',
    caption: `Hottest winding: ${most.name}: ${hottest(model, most)}.${windings.length > 1 ? ' The same scale for all trucks.' : ''}`,
    alt: `Winding temperature of each drive unit ${along(model)}`,
    height: () => heightOfSide(windings),
    firm: true,
    option: (look, width) => windingsOption(model, windings, look, width),
    sheets: found.map(({ truck, unit, name, degc }) => ({
      title: `${name}, winding temperature`,
      file: `${truck.id}-${unit.name}-winding`,
      columns: [
        alongColumn(truck),
        column('winding_temperature_degc', 'degC', 1, degc, 'winding temperature'),
      ],
    })),
  });
}

// ------------------------------------------------------------------------------------------------ parts of one truck

// Where the words of a part's limits stand, and what they say where there is room.
const SIDES = { winding: 'insideStartTop', inverter: 'insideEndTop', coolant: 'insideEndTop' };

function marksOf(line) {
  const words = line.part === 'coolant' ? ['limit of the coolant'] : [`${line.part}: derating from`, `${line.part}: no torque from`];
  return limitsOf(line).map((degc, at) => ({ degc, name: line.part, words: words[at], side: SIDES[line.part] }));
}

const PANEL = { gap: 44, foot: 44, wide: 270, narrow: 240 };
const panelHeight = (width) => (width < 500 ? PANEL.narrow : PANEL.wide);

function partsOption({ truck, coolant, panels }, look, width) {
  const drawn = panels.map(({ unit, lines }) => ({ unit, lines: [...lines, coolant].filter((line) => line !== null) }));
  const high = panelHeight(width) - PANEL.gap;
  const last = drawn.length - 1;
  return {
    ...base(look),
    grid: drawn.map((_, at) => ({ left: 46, right: 16, top: 34 + at * (high + PANEL.gap), height: high, outerBoundsMode: 'none' })),
    xAxis: drawn.map((_, at) => alongAxis(look, truck, { gridIndex: at, ...(at < last ? { name: '', axisLabel: { show: false } } : {}) })),
    yAxis: drawn.map(({ unit, lines }, at) =>
      upright(look, drawn.length > 1 ? `${unit.name}, °C` : 'temperature, °C', { gridIndex: at, ...range(lines, lines.flatMap(marksOf)) }),
    ),
    axisPointer: { link: [{ xAxisIndex: 'all' }], lineStyle: { color: look.accent }, label: { show: false } },
    tooltip: placeTip(look, [...panels.flatMap(({ lines }) => lines), coolant].filter((line) => line !== null)),
    series: drawn.flatMap(({ lines }, at) => [
      ...limitSeries(look, lines.flatMap(marksOf), width, at),
      ...lines.map((line, index) => {
        const colour = line.part === 'coolant' ? look.ink : look.series(truck.index);
        return {
          name: line.name,
          type: 'line',
          xAxisIndex: at,
          yAxisIndex: at,
          symbol: 'none',
          sampling: 'minmax',
          z: line.part === 'inverter' ? 2 : 3,
          data: pointsOf(line),
          lineStyle: { color: colour, ...line.style },
          emphasis: { disabled: true },
          markPoint: signsOn(look, colour, line, index, lines.length),
        };
      }),
    ]),
  };
}

const sheetOf = (truck, title, file, lines) => ({
  title: `${truck.name}, ${title}`,
  file: `${truck.id}-${file}`,
  columns: [
    alongColumn(truck),
    ...lines.map(({ unit, key, name, degc }) => column(unit && truck.units.length > 1 ? `${unit.name}.${key}` : key, 'degC', 1, degc, name)),
  ],
});

function partsCaption(model, { panels, coolant }) {
  const windings = panels.flatMap(({ lines }) => lines.filter(({ part }) => part === 'winding'));
  const inverters = panels.flatMap(({ lines }) => lines.filter(({ part }) => part === 'inverter'));
  const told = (words, lines) => {
    if (lines.length === 0) return [];
    const most = hottestOf(lines);
    return [`${words}: ${lines.length > 1 ? `${most.unit.name}: ` : ''}${hottest(model, most)}`];
  };
  const all = [
    ...told('Hottest winding', windings),
    ...told('Hottest inverter', inverters),
    ...(coolant === null ? [] : [`Hottest coolant: ${hottest(model, coolant)}`]),
  ];
  return `${all.join('. ')}. Dashed: limits that the files state; between the two of a winding or an inverter less and less torque is left.`;
}

/** Parts in the order of the lines of a panel. */
const partNames = ({ panels, coolant }) => [...(panels[0]?.lines ?? []), coolant].filter((line) => line !== null).map(({ part }) => part);

function partsFigure(model, parts) {
  const { truck, panels, coolant } = parts;
  const lines = [...panels.flatMap((panel) => panel.lines), coolant].filter((line) => line !== null);
  return figure({
    title: `Temperatures of drive units and coolant${of(model, truck)}`,
    caption: partsCaption(model, parts),
    before: keyOf(truck, partNames(parts)),
    alt: `Temperatures of ${lines.map(({ name }) => name).join('; ')} ${along(model)}, with the limits that the files of ${truck.name} state`,
    height: (width) => 34 + panels.length * panelHeight(width),
    firm: true,
    option: (look, width) => partsOption(parts, look, width),
    sheets: [sheetOf(truck, 'temperatures of drive units and coolant', 'temperatures', lines)],
  });
}

// ------------------------------------------------------------------------------------------------ friction brakes

/** Axles of one limit share its line. */
function brakeMarks(lines) {
  const limits = new Map();
  for (const line of lines) for (const degc of limitsOf(line)) limits.set(degc, [...(limits.get(degc) ?? []), line.name]);
  const whose = (names) => (names.length === lines.length ? '' : `, ${names.join(', ')}:`);
  return [...limits].map(([degc, names]) => ({ degc, name: 'limit', words: `limit of the friction brakes${whose(names)}`, side: 'insideStartTop' }));
}

function brakesOption({ truck, brakes }, look, width) {
  const marks = brakeMarks(brakes);
  const colour = look.series(truck.index);
  return {
    ...base(look),
    grid: { left: 46, right: 16, top: 34, bottom: 44 },
    xAxis: alongAxis(look, truck),
    yAxis: upright(look, 'friction brakes, °C', range(brakes, marks)),
    tooltip: placeTip(look, brakes),
    series: [
      ...limitSeries(look, marks, width),
      ...brakes.map((line, index) => ({
        name: line.name,
        type: 'line',
        symbol: 'none',
        sampling: 'minmax',
        data: pointsOf(line),
        lineStyle: { color: colour, ...line.style },
        emphasis: { disabled: true },
        markPoint: signsOn(look, colour, line, index, brakes.length),
      })),
    ],
  };
}

function outsideOption({ truck, outside }, look) {
  const colour = look.series(truck.index);
  return {
    ...base(look),
    grid: { left: 46, right: 16, top: 34, bottom: 44 },
    xAxis: alongAxis(look, truck),
    yAxis: upright(look, 'temperature, °C', range(outside, [])),
    tooltip: placeTip(look, outside),
    series: outside.map((line, index) => ({
      name: line.name,
      type: 'line',
      symbol: 'none',
      sampling: 'minmax',
      data: pointsOf(line),
      lineStyle: { color: colour, ...line.style },
      emphasis: { disabled: true },
      markPoint: signsOn(look, colour, line, index, outside.length),
    })),
  };
}

const namesOf = (lines) => lines.map(({ name }) => name).join(' and ');

function outsideFigure(model, parts) {
  const { truck, outside } = parts;
  return figure({
    title: `Temperatures of ${namesOf(outside)}${of(model, truck)}`,
    caption: `Hottest: ${outside.map((line) => `${line.name} ${hottest(model, line)}`).join('; ')}. What is not modelled has no line.`,
    before: keyOf(truck, outside.map(({ name }) => name)),
    alt: `Temperatures of ${namesOf(outside)} of ${truck.name} ${along(model)}`,
    height: (width) => (width < 500 ? 240 : 260),
    option: (look) => outsideOption(parts, look),
    sheets: [sheetOf(truck, `temperatures of ${namesOf(outside)}`, 'battery-and-tyre-temperatures', outside)],
  });
}

/** Not halfway to any limit that is stated: a line along the foot of a chart. */
const isFarFromLimits = (line) => limitsOf(line).length > 0 && 2 * line.degc[hottestRow(line.degc)] < Math.min(...limitsOf(line));

function brakesFigure(model, parts) {
  const { truck, brakes } = parts;
  const most = hottestOf(brakes);
  return figure({
    title: `Temperatures of the friction brakes${of(model, truck)}`,
    caption: `Hottest friction brakes: axle ${most.name}: ${hottest(model, most)}. All brakes of an axle, or of a trailer's group of axles, are one body. Dashed: limits that the file states.`,
    before: keyOf(truck, brakes.map(({ name }) => name)),
    told: brakes.every(isFarFromLimits), // by the table of peaks
    alt: `Temperatures of the friction brakes of each axle of ${truck.name} ${along(model)}`,
    height: (width) => (width < 500 ? 260 : 300),
    option: (look, width) => brakesOption(parts, look, width),
    sheets: [sheetOf(truck, 'temperatures of the friction brakes', 'brake-temperatures', brakes)],
  });
}

// ------------------------------------------------------------------------------------------------ peaks

const degcText = (model, degc) => (degc === null ? '\u2013' : decimals(degc, peakDigits(model)));

/** "113 to 128": with the ends of its time constants, where its file states them. */
function spread(model, line) {
  const ends = ['_low', '_high'].map((end) => peakOf(line, end)).filter((degc) => degc !== null);
  return ends.length < 2 ? '\u2013' : `${degcText(model, Math.min(...ends))} to ${degcText(model, Math.max(...ends))}`;
}

/** A row of each part that is modelled: its peak, the range of that, where it was, its limits. */
export function peakRows(model, { panels, coolant, brakes, outside }) {
  const lines = [...panels.flatMap((panel) => panel.lines), coolant, ...outside, ...brakes].filter((line) => line !== null);
  const head = ['part', 'peak, °C', 'range, °C', byClock(model) ? 'after h' : 'at km', 'limit, °C'];
  const rows = lines.map((line) => [
    line.part === 'friction brakes' ? `brakes, ${line.name}` : line.name,
    degcText(model, peakOf(line) ?? line.degc[hottestRow(line.degc)]),
    spread(model, line),
    decimals(placeOf(line), byClock(model) ? HOUR_DIGITS : placeDigits(model)),
    limitsOf(line).map((degc) => decimals(degc, 0)).join(' to ') || '\u2013',
  ]);
  return { head, rows };
}

function peaksTable(model, parts) {
  const { head, rows } = peakRows(model, parts);
  const caption = `Peak temperatures and stated limits${of(model, parts.truck)}. Of winding and inverter: where derating begins and where no torque is left. Range: at the ends of the time constants that its file states.`;
  return make('div', { class: 'whole' }, table(caption, head, rows));
}

// ------------------------------------------------------------------------------------------------ the section

export function heat(model) {
  const parts = model.trucks.filter((truck) => truck.trace !== null).map(partsOf);
  const told = parts.filter(({ more, brakes, outside }) => more || brakes.length > 0 || outside.length > 0);
  const windings = model.compares ? parts : parts.filter(({ more }) => !more);
  const figures = [
    windingsFigure(model, windings),
    ...told.flatMap((one) => [
      one.more ? partsFigure(model, one) : null,
      one.outside.length > 0 ? outsideFigure(model, one) : null,
      one.brakes.length > 0 ? brakesFigure(model, one) : null,
      peaksTable(model, one),
    ]),
  ].filter((one) => one !== null);
  if (figures.length === 0) return null;
  return told.length === 0
    ? figures
    : [
        figures,
        make('p', { class: 'caution' }, 'What motors, inverters, coolant and brakes may take is for approved testing, local regulation and licensed practice to decide.'),
      ];
}
