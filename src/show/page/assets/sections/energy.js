// The energy balance: differences line by line, and each truck's flow from the battery to the road.
import { change, decimals, looksLikeNothing } from '../data.js';
import { make, tip } from '../dom.js';
import { column, figure } from '../figure.js';
import { finished, quantity } from '../model.js';
import { base, label, nameAxis, rowTip, valueAxis } from '../theme.js';
import { key } from './answer.js';

const lineName = (model, key) => quantity(model, `energy_balance.${key}`).label;
const shortName = (model, key) => quantity(model, `energy_balance.${key}`).short_label;

const lineDigits = (model, key) => quantity(model, `energy_balance.${key}`).digits;

/** Decimals of what lines add up to: those of the lines. */
const sumDigits = (model, outcome) => Math.max(...Object.keys(outcome.energy_balance).map((key) => lineDigits(model, key)));

/** A result in kWh with the decimals of its row. */
const energyText = (model, outcome, key) => `${decimals(outcome[key], quantity(model, key).digits)} kWh`;

// ------------------------------------------------------------------------------------------------ differences

function outcomes(model, basis) {
  const of = model.trucks.map((truck) => ({ truck, outcome: truck[basis] }));
  return finished(of[0].outcome) ? of.filter(({ outcome }) => finished(outcome)) : [];
}

/** Lines of all trucks, as the differences of each against the first have them; of a truck without its part a line is 0. */
const balanceKeys = ([, other]) => Object.keys(other.outcome.difference.energy_balance);
const kwhOf = (outcome, key) => outcome.energy_balance[key] ?? 0;

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

/** In the row where a truck differs most its bar is long enough to bear its name. */
function barLabel(look, truck, rows, row, gaps, width) {
  const gap = gaps[row];
  const text = change(gap, rows[row].digits);
  const longest = gaps.every((one) => Math.abs(one) <= Math.abs(gap)) && Math.abs(gap) > 0.35 * rows[0].size && width >= 500;
  const side = gap < 0 ? 'Left' : 'Right';
  return longest
    ? { position: `inside${side}`, color: look.paper, textBorderWidth: 0, formatter: `${text}  ${truck.name}` }
    : { position: side.toLowerCase(), formatter: text };
}

function differenceOption(model, found, rows, look, width) {
  const others = found.slice(1);
  return {
    ...base(look),
    grid: { left: width < 500 ? 108 : 150, right: 8, top: 8, bottom: 44 },
    xAxis: valueAxis(look, width < 500 ? `kWh against ${found[0].truck.name}` : `kWh less (left) or more (right) than ${found[0].truck.name}`, { boundaryGap: ['9%', '9%'] }),
    yAxis: nameAxis(look, rows.map(({ key: line }) => lineName(model, line))),
    tooltip: rowTip(look, (points) => points.map((point) => [point.seriesName, `${change(point.value, rows[point.dataIndex].digits)} kWh`])),
    series: others.map(({ truck }, at) => {
      const gaps = rows.map((row) => row.gaps[at + 1]);
      return {
        name: truck.name,
        type: 'bar',
        data: gaps.map((gap, row) => ({ value: gap, label: barLabel(look, truck, rows, row, gaps, width) })),
        itemStyle: { color: look.series(truck.index) },
        barGap: '8%',
        barCategoryGap: '30%',
        label: label(look, look.ink, { fontSize: 10.5 }),
      };
    }),
  };
}

function differenceCaption(model, found, rows, alike) {
  const first = found[0];
  const total = found
    .slice(1)
    .map(({ truck, outcome }) => `${truck.name}: ${change(outcome.battery_kwh - first.outcome.battery_kwh, sumDigits(model, outcome))} kWh`);
  const [largest] = rows;
  const most = largest.gaps.reduce((best, gap, at) => (Math.abs(gap) > Math.abs(largest.gaps[best]) ? at : best), 0);
  return (
    `Largest difference: ${lineName(model, largest.key)}, ${found[most].truck.name}: ${change(largest.gaps[most], largest.digits)} kWh. ` +
    `Net battery energy, all lines together: ${total.join('; ')}.${alike}`
  );
}

function differenceSheet(model, found, basis) {
  const keys = balanceKeys(found);
  const digits = [...keys.map((key) => lineDigits(model, key)), sumDigits(model, found[0].outcome)];
  return {
    title: `energy balance, ${basis === 'common' ? 'all at the common speed' : 'each at its own speeds'}`,
    file: `energy-balance-${basis}`,
    columns: [
      column('line', '', 0, [...keys.map((key) => lineName(model, key)), 'net battery energy'], 'line'),
      ...found.map(({ truck, outcome }) =>
        column(
          `${truck.id}_kwh`,
          'kWh',
          digits,
          [...keys.map((key) => kwhOf(outcome, key)), outcome.battery_kwh],
          truck.name,
        ),
      ),
    ],
  };
}

