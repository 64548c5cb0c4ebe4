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

export function beside(model) {
  const told = model.result.beside;
  if (!model.compares || !told) return null;
  return [
    make('p', {}, `Here are the trucks of this page; there are those of the same names of ${told.lineup ?? 'the other lineup'}, driven alike. Less than ${told.close_points} percentage points between two trucks are too little to tell.`),
    trucksTable(model, told),
    model.trucks.slice(1).map((truck) => linesTable(model, truck, told.trucks[truck.index])),
  ];
}
