// The road and the runs over it, one above the other over one axis: height, speed, charge, power.
import { change, decimals, duration, mark } from '../data.js';
import { make, tip } from '../dom.js';
import { figure } from '../figure.js';
import { furthestBelow, placeDigits, speedDigits } from '../model.js';
import { axisEnd, base, label, nameAt, rowOfName, sideOfName, upright, valueAxis } from '../theme.js';
import { key } from './answer.js';

const KM_PER_MILE = 1.609344;
const PANELS = [
  { name: 'elevation above the start, m', share: 0.22 },
  { name: 'speed, km/h', share: 0.34 },
  { name: 'state of charge, %', share: 0.16 },
  { name: 'battery power, kW (below zero: charging)', share: 0.28 },
];
// Heights and charges from their own least to most, but a level road stays level to the eye.
const LEVEL_M = 5;
const RANGES = [
  {
    scale: true,
    min: ({ min, max }) => (max - min < LEVEL_M ? Math.floor(min - LEVEL_M) : null),
    max: ({ min, max }) => (max - min < LEVEL_M ? Math.ceil(max + LEVEL_M) : null),
  },
  {},
  { scale: true },
  {},
];
// A moment below the target speed, as at a step of it, keeps nobody waiting.
const SHORTEST_S = 1;
const km = (metres) => metres / 1000;

// ------------------------------------------------------------------------------------------------ what is drawn

/** Stretches, from and to in km, where a truck is further below its target than the threshold. */
function below(trace, thresholdKmH) {
  const place = trace.of('place_m');
  const speed = trace.of('speed_km_h');
  const target = trace.of('target_speed_km_h');
  const out = [];
  let from = null;
  for (let row = 0; row < trace.rows; row += 1) {
    const low = target[row] - speed[row] > thresholdKmH;
    if (low && from === null) from = place[row];
    if (!low && from !== null) {
      if (place[row] - from > 1) out.push([km(from), km(place[row])]);
      from = null;
    }
  }
  if (from !== null) out.push([km(from), km(place[trace.rows - 1])]);
  return out;
}

/** Stretches of rougher surface. */
function rough(road) {
  const place = road.of('place_m');
  const factor = road.of('rolling_factor');
  const out = [];
  for (let row = 1; row < road.rows; row += 1) {
    if (factor[row - 1] === 1 || place[row] === place[row - 1]) continue;
    const last = out.at(-1);
    if (last && last.to === km(place[row - 1]) && last.factor === factor[row - 1]) last.to = km(place[row]);
    else out.push({ from: km(place[row - 1]), to: km(place[row]), factor: factor[row - 1] });
  }
  return out;
}

function heightSeries(model, look) {
  const { road, stops } = model.route;
  return {
    name: 'elevation',
    type: 'line',
    xAxisIndex: 0,
    yAxisIndex: 0,
    data: road.pairs('place_m', 'elevation_m', km),
    symbol: 'none',
    sampling: 'minmax',
    lineStyle: { color: look.soft, width: 1.2 },
    areaStyle: { color: look.land, origin: 'start' },
    markArea: {
      silent: true,
      itemStyle: { color: look.soft, opacity: 0.16 },
      label: label(look, look.soft, { position: 'insideTopLeft', distance: 3, fontSize: 10.5 }),
      data: rough(road).map(({ from, to, factor }) => [
        { xAxis: from, name: `rolling × ${decimals(factor, 2)}` },
        { xAxis: to },
      ]),
    },
    markPoint: {
      silent: true,
      symbol: 'triangle',
      symbolSize: 8,
      symbolRotate: 180,
      symbolOffset: [0, -6],
      itemStyle: { color: look.ink },
      label: { show: false },
      data: Array.from({ length: stops.rows }, (_, row) => {
        const place = stops.of('place_m')[row];
        return { coord: [km(place), heightAt(road, place)] };
      }),
    },
  };
}

function heightAt(road, place) {
  const places = road.of('place_m');
  let row = 0;
  while (row < road.rows - 1 && places[row + 1] <= place) row += 1;
  return road.of('elevation_m')[row];
}

function limitSeries(model, look) {
  return {
    name: 'limit',
    type: 'line',
    xAxisIndex: 1,
    yAxisIndex: 1,
    data: model.route.limits.pairs('place_m', 'limit_km_h', km),
    symbol: 'none',
    sampling: 'minmax',
    lineStyle: { color: look.soft, width: 0.8, opacity: 0.55 },
  };
}

const LINES = [
  ['speed_km_h', 1, (value) => value],
  ['soc', 2, (value) => value * 100],
  ['battery_kw', 3, (value) => value],
];

function nameOnLine(truck, look, name, changeX, changeY, count) {
  const row = rowOfName(truck.index, count, truck.trace.rows);
  const coord = [changeX(truck.trace.of('place_m')[row]), changeY(truck.trace.of(name)[row])];
  return nameAt(look, look.series(truck.index), truck.name, coord, { position: sideOfName(truck.index) });
}