function differences(model, basis) {
  const found = outcomes(model, basis);
  if (found.length < 2) return null;
  const title = basis === 'common' ? 'All at the common speed' : 'Each at its own speeds';
  const all = lines(model, found);
  const rows = all.filter((line) => !isAlike(line));
  const alike = all.filter(isAlike).map((line) => lineName(model, line.key));
  if (rows.length === 0) return make('p', {}, `${title}: all lines of the energy balance are alike.`);
  return figure({
    title,
    caption: differenceCaption(model, found, rows, alike.length > 0 ? ` Alike: ${alike.join(', ')}.` : ''),
    alt: `Bars: differences of each line of the energy balance against ${found[0].truck.name}, kWh`,
    height: () => 70 + rows.length * (16 + 16 * (found.length - 1)),
    before: make('div', { class: 'tools' }, found.slice(1).map(({ truck }) => key(truck))),
    option: (look, width) => differenceOption(model, found, rows, look, width),
    sheets: [differenceSheet(model, found, basis)],
  });
}

// ------------------------------------------------------------------------------------------------ the flow

// From the battery to the road: what each place along it keeps for itself.
const WAY = [
  { name: 'discharged', keeps: ['battery_losses_kwh'] },
  { name: 'd.c. bus', keeps: ['auxiliaries_kwh', 'power_take_off_kwh', 'cooling_fan_kwh', 'brake_resistor_kwh'] },
  { name: 'motors', keeps: ['inverter_losses_kwh', 'motor_losses_kwh', 'gear_change_losses_kwh'] },
  { name: 'driveline', keeps: ['gearbox_losses_kwh', 'propeller_shaft_losses_kwh', 'final_drive_losses_kwh', 'hub_losses_kwh'] },
  { name: 'wheels', keeps: ['tyre_slip_losses_kwh', 'retarder_kwh', 'friction_brakes_kwh'] },
  { name: 'road', keeps: ['rolling_resistance_kwh', 'air_drag_kwh', 'potential_kwh', 'kinetic_kwh'] },
];

/** What is left behind each place; null where at some place nothing flows on towards the road. */
function cascade(model, outcome) {
  const gives = (key) => (outcome.energy_balance[key] ?? 0) < 0 && !looksLikeNothing(outcome.energy_balance[key], lineDigits(model, key));
  let rest = outcome.battery_kwh;
  const flows = [];
  for (const [at, { keeps }] of WAY.entries()) {
    if (rest <= 0 || keeps.some(gives)) return null;
    flows.push(rest);
    if (at < WAY.length - 1) rest -= keeps.reduce((sum, key) => sum + (outcome.energy_balance[key] ?? 0), 0);
  }
  return flows;
}

/** Lines that the chart draws: those that show more than zeros; and the labels of the others. */
function drawnLines(model, outcome) {
  const all = Object.entries(outcome.energy_balance).map(([key, kwh]) => ({ key, kwh, seen: !looksLikeNothing(kwh, lineDigits(model, key)) }));
  return {
    drawn: new Map(all.filter(({ seen }) => seen).map(({ key, kwh }) => [key, kwh])),
    idle: all.filter(({ seen }) => !seen).map(({ key }) => lineName(model, key)),
  };
}

// Behind the name of a line, so that none is taken for a place along the way.
const LINE_END = '\u200b';
const REGENERATED = 'regenerated';
const ROUTE = 'the route';
const plainName = (name) => name.replace(LINE_END, '');

/** From the top: the way to the road, then what each place keeps, the last place first, so that no two flows cross. */
function cascadeLinks(model, outcome, flows) {
  const { drawn } = drawnLines(model, outcome);
  const name = (key) => `${shortName(model, key)}${LINE_END}`;
  const way = WAY.slice(1).map(({ name: target }, at) => ({ source: WAY[at].name, target, value: flows[at + 1] }));
  const kept = WAY.map(({ name: source, keeps }) =>
    keeps.filter((key) => drawn.has(key)).map((key) => ({ source, target: name(key), value: drawn.get(key) })),
  );
  const back = looksLikeNothing(outcome.regenerated_kwh, sumDigits(model, outcome))
    ? []
    : [{ source: WAY[0].name, target: REGENERATED, value: outcome.regenerated_kwh }];
  const ends = [...kept.reverse().flat(), ...back];
  return { names: [...WAY.map((place) => place.name), ...ends.map(({ target }) => target)], links: [...way, ...ends] };
}

