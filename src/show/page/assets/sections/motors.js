// How the motors work: time at each operating point on the efficiency map, and time in each gear.
import { decimals, duration } from '../data.js';
import { tip } from '../dom.js';
import { column, figure } from '../figure.js';
import { unitName } from '../model.js';
import { axisEnd, base, inkOn, label, nameAxis, rowTip, shade, upright, valueAxis } from '../theme.js';

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

function levelSeries(motor, look) {
  const grid = gridOf(motor);
  return LEVELS.flatMap((level) => {
    const lines = pieces(grid, level);
    if (lines.length === 0) return [];
    const pulling = lines.filter(([, torque]) => torque > 0);
    const named = pulling.length > 0 ? Math.floor(pulling.length / 2) : -1;
    return [
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
        data: named < 0 ? [] : [pulling[named]],
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
    ];
  });
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
    out.push(line('continuous_nm', 'continuous', { width: 1.4, type: [6, 4] }));
  }
  return out;
}

function pointTip({ value: [speed, torque, seconds] }) {
  return tip(`${decimals(speed, 0)} rpm, ${decimals(torque, 0)} Nm`, [['time there', duration(seconds)]]);
}

function mapOption(unit, look) {
  return {
    ...base(look),
    grid: { left: 52, right: 14, top: 34, bottom: 44 },
    xAxis: valueAxis(look, 'motor speed, rpm', { min: 0, max: axisEnd(Math.max(...unit.envelope.of('speed_rpm'))) }),
    yAxis: upright(look, 'torque of all motors, Nm', { scale: true }),
    tooltip: { ...base(look).tooltip, trigger: 'item', formatter: pointTip },
    series: [pointSeries(unit.points, look), ...levelSeries(unit.motor, look), ...envelopeSeries(unit.envelope, look)],
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
    option: (look) => mapOption(unit, look),
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

const gearName = (gear) => (gear === 0 ? 'none' : `gear ${gear}`);

/** Between light and full lie the shades on which neither ink nor paper stands out: they are left out. */
function shadeOf(look, count, most) {
  if (count === 0) return look.rule;
  return shade(look, count === most ? 1 : 0.15 + (0.35 * count) / most);
}

function gearsOption(units, look, width) {
  const rows = units.flatMap(({ name, settings }) => settingNames(settings).gears.map((gear) => ({ name, settings, gear })));
  const most = Math.max(...units.flatMap(({ settings }) => settingNames(settings).motors), 1);
  const counts = Array.from({ length: most + 1 }, (_, count) => count);
  const total = (settings) => settings.of('duration_s').reduce((sum, one) => sum + one, 0);
  return {
    ...base(look),
    grid: { left: width < 500 ? 140 : 8 + 6.6 * Math.max(...rows.map(({ name, gear }) => `${name}, ${gearName(gear)}`.length)), right: 24, top: 8, bottom: 44 },
    xAxis: valueAxis(look, 'share of the time, %', { min: 0 }),
    yAxis: nameAxis(look, rows.map(({ name, gear }) => `${name}, ${gearName(gear)}`), {
      axisLabel: { fontSize: 11.5, width: width < 500 ? 130 : 270, overflow: 'break' },
    }),
    tooltip: rowTip(look, (found) =>
      found.filter(({ value }) => value > 0).map((one) => [one.seriesName, `${decimals(one.value, 2)} %`]),
    ),
    series: counts.map((count) => [count, shadeOf(look, count, most)]).map(([count, colour]) => ({
      name: count === 0 ? 'no motor engaged' : `${count} ${count === 1 ? 'motor' : 'motors'} engaged`,
      type: 'bar',
      stack: 'time',
      barWidth: '62%',
      data: rows.map(({ settings, gear }) => (100 * secondsIn(settings, gear, count)) / total(settings)),
      itemStyle: { color: colour },
      label: label(look, inkOn(look, colour), {
        position: 'inside',
        textBorderWidth: 0,
        fontSize: 10.5,
        formatter: ({ value }) => (value >= 9 ? `${count === 0 ? '' : `${count} × `}${decimals(value, 0)} %` : ''),
      }),
    })),
  };
}

function gearsFigure(model) {
  const units = model.trucks.flatMap((truck) =>
    truck.units
      .filter(({ settings }) => settings !== null && settings.rows > 0)
      .map((unit) => ({ name: unitName(model, truck, unit), settings: unit.settings })),
  );
  if (units.length === 0) return null;
  const rows = units.reduce((sum, { settings }) => sum + settingNames(settings).gears.length, 0);
  const flat = (key) => units.flatMap(({ settings }) => Array.from(settings.of(key)));
  return figure({
    title: 'Time in each gear, and motors engaged',
    caption:
      'The stronger the colour, the more motors engaged; “none” is the time in gear changes and behind an open disconnect. Labels: motors engaged × share of the time.',
    alt: 'Bars: share of time in each gear and number of motors engaged',
    height: (width) => 70 + (width < 500 ? 32 : 25) * rows,
    option: (look, width) => gearsOption(units, look, width),
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

export function motors(model) {
  const parts = [
    gearsFigure(model),
    ...model.trucks.flatMap((truck) =>
      truck.units.filter(({ motor, points }) => motor !== null && points !== null).map((unit) => pointsFigure(model, truck, unit)),
    ),
  ].filter(Boolean);
  return parts.length > 0 ? parts : null;
}