function truckSeries(model, truck, look) {
  return LINES.map(([name, panel, change_]) => ({
    name: truck.name,
    id: `${name} ${truck.index}`,
    type: 'line',
    xAxisIndex: panel,
    yAxisIndex: panel,
    data: truck.trace.pairs('place_m', name, km, change_),
    symbol: 'none',
    sampling: 'minmax',
    lineStyle: look.line(truck.index, panel === 2 ? 2 : 1.2),
    emphasis: { disabled: true },
    markPoint: panel === 2 && model.compares ? nameOnLine(truck, look, name, km, change_, model.trucks.length) : undefined,
  }));
}

/** Bars at the foot of the speed panel, a row for each truck. */
function belowSeries(model, truck, look) {
  return {
    name: `${truck.name} below its target speed`,
    type: 'custom',
    xAxisIndex: 1,
    yAxisIndex: 1,
    silent: true,
    clip: true,
    data: below(truck.trace, model.result.thresholds.below_target_km_h),
    encode: { x: [0, 1] },
    renderItem: (params, api) => {
      const [left] = api.coord([api.value(0), 0]);
      const [right] = api.coord([api.value(1), 0]);
      const { x, y, width, height } = params.coordSys;
      const from = Math.max(left, x);
      const to = Math.min(right, x + width);
      if (to < x || from > x + width) return null;
      return {
        type: 'rect',
        shape: { x: from, y: y + height - 5 * (model.trucks.length - truck.index), width: Math.max(to - from, 1), height: 4 },
        style: { fill: look.series(truck.index) },
      };
    },
  };
}

// ------------------------------------------------------------------------------------------------ the option

/** Values of all panels at the place of the pointer: the library tells only of those series that have a point just there. */
function placeTip(model) {
  const { road, limits } = model.route;
  return (points) => {
    const place = (points[0]?.axisValue ?? 0) * 1000;
    const of = (columns, name) => columns.valueAt(columns.of('place_m'), columns.of(name), place);
    const shown = (number, text) => (number === null ? '\u2013' : text(number));
    const trucks = model.trucks.filter((truck) => truck.trace !== null);
    return tip(`km ${decimals(km(place), 2)}`, [
      ['elevation', shown(of(road, 'elevation_m'), (number) => `${decimals(number, 1)} m`)],
      ['grade', shown(of(road, 'grade_percent'), (number) => `${decimals(number, 1)} %`)],
      ['limit', shown(of(limits, 'limit_km_h'), (number) => `${decimals(number, 0)} km/h`)],
      ...trucks.map((truck) => [truck.name, shown(of(truck.trace, 'speed_km_h'), (number) => `${decimals(number, 1)} km/h`)]),
      ...trucks.map((truck) => [
        model.compares ? `${truck.name}, state of charge` : 'state of charge',
        shown(of(truck.trace, 'soc'), (number) => `${decimals(100 * number, 1)} %`),
      ]),
      ...trucks.map((truck) => [
        model.compares ? `${truck.name}, battery power` : 'battery power',
        shown(of(truck.trace, 'battery_kw'), (number) => `${change(number, 0)} kW`),
      ]),
    ]);
  };
}

function grids(height) {
  const gap = 34;
  const room = height - gap * PANELS.length - 36; // the lowest holds marks and name of its axis
  let top = gap - 4;
  return PANELS.map(({ share }) => {
    const grid = { left: 46, right: 12, top, height: Math.round(room * share) };
    top += grid.height + gap;
    return grid;
  });
}

function option(model, look, height) {
  const end = axisEnd(km(model.route.road.of('place_m').at(-1)));
  const last = PANELS.length - 1;
  const drawn = model.trucks.filter((truck) => truck.trace !== null);
  return {
    ...base(look),
    grid: grids(height),
    xAxis: PANELS.map((_, at) =>
      valueAxis(look, at === last ? 'distance, km' : '', {
        gridIndex: at,
        min: 0,
        max: end,
        axisLabel: { show: at === last, color: look.soft, fontFamily: look.font, fontSize: 11, hideOverlap: true, formatter: mark },
        splitLine: { show: false },
      }),
    ),
    yAxis: PANELS.map(({ name }, at) =>
      upright(look, name, { gridIndex: at, splitNumber: at === 2 ? 2 : 4, ...RANGES[at] }),
    ),
    axisPointer: { link: [{ xAxisIndex: 'all' }], lineStyle: { color: look.accent }, label: { show: false } },
    tooltip: { ...base(look).tooltip, trigger: 'axis', formatter: placeTip(model) },
    toolbox: {
      show: true,
      itemSize: 0,
      showTitle: false,
      feature: { dataZoom: { yAxisIndex: 'none', xAxisIndex: 'all' } },
    },
    dataZoom: [
      {
        type: 'inside',
        xAxisIndex: PANELS.map((_, at) => at),
        filterMode: 'none',
        zoomOnMouseWheel: 'ctrl',
        moveOnMouseMove: false,
        moveOnMouseWheel: false,
        minSpan: 0.2,
      },
    ],
    series: [
      heightSeries(model, look),
      limitSeries(model, look),
      ...drawn.flatMap((truck) => truckSeries(model, truck, look)),
      ...drawn.map((truck) => belowSeries(model, truck, look)),
    ],
  };
}