/** Where the route ends lower, or more is regenerated than discharged: all that gives on one side, all that takes on the other. */
function hubLinks(model, outcome) {
  const links = [];
  const add = (name, kwh) => links.push(kwh > 0 ? { source: ROUTE, target: name, value: kwh } : { source: name, target: ROUTE, value: -kwh });
  if (!looksLikeNothing(outcome.battery_kwh, sumDigits(model, outcome)))
    add(outcome.battery_kwh > 0 ? 'net, out of the battery' : 'net, into the battery', -outcome.battery_kwh);
  drawnLines(model, outcome).drawn.forEach((kwh, key) =>
    add(key === 'potential_kwh' && kwh < 0 ? 'potential energy given up' : `${shortName(model, key)}${LINE_END}`, kwh),
  );
  const ends = links.map(({ source, target }) => (source === ROUTE ? target : source));
  return { names: [ROUTE, ...ends], links };
}

function flowGraph(model, outcome) {
  const flows = cascade(model, outcome);
  const { names, links } = flows === null ? hubLinks(model, outcome) : cascadeLinks(model, outcome, flows);
  const sum = (list) => list.reduce((all, { value }) => all + value, 0);
  const through = new Map(
    names.map((name) => [name, Math.max(sum(links.filter(({ target }) => target === name)), sum(links.filter(({ source }) => source === name)))]),
  );
  // A place along the way passes on what it was given, also what is too little to be drawn.
  flows?.forEach((kwh, at) => through.set(WAY[at].name, kwh));
  if (flows !== null) through.set(WAY[0].name, outcome.discharged_kwh);
  return { names, links, through, ends: new Set(names.filter((name) => !links.some(({ source }) => source === name))) };
}

const FLOW_TEXT = 11;
const FLOW_LINE = 15;
const FLOW_GAP = 17; // between nodes: a line of text and some air
const FLOW_LEAST = 200;
const flowHeight = ({ names }) => FLOW_LEAST + FLOW_GAP * names.length;

function flowOption(model, outcome, graph, look) {
  const { names, links, through, ends } = graph;
  const digits = sumDigits(model, outcome);
  const told = (name) => decimals(through.get(name), digits);
  return {
    ...base(look),
    tooltip: {
      ...base(look).tooltip,
      formatter: ({ dataType, data, name }) =>
        dataType === 'edge'
          ? tip(null, [[`${plainName(data.source)} to ${plainName(data.target)}`, `${decimals(data.value, digits)} kWh`]])
          : tip(null, [[plainName(name), `${told(name)} kWh`]]),
    },
    series: [
      {
        type: 'sankey',
        left: 2,
        right: 168,
        top: 10,
        bottom: 10,
        nodeWidth: 9,
        nodeGap: FLOW_GAP,
        nodeAlign: 'justify',
        layoutIterations: 0,
        draggable: false,
        emphasis: { focus: 'adjacency' },
        data: names.map((name) => ({
          name,
          itemStyle: { color: ends.has(name) ? look.soft : look.accent, borderWidth: 0 },
          // Between two places along the way there is room for a narrow label only.
          label: { formatter: `${plainName(name)}${ends.has(name) ? ' ' : '\n'}${told(name)}` },
        })),
        links,
        lineStyle: { color: look.accent, opacity: 0.22, curveness: 0.5 },
        label: label(look, look.ink, { fontSize: FLOW_TEXT, lineHeight: FLOW_LINE }),
      },
    ],
  };
}

function flowCaption(model, truck) {
  const { own } = truck;
  const top = Object.entries(own.energy_balance)
    .filter(([, kwh]) => kwh > 0)
    .sort((a, b) => b[1] - a[1])
    .slice(0, 3)
    .map(([key, kwh]) => `${lineName(model, key)} ${decimals(kwh, lineDigits(model, key))} kWh`);
  const { potential_kwh: grade } = own.energy_balance;
  const given = grade < 0 ? `, and of ${decimals(-grade, lineDigits(model, 'potential_kwh'))} kWh of potential energy given up` : '';
  const { idle } = drawnLines(model, own);
  const left = idle.length > 0 ? ` No energy to speak of in: ${idle.join(', ')}.` : '';
  return (
    `Discharged: ${energyText(model, own, 'discharged_kwh')}; regenerated: ${energyText(model, own, 'regenerated_kwh')}. ` +
    `Largest parts of ${energyText(model, own, 'battery_kwh')} of net battery energy${given}: ${top.join(', ')}. ` +
    `Widths are kWh, net of what is regenerated.${left}`
  );
}

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
  const graph = flowGraph(model, truck.own);
  return figure({
    title: `From the battery to the road${model.compares ? `: ${truck.name}` : ''}`,
    caption: flowCaption(model, truck),
    alt: `Flow of energy of ${truck.name} from the battery to the road, kWh`,
    height: () => flowHeight(graph),
    least: 600,
    option: (look) => flowOption(model, truck.own, graph, look),
    sheets: [balanceSheet(model, truck)],
  });
}

