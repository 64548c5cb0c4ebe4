// What kept each truck below its target speed: how long, where most, by how much.
import { decimals, duration } from '../data.js';
import { make, table } from '../dom.js';
import { finished, placeDigits, speedDigits } from '../model.js';
import { key } from './answer.js';

export function limits(model) {
  const told = model.trucks.filter((truck) => truck.own?.limited_by);
  if (told.length === 0) return null;
  const rows = told.flatMap((truck) =>
    truck.own.limited_by.map((limit, at) => [
      model.compares && at === 0 ? key(truck) : model.compares ? '' : limit.label,
      ...(model.compares ? [limit.label] : []),
      duration(limit.duration_s),
      decimals(limit.at_km, placeDigits(model)),
      decimals(limit.below_target_km_h, speedDigits(model)),
    ]),
  );
  const free = told.filter((truck) => finished(truck.own) && truck.own.limited_by.length === 0).map(({ name }) => name);
  const failures = told.filter((truck) => !finished(truck.own)).map(({ name }) => name);
  const list = table(
    'How long each limit was the one that kept the truck below its target speed, and where it was furthest below it',
    [...(model.compares ? ['truck'] : []), 'limited by', 'time', 'furthest below target at km', 'by, km/h'],
    rows,
  );
  list.classList.add('whole');
  return [
    failures.length > 0
      ? make('p', {}, `Not finished, the answer above says why: ${failures.join(', ')}. The table tells what limited them until then.`)
      : null,
    rows.length > 0 ? list : null,
    free.length > 0
      ? make('p', {}, `Target speed met everywhere: ${free.join(', ')}.`)
      : null,
  ];
}
