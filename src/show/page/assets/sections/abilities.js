// What trucks can do, of pages of limits: charts of the groups of figures, whose tables stand in the page.
import { at, decimals, duration, unitText } from '../data.js';
import { make, tip } from '../dom.js';
import { column, figure } from '../figure.js';
import { axisEnd, base, label, nameAt, nameAxis, rowTip, upright, valueAxis } from '../theme.js';
import { key } from './answer.js';
import { curve, fastestOf } from './forces.js';

const figureOf = (truck, row) => at(truck.told.figures ?? {}, row.key) ?? null;
const limitLabel = (model, limit) => model.result.limits[limit] ?? limit;
const rowsOf = (model, group) => model.result.rows.filter((row) => row.group === group);

/** "18.93 %", "71.2 km/h", "12 min 05 s". */
function amount(row, value) {
  if (value === null || value === undefined) return '';
  return row.unit === 's' ? duration(value) : `${decimals(value, row.digits)}${row.unit === '' ? '' : `\u00a0${unitText(row.unit)}`}`;
}

/** The bound of a search is no figure with decimals. */
const told = (row, one) => {
  if (one.value === null) return 'none';
  return one.beyond ? `more than ${amount({ ...row, digits: Number.isInteger(one.value) ? 0 : row.digits }, one.value)}` : amount(row, one.value);
};

/** Which line or bar is whose. */
const keysOf = (model) => (model.compares ? make('p', { class: 'keys' }, model.trucks.map(key)) : null);

// ------------------------------------------------------------------------------------------------ starting

const BAR = 16;
const whisker = (look) => (params, api) => {
  const [low, high] = [api.coord([api.value(1), api.value(0)]), api.coord([api.value(2), api.value(0)])];
  const y = low[1] + api.value(3);
  const line = (x1, y1, x2, y2) => ({ type: 'line', shape: { x1, y1, x2, y2 }, style: { stroke: look.ink, lineWidth: 1.2 } });
  return { type: 'group', children: [line(low[0], y, high[0], y), line(low[0], y - 4, low[0], y + 4), line(high[0], y - 4, high[0], y + 4)] };
};

function startOption(model, rows, look, width) {
  const count = model.trucks.length;
  const left = width < 500 ? 84 : 140;
  const offset = (index) => (index - (count - 1) / 2) * (BAR + 3);
  const of = (truck, row) => figureOf(truck, row);
  return {
    ...base(look),
    grid: { left, right: count > 1 || width < 500 ? 48 : 170, top: 8, bottom: 44 },
    xAxis: valueAxis(look, 'startability, %', { min: 0 }),
    yAxis: nameAxis(look, rows.map((row) => row.row_label), { axisLabel: { width: left - 10, overflow: 'break', lineHeight: 14 } }),
    tooltip: rowTip(look, (points) =>
      points.filter(({ seriesType }) => seriesType === 'bar').map(({ seriesIndex, dataIndex }) => {
        const one = of(model.trucks[seriesIndex], rows[dataIndex]);
        return [model.trucks[seriesIndex].name, one === null ? '' : `${told(rows[dataIndex], one)}, ${limitLabel(model, one.limited_by) ?? ''}`];
      }),
    ),
    series: [
      ...model.trucks.map((truck) => ({
        name: truck.name,
        type: 'bar',
        barWidth: BAR,
        barGap: '19%',
        itemStyle: { color: look.series(truck.index), opacity: 0.75 },
        data: rows.map((row) => of(truck, row)?.value ?? 0),
      })),
      ...model.trucks.map((truck) => ({
        name: `${truck.name}, range`,
        type: 'custom',
        silent: true,
        z: 5,
        renderItem: whisker(look),
        encode: { x: [1, 2], y: 0 },
        data: rows.flatMap((row, index) => {
          const one = of(truck, row);
          return one?.low == null || one.high == null || one.high - one.low < 0.05 ? [] : [[index, one.low, one.high, offset(truck.index)]];
        }),
      })),
      ...model.trucks.map((truck) => ({
        name: `${truck.name}, value`,
        type: 'scatter',
        silent: true,
        symbolSize: 0.1,
        symbolOffset: [0, offset(truck.index)],
        itemStyle: { color: 'transparent' },
        data: rows.map((row, index) => {
          const one = of(truck, row);
          const text = one?.value == null ? 'none' : `${decimals(one.value, 1)}${count > 1 || width < 500 ? '' : ` %, ${limitLabel(model, one.limited_by)}`}`;
          return { value: [Math.max(one?.value ?? 0, one?.high ?? 0), index], label: label(look, look.ink, { position: 'right', formatter: text }) };
        }),
      })),
    ],
  };
}

