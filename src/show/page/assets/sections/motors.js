// How the motors work: time at each operating point on the efficiency map, and time in each gear.
import { decimals, duration } from '../data.js';
import { tip } from '../dom.js';
import { column, figure } from '../figure.js';
import { unitName } from '../model.js';
import { bars } from '../paint.js';
import { axisEnd, base, LIMIT, upright, valueAxis } from '../theme.js';

const LEVELS = [0.75, 0.85, 0.9, 0.92, 0.94, 0.95, 0.96, 0.97];

// ------------------------------------------------------------------------------------------------ lines of one efficiency

/** The grid of a map: speeds, torques, and efficiency by speed, then torque. */
function gridOf(motor) {
  const speeds = [...new Set(motor.of('speed_rpm'))];
  const count = motor.rows / speeds.length;
  return { speeds, torques: Array.from(motor.of('torque_nm').slice(0, count)), values: motor.of('efficiency'), count };
}

/** Where a level crosses the sides of each cell: marching squares, a piece of line for each crossing of a cell. */
function pieces({ speeds, torques, values, count }, level) {
  const out = [];
  const at = (i, j) => values[i * count + j];
  const between = (a, b) => (level - a) / (b - a);
  for (let i = 0; i + 1 < speeds.length; i += 1) {
    for (let j = 0; j + 1 < count; j += 1) {
      const corners = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
      if (corners.some((one) => one === null || one === undefined)) continue;
      const [a, b, c, d] = corners;
      const x = (share) => speeds[i] + share * (speeds[i + 1] - speeds[i]);
      const y = (share) => torques[j] + share * (torques[j + 1] - torques[j]);
      const crossings = [];
      if (a < level !== b < level) crossings.push([x(between(a, b)), torques[j]]);
      if (b < level !== c < level) crossings.push([speeds[i + 1], y(between(b, c))]);
      if (d < level !== c < level) crossings.push([x(between(d, c)), torques[j + 1]]);
      if (a < level !== d < level) crossings.push([speeds[i], y(between(a, d))]);
      for (let k = 0; k + 1 < crossings.length; k += 2) out.push([...crossings[k], ...crossings[k + 1]]);
    }
  }
  return out;
}

const NAME_PX = { wide: 34, high: 16 };

/** Where the names of levels stand: on their own lines, near the middle of each, and none over another. */
function namesOf(levels, toPx) {
  const taken = [];
  const free = ([x, y]) => taken.every(([left, top]) => Math.abs(x - left) > NAME_PX.wide || Math.abs(y - top) > NAME_PX.high);
  return levels.map(({ lines }) => {
    const pulling = lines.filter(([, torque]) => torque > 0);
    const middle = Math.floor(pulling.length / 2);
    const nearest = pulling.map((_, at) => at).sort((a, b) => Math.abs(a - middle) - Math.abs(b - middle));
    const at = nearest.find((one) => free(toPx(pulling[one])));
    if (at === undefined) return [];
    taken.push(toPx(pulling[at]));
    return [pulling[at]];
  });
}

function levelSeries(unit, look, room) {
  const grid = gridOf(unit.motor);
  const levels = LEVELS.map((level) => ({ level, lines: pieces(grid, level) })).filter(({ lines }) => lines.length > 0);
  const most = Math.max(...unit.envelope.of('peak_driving_nm'));
  const least = Math.min(...unit.envelope.of('peak_braking_nm'));
  const toPx = ([rpm, nm]) => [(rpm / Math.max(...unit.envelope.of('speed_rpm'))) * room.width, (nm / (most - least)) * room.height];
  const names = namesOf(levels, toPx);
  return levels.flatMap(({ level, lines }, index) => [
    {
      name: `efficiency ${level}`,
      type: 'custom',
      silent: true,
      clip: true,
      z: 4,
      data: lines,
      encode: { x: [0, 2], y: [1, 3] },
      renderItem: (_, api) => {
        const [x1, y1] = api.coord([api.value(0), api.value(1)]);
        const [x2, y2] = api.coord([api.value(2), api.value(3)]);
        return { type: 'line', shape: { x1, y1, x2, y2 }, style: { stroke: look.soft, lineWidth: 0.8 } };
      },
    },
    {
      type: 'custom',
      silent: true,
      z: 6,
      data: names[index],
      renderItem: (_, api) => {
        const [x, y] = api.coord([api.value(0), api.value(1)]);
        return {
          type: 'text',
          style: {
            x,
            y,
            text: `${Math.round(level * 100)} %`,
            fill: look.ink,
            font: `10.5px ${look.font}`,
            align: 'center',
            verticalAlign: 'middle',
            stroke: look.paper,
            lineWidth: 3,
          },
        };
      },
    },
  ]);
}

