// What is needed to make the page again.
import { make, table } from '../dom.js';

export function made(model) {
  const { made: by, result } = model;
  const rows = [
    ['program', `evener ${by.version}`],
    ...(model.route ? [['cycle', `${model.route.name} (${model.route.source}), ${by.cycle_hash}`]] : []),
    ...model.trucks.map((truck) => [`truck ${model.compares ? truck.id : ''}`.trim(), `${truck.title}, ${truck.hash}`]),
    ...Object.entries({ ...result.load_case, ...result.driving }).map(([key, value]) => [key, value === null ? 'as the files say' : String(value)]),
  ];
  const list = table('What went in', ['', ''], rows.map(([name, text]) => [name, make('span', { class: 'hash' }, text)]), { class: 'words' });
  list.classList.add('whole');
  return [
    make('p', {}, `Sixteen digits behind a truck${model.route ? ' or the cycle' : ''} are a hash of all values that count, defaults included: equal values, equal hash.`),
    make('pre', {}, by.command.map((word) => (/^[\w./=:,+-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`)).join(' ')),
    list,
    make('p', { class: 'about' }, 'Charts are drawn by ECharts (Apache-2.0). The page asks for nothing from any network.'),
  ];
}
