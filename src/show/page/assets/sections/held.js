// What held each truck back: how long, where most, by how much.
import { decimals, duration, words } from '../data.js';
import { make, table } from '../dom.js';
import { key } from './answer.js';

export function held(model) {
  const told = model.trucks.filter((truck) => truck.own?.held_by);
  if (told.length === 0) return null;
  const rows = told.flatMap((truck) =>
    truck.own.held_by.map((limit, at) => [
      model.compares && at === 0 ? key(truck) : model.compares ? '' : words(limit.limit),
      ...(model.compares ? [words(limit.limit)] : []),
      duration(limit.seconds),
      `km ${decimals(limit.worst_km, 1)}`,
      decimals(limit.worst_km_h, 1),
    ]),
  );
  const free = told.filter((truck) => truck.own.held_by.length === 0);
  const failures = told.filter((truck) => truck.own.status !== 'finished').map(({ name }) => name);
  const list = table(
    'How long each limit was the one that held the truck below its plan, and where it was furthest below it',
    [...(model.compares ? ['truck'] : []), 'limit', 'for', 'furthest below its plan at', 'by, km/h'],
    rows,
  );
  list.classList.add('whole');
  return [
    failures.length > 0
      ? make('p', {}, `${failures.join(', ')} did not finish: the answer above says why. What held them until then:`)
      : null,
    rows.length > 0 ? list : null,
    free.length > 0
      ? make('p', {}, `Nothing held back ${free.map(({ name }) => name).join(', ')}: the plan was met everywhere.`)
      : null,
  ];
}
