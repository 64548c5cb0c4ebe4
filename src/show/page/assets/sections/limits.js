// What kept each truck below its target speed: how long, where most, by how much.
import { decimals, duration } from '../data.js';
import { make, table } from '../dom.js';
import { key } from './answer.js';

export function limits(model) {
  const told = model.trucks.filter((truck) => truck.own?.limited_by);
  if (told.length === 0) return null;
  const rows = told.flatMap((truck) =>
    truck.own.limited_by.map((limit, at) => [
      model.compares && at === 0 ? key(truck) : model.compares ? '' : limit.label,
      ...(model.compares ? [limit.label] : []),
      duration(limit.duration_s),
      `km ${decimals(limit.at_km, 1)}`,
      decimals(limit.below_target_km_h, 1),
    ]),
  );
  const free = told.filter((truck) => truck.own.limited_by.length === 0);
  const failures = told.filter((truck) => truck.own.status !== 'finished').map(({ name }) => name);
  const list = table(
    'How long each limit was the one that kept the truck below its target speed, and where it was furthest below it',
    [...(model.compares ? ['truck'] : []), 'limited by', 'for', 'furthest below target speed at', 'by, km/h'],
    rows,
  );
  list.classList.add('whole');
  return [
    failures.length > 0
      ? make('p', {}, `${failures.join(', ')} did not finish: the answer above says why. What limited them until then:`)
      : null,
    rows.length > 0 ? list : null,
    free.length > 0
      ? make('p', {}, `Nothing limited ${free.map(({ name }) => name).join(', ')}: the target speed was met everywhere.`)
      : null,
  ];
}
