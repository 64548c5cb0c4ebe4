// A comparison beside another lineup's: use of each truck with both sets of data, and which lines moved.
import { change, decimals, unitText } from '../data.js';
import { make, table } from '../dom.js';
import { quantity } from '../model.js';
import { key } from './answer.js';

const LINES_TOLD = 8;
const LINE_DIGITS = 3;

const percentOf = (number) => (number === null ? null : make('small', {}, `${change(number, 1)} %`));

/** "1.73", and per cent of the first truck behind it. */
const useOf = (told, side, index) => [decimals(told.use[side], 2), index === 0 ? null : percentOf(told.percent[side])];

function trucksTable(model, told) {
  return table(
    'Energy consumption at the common speed, each against the first truck',
    ['', ...model.trucks.map(key)],
    ['here', 'there'].map((side) => [`${side}, ${unitText(quantity(model, model.result.answer.decides).unit)}`, ...told.trucks.map((truck, index) => useOf(truck, side, index))]),
    { class: 'side' },
  );
}

/** The lines of a truck that moved to speak of, the largest first: as in the terminal. */
function linesTable(model, truck, told) {
  const moved = told.lines.slice(0, LINES_TOLD).filter((line) => Math.abs(line.moved_kwh_km) >= 0.5 * 10 ** -LINE_DIGITS);
  if (moved.length === 0) return null;
  return table(
    `${truck.name} against ${model.trucks[0].name}, what moved most, kWh/km`,
    ['', 'here', 'there', 'moved'],
    moved.map((line) => [
      quantity(model, line.key).label,
      change(line.difference_kwh_km.here, LINE_DIGITS),
      change(line.difference_kwh_km.there, LINE_DIGITS),
      change(line.moved_kwh_km, LINE_DIGITS),
    ]),
    { class: 'side' },
  );
}

/** Rows of likeness by key. */
const rowOf = (model, wanted) => model.result.likeness.rows.find((row) => row.key === wanted);

/** What else is other in the trucks there, and what is not: as in the terminal. */
function otherData(model, told) {
  const others = told.data.filter((data) => !data.alike);
  if (others.length === 0) return null;
  const valueOf = (row, number) => (number === null ? 'not known' : `${decimals(number, row.digits)} ${unitText(row.unit)}`.trim());
  const other = (data) => {
    const row = rowOf(model, data.key);
    const truck = model.trucks.find((one) => one.id === data.truck);
    return `${row.label} of ${truck ? truck.name : data.truck} (${valueOf(row, data.value.here)} here, ${valueOf(row, data.value.there)} there)`;
  };
  const same = told.data.filter((data) => data.alike).map((data) => rowOf(model, data.key).label);
  return make('p', {}, `Other there than here, beside what parts lose: ${others.map(other).join(', ')}${same.length ? `; alike: ${same.join(', ')}` : ''}.`);
}

/** What the trucks there were given to be equal to their first. */
function equalThere(model, told) {
  const given = told.trucks.slice(1).flatMap((truck, index) => {
    const { name } = model.trucks[index + 1];
    const { payload_kg: kg, torque_scale: scale } = truck.equal_there;
    if (kg !== null) return [`payload of ${name} ${decimals(kg, 0)} kg`];
    return decimals(scale, 3) === decimals(1, 3) ? [] : [`motors of ${name} scaled by ${decimals(scale, 3)} in torque`];
  });
  return given.length === 0 ? null : make('p', {}, `Made equal there: ${given.join('; ')}.`);
}

export function beside(model) {
  const told = model.result.beside;
  if (!model.compares || !told) return null;
  return [
    make('p', {}, `Here are the trucks of this page; there are those of the same names of ${told.lineup ?? 'the other lineup'}, driven alike. Less than ${told.close_points} percentage points between two trucks are too little to tell.`),
    otherData(model, told),
    equalThere(model, told),
    trucksTable(model, told),
    model.trucks.slice(1).map((truck) => linesTable(model, truck, told.trucks[truck.index])),
  ];
}