function startFigure(model) {
  const rows = rowsOf(model, 'start').filter((row) => row.column === 'once_percent');
  if (rows.length === 0) return null;
  return figure({
    title: 'Startability by ground',
    before: keysOf(model),
    caption: `Bars: steepest grade on which it moves off from rest, once. Lines across: from the least to the most adhesion that is usual on that ground.${model.compares ? ` From top to bottom: ${model.trucks.map(({ name }) => name).join('; ')}.` : ''}`,
    alt: 'Bars: steepest grade on which each truck starts, by ground',
    height: () => 60 + rows.length * (18 + model.trucks.length * (BAR + 4)),
    option: (look, width) => startOption(model, rows, look, width),
    sheets: [
      {
        title: 'startability by ground',
        file: 'startability',
        columns: [
          column('ground', '', 0, rows.map((row) => row.row_label), 'ground'),
          ...model.trucks.map((truck) => column(`${truck.id}_percent`, '%', 2, rows.map((row) => figureOf(truck, row)?.value ?? null), truck.name)),
        ],
      },
    ],
  });
}

// ------------------------------------------------------------------------------------------------ climbing

/** Points of a truck where rows are of one kind: "at_30_km_h", "on_3_percent". */
const points = (truck, rows, pattern, name) =>
  rows
    .filter((row) => row.column === name && pattern.test(row.row))
    .map((row) => [Number(pattern.exec(row.row)[1]), figureOf(truck, row)?.value ?? null]);

const CLIMBS = [
  { title: 'Gradeability over speed', pattern: /^at_(\d+)_km_h$/, columns: ['peak_percent', 'continuous_percent'], x: 'speed, km/h', y: 'gradeability, %', unit: '%', digits: 2, file: 'gradeability' },
  { title: 'Balanced speed over grade', pattern: /^on_(\d+)_percent$/, columns: ['peak_km_h', 'continuous_km_h'], x: 'grade, %', y: 'balanced speed, km/h', unit: 'km/h', digits: 1, file: 'balanced-speed' },
];

function climbFigure(model, kind) {
  const rows = rowsOf(model, 'climb');
  const [peak, continuous] = kind.columns;
  const of = (truck, name) => points(truck, rows, kind.pattern, name);
  const xs = of(model.trucks[0], peak).map(([x]) => x);
  if (xs.length < 2) return null;
  const line = (truck, name, look, style) => ({
    name: `${truck.name}${name === peak ? '' : ', continuous'}`,
    type: 'line',
    data: of(truck, name),
    symbol: name === peak ? 'circle' : 'emptyCircle',
    symbolSize: 5,
    itemStyle: { color: look.series(truck.index) },
    lineStyle: style,
    emphasis: { disabled: true },
  });
  return figure({
    title: kind.title,
    before: keysOf(model),
    caption: 'Full dots: peak, at the temperatures of the start; rings: continuous, by the heat of windings and inverters.',
    alt: `${kind.title}, peak and continuous, of ${model.trucks.map(({ name }) => name).join(', ')}`,
    height: (width) => (width < 500 ? 280 : 320),
    option: (look) => ({
      ...base(look),
      grid: { left: 46, right: 16, top: 34, bottom: 44 },
      xAxis: valueAxis(look, kind.x, { min: 0 }),
      yAxis: upright(look, kind.y, { min: 0 }),
      tooltip: {
        ...base(look).tooltip,
        trigger: 'axis',
        formatter: (list) => tip(`${list[0].axisValue} ${kind.x.split(', ')[1]}`, list.map(({ seriesName, value }) => [seriesName, value[1] === null ? 'none' : `${decimals(value[1], kind.digits)} ${kind.unit}`])),
      },
      series: model.trucks.flatMap((truck) => [
        line(truck, peak, look, { ...look.line(truck.index, 2) }),
        line(truck, continuous, look, { ...look.line(truck.index, 1.2), opacity: 0.8 }),
      ]),
    }),
    sheets: [
      {
        title: kind.title.toLowerCase(),
        file: kind.file,
        columns: [
          column(kind.x.startsWith('speed') ? 'speed_km_h' : 'grade_percent', kind.x.split(', ')[1], 0, xs, kind.x.split(', ')[0]),
          ...model.trucks.flatMap((truck) => kind.columns.map((name) => column(`${truck.id}_${name}`, kind.unit, kind.digits, of(truck, name).map(([, y]) => y), `${truck.name}${name === peak ? '' : ', continuous'}`))),
        ],
      },
    ],
  });
}