// ------------------------------------------------------------------------------------------------ operating points

/** Distance between neighbours of a list of values. */
function step(values) {
  const sorted = [...new Set(values)].sort((a, b) => a - b);
  return sorted.slice(1).reduce((least, one, at) => Math.min(least, one - sorted[at]), Infinity);
}

function pointSeries(points, look) {
  const rows = listed(points).filter(({ rpm }) => rpm > 0);
  const most = Math.max(...rows.map(({ s }) => s), 0);
  const wide = rows.length > 1 ? step(rows.map(({ rpm }) => rpm)) : 100;
  const high = rows.length > 1 ? step(rows.map(({ nm }) => nm)) : 20;
  return {
    name: 'time',
    type: 'custom',
    z: 3,
    clip: true,
    data: rows.map(({ rpm, nm, s }) => [rpm, nm, s]),
    encode: { x: 0, y: 1 },
    renderItem: (_, api) => {
      const [x, y] = api.coord([api.value(0), api.value(1)]);
      const [width, height] = api.size([wide, high]);
      // By the cube root: a minute is seen beside an hour.
      const opacity = 0.12 + 0.88 * Math.cbrt(api.value(2) / most);
      return {
        type: 'rect',
        shape: { x: x - width / 2, y: y - height / 2, width: Math.max(width, 1), height: Math.max(height, 1) },
        style: { fill: look.accent, opacity },
      };
    },
  };
}

function envelopeSeries(envelope, look) {
  const line = (key, name, style) => ({
    name,
    type: 'line',
    symbol: 'none',
    silent: true,
    z: 5,
    data: envelope.pairs('speed_rpm', key),
    lineStyle: { color: look.ink, ...style },
  });
  const out = [line('peak_driving_nm', 'peak', { width: 1.6 }), line('peak_braking_nm', 'peak braking', { width: 1.6 })];
  if (envelope.has('continuous_nm') && envelope.of('continuous_nm').some((one) => one !== null)) {
    out.push(line('continuous_nm', 'continuous', { width: 1.4, type: LIMIT }));
  }
  return out;
}

function pointTip({ value: [speed, torque, seconds] }) {
  return tip(`${decimals(speed, 0)} rpm, ${decimals(torque, 0)} Nm`, [['time there', duration(seconds)]]);
}

function mapOption(unit, look, width, height) {
  return {
    ...base(look),
    grid: { left: 52, right: 14, top: 34, bottom: 44 },
    xAxis: valueAxis(look, 'motor speed, rpm', { min: 0, max: axisEnd(Math.max(...unit.envelope.of('speed_rpm'))) }),
    yAxis: upright(look, 'torque of all motors, Nm', { scale: true }),
    tooltip: { ...base(look).tooltip, trigger: 'item', formatter: pointTip },
    series: [pointSeries(unit.points, look), ...levelSeries(unit, look, { width: width - 66, height: height - 78 }), ...envelopeSeries(unit.envelope, look)],
  };
}

/** Points as rows; those at speed 0 are time at rest and in no cell of the map. */
const listed = (points) =>
  Array.from({ length: points.rows }, (_, row) => ({
    rpm: points.of('speed_rpm')[row],
    nm: points.of('torque_nm')[row],
    s: points.of('duration_s')[row],
  }));

function busiest(points) {
  const rows = listed(points);
  const all = rows.reduce((sum, { s }) => sum + s, 0);
  const rest = rows.filter(({ rpm }) => rpm === 0).reduce((sum, { s }) => sum + s, 0);
  const top = rows.filter(({ rpm }) => rpm > 0)[0];
  if (top === undefined) return 'The motors never turned.';
  const still = rest > 0.005 * all ? `The motors stand still for ${decimals((100 * rest) / all, 0)} % of the time. ` : '';
  return `${still}The cell with most time (${decimals((100 * top.s) / all, 1)} %) is near ${decimals(top.rpm, 0)} rpm and ${decimals(top.nm, 0)} Nm.`;
}

function continuousNote(unit) {
  const has = unit.envelope.has('continuous_nm') && unit.envelope.of('continuous_nm').some((one) => one !== null);
  return has ? ' Dashed: continuous torque, by the heat of windings and inverters.' : '';
}