// ------------------------------------------------------------------------------------------------ zoom

/** Buttons do what dragging does, for those who use no mouse. */
function zoomTools(state) {
  const set = (start, end) => {
    const span = Math.min(100, Math.max(0.2, end - start));
    const from = Math.min(Math.max(0, start), 100 - span);
    state.chart?.dispatchAction({ type: 'dataZoom', dataZoomIndex: 0, start: from, end: from + span });
  };
  const now = () => {
    const { start, end } = state.chart?.getOption().dataZoom[0] ?? { start: 0, end: 100 };
    return [start, end];
  };
  const by = (factor) => () => {
    const [start, end] = now();
    const middle = (start + end) / 2;
    const half = ((end - start) / 2) * factor;
    set(middle - half, middle + half);
  };
  const move = (share) => () => {
    const [start, end] = now();
    set(start + share * (end - start), end + share * (end - start));
  };
  const button = (text, act) => make('button', { type: 'button', onclick: act }, text);
  return make(
    'div',
    { class: 'tools' },
    'Drag over a stretch to look closer.',
    button('whole route', () => set(0, 100)),
    button('closer', by(0.5)),
    button('wider', by(2)),
    button('back', move(-0.5)),
    button('on', move(0.5)),
  );
}

function ready(state) {
  return (chart) => {
    state.chart = chart;
    chart.dispatchAction({ type: 'takeGlobalCursor', key: 'dataZoomSelect', dataZoomSelectActive: true });
  };
}

// ------------------------------------------------------------------------------------------------ the section

function sheets(model) {
  const { road, limits, stops } = model.route;
  const all = (columns) => columns.list.map((one) => ({ ...one, values: columns.of(one.key) }));
  return [
    ...model.trucks
      .filter((truck) => truck.trace !== null)
      .map((truck) => ({ title: `${truck.name}, over time`, file: `${truck.id}-run`, columns: all(truck.trace) })),
    { title: 'the road', file: 'road', columns: all(road) },
    { title: 'speed limits', file: 'limits', columns: all(limits) },
    { title: 'stops', file: 'stops', columns: all(stops) },
  ];
}

/** "3.2": the margin below the target speed that is not told of, km/h. */
const margin = (model) => decimals(model.result.thresholds.below_target_km_h, speedDigits(model));

/** Which truck was below its target speed longest, and where it was furthest below it. */
function whereBelow(model) {
  const [slowest] = model.trucks
    .filter((truck) => truck.own?.time_below_target_s > SHORTEST_S)
    .sort((a, b) => b.own.time_below_target_s - a.own.time_below_target_s);
  if (!slowest) return `No truck is more than ${margin(model)} km/h below its target speed for longer than ${SHORTEST_S} s.`;
  const worst = furthestBelow(slowest.own);
  const most = worst && `; furthest below it, by ${decimals(worst.below_target_km_h, speedDigits(model))} km/h: km ${decimals(worst.at_km, placeDigits(model))}`;
  return `Longest below the target speed: ${slowest.name}: ${duration(slowest.own.time_below_target_s)}${most ?? ''}.`;
}

function caption(model) {
  const { road, stops } = model.route;
  const threshold = model.result.thresholds.below_target_km_h;
  const height = road.of('elevation_m');
  const most = height.reduce((best, metres) => Math.max(best, metres), -Infinity);
  const least = height.reduce((best, metres) => Math.min(best, metres), Infinity);
  const waits = stops.rows > 0 ? `, with ${stops.rows} ${stops.rows === 1 ? 'stop' : 'stops'} along the route (▼)` : '';
  return (
    `The elevation lies between ${decimals(least, 0)} and ${decimals(most, 0)} m from the start${waits}. ` +
    `The thin grey line is the speed or speed limit of the cycle; bars at the foot of the speed panel mark where a truck is more than ` +
    `${margin(model)} km/h (${decimals(threshold / KM_PER_MILE, 0)} mph) below its target speed. ${whereBelow(model)}`
  );
}

export function route(model) {
  if (model.route.road === null) return null;
  const state = { chart: null };
  const height = (width) => (width < 500 ? 640 : 700);
  return [
    model.compares
      ? make(
          'p',
          {},
          'Each truck at its own speeds over the same road: ',
          model.trucks.map((truck, at) => [at > 0 ? ' · ' : '', key(truck)]),
        )
      : null,
    figure({
      title: 'Elevation, speed, state of charge and battery power along the route',
      caption: caption(model),
      alt: `Route strip over ${decimals(km(model.route.road.of('place_m').at(-1)), placeDigits(model))} km: elevation, speed, state of charge and battery power of ${model.trucks.map(({ name }) => name).join(', ')}`,
      before: zoomTools(state),
      height,
      option: (look, _, tall) => option(model, look, tall),
      ready: ready(state),
      sheets: sheets(model),
    }),
  ];
}
