// The road and the runs over it, one above the other over one axis: elevation, speed, what limits, charge, power.
import { change, decimals, duration, mark } from '../data.js';
import { make, tip } from '../dom.js';
import { figure, isForPaper } from '../figure.js';
import { finished, furthestBelow, placeDigits, speedDigits } from '../model.js';
import { wordsPx } from '../paint.js';
import { axisEnd, base, label, LIMIT, roundStep, signsAlong, upright, valueAxis } from '../theme.js';
import { key } from './answer.js';

const KM_PER_MILE = 1.609344;
// A level road stays level to the eye.
const LEVEL_M = 5;
// A moment below the target speed, as at a step of it, keeps nobody waiting.
const SHORTEST_S = 1;
const km = (metres) => metres / 1000;

// ------------------------------------------------------------------------------------------------ stretches

/** Stretches over which a column has one value that counts: {from, to, value}, km. */
function stretches(trace, valueOf) {
  const place = trace.of('place_m');
  const out = [];
  let begun = null;
  for (let row = 0; row <= trace.rows; row += 1) {
    const value = row < trace.rows ? valueOf(row) : null;
    if (begun !== null && value !== begun.value) {
      out.push({ from: km(begun.place), to: km(place[Math.min(row, trace.rows - 1)]), value: begun.value });
      begun = null;
    }
    if (begun === null && value !== null && row < trace.rows) begun = { place: place[row], value };
  }
  return out;
}

/** Where a truck is further below its target speed than the threshold. */
function below(trace, thresholdKmH) {
  const [speed, target] = [trace.of('speed_km_h'), trace.of('target_speed_km_h')];
  return stretches(trace, (row) => (target[row] - speed[row] > thresholdKmH ? 0 : null)).filter(({ from, to }) => to - from > 0.001);
}

