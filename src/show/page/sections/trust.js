// How far to trust it.
import { decimals } from '../data.js';
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
  const marked = model.trucks.filter(({ invented }) => invented).map(({ name }) => name);
  return [
    model.trust?.map((text) => make('p', {}, text)),
    rows.length > 0 ? list : null,
    make(
      'p',
      {},
      'A closed ledger shows sound bookkeeping, not right data: the figures are as good as the efficiencies, masses and ' +
        `resistances in the files. Integrated to ${decimals(Math.log10(model.made.accuracy), 0)} decades of accuracy; differences of a few hundredths of a per cent mean nothing.`,
    ),
    marked.length > 0
      ? make('p', {}, `Marked as invented in their files: ${marked.join(', ')}${model.route.source === 'invented' ? ' and the route' : ''}.`)
      : null,
    make(
      'p',
      { class: 'caution' },
      'Figures for choosing a layout. Brakes, axle loads, stability and high voltage are to be approved under the rules of ' +
        'the country of use, by those who are licensed to do so; motor braking never stands in for a braking system.',
    ),
  ];
}
