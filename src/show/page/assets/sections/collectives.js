// Load collectives: for how many revolutions each shaft turned at which torque, and what that comes to.
import { decimals, duration } from '../data.js';
import { make, table, tip } from '../dom.js';
import { column, figure } from '../figure.js';
import { base, upright, valueAxis } from '../theme.js';

const LEAST = 0.1;

/** "rear, drive: half shaft": drive unit and axle where there are several. */
function nameOf(shaft, units, axles) {
  const whose = [...new Set([units ? shaft.drive_unit : null, axles ? shaft.axle : null])].filter((part) => part !== null);
  return whose.length > 0 ? `${whose.join(', ')}: ${shaft.label}` : shaft.label;
}

/** The shafts of the document, each with its classes of torque as rows. */
function shaftsOf(truck) {
  const { shafts } = truck.told.load_collectives;
  const several = (key) => new Set(shafts.map((shaft) => shaft[key]).filter((name) => name !== null)).size > 1;
  return shafts.map((shaft, at) => {
    const classes = truck.collectives[at];
    const rows = classes.revolutions.map((turns, k) => ({
      from: classes.torque_from_nm[k],
      to: classes.torque_to_nm[k],
      turns,
      seconds: classes.duration_s[k],
    }));
    return { ...shaft, name: nameOf(shaft, several('drive_unit'), several('axle')), classes: rows };
  });
}

// ------------------------------------------------------------------------------------------------ revolutions over torque

/** A bar for each class, from the foot of the picture; the logarithm is taken here, so that the axis stays straight. */
function barSeries(shaft, look, foot) {
  return {
    name: 'revolutions',
    type: 'custom',
    clip: true,
    data: shaft.classes.map(({ from, to, turns, seconds }) => [from, to, Math.log10(Math.max(turns, LEAST)), turns, seconds]),
    encode: { x: [0, 1], y: 2 },
    renderItem: (_, api) => {
      const [left, top] = api.coord([api.value(0), api.value(2)]);
      const [right, bottom] = api.coord([api.value(1), foot]);
      return {
        type: 'rect',
        shape: { x: left, y: top, width: Math.max(right - left - 0.5, 0.5), height: Math.max(bottom - top, 0.5) },
        style: { fill: look.accent },
      };
    },
  };
}

function option(shaft, look) {
  const foot = Math.log10(LEAST);
  const line = { show: true, onZero: false, lineStyle: { color: look.rule } };
  const most = Math.max(...shaft.classes.map(({ turns }) => turns), 1);
  return {
    ...base(look),
    grid: { left: 62, right: 16, top: 34, bottom: 44 },
    xAxis: valueAxis(look, 'torque, Nm; above zero pulls', { axisLine: line }),
    yAxis: upright(look, 'revolutions', {
      min: foot,
      max: Math.ceil(Math.log10(most)),
      interval: 1,
      axisLine: line,
      axisLabel: { color: look.soft, fontFamily: look.font, fontSize: 11, formatter: (power) => decimals(10 ** power, power < 0 ? 1 : 0) },
    }),
    tooltip: {
      ...base(look).tooltip,
      trigger: 'item',
      formatter: ({ value: [from, to, , turns, seconds] }) =>
        tip(`${decimals(from, 0)} to ${decimals(to, 0)} Nm`, [
          ['revolutions', decimals(turns, 1)],
          ['time', duration(seconds)],
        ]),
    },
    series: [barSeries(shaft, look, foot)],
  };
}

const alikeNote = ({ alike }) => (alike > 1 ? ` One of ${alike} alike.` : '');

function shaftFigure(truck, shaft) {
  const of = (key) => shaft.classes.map((row) => row[key]);
  return figure({
    title: `Revolutions at torque: ${shaft.name}`,
    caption:
      `${decimals(shaft.revolutions, 0)} revolutions in ${duration(shaft.duration_s)}; logarithmic scale. Largest torque ` +
      `${decimals(shaft.pulling.largest_torque_nm, 0)} Nm pulling, ${decimals(shaft.braking.largest_torque_nm, 0)} Nm braking.${alikeNote(shaft)}`,
    alt: `Bars: revolutions of ${shaft.name} of ${truck.name} in each class of torque, on a logarithmic scale`,
    height: (width) => (width < 500 ? 240 : 260),
    option: (look) => option(shaft, look),
    sheets: [
      {
        title: `${truck.name}, load collective, ${shaft.name}`,
        file: `${truck.id}-load-${[shaft.drive_unit, shaft.axle, shaft.shaft].filter(Boolean).join('-')}`,
        columns: [
          column('torque_from_nm', 'Nm', 0, of('from'), 'torque from'),
          column('torque_to_nm', 'Nm', 0, of('to'), 'to'),
          column('revolutions', '', 1, of('turns'), 'revolutions'),
          column('duration_s', 's', 1, of('seconds'), 'time'),
        ],
      },
    ],
  });
}

// ------------------------------------------------------------------------------------------------ what they come to

function sumsTable(truck, shafts) {
  const { damage_exponent: exponent, damage_revolutions: turns } = truck.told.load_collectives;
  const head = ['shaft', 'gear', 'revolutions', 'time', 'pulling, largest, Nm', 'equivalent, Nm', 'braking, largest, Nm', 'equivalent, Nm'];
  const cells = (sum) => [
    decimals(sum.revolutions, 0),
    duration(sum.duration_s),
    ...[sum.pulling, sum.braking].flatMap((side) => [decimals(side.largest_torque_nm, 0), decimals(side.equivalent_torque_nm, 0)]),
  ];
  const gearName = (gear) => (gear === 0 ? 'none' : String(gear));
  const rows = shafts.flatMap((shaft) => [
    [shaft.name, 'all', ...cells(shaft)],
    ...(shaft.gears.length > 1 ? shaft.gears.map((one) => [shaft.name, gearName(one.gear), ...cells(one)]) : []),
  ]);
  const refers = turns === null ? 'all revolutions of the shaft' : `${decimals(turns, 0)} revolutions`;
  const caption =
    `Load collectives of ${truck.name}. Equivalent: the torque that does the same damage in ${refers}, by linear accumulation ` +
    `with an exponent of ${decimals(exponent, 3)}; gear teeth, shafts and bearings have exponents of their own. “None”: changes of gear, or an open disconnect.`;
  return make('div', { class: 'whole' }, table(caption, head, rows));
}

export function collectives(model) {
  const told = model.trucks.filter((truck) => truck.collectives !== null && truck.told.load_collectives !== undefined);
  if (told.length === 0) return null;
  return [
    told.flatMap((truck) => {
      const shafts = shaftsOf(truck);
      return [...shafts.filter(({ classes }) => classes.length > 0).map((shaft) => shaftFigure(truck, shaft)), sumsTable(truck, shafts)];
    }),
    make('p', { class: 'caution' }, 'An estimate for comparing: what gears, shafts and bearings must bear is for approved testing and licensed practice to decide.'),
  ];
}