// ------------------------------------------------------------------------------------------------ braking

const BRAKES = [
  ['regenerative braking, at the tyres', (own) => own.regenerative_braking_kwh, 'accent', 'regenerative_braking_kwh'],
  ['retarder', (own) => own.energy_balance.retarder_kwh, 'rule', 'retarder_kwh'],
  ['friction braking', (own) => own.energy_balance.friction_brakes_kwh, 'soft', 'friction_brakes_kwh'],
];

/** Those that any of the trucks has. */
const brakesOf = (told) => BRAKES.filter(([, of]) => told.some(({ own }) => of(own) !== undefined));
const allBraking = (own) => BRAKES.reduce((sum, [, of]) => sum + (of(own) ?? 0), 0);

/** Decimals of all braking work, which is held against each other. */
const brakingDigits = (model) => quantity(model, 'regenerative_braking_kwh').digits;

function brakingOption(model, told, look) {
  const digits = brakingDigits(model);
  return {
    ...base(look),
    grid: { left: 8, right: 60, top: 22, bottom: 42 },
    xAxis: valueAxis(look, 'braking work, kWh'),
    yAxis: nameAxis(look, told.map(({ name }) => name), {
      axisLabel: { inside: true, verticalAlign: 'bottom', padding: [0, 0, 18, -4] },
      z: 10,
    }),
    tooltip: rowTip(look, (points) => [
      ...points.map((point) => [point.seriesName, `${decimals(point.value, digits)} kWh`]),
      ['regenerated', energyText(model, told[points[0].dataIndex].own, 'regenerated_kwh')],
    ]),
    series: brakesOf(told).map(([name, of, color]) => ({
      name,
      type: 'bar',
      stack: 'braking',
      barWidth: 15,
      data: told.map(({ own }) => of(own) ?? 0),
      itemStyle: { color: look[color] },
      label: label(look, look.paper, {
        position: 'insideRight',
        textBorderWidth: 0,
        fontSize: 10.5,
        formatter: ({ value, dataIndex }) => (value > 0.12 * allBraking(told[dataIndex].own) ? decimals(value, digits) : ''),
      }),
    })),
  };
}

function braking(model) {
  const told = model.trucks.filter((truck) => truck.own?.energy_balance && truck.own.regenerative_braking_kwh !== undefined);
  if (told.length === 0) return null;
  const brakes = brakesOf(told);
  const shares = told.map(({ name, own }) => `${name}: ${decimals(100 * (own.motor_braking_share ?? 0), 1)} %`);
  return figure({
    title: 'Braking: regenerative and friction',
    caption:
      `Share of the motors in the braking work: ${shares.join('; ')}. ${brakes.length > 2 ? 'Retarder and friction brakes' : 'Friction brakes'} take the rest. ` +
      'Losses between the wheels and the battery leave less to be regenerated: the table has it.',
    alt: `Bars: braking work (${brakes.map(([name]) => name).join('; ')}) of ${told.map(({ name }) => name).join(', ')}, kWh`,
    height: () => 70 + 40 * told.length,
    before: make(
      'div',
      { class: 'tools' },
      brakes.map(([name, , color]) =>
        make('span', {}, make('span', { class: 'swatch', style: `background: var(--${color})` }), name),
      ),
    ),
    option: (look) => brakingOption(model, told, look),
    sheets: [
      {
        title: 'braking work',
        file: 'braking',
        columns: [
          column('truck', '', 0, told.map(({ name }) => name), 'truck'),
          ...brakes.map(([name, of, , key]) => column(key, 'kWh', brakingDigits(model), told.map(({ own }) => of(own) ?? 0), name)),
          column('regenerated_kwh', 'kWh', quantity(model, 'regenerated_kwh').digits, told.map(({ own }) => own.regenerated_kwh), 'regenerated'),
        ],
      },
    ],
  });
}

// ------------------------------------------------------------------------------------------------ the section

export function energy(model) {
  const parts = [
    ...(model.compares ? [differences(model, 'common'), differences(model, 'own')] : []),
    ...model.trucks.map((truck) => flow(model, truck)),
    braking(model),
  ].filter(Boolean);
  return parts.length > 0 ? parts : null;
}
