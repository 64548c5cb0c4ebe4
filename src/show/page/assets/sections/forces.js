// Wheel force over speed, with what the road asks on grades.
import { decimals } from '../data.js';
import { make, tip } from '../dom.js';
import { figure } from '../figure.js';
import { base, label, LIMIT, signsAlong, upright, valueAxis } from '../theme.js';
import { key } from './answer.js';

const loadOf = (key) => /^road_load\.(\d+)_percent_kn$/.exec(key)?.[1];

export function curve(name, data, style, more = {}) {
  return { name, type: 'line', symbol: 'none', data, lineStyle: style, emphasis: { disabled: true }, ...more };
}

function gearCurves(truck, look) {
  return truck.forces.list
    .filter(({ key }) => key.endsWith('.driving_kn'))
    .map(({ key }) => curve(key, truck.forces.pairs('speed_km_h', key), { color: look.series(truck.index), width: 0.7, opacity: 0.6 }, { silent: true }));
}

/** Grades whose load is on the chart, up to where it ends, with the grade at the end of each. */
function loadCurves(truck, look, top, highest) {
  return truck.forces.list
    .filter(({ key }) => loadOf(key) !== undefined)
    .map(({ key }) => ({ key, points: truck.forces.pairs('speed_km_h', key).filter(([speed, force]) => speed <= top && force <= highest) }))
    .filter(({ points }) => points.length > 4)
    .map(({ key, points }) =>
      curve(key, points, { color: look.soft, width: 0.7, opacity: 0.8 }, {
        silent: true,
        endLabel: label(look, look.soft, { formatter: `${loadOf(key)} %`, fontSize: 10.5, textBorderWidth: 2 }),
      }),
    );
}

/** The fastest at which it still pulls on the level. */
export function fastestOf(truck) {
  const [peak, level] = ['peak_driving_kn', 'road_load.0_percent_kn'].map((key) => truck.forces.of(key));
  return Math.max(...truck.forces.of('speed_km_h').filter((_, row) => peak[row] > level[row]));
}

/** A third above the fastest limit of the route, beyond which nobody drives; without a route as fast as it goes. */
function shownTop(model, truck) {
  const fastest = model.route ? Math.max(...model.route.limits.of('limit_km_h'), 60) : fastestOf(truck) / 1.2;
  return Math.ceil(Math.min(truck.forces.of('speed_km_h').at(-1), 1.3 * fastest) / 10) * 10;
}

/** Signs on the curve of a truck among others. */
const signsOf = (model, truck, look, top) =>
  model.compares ? signsAlong(look, truck.index, truck.forces.pairs('speed_km_h', 'peak_driving_kn'), [0, top], (truck.index + 0.5) / model.trucks.length, { spots: model.trucks.length <= 4 ? 3 : 1 }) : undefined;

function option(model, truck, look) {
  const others = model.trucks.filter((one) => one !== truck && one.forces !== null);
  const most = Math.max(...model.trucks.flatMap((one) => Array.from(one.forces?.of('peak_driving_kn') ?? [])).filter(Number.isFinite));
  const top = Math.max(...[truck, ...others].map((one) => shownTop(model, one))); // one axis for all
  const highest = Math.ceil((most * 1.05) / 10) * 10;
  return {
    ...base(look),
    grid: { left: 46, right: 46, top: 34, bottom: 44 },
    xAxis: valueAxis(look, 'speed, km/h', { min: 0, max: top }),
    yAxis: upright(look, 'wheel force, kN', { min: 0, max: highest }),
    tooltip: {
      ...base(look).tooltip,
      trigger: 'axis',
      formatter: (points) => {
        const speed = points[0].axisValue;
        const at = (one, key) => one.forces.valueAt(one.forces.of('speed_km_h'), one.forces.of(key), speed);
        const row = (one, text, key) => [`${text}, ${one.name}`, at(one, key) === null ? '\u2013' : `${decimals(at(one, key), 1)} kN`];
        return tip(`${decimals(speed, 1)} km/h`, [
          row(truck, 'peak', 'peak_driving_kn'),
          row(truck, 'continuous', 'continuous_driving_kn'),
          row(truck, 'peak braking', 'peak_braking_kn'),
          ...others.map((one) => row(one, 'peak', 'peak_driving_kn')),
        ]);
      },
    },
    series: [
      ...loadCurves(truck, look, top, highest),
      ...gearCurves(truck, look),
      ...others.map((one) =>
        curve(`peak, ${one.name}`, one.forces.pairs('speed_km_h', 'peak_driving_kn'), { ...look.line(one.index, 1.1), opacity: 0.8 }, { markPoint: signsOf(model, one, look, top) }),
      ),
      curve(`peak, ${truck.name}`, truck.forces.pairs('speed_km_h', 'peak_driving_kn'), look.line(truck.index, 2.6), { markPoint: signsOf(model, truck, look, top) }),
      ...(truck.forces.has('continuous_driving_kn')
        ? [curve(`continuous, ${truck.name}`, truck.forces.pairs('speed_km_h', 'continuous_driving_kn'), { color: look.series(truck.index), width: 1.8, type: LIMIT })]
        : []),
    ],
  };
}

function caption(model, truck) {
  return (
    `Thick: peak wheel force, as motors, adhesion of the tyres on the level and battery allow; thin: motors alone in each gear, above the thick line where adhesion or the battery caps it; ` +
    `${model.compares && model.trucks.length > 1 ? 'with the sign of another: the peak of that truck; ' : ''}dashed: continuous, by the heat of windings and inverters; grey: driving resistance by grade. ` +
    'On a grade the load on the driven axles is another, and so is what adhesion allows: which grades are held the command limits tells.'
  );
}

export function forces(model) {
  const told = model.trucks.filter((truck) => truck.forces !== null);
  if (told.length === 0) return null;
  return told.map((truck) =>
    figure({
      title: `Wheel force over speed${model.compares ? `: ${truck.name}` : ''}`,
      caption: caption(model, truck),
      before: model.compares ? make('p', { class: 'keys' }, told.map(key)) : null,
      alt: `Wheel force of ${truck.name} over speed, with the driving resistance on grades`,
      height: (width) => (width < 500 ? 320 : 380),
      option: (look) => option(model, truck, look),
      sheets: [
        {
          title: `${truck.name}, wheel force over speed`,
          file: `${truck.id}-forces`,
          columns: truck.forces.list.map((one) => ({ ...one, values: truck.forces.of(one.key) })),
        },
      ],
    }),
  );
}
