// The energy balance: losses of all trucks over one axis, differences line by line, and each truck's flow from the battery to
// the road.
import { change, decimals, looksLikeNothing } from '../data.js';
import { make } from '../dom.js';
import { column, figure, foldOnPhone, perTruck } from '../figure.js';
import { finished, quantity } from '../model.js';
import { bars } from '../paint.js';
import { chargedOf, CLASSES, classOf, flowOf, keptOf, lineDigits, lineName, netOf, paintFlow, sumDigits, sumOf } from './energy_flow.js';

/** A result in kWh with the decimals of its row. */
const energyText = (model, outcome, key) => `${decimals(outcome[key], quantity(model, key).digits)} kWh`;
const BASES = { common: 'all at the common speed', own: 'each at its own speeds' };

const finishers = (model, basis) => model.trucks.map((truck) => ({ truck, outcome: truck[basis] })).filter(({ outcome }) => finished(outcome));

/** Those that are held against the first; none where that did not finish. */
const outcomes = (model, basis) => (finished(model.trucks[0][basis]) ? finishers(model, basis) : []);

/** Lines of all trucks, as the differences of each against the first have them; of a truck without its part a line is 0. */
const balanceKeys = (found) => Object.keys(found[1].outcome.difference?.energy_balance ?? Object.assign({}, ...found.map(({ outcome }) => outcome.energy_balance)));
const anyCharged = (found) => found.some(({ outcome }) => chargedOf(outcome) > 0);
/** What all lines together come to, in words. */
const netWords = (found) => (anyCharged(found) ? 'net battery energy less what was charged' : 'net battery energy');
const capital = (text) => text[0].toUpperCase() + text.slice(1);
const kwhOf = (outcome, key) => outcome.energy_balance[key] ?? 0;

function balanceSheetOf(model, found, basis) {
  const keys = balanceKeys(found);
  const digits = [...keys.map((key) => lineDigits(model, key)), sumDigits(model, found[0].outcome)];
  return {
    title: `energy balance, ${BASES[basis]}`,
    file: `energy-balance-${basis}`,
    columns: [
      column('line', '', 0, [...keys.map((key) => lineName(model, key)), netWords(found)], 'line'),
      ...found.map(({ truck, outcome }) =>
        column(`${truck.id}_kwh`, 'kWh', digits, [...keys.map((key) => kwhOf(outcome, key)), netOf(outcome)], truck.name),
      ),
    ],
  };
}

// ------------------------------------------------------------------------------------------------ losses

/** So many bars are seen together; of many trucks only lines in which they differ most are drawn, and the table has all. */
const MOST_BARS = 48;
const LEAST_LINES = 3;
const chosen = (lines, count, spread) => [...lines].sort((a, b) => spread(b) - spread(a)).slice(0, Math.max(LEAST_LINES, Math.floor(MOST_BARS / count)));
const inTable = (model, lines) => (lines.length > 0 ? ` In the table alone: ${lines.map(({ key }) => lineName(model, key)).join(', ')}.` : '');
/** Below that share of the net battery energy a bar is a hair. */
const SMALL = 0.005;

function lossLines(model, found) {
  const lines = balanceKeys(found)
    .filter((key) => !['moves', 'given'].includes(classOf(key)))
    .map((key) => ({ key, values: found.map(({ outcome }) => kwhOf(outcome, key)) }))
    .filter(({ key, values }) => values.some((kwh) => !looksLikeNothing(kwh, lineDigits(model, key))));
  const most = Math.max(...found.map(({ outcome }) => Math.abs(outcome.battery_kwh)));
  const large = lines.filter(({ values }) => Math.max(...values) >= SMALL * most);
  const drawn = chosen(large, found.length, ({ values }) => Math.max(...values) - Math.min(...values));
  return { drawn: drawn.sort((a, b) => Math.max(...b.values) - Math.max(...a.values)), left: lines.filter((line) => !drawn.includes(line)) };
}