// ------------------------------------------------------------------------------------------------ braking

const groundOf = (name) => /^driven_tyres\.(\w+)_kn$/.exec(name)?.[1];
const rateOf = (name) => /^ideal\.z_([\d.]+)_kn$/.exec(name)?.[1];

function brakingOption(truck, look) {
  const chart = truck.motorBraking;
  const top = Math.min(Math.floor(chart.of('speed_km_h').at(-1) / 10), Math.ceil(fastestOf(truck) / 10)) * 10;
  const points = (name) => chart.pairs('speed_km_h', name).filter(([speed]) => speed <= top);
  const names = chart.list.map((one) => one.key);
  const grounds = names.filter(groundOf);
  // Slow motors push far more than any ground carries: that is beyond the chart.
  const most = 1.3 * Math.max(...[...grounds, ...names.filter(rateOf)].flatMap((name) => points(name).map(([, kn]) => kn ?? 0)));
  const named = (name, index) => {
    const line = points(name);
    return nameAt(look, look.ink, groundOf(name), line[Math.floor(((index + 1) / (grounds.length + 3)) * line.length)], { position: 'top', fontSize: 10.5 });
  };
  return {
    ...base(look),
    grid: { left: 46, right: 56, top: 34, bottom: 44 },
    xAxis: valueAxis(look, 'speed, km/h', { min: 0, max: top }),
    yAxis: upright(look, 'braking force, kN', { min: 0, max: axisEnd(most) }),
    tooltip: {
      ...base(look).tooltip,
      trigger: 'axis',
      formatter: (list) => {
        const speed = list[0].axisValue;
        const value = (name) => chart.valueAt(chart.of('speed_km_h'), chart.of(name), speed);
        return tip(`${decimals(speed, 1)} km/h`, ['motors_kn', ...grounds].map((name) => [name === 'motors_kn' ? 'motors' : `tyres, ${groundOf(name)}`, value(name) === null ? 'none' : `${decimals(value(name), 1)} kN`]));
      },
    },
    series: [
      ...names.filter(rateOf).map((name) =>
        curve(name, points(name).filter(([, kn]) => kn !== null && kn <= most), { color: look.soft, width: 0.7 }, { silent: true, endLabel: label(look, look.soft, { formatter: `z = ${rateOf(name)}`, fontSize: 10.5, textBorderWidth: 2 }) }),
      ),
      ...grounds.map((name, index) => curve(name, points(name), { color: look.ink, width: 0.9, opacity: 0.7 }, { markPoint: named(name, index) })),
      curve('motors', points('motors_kn'), { ...look.line(truck.index, 2.6), type: 'solid' }),
    ],
  };
}

const brakingFigure = (model, truck) =>
  truck.motorBraking &&
  figure({
    title: `Braking by motors over speed${model.compares ? `: ${truck.name}` : ''}`,
    caption: 'Thick: braking force of motors and battery, within the margin that the files state for regenerating (at low speed it may lie above the chart); thin: what the driven tyres carry on each ground; grey, with z at its end: force of the driven axles where every axle brakes in proportion to its load, by braking rate z. What brakes must do, and how they share, is for local regulation, approved testing and licensed practice.',
    alt: `Braking force of the motors of ${truck.name} over speed, against what its driven tyres carry and the ideal distribution`,
    height: (width) => (width < 500 ? 320 : 360),
    option: (look) => brakingOption(truck, look),
    sheets: [
      {
        title: `${truck.name}, braking by motors over speed`,
        file: `${truck.id}-braking`,
        columns: truck.motorBraking.list.map((one) => ({ ...one, values: truck.motorBraking.of(one.key) })),
      },
    ],
  });

// ------------------------------------------------------------------------------------------------ groups

/** Charts of the groups that have some, which stand above the tables that are there without scripts. */
const CHARTS = {
  start: (model) => [startFigure(model)],
  climb: (model) => CLIMBS.map((kind) => climbFigure(model, kind)),
  braking: (model) => model.trucks.map((truck) => brakingFigure(model, truck)),
};

/** By the places of the page: charts of the groups, each within its section. */
export const groupPlaces = Object.fromEntries(Object.entries(CHARTS).map(([group, charts]) => [group, [[group, null, charts]]]));