function pointsFigure(model, truck, unit) {
  const name = unitName(model, truck, unit);
  const all = (columns) => columns.list.map((one) => ({ ...one, values: columns.of(one.key) }));
  return figure({
    title: `Operating points of the motors: ${name}`,
    caption:
      `${busiest(unit.points)} The stronger a cell’s colour, the more time in it; thin lines are equal efficiency of motor and inverter; ` +
      `thick: peak torque at the reference voltage.${continuousNote(unit)}`,
    alt: `Operating points of ${name} on the efficiency map of its motors, by time`,
    height: (width) => (width < 500 ? 320 : 380),
    option: (look, width, height) => mapOption(unit, look, width, height),
    sheets: [
      { title: `${name}, time at operating points`, file: `${truck.id}-${unit.name}-points`, columns: all(unit.points) },
      { title: `${name}, efficiency map`, file: `${truck.id}-${unit.name}-map`, columns: all(unit.motor) },
      { title: `${name}, torque limits`, file: `${truck.id}-${unit.name}-limits`, columns: all(unit.envelope) },
    ],
  });
}

// ------------------------------------------------------------------------------------------------ gears

function settingNames(settings) {
  const gears = [...new Set(settings.of('gear'))].sort((a, b) => a - b);
  const motors = [...new Set(settings.of('motors'))].filter((count) => count > 0).sort((a, b) => a - b);
  return { gears, motors };
}

function secondsIn(settings, gear, motors) {
  let sum = 0;
  for (let row = 0; row < settings.rows; row += 1) {
    if (settings.of('gear')[row] === gear && (motors === null || settings.of('motors')[row] === motors)) {
      sum += settings.of('duration_s')[row];
    }
  }
  return sum;
}

const gearName = (gear) => (gear === 0 ? 'no gear' : `gear ${gear}`);
const engaged = (count) => (count === 0 ? 'no motor' : count === 1 ? '1 motor' : `${count} motors`);
/** Below that share of the time nothing is told. */
const LEAST_PERCENT = 0.05;

/** Of each drive unit a bar for each gear and number of motors in it. */
function gearGroups(units) {
  return units.map(({ name, colour, settings }) => {
    const { gears, motors: counts } = settingNames(settings);
    const total = settings.of('duration_s').reduce((sum, one) => sum + one, 0);
    const rows = gears.flatMap((gear) =>
      [0, ...counts].map((count) => ({
        name: gear === 0 ? gearName(gear) : `${gearName(gear)}, ${engaged(count)}`,
        colour,
        value: (100 * secondsIn(settings, gear, count)) / total,
      })),
    );
    return { name, rows: rows.filter(({ value }) => value >= LEAST_PERCENT).map((row) => ({ ...row, text: decimals(row.value, 1) })) };
  });
}

/** Trucks that go into one figure, so that it fits a sheet. */
const GEARS_TOGETHER = 3;

function gearsFigure(model, trucks) {
  const units = trucks.flatMap((truck) =>
    truck.units
      .filter(({ settings }) => settings !== null && settings.rows > 0)
      .map((unit) => ({ name: unitName(model, truck, unit), truck, settings: unit.settings })),
  );
  if (units.length === 0) return null;
  const flat = (key) => units.flatMap(({ settings }) => Array.from(settings.of(key)));
  const whose = trucks.length < model.trucks.length ? `: ${trucks.map(({ name }) => name).join('; ')}` : '';
  return figure({
    title: `Time in each gear, and motors engaged${whose}`,
    caption: '“No gear” is the time in gear changes and behind an open disconnect; in a gear without a motor, motors are dragged along or rest.',
    alt: 'Bars: share of time in each gear and number of motors engaged',
    paint: (look, width) => bars(look, width, gearGroups(units.map((unit) => ({ ...unit, colour: look.series(unit.truck.index) }))), 'share of the time, %'),
    sheets: [
      {
        title: 'time in gears',
        file: 'gears',
        columns: [
          column('unit', '', 0, units.flatMap(({ name, settings }) => Array(settings.rows).fill(name)), 'drive unit'),
          column('gear', '', 0, flat('gear'), 'gear'),
          column('motors', '', 0, flat('motors'), 'motors engaged'),
          column('duration_s', 's', 2, flat('duration_s'), 'time'),
        ],
      },
    ],
  });
}

const groupsOf = (trucks) => Array.from({ length: Math.ceil(trucks.length / GEARS_TOGETHER) }, (_, at) => trucks.slice(at * GEARS_TOGETHER, (at + 1) * GEARS_TOGETHER));

export function motors(model) {
  const parts = [
    ...groupsOf(model.trucks).map((trucks) => gearsFigure(model, trucks)),
    ...model.trucks.flatMap((truck) =>
      truck.units.filter(({ motor, points }) => motor !== null && points !== null).map((unit) => pointsFigure(model, truck, unit)),
    ),
  ].filter(Boolean);
  return parts.length > 0 ? parts : null;
}