function lossesCaption(model, found, basis, { drawn, left }) {
  const lost = found.map(({ truck, outcome }) => {
    const all = Object.entries(outcome.energy_balance).reduce((sum, [key, kwh]) => sum + (['moves', 'given'].includes(classOf(key)) ? 0 : kwh), 0);
    const whole = chargedOf(outcome) > 0 ? `${decimals(netOf(outcome) + chargedOf(outcome), sumDigits(model, outcome))} kWh` : energyText(model, outcome, 'battery_kwh');
    return `${truck.name}: ${decimals(all, sumDigits(model, outcome))} of ${whole}`;
  });
  const most = drawn.length < Math.floor(MOST_BARS / found.length) ? '' : ` Bars: the ${drawn.length} lines in which the trucks differ most.`;
  return `All that does not move the truck, of ${anyCharged(found) ? 'what battery and charging gave' : 'the net battery energy'}, ${BASES[basis]}: ${lost.join('; ')}.${most}${inTable(model, left)}`;
}

function losses(model) {
  const basis = ['common', 'own'].find((one) => finishers(model, one).length > 1);
  if (basis === undefined) return null;
  const found = finishers(model, basis);
  const lines = lossLines(model, found);
  if (lines.drawn.length === 0) return null;
  return figure({
    title: `Losses and auxiliaries of ${found.length < model.trucks.length ? 'the trucks that finished' : 'all trucks'} at ${basis === 'common' ? 'the common speed' : 'their own speeds'}`,
    caption: lossesCaption(model, found, basis, lines),
    alt: `Bars over one axis: ${lines.drawn.map(({ key }) => lineName(model, key)).join(', ')} of ${found.map(({ truck }) => truck.name).join(', ')}, kWh`,
    paint: (look, width) =>
      bars(
        look,
        width,
        lines.drawn.map(({ key, values }) => ({
          name: lineName(model, key),
          rows: found.map(({ truck }, at) => ({ name: truck.name, colour: look.series(truck.index), value: values[at], text: decimals(values[at], lineDigits(model, key)) })),
        })),
        'losses and auxiliaries, kWh',
      ),
    sheets: [balanceSheetOf(model, found, basis)],
  });
}

// ------------------------------------------------------------------------------------------------ differences

/** Lines by the largest difference against the first truck, smallest last. */
function lines(model, found) {
  const first = found[0].outcome;
  return balanceKeys(found)
    .map((key) => ({
      key,
      digits: lineDigits(model, key),
      gaps: found.map(({ outcome }) => kwhOf(outcome, key) - kwhOf(first, key)),
    }))
    .map((line) => ({ ...line, size: Math.max(...line.gaps.map(Math.abs)) }))
    .sort((a, b) => b.size - a.size);
}

/** As in the terminal: differences that are 0 at the decimals of their line. */
const isAlike = ({ size, digits }) => looksLikeNothing(size, digits);

function differenceCaption(model, found, rows, alike) {
  const first = found[0];
  const total = found
    .slice(1)
    .map(({ truck, outcome }) => `${truck.name}: ${change(netOf(outcome) - netOf(first.outcome), sumDigits(model, outcome))} kWh`);
  const [largest] = rows;
  const most = largest.gaps.reduce((best, gap, at) => (Math.abs(gap) > Math.abs(largest.gaps[best]) ? at : best), 0);
  return (
    `Largest difference: ${lineName(model, largest.key)}, ${found[most].truck.name}: ${change(largest.gaps[most], largest.digits)} kWh. ` +
    `${capital(netWords(found))}, all lines together: ${total.join('; ')}.${alike}`
  );
}

function differences(model, basis) {
  const found = outcomes(model, basis);
  if (found.length < 2) return null;
  const title = basis === 'common' ? 'All at the common speed' : 'Each at its own speeds';
  const all = lines(model, found);
  const unlike = all.filter((line) => !isAlike(line));
  const rows = chosen(unlike, found.length - 1, ({ size }) => size);
  const alike = all.filter(isAlike).map((line) => lineName(model, line.key));
  if (rows.length === 0) return make('p', {}, `${title}: all lines of the energy balance are alike.`);
  const others = found.slice(1);
  return figure({
    title: `${title}: differences against ${found[0].truck.name}`,
    caption: differenceCaption(model, found, rows, `${inTable(model, unlike.filter((line) => !rows.includes(line)))}${alike.length > 0 ? ` Alike: ${alike.join(', ')}.` : ''}`),
    told: basis === 'common', // by the table of the section (html_compare.c)
    alt: `Bars: differences of each line of the energy balance against ${found[0].truck.name}, kWh`,
    paint: (look, width) =>
      bars(
        look,
        width,
        rows.map((row) => ({
          name: lineName(model, row.key),
          rows: others.map(({ truck }, at) => ({ name: others.length > 1 ? truck.name : '', colour: look.series(truck.index), value: row.gaps[at + 1], text: change(row.gaps[at + 1], row.digits) })),
        })),
        'energy less (left) or more (right), kWh',
      ),
    sheets: [balanceSheetOf(model, found, basis)],
  });
}

