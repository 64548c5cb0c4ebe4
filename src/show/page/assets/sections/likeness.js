// Whether the trucks are alike in what is not their layout's own: every row, with its tolerance.
import { decimals, mark as short, unitText } from '../data.js';
import { make, table } from '../dom.js';
import { headOf, key } from './answer.js';

const DASH = '\u2013';

const toldOf = (row, number) => (number === null || number === undefined ? DASH : decimals(number, row.digits));

/** "3 %" of the first truck's value, "0.5 kg", "none" of a count; a dash where the row is told only. */
function toleranceOf(row) {
  if (!row.judged) return DASH;
  if (row.tolerance === 0) return 'none';
  return row.tolerance_of === 'first' ? `${short(100 * row.tolerance)}\u00a0%` : `${short(row.tolerance)}\u00a0${unitText(row.unit)}`;
}

function cellOf(truck, row) {
  const is = truck.told.likeness[row.key];
  if (!is) return DASH;
  const reached = is.at_km_h === undefined || is.at_km_h === null ? null : `at ${decimals(is.at_km_h, 0)} km/h`;
  const notes = [reached, is.alike ? null : 'not alike'].filter(Boolean);
  return [is.alike ? toldOf(row, is.value) : make('strong', {}, toldOf(row, is.value)), notes.map((note) => make('small', {}, note))];
}

export function likeness(model) {
  const told = model.result.likeness;
  if (!model.compares || !told) return null;
  const list = table(
    `What trucks must have alike for a difference to be the layout's, each against ${model.trucks[0].name}`,
    ['', ...model.trucks.map(key), 'tolerance'],
    told.rows.map((row) => [
      headOf(row),
      ...model.trucks.map((truck) => cellOf(truck, row)),
      toleranceOf(row),
    ]),
    { class: 'side' },
  );
  list.classList.add('whole');
  return [
    make('p', {}, "Kerb mass, gears and ratios are the layout's own and no unlikeness. Tolerances in per cent are of the first truck's value; a row without one is told, not judged. They are common practice, without a source."),
    list,
  ];
}
