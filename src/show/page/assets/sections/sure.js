// How sure the differences are, and which datum to measure next.
import { bound, change, decimals, unitText } from '../data.js';
import { make, table } from '../dom.js';
import { interval, intervalOf, method, probability } from './ranked.js';

const LEAST_SHARE = 0.0005;
const DASH = '\u2013';
const WORDS = { lower: 'lower', higher: 'higher', cannot_be_told_apart: 'cannot be told apart' };
const BASES = [
  ['common', 'common speed'],
  ['own', 'own speeds'],
];

const small = (text) => make('small', { class: 'words' }, text);

function cellOf(is) {
  if (!is) return DASH;
  return [`${change(is.percent, 1)} %`, small(intervalOf(is)), is.by === 'draws' ? small(`mean ${change(is.mean_percent, 1)}`) : null, small(WORDS[is.apart]), small(bound(`probability ${probability(is)}`)), is.hangs_on_draws ? small('hangs on the draws') : null];
}

function pairName(model, pair) {
  const name = (id) => model.trucks.find((truck) => truck.id === id).name;
  return pair.other === model.trucks[0].id ? name(pair.truck) : `${name(pair.truck)} against ${name(pair.other)}`;
}

function pairsTable(model, told) {
  const by = (basis) => told.pairs.map((pair) => pair[basis].told).find(Boolean);
  const list = table(
    `Difference against ${model.trucks[0].name}, its 90 % interval, and the probability that it is lower`,
    ['', ...BASES.map(([basis, name]) => `${name}${by(basis) ? `, ${method(by(basis))}` : ''}`)],
    told.pairs.map((pair) => [pairName(model, pair), ...BASES.map(([basis]) => cellOf(pair[basis].told))]),
    { class: 'side' },
  );
  list.classList.add('whole');
  return list;
}

// ------------------------------------------------------------------------------------------------ data

const whereOf = (datum) => (datum.file === null ? 'usual for the key' : `${datum.file.split('/').at(-1)}:${datum.line}`);

/** "10 %" of the value, or in its unit. */
const halfWidth = (datum) =>
  datum.relative === null ? `${Number(Math.abs(datum.half_width).toPrecision(3))}${datum.unit === '' ? '' : `\u00a0${unitText(datum.unit)}`}` : `${Number((100 * Math.abs(datum.relative)).toPrecision(3))}\u00a0%`;

function sharesTable(model, told, pair, basis) {
  const shares = pair[basis].shares.filter(({ share }) => share >= LEAST_SHARE);
  const name = BASES.find(([key]) => key === basis)[1];
  const list = table(
    `What the data bring into it at ${basis === 'common' ? 'the ' : ''}${name}, by first order`,
    ['', 'half width', 'share', 'slope', 'with half'],
    shares.map((one) => {
      const datum = told.data[one.datum];
      return [
        [datum.label, make('small', {}, ` ${whereOf(datum)}`)],
        halfWidth(datum),
        `${decimals(100 * one.share, 0)} %`,
        `${change(one.slope_percent, 2)}${one.bends ? '\u00a0*' : ''}`,
        make('span', { class: 'words' }, interval(one.half_low_percent, one.half_high_percent)),
      ];
    }),
    { class: 'side' },
  );
  list.classList.add('whole');
  return list;
}

const basisOf = (pair) => BASES.map(([basis]) => basis).find((basis) => pair[basis].shares.length > 0) ?? null;

function measureNext(model, told) {
  const best = told.best_against_next;
  const open = told.pairs.find(({ truck, other }) => best && [truck, other].every((id) => [best.truck, best.other].includes(id)));
  const bends = told.pairs.some((pair) => BASES.some(([basis]) => pair[basis].shares.some((one) => one.bends)));
  if (!open || basisOf(open) === null) return null;
  return [
    make('h3', {}, `What to measure next: ${pairName(model, open)}${open.other === model.trucks[0].id ? ` against ${model.trucks[0].name}` : ''}`),
    sharesTable(model, told, open, basisOf(open)),
    make('p', {}, 'Share: of the variance of the difference. Slope: percentage points by which the difference moves for one standard uncertainty up. With half: the 90\u00a0% interval if this half width were half.'),
    bends ? make('p', {}, '* The effect bends by a fifth of its slope or more over one standard uncertainty: first order is a rough guide to it, and draws follow it.') : null,
    told.pairs
      .filter((pair) => pair !== open && basisOf(pair) !== null)
      .map((pair) =>
        make('details', {}, make('summary', {}, `The same of ${pairName(model, pair)}`), sharesTable(model, told, pair, basisOf(pair))),
      ),
  ];
}

function dataTable(model, told) {
  const names = (datum) => (datum.trucks.length === model.trucks.length ? 'all' : datum.trucks.map((id) => model.trucks.find((truck) => truck.id === id).name).join(', '));
  return make(
    'details',
    {},
    make('summary', {}, `All uncertain data (${told.data.length})`),
    table(
      'What is stated of the data; those that err as one stand in one row',
      ['', 'half width', 'shape', 'values', 'trucks', 'stated', 'source'],
      told.data.map((datum) => [
        [datum.label, make('small', {}, ` ${datum.path}`)],
        halfWidth(datum),
        datum.shape,
        datum.values,
        names(datum),
        whereOf(datum),
        datum.source ?? DASH,
      ]),
      { class: 'words' },
    ),
  );
}

export function sure(model) {
  const told = model.result.uncertainty;
  if (!model.compares || !told?.pairs) return null;
  return [model.sure.map((text) => make('p', {}, bound(text))), pairsTable(model, told), measureNext(model, told), dataTable(model, told)];
}