// ------------------------------------------------------------------------------------------------ the flow

function flowCaption(model, own, flow) {
  const parts = ['moves', 'used', 'lost'].map((kind) => `${CLASSES[kind]} ${decimals(sumOf(flow, kind), flow.digits)} kWh`);
  const given = flow.sources.filter(({ key }) => key).map(({ name, text }) => `${text} of ${name} given up on the way`);
  const idle = flow.idle.length > 0 ? ` No energy to speak of in: ${flow.idle.join(', ')}.` : '';
  const charged = flow.charger.map(({ text }) => ` Charging at stops brought ${text}, of which ${energyText(model, own, 'charged_stored_kwh')} came into the battery: both together give ${decimals(flow.net + flow.charger[0].kwh, flow.digits)} kWh.`).join('');
  return (
    `Net battery energy ${energyText(model, own, 'battery_kwh')}: discharged ${energyText(model, own, 'discharged_kwh')} less regenerated ${energyText(model, own, 'regenerated_kwh')}` +
    `${given.length > 0 ? `; and ${given.join(', ')}` : ''}.${charged} Of that: ${parts.join('; ')}. Motors braked ${energyText(model, own, 'regenerative_braking_kwh')} at the tyres; ` +
    `what was lost of it on the way back is among the losses, and what reached the battery is shown as it comes back. Widths are kWh.${idle}`
  );
}

const keyOf = (flow) =>
  make(
    'p',
    { class: 'keys' },
    Object.entries(CLASSES)
      .filter(([kind]) => keptOf(flow).some((line) => line.kind === kind) || (kind === 'back' && flow.returns > 0) || (kind === 'given' && flow.sources.some(({ key }) => key)))
      .map(([kind, name]) => make('span', {}, make('span', { class: 'swatch', style: `background: var(--${kind === 'moves' ? 'accent' : `flow-${kind}`})` }), name)),
  );

function balanceSheet(model, truck) {
  const keys = Object.keys(truck.own.energy_balance);
  return {
    title: `${truck.name}, energy balance at its own speeds`,
    file: `${truck.id}-energy-balance`,
    columns: [
      column('line', '', 0, keys.map((key) => lineName(model, key)), 'line'),
      column('kwh', 'kWh', keys.map((key) => lineDigits(model, key)), keys.map((key) => truck.own.energy_balance[key]), 'energy'),
    ],
  };
}

function flow(model, truck) {
  if (!truck.own?.energy_balance) return null;
  const flows = flowOf(model, truck.own);
  return figure({
    title: `From the battery to the road${model.compares ? `: ${truck.name}` : ''}`,
    caption: flowCaption(model, truck.own, flows),
    alt: `Flow of energy of ${truck.name} from the battery to the road, kWh: ${keptOf(flows).map(({ name, text }) => `${name} ${text}`).join(', ')}`,
    before: keyOf(flows),
    paint: (look, width) => paintFlow(look, flows, width),
    sheets: [balanceSheet(model, truck)],
  });
}

// ------------------------------------------------------------------------------------------------ the section

const foldAll = (model, title, figures) => {
  const told = figures.flat(Infinity).filter(Boolean);
  return told.length > 0 ? foldOnPhone(model, title, told) : null;
};

export function energy(model) {
  const flows = perTruck(model, 'From the battery to the road', (truck) => flow(model, truck));
  const parts = model.compares
    ? [
        losses(model),
        foldAll(model, 'Differences line by line', [differences(model, 'common'), differences(model, 'own')]),
        foldAll(model, 'From the battery to the road, truck by truck', flows),
      ]
    : flows;
  const told = parts.flat(Infinity).filter(Boolean);
  return told.length > 0 ? told : null;
}
