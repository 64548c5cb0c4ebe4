// One shape for what the page tells, whether it tells of one run or of several side by side.
import { at, Columns } from './data.js';

const columnsOf = (written) => (written ? new Columns(written) : null);

const unitOf = (unit, motors) => ({
  name: unit.name,
  motor: motors[unit.motor],
  envelope: columnsOf(unit.envelope),
  points: columnsOf(unit.points),
  settings: columnsOf(unit.settings),
});

// A name that is written from right to left stands by itself between words and figures (U+2068, U+2069); its blocks are those of
// html_write.c.
const RIGHT_TO_LEFT = /[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefe\u{10800}-\u{10fff}\u{1e800}-\u{1efff}]/u;
const isolated = (name) => (RIGHT_TO_LEFT.test(name) ? `\u2068${name}\u2069` : name);

const brakingOf = (written) =>
  written ? { distribution: written.distribution, stops: columnsOf(written.stops), shares: columnsOf(written.shares), use: columnsOf(written.use) } : null;

/** Of a day what is told of a run: that of the season that leaves the least reserve. */
function dayOf(result) {
  const season = result.seasons[result.worst_season];
  return { ...season.day, status: season.status };
}

export function modelOf(data) {
  const limits = data.kind === 'limits';
  const compares = data.kind === 'compare' || (limits && data.trucks.length > 1);
  const driven = data.kind === 'day' ? dayOf(data.result) : data.result;
  const told = compares || limits ? data.result.trucks : [driven];
  const motors = data.motors.map(columnsOf);
  return {
    ...data,
    compares,
    limits,
    bands: columnsOf(data.adhesion_bands),
    route: data.route && {
      ...data.route,
      road: columnsOf(data.route.road),
      limits: columnsOf(data.route.limits),
      stops: columnsOf(data.route.stops),
    },
    trucks: data.trucks.map((truck, index) => ({
      index,
      byClock: data.day !== null && data.day !== undefined,
      id: truck.name,
      name: isolated(truck.short_name),
      told: told[index],
      own: limits ? null : compares ? told[index].own : driven,
      common: compares && !limits ? told[index].common : null,
      forces: columnsOf(truck.forces),
      units: (truck.units ?? []).map((unit) => unitOf(unit, motors)),
      braking: brakingOf(truck.braking),
      motorBraking: columnsOf(truck.motor_braking),
      heatLimits: columnsOf(truck.heat_limits),
      collectives: truck.collectives ?? null,
      trace: columnsOf(truck.trace),
    })),
  };
}

/** Label, unit and decimals of a result, "energy_balance.air_drag_kwh". */
export const quantity = (model, key) => model.quantities[key] ?? { label: key, unit: '', digits: 3 };

export const finished = (outcome) => outcome?.status === 'finished';
export const value = (outcome, key) => at(outcome ?? {}, key) ?? null;

/** Of the limits, which stand by their time, the one at which the truck was furthest below its target speed. */
export const furthestBelow = (outcome) =>
  (outcome?.limited_by ?? []).reduce((worst, limit) => (limit.below_target_km_h > (worst?.below_target_km_h ?? 0) ? limit : worst), null);

/** Decimals of a place along the route and of a speed: those of the distance and of the mean speed. */
export const placeDigits = (model) => quantity(model, 'distance_km').digits;
export const speedDigits = (model) => quantity(model, 'mean_speed_km_h').digits;

/** Name of a drive unit among all: with its truck where there are several. */
export const unitName = (model, truck, unit) =>
  [model.compares ? truck.name : null, truck.units.length > 1 || !model.compares ? unit.name : null]
    .filter(Boolean)
    .join(', ');