/** Where a limit acts, by its number. */
function limited(trace) {
  const by = trace.of('limited_by');
  return by === undefined ? [] : stretches(trace, (row) => (by[row] > 0 ? by[row] : null));
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

/** Rows of bars below the speed, by name: below the target speed, and each limit that acts anywhere. */
function barRows(model, drawn) {
  const threshold = model.result.thresholds.below_target_km_h;
  const late = drawn.map((truck) => below(truck.trace, threshold));
  const acting = drawn.map((truck) => limited(truck.trace));
  const numbers = [...new Set(acting.flat().map(({ value }) => value))].sort((a, b) => a - b);
  return [
    { name: `more than ${margin(model)} km/h below the target speed`, of: late },
    ...numbers.map((number) => ({ name: `limited by: ${model.limit_labels[number - 1]}`, of: acting.map((list) => list.filter(({ value }) => value === number)) })),
  ].filter(({ of }) => of.some((list) => list.length > 0));
}

// ------------------------------------------------------------------------------------------------ panels

const BARS = { name: 16, bar: 6, gap: 6 };
/** More trucks than that have their power in a figure of its own, so that each fits a sheet. */
const TOGETHER = 1;
const GAP_PX = 30;
const LINE_PX = 15;

const powerHigh = (count) => (count === 1 ? 130 : count <= 3 ? 84 : count <= 6 ? 62 : 44);

/** Panels from the top: kind, height, lines of its title; and what each needs. */
function panelsOf(model, drawn, only) {
  const rows = barRows(model, drawn);
  const title = 'battery power, kW; below zero: charging';
  const power = drawn.map((truck, at) => ({
    kind: 'power',
    truck,
    high: powerHigh(drawn.length),
    name: !model.compares ? title : at === 0 ? `${title}\n${truck.name}` : truck.name,
  }));
  if (only === 'power') return power;
  return [
    { kind: 'elevation', high: 110, name: 'elevation above the start, m' },
    { kind: 'speed', high: 180, name: 'speed, km/h' },
    ...(rows.length > 0 ? [{ kind: 'bars', high: rows.length * (BARS.name + BARS.gap + BARS.bar * drawn.length), name: '', rows }] : []),
    { kind: 'soc', high: 80, name: 'state of charge, %' },
    ...(drawn.length <= TOGETHER ? power : []),
  ];
}

const linesOf = ({ name }) => (name === '' ? 0 : name.split('\n').length);
const topOf = (panel) => (panel.kind === 'bars' ? 6 : GAP_PX + LINE_PX * Math.max(linesOf(panel) - 1, 0));
const FOOT_PX = 46;
// A figure of so many pixels, with its headings, the signs of all trucks and its caption, fits a sheet of its own.
const TRUCKS_FEW = 4;
const SHEET_PX = { few: 640, many: 560 };
const heightOf = (panels) => panels.reduce((sum, panel) => sum + topOf(panel) + panel.high, FOOT_PX);

/** All panels share left and right edges, whatever their marks and names need. */
function grids(panels, height) {
  const fixed = panels.reduce((sum, panel) => sum + topOf(panel) + (panel.kind === 'bars' ? panel.high : 0), FOOT_PX);
  const whole = panels.reduce((sum, panel) => sum + (panel.kind === 'bars' ? 0 : panel.high), 0);
  const shrink = (height - fixed) / whole;
  let top = 0;
  return panels.map((panel) => {
    const high = Math.floor(panel.kind === 'bars' ? panel.high : panel.high * shrink);
    const grid = { left: LEFT_PX, right: RIGHT_PX, top: top + topOf(panel), height: high, outerBoundsMode: 'none' };
    top += topOf(panel) + high;
    return grid;
  });
}

// ------------------------------------------------------------------------------------------------ what is drawn

const elevationAt = (road, place) => road.valueAt(road.of('place_m'), road.of('elevation_m'), place);

// Left and right of the plot.
const LEFT_PX = 46;
const RIGHT_PX = 18;

/** Rougher stretches, each named where there is room for its name in what is seen. */
function roughAreas(model, look, width, range) {
  const [start, end] = range.map((percent) => (percent / 100) * endOf(model));
  const perKm = (width - LEFT_PX - RIGHT_PX) / (end - start);
  return {
    silent: true,
    itemStyle: { color: look.soft, opacity: 0.16 },
    label: label(look, look.ink, { position: 'insideBottomLeft', distance: 3, fontSize: 10.5, textBorderWidth: 0, backgroundColor: look.paper, padding: [1, 3] }),
    data: rough(model.route.road).map(({ from, to, factor }) => {
      const name = `rolling × ${decimals(factor, 2)}`;
      const fits = from >= start && (Math.min(to, end) - from) * perKm > wordsPx(look, name, 11) + 6;
      return [{ xAxis: from, name, label: { show: fits } }, { xAxis: to }];
    }),
  };
}

function elevationSeries(model, look) {
  const { road, stops } = model.route;
  const places = Array.from({ length: stops.rows }, (_, row) => stops.of('place_m')[row]);
  return {
    name: 'elevation',
    id: 'elevation',
    type: 'line',
    data: road.pairs('place_m', 'elevation_m', km),
    symbol: 'none',
    sampling: 'minmax',
    lineStyle: { color: look.soft, width: 1.2 },
    areaStyle: { color: look.land, origin: 'start' },
    markPoint: {
      silent: true,
      symbol: 'triangle',
      symbolSize: 8,
      symbolRotate: 180,
      symbolOffset: [0, -6],
      itemStyle: { color: look.ink },
      label: { show: false },
      data: places.map((place) => ({ coord: [km(place), elevationAt(road, place)] })),
    },
  };
}

const limitSeries = (model, look) => ({
  name: 'limit',
  type: 'line',
  data: model.route.limits.pairs('place_m', 'limit_km_h', km),
  symbol: 'none',
  sampling: 'minmax',
  lineStyle: { color: look.soft, width: 1, type: LIMIT },
});

const VALUES = {
  speed: ['speed_km_h', (value) => value],
  soc: ['soc', (value) => value * 100],
  power: ['battery_kw', (value) => value],
};
const pointsOf = (truck, kind) => truck.trace.pairs('place_m', VALUES[kind][0], km, VALUES[kind][1]);
const idOf = (kind, truck) => `${kind} ${truck.index}`;

const lineSeries = (truck, kind, look) => ({
  name: truck.name,
  id: idOf(kind, truck),
  type: 'line',
  data: pointsOf(truck, kind),
  symbol: 'none',
  sampling: 'minmax',
  lineStyle: look.line(truck.index, kind === 'soc' ? 1.8 : 1.2),
  emphasis: { disabled: true },
});

/** Of each row its name, and below it a bar for each truck, by place. */
function barSeries(rows, drawn, look) {
  const block = BARS.name + BARS.gap + BARS.bar * drawn.length;
  const bars = rows.flatMap(({ of }, row) => of.flatMap((list, at) => list.map(({ from, to }) => [from, to, row, at])));
  const box = (params, api, draw) => {
    const { x, y, width } = params.coordSys;
    const [from, to] = [api.coord([api.value(0), 0])[0], api.coord([api.value(1), 0])[0]];
    const [left, right] = [Math.max(x, from), Math.min(x + width, to)];
    return right < x || left > x + width ? null : draw(left, right, y + api.value(2) * block + BARS.name + api.value(3) * BARS.bar);
  };
  return [
    {
      type: 'custom',
      silent: true,
      clip: true,
      data: bars,
      encode: { x: [0, 1], y: 2 },
      renderItem: (params, api) =>
        box(params, api, (left, right, top) => ({
          type: 'rect',
          shape: { x: left, y: top, width: Math.max(right - left, 1.5), height: BARS.bar - 1 },
          style: { fill: look.series(drawn[api.value(3)].index) },
        })),
    },
    {
      type: 'custom',
      silent: true,
      clip: false,
      data: rows.map((_, row) => [row]),
      renderItem: (params, api) => ({
        type: 'text',
        style: { x: params.coordSys.x + 1, y: params.coordSys.y + api.value(0) * block + 2, text: rows[api.value(0)].name, fill: look.soft, font: `11px ${look.font}` },
      }),
    },
  ];
}

const SERIES = {
  elevation: (model, panel, drawn, look) => [elevationSeries(model, look)],
  speed: (model, panel, drawn, look) => [limitSeries(model, look), ...drawn.map((truck) => lineSeries(truck, 'speed', look))],
  bars: (model, panel, drawn, look) => barSeries(panel.rows, drawn, look),
  soc: (model, panel, drawn, look) => drawn.map((truck) => lineSeries(truck, 'soc', look)),
  power: (model, panel, drawn, look) => [lineSeries(panel.truck, 'power', look)],
};

/** The same scale for the power of all, from one round number to another. */
function powerRange(drawn) {
  const all = drawn.map((truck) => truck.trace.of('battery_kw'));
  const end = (pick) => all.reduce((best, values) => values.reduce((one, value) => pick(one, value ?? 0), best), 0);
  const [least, most] = [end(Math.min), Math.max(end(Math.max), 1)];
  const step = roundStep((most - least) / (powerHigh(drawn.length) < 80 ? 2 : 4));
  return { min: Math.floor(least / step) * step, max: Math.ceil(most / step) * step, interval: step };
}

/** The elevation of a level road, from one multiple of the step between marks to another; of others the library finds it. */
function elevationRange(model) {
  const metres = model.route.road.of('elevation_m');
  const [least, most] = [Math.min, Math.max].map((pick) => metres.reduce((one, value) => pick(one, value)));
  if (most - least >= LEVEL_M) return { scale: true, splitNumber: 3 };
  return { min: Math.floor(least / LEVEL_M - 1) * LEVEL_M, max: Math.ceil(most / LEVEL_M + 1) * LEVEL_M, interval: LEVEL_M };
}

function yAxisOf(model, panel, at, drawn, look) {
  if (panel.kind === 'bars') return { type: 'value', gridIndex: at, min: 0, max: 1, show: false };
  const ranges = {
    elevation: elevationRange(model),
    speed: { min: 0, splitNumber: 4 },
    soc: { scale: true, splitNumber: 2 },
    power: powerRange(drawn),
  };
  const own = upright(look, panel.name, { gridIndex: at, ...ranges[panel.kind] });
  return panel.kind === 'power' ? { ...own, nameTextStyle: { ...own.nameTextStyle, lineHeight: LINE_PX } } : own;
}

/** Values of all panels at the place of the pointer: the library tells only of those series that have a point just there. */
function placeTip(model, drawn) {
  const { road, limits } = model.route;
  const acting = new Map(drawn.map((truck) => [truck, limited(truck.trace)]));
  return (points) => {
    const place = (points[0]?.axisValue ?? 0) * 1000;
    const of = (columns, name) => columns.valueAt(columns.of('place_m'), columns.of(name), place);
    const shown = (number, text) => (number === null ? '\u2013' : text(number));
    const limitOf = (truck) => acting.get(truck).find(({ from, to }) => place >= 1000 * from && place <= 1000 * to);
    return tip(`km ${decimals(km(place), 2)}`, [
      ['elevation', shown(of(road, 'elevation_m'), (number) => `${decimals(number, 1)} m`)],
      ['grade', shown(of(road, 'grade_percent'), (number) => `${decimals(number, 1)} %`)],
      ['limit', shown(of(limits, 'limit_km_h'), (number) => `${decimals(number, 0)} km/h`)],
      ...drawn.map((truck) => [truck.name, shown(of(truck.trace, 'speed_km_h'), (number) => `${decimals(number, 1)} km/h`)]),
      ...drawn.filter(limitOf).map((truck) => [model.compares ? `${truck.name}, limited by` : 'limited by', model.limit_labels[limitOf(truck).value - 1]]),
      ...drawn.map((truck) => [
        model.compares ? `${truck.name}, state of charge` : 'state of charge',
        shown(of(truck.trace, 'soc'), (number) => `${decimals(100 * number, 1)} %`),
      ]),
      ...drawn.map((truck) => [
        model.compares ? `${truck.name}, battery power` : 'battery power',
        shown(of(truck.trace, 'battery_kw'), (number) => `${change(number, 0)} kW`),
      ]),
    ]);
  };
}

function option(model, panels, drawn, look, height) {
  const end = endOf(model);
  const last = panels.length - 1;
  return {
    ...base(look),
    grid: grids(panels, height),
    xAxis: panels.map((panel, at) =>
      valueAxis(look, at === last ? 'distance, km' : '', {
        gridIndex: at,
        min: 0,
        max: end,
        axisLine: { show: panel.kind !== 'bars', lineStyle: { color: look.rule } },
        axisLabel: { show: at === last, color: look.soft, fontFamily: look.font, fontSize: 11, hideOverlap: true, formatter: mark },
        splitLine: { show: false },
      }),
    ),
    yAxis: panels.map((panel, at) => yAxisOf(model, panel, at, drawn, look)),
    axisPointer: { link: [{ xAxisIndex: 'all' }], lineStyle: { color: look.accent }, label: { show: false } },
    tooltip: { ...base(look).tooltip, trigger: 'axis', formatter: placeTip(model, drawn) },
    dataZoom: [
      {
        type: 'inside',
        xAxisIndex: panels.map((_, at) => at),
        filterMode: 'none',
        zoomOnMouseWheel: 'ctrl',
        moveOnMouseMove: false,
        moveOnMouseWheel: false,
        preventDefaultMouseMove: false, // else no finger scrolls
        minSpan: LEAST_SPAN,
      },
    ],
    series: panels.flatMap((panel, at) => SERIES[panel.kind](model, panel, drawn, look).map((one) => ({ ...one, xAxisIndex: at, yAxisIndex: at }))),
  };
}

const endOf = (model) => axisEnd(km(model.route.road.of('place_m').at(-1)));

/** Signs on the lines of several trucks in one panel, within what is seen. */
function signs(model, panels, drawn, look, range) {
  if (drawn.length < 2) return [];
  const seen = range.map((percent) => (percent / 100) * endOf(model));
  const spots = drawn.length <= 3 ? 4 : drawn.length <= 6 ? 2 : 1;
  return panels
    .filter(({ kind }) => kind === 'speed' || kind === 'soc')
    .flatMap(({ kind }) =>
      drawn.map((truck, at) => {
        const points = pointsOf(truck, kind);
        const along = signsAlong(look, truck.index, points, seen, (at + 0.5) / drawn.length, { spots });
        // A truck that did not come to the end has its sign where it stopped.
        const ended = finished(truck.own) || points.length === 0 ? [] : [{ coord: points.at(-1) }];
        return { id: idOf(kind, truck), markPoint: { ...along, data: [...along.data, ...ended] } };
      }),
    );
}

// ------------------------------------------------------------------------------------------------ zoom

const LEAST_SPAN = 0.2;
/** A shorter drag is a click, or the tremble of a hand. */
const LEAST_DRAG_PX = 10;

/** What is seen of the route, in per cent; all charts of it show the same. */
class Zoom {
  constructor(model) {
    this.model = model;
    this.range = [0, 100];
    this.views = new Map(); // charts, each with what follows a zoom
    this.byFinger = false;
    this.told = make('span', { role: 'status' });
  }

  set(start, end) {
    const span = Math.min(100, Math.max(LEAST_SPAN, end - start));
    const from = Math.min(Math.max(0, start), 100 - span);
    this.range = [from, from + span];
    for (const [chart, follow] of this.views) {
      chart.dispatchAction({ type: 'hideTip' });
      chart.dispatchAction({ type: 'updateAxisPointer', currTrigger: 'leave' });
      chart.dispatchAction({ type: 'dataZoom', dataZoomIndex: 0, start: this.range[0], end: this.range[1] }, { silent: true });
      follow(this.range);
    }
    const place = (percent) => decimals(Math.min((percent / 100) * endOf(this.model), km(this.model.route.road.of('place_m').at(-1))), placeDigits(this.model));
    this.told.textContent = span === 100 ? 'Whole route' : `km ${place(this.range[0])} to ${place(this.range[1])}`;
  }

  by(factor) {
    const [start, end] = this.range;
    const half = ((end - start) / 2) * factor;
    this.set((start + end) / 2 - half, (start + end) / 2 + half);
  }

  move(share) {
    const [start, end] = this.range;
    this.set(start + share * (end - start), end + share * (end - start));
  }

  /** A chart that was drawn, or drawn anew, takes part; the wheel is its own. */
  show(chart, follow) {
    for (const other of this.views.keys()) if (other.isDisposed()) this.views.delete(other);
    this.views.set(chart, follow);
    chart.on('datazoom', () => {
      const { start, end } = chart.getOption().dataZoom[0];
      this.set(start, end);
    });
    this.set(...this.range);
    drags(chart, this);
  }
}

/** A stretch is dragged over with a mouse or a pen; with a finger, which scrolls, only where it was asked for. */
function drags(chart, zoom) {
  const frame = chart.getDom();
  const surface = frame.firstElementChild;
  const may = (event) => event.isPrimary && event.button === 0 && (event.pointerType === 'mouse' || event.pointerType === 'pen' || zoom.byFinger);
  let drag = null;
  const end = (event) => {
    if (drag === null) return;
    const [from, to] = [drag.from, event?.clientX ?? drag.from].map((x) => x - frame.getBoundingClientRect().left).sort((a, b) => a - b);
    drag.band.remove();
    drag = null;
    if (to - from < LEAST_DRAG_PX) return;
    const percent = (x) => (100 * chart.convertFromPixel({ xAxisIndex: 0 }, x)) / endOf(zoom.model);
    zoom.set(Math.max(percent(from), zoom.range[0]), Math.min(percent(to), zoom.range[1]));
  };
  surface.addEventListener('pointerdown', (event) => {
    if (!may(event)) return;
    drag = { from: event.clientX, band: make('div', { class: 'band' }) };
    frame.append(drag.band);
    surface.setPointerCapture(event.pointerId);
  });
  surface.addEventListener('pointermove', (event) => {
    if (drag === null) return;
    const { left } = frame.getBoundingClientRect();
    const [from, to] = [drag.from, event.clientX].sort((a, b) => a - b);
    Object.assign(drag.band.style, { left: `${from - left}px`, width: `${to - from}px` });
  });
  surface.addEventListener('pointerup', end);
  surface.addEventListener('pointercancel', () => end(null));
}

/** Buttons do what dragging does, for those who use no mouse. */
function zoomTools(zoom) {
  const button = (text, means, act) => make('button', { type: 'button', 'aria-label': `${text}: ${means}`, onclick: act }, text);
  const finger = make(
    'button',
    {
      type: 'button',
      class: 'finger',
      'aria-pressed': 'false',
      onclick: () => {
        zoom.byFinger = !zoom.byFinger;
        finger.setAttribute('aria-pressed', String(zoom.byFinger));
        for (const chart of zoom.views.keys()) chart.getDom().classList.toggle('dragged', zoom.byFinger);
      },
    },
    'zoom by dragging',
  );
  return make(
    'div',
    { class: 'tools', role: 'group', 'aria-label': 'What is seen of the route' },
    button('\u2190 left', 'towards the start of the route', () => zoom.move(-0.5)),
    button('right \u2192', 'towards the end of the route', () => zoom.move(0.5)),
    button('closer', 'half as much of the route', () => zoom.by(0.5)),
    button('wider', 'twice as much of the route', () => zoom.by(2)),
    button('whole route', 'from start to end', () => zoom.set(0, 100)),
    finger,
    zoom.told,
    make('span', { class: 'mouse' }, 'Drag over a stretch to look closer.'),
  );
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
  return `Longest more than ${margin(model)} km/h below the target speed: ${slowest.name}: ${duration(slowest.own.time_below_target_s)}${most ?? ''}.`;
}

function caption(model, drawn) {
  const { road, stops } = model.route;
  const threshold = model.result.thresholds.below_target_km_h;
  const height = road.of('elevation_m');
  const most = height.reduce((best, metres) => Math.max(best, metres), -Infinity);
  const least = height.reduce((best, metres) => Math.min(best, metres), Infinity);
  const waits = stops.rows > 0 ? `, with ${stops.rows} ${stops.rows === 1 ? 'stop' : 'stops'} along the route (▼; the end of the route is not among them)` : '';
  const bars = barRows(model, drawn).length > 0 ? `Bars below the speed mark where a truck is more than ${margin(model)} km/h (${decimals(threshold / KM_PER_MILE, 0)} mph) below its target speed, and where which limit acts${drawn.length > 1 ? ', each truck by its colour, in the order above' : ''}. ` : '';
  return (
    `The elevation lies between ${decimals(least, 0)} and ${decimals(most, 0)} m from the start${waits}. ` +
    `Dashed: the speed or speed limit of the cycle. ${bars}${whereBelow(model)}`
  );
}

/** One figure of these panels; all follow one zoom. */
function stripOf(model, zoom, drawn, panels, parts) {
  return figure({
    alt: `Route strip over ${decimals(km(model.route.road.of('place_m').at(-1)), placeDigits(model))} km: ${panels.map(({ kind, name }) => (kind === 'bars' ? 'limits' : name.replace('\n', ': '))).join('; ')}; of ${drawn.map(({ name }) => name).join(', ')}`,
    height: () => Math.min(heightOf(panels), isForPaper() ? SHEET_PX[drawn.length > TRUCKS_FEW ? 'many' : 'few'] : Infinity),
    firm: true,
    option: (look, _, tall) => option(model, panels, drawn, look, tall),
    ready: (chart, look) =>
      zoom.show(chart, (range) => {
        const areas = panels.some(({ kind }) => kind === 'elevation') ? [{ id: 'elevation', markArea: roughAreas(model, look, chart.getWidth(), range) }] : [];
        chart.setOption({ series: [...areas, ...signs(model, panels, drawn, look, range)] });
      }),
    ...parts,
  });
}

export function route(model) {
  if (model.route.road === null) return null;
  const drawn = model.trucks.filter((truck) => truck.trace !== null);
  const zoom = new Zoom(model);
  const strip = stripOf(model, zoom, drawn, panelsOf(model, drawn), {
    title: drawn.length <= TOGETHER ? 'Elevation, speed, state of charge and battery power along the route' : 'Elevation, speed and state of charge along the route',
    caption: caption(model, drawn),
    before: zoomTools(zoom),
    sheets: sheets(model),
  });
  const power = drawn.length > TOGETHER &&
    stripOf(model, zoom, drawn, panelsOf(model, drawn, 'power'), {
      title: 'Battery power of each truck along the route',
      caption: 'The same scale for all; what is seen of the route follows the figure above.',
      sheets: [],
    });
  return [
    model.compares
      ? make(
          'p',
          {},
          'Each truck at its own speeds over the same road: ',
          model.trucks.map((truck, at) => [at > 0 ? ' · ' : '', key(truck)]),
        )
      : null,
    strip,
    power || null,
  ];
}
