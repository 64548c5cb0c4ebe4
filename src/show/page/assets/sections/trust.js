// How far to trust it.
import { bound } from '../data.js';
import { make, table } from '../dom.js';
import { finished } from '../model.js';

const power = (number) => (Number.isFinite(number) ? number.toExponential(1).replace('-', '\u2212') : '\u2013');

export function trust(model) {
  const told = model.trucks.filter((truck) => truck.own?.balance_error !== undefined);
  const rows = told.map((truck) => [
    truck.name,
    power(truck.own.balance_error),
    ...(model.compares ? [finished(truck.common) ? power(truck.common.balance_error) : '\u2013'] : []),
  ]);
  const list = table(
    'Balance error: what the energy balance leaves open, of all energy that went through the battery',
    ['truck', model.compares ? 'own speeds' : 'this run', ...(model.compares ? ['common speed'] : [])],
    rows,
  );
  list.classList.add('whole');
  const { trust: lines = [] } = model;
  return [
    lines.slice(0, -1).map((text) => make('p', {}, bound(text))),
    rows.length > 0 ? list : null,
    make('p', { class: 'caution' }, lines.at(-1)),
  ];
}
