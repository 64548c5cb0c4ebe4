// How far to trust it.
import { bound } from '../data.js';
import { make, table } from '../dom.js';
import { finished } from '../model.js';

const power = (number) => (Number.isFinite(number) ? number.toExponential(1).replace('-', '\u2212') : '\u2013');

export function trust(model) {
  const told = model.trucks.filter((truck) => truck.own?.closure !== undefined);
  const rows = told.map((truck) => [
    truck.name,
    power(truck.own.closure),
    ...(model.compares ? [finished(truck.common) ? power(truck.common.closure) : '\u2013'] : []),
  ]);
  const list = table(
    'What the energy ledger leaves open, of all energy that went in and out of the pack',
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
