// The energy balance: differences line by line, and each truck's flow from the battery to the road.
import { change, decimals } from '../data.js';
import { make, tip } from '../dom.js';
import { column, figure } from '../figure.js';
import { finished, quantity } from '../model.js';
import { base, label, nameAxis, rowTip, valueAxis } from '../theme.js';
import { key } from './answer.js';

const lineName = (model, key) => quantity(model, `energy_balance.${key}`).label;
const shortName = (model, key) => quantity(model, `energy_balance.${key}`).short_label;

// ------------------------------------------------------------------------------------------------ differences

function outcomes(model, basis) {
  const of = model.trucks.map((truck) => ({ truck, outcome: truck[basis] }));
  return finished(of[0].outcome) ? of.filter(({ outcome }) => finished(outcome)) : [];
}

/** Lines by the largest difference against the first truck, smallest last; those below the threshold, per cent of what the first takes, are left out. */
function lines(found, smallPercent) {
  const first = found[0].outcome;
  const least = (Math.abs(first.battery_kwh) * smallPercent) / 100;
  return Object.keys(first.energy_balance)
    .map((key) => ({
      key,
      gaps: found.map(({ outcome }) => (outcome.energy_balance[key] ?? 0) - first.energy_balance[key]),
    }))
    .map((line) => ({ ...line, size: Math.max(...line.gaps.map(Math.abs)) }))
    .filter(({ size }) => size >= least)
    .sort((a, b) => b.size - a.size);
}

/** In the row where a truck differs most its bar is long enough to bear its name. */
function barLabel(look, truck, gaps, row, most, width) {
  const gap = gaps[row];
  const longest = gaps.every((one) => Math.abs(one) <= Math.abs(gap)) && Math.abs(gap) > 0.35 * most && width >= 500;
  const side = gap < 0 ? 'Left' : 'Right';
  return longest
    ? { position: `inside${side}`, color: look.paper, textBorderWidth: 0, formatter: `${change(gap, 2)}  ${truck.name}` }
    : { position: side.toLowerCase(), formatter: change(gap, 2) };
}

function differenceOption(model, found, rows, look, width) {
  const others = found.slice(1);
  return {
    ...base(look),
    grid: { left: width < 500 ? 108 : 150, right: 8, top: 8, bottom: 44 },
    xAxis: valueAxis(look, width < 500 ? `kWh against ${found[0].truck.name}` : `kWh less (left) or more (right) than ${found[0].truck.name}`, { boundaryGap: ['9%', '9%'] }),
    yAxis: nameAxis(look, rows.map(({ key: line }) => lineName(model, line))),
    tooltip: rowTip(look, (points) => points.map((point) => [point.seriesName, `${change(point.value, 3)} kWh`])),
    series: others.map(({ truck }, at) => {
      const gaps = rows.map((row) => row.gaps[at + 1]);
      return {
        name: truck.name,
        type: 'bar',
        data: gaps.map((gap, row) => ({ value: gap, label: barLabel(look, truck, gaps, row, rows[0].size, width) })),
        itemStyle: { color: look.series(truck.index) },
        barGap: '8%',
        barCategoryGap: '30%',
        label: label(look, look.ink, { fontSize: 10.5 }),
      };
    }),
  };
}

function differenceCaption(model, found, rows, smallPercent) {
  const total = found
    .slice(1)
    .map(({ truck, outcome }) => `${truck.name} ${change(outcome.battery_kwh - found[0].outcome.battery_kwh, 2)} kWh`);
  const largest = rows[0];
  const most = largest.gaps.reduce((best, gap, at) => (Math.abs(gap) > Math.abs(largest.gaps[best]) ? at : best), 0);
  return (
    `The largest difference is in ${lineName(model, largest.key)}: ${change(largest.gaps[most], 2)} kWh for ${found[most].truck.name}. ` +
    `Net battery energy, all lines together: ${total.join(', ')}. Lines that differ by less than ${smallPercent} % of the whole are left out.`
  );
}

function differenceSheet(model, found, basis) {
  const keys = Object.keys(found[0].outcome.energy_balance);
  return {
    title: `energy balance, ${basis === 'common' ? 'all at the common speed' : 'each at its own speeds'}`,
    file: `energy-balance-${basis}`,
    columns: [
      column('line', '', 0, [...keys.map((key) => lineName(model, key)), 'net battery energy'], 'line'),
      ...found.map(({ truck, outcome }) =>
        column(
          `${truck.id}_kwh`,
          'kWh',
          3,
          [...keys.map((key) => outcome.energy_balance[key] ?? null), outcome.battery_kwh],
          truck.name,
        ),
      ),
    ],
  };
}

function differences(model, basis) {
  const found = outcomes(model, basis);
  const { alike_percent: smallPercent } = model.result.thresholds;
  const rows = found.length > 1 ? lines(found, smallPercent) : [];
  if (rows.length === 0) return null;
  return figure({
    title: basis === 'common' ? 'All at the common speed' : 'Each at its own speeds',
    caption: differenceCaption(model, found, rows, smallPercent),
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
  { name: 'd.c. bus', keeps: ['auxiliaries_kwh', 'power_take_off_kwh'] },
  { name: 'motors', keeps: ['inverter_losses_kwh', 'motor_losses_kwh', 'gear_change_losses_kwh'] },
  { name: 'driveline', keeps: ['gearbox_losses_kwh', 'propeller_shaft_losses_kwh', 'final_drive_losses_kwh', 'hub_losses_kwh'] },
  { name: 'wheels', keeps: ['tyre_slip_losses_kwh', 'friction_brakes_kwh'] },
  { name: 'road', keeps: ['rolling_resistance_kwh', 'air_drag_kwh', 'potential_kwh', 'kinetic_kwh'] },
];

/** What is left behind each place; null where at some place nothing flows on towards the road. */
function cascade(outcome) {
  let rest = outcome.battery_kwh;
  const flows = [];
  for (const [at, { keeps }] of WAY.entries()) {
    if (rest <= 0 || keeps.some((key) => (outcome.energy_balance[key] ?? 0) < 0)) return null;
    flows.push(rest);
    if (at < WAY.length - 1) rest -= keeps.reduce((sum, key) => sum + (outcome.energy_balance[key] ?? 0), 0);
  }
  return flows;
}

function cascadeLinks(model, outcome) {
  const flows = cascade(outcome);
  const links = [];
  const names = new Set([WAY[0].name, 'regenerated']);
  const link = (source, target, kwh) => {
    if (kwh <= outcome.discharged_kwh * 1e-4) return;
    names.add(source).add(target);
    links.push({ source, target, value: kwh });
  };
  link(WAY[0].name, 'regenerated', outcome.regenerated_kwh);
  WAY.forEach(({ name, keeps }, at) => {
    keeps.forEach((key) => link(name, `${shortName(model, key)}\u200b`, outcome.energy_balance[key] ?? 0));
    if (at < WAY.length - 1) link(name, WAY[at + 1].name, flows[at + 1]);
  });
  return { names: [...names], links };
}

/** Where the route ends lower, or more is regenerated than discharged: all that gives on one side, all that takes on the other. */
function hubLinks(model, outcome) {
  const links = [];
  const names = new Set(['the route']);
  const add = (name, kwh) => {
    if (Math.abs(kwh) <= Math.abs(outcome.discharged_kwh + outcome.regenerated_kwh) * 1e-4) return;
    names.add(name);
    links.push(kwh > 0 ? { source: 'the route', target: name, value: kwh } : { source: name, target: 'the route', value: -kwh });
  };
  add(outcome.battery_kwh > 0 ? 'net, out of the battery' : 'net, into the battery', -outcome.battery_kwh);
  Object.entries(outcome.energy_balance).forEach(([key, kwh]) =>
    add(key === 'potential_kwh' && kwh < 0 ? 'potential energy given up' : `${shortName(model, key)}\u200b`, kwh),
  );
  return { names: [...names], links };
}

function flowOption(model, outcome, look) {
  const { names, links } = cascade(outcome) === null ? hubLinks(model, outcome) : cascadeLinks(model, outcome);
  const taken = new Map();
  links.forEach(({ source, target, value }) => {
    taken.set(target, (taken.get(target) ?? 0) + value);
    if (!links.some((one) => one.target === source)) taken.set(source, (taken.get(source) ?? 0) + value);
  });
  const ends = new Set(names.filter((name) => !links.some(({ source }) => source === name)));
  const text = (name) => name.replace('\u200b', '');
  return {
    ...base(look),
    tooltip: {
      ...base(look).tooltip,
      formatter: ({ dataType, data, name }) =>
        dataType === 'edge'
          ? tip(null, [[`${text(data.source)} to ${text(data.target)}`, `${decimals(data.value, 2)} kWh`]])
          : tip(null, [[text(name), `${decimals(taken.get(name) ?? 0, 2)} kWh`]]),
    },
    series: [
      {
        type: 'sankey',
        left: 2,
        right: 168,
        top: 8,
        bottom: 8,
        nodeWidth: 9,
        nodeGap: 13,
        nodeAlign: 'left',
        layoutIterations: 0,
        draggable: false,
        emphasis: { focus: 'adjacency' },
        data: names.map((name) => ({
          name,
          itemStyle: { color: ends.has(name) ? look.soft : look.accent, borderWidth: 0 },
          label: { show: true },
        })),
        links,
        lineStyle: { color: look.accent, opacity: 0.22, curveness: 0.5 },
        label: label(look, look.ink, {
          fontSize: 11,
          formatter: ({ name }) => `${text(name)} ${decimals(taken.get(name) ?? 0, 1)}`,
        }),
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
    .map(([key, kwh]) => `${lineName(model, key)} ${decimals(kwh, 1)} kWh`);
  const { potential_kwh: grade } = own.energy_balance;
  const given = grade < 0 ? `, and the ${decimals(-grade, 1)} kWh of potential energy given up,` : '';
  return (
    `${truck.name}: ${decimals(own.discharged_kwh, 1)} kWh are discharged and ${decimals(own.regenerated_kwh, 1)} kWh regenerated; ` +
    `of the ${decimals(own.battery_kwh, 1)} kWh of net battery energy${given} most goes into ${top.join(', ')}. Widths are kWh, net of what is regenerated.`
  );
}

function balanceSheet(model, truck) {
  const keys = Object.keys(truck.own.energy_balance);
  return {
    title: `${truck.name}, energy balance at its own speeds`,
    file: `${truck.id}-energy-balance`,
    columns: [
      column('line', '', 0, keys.map((key) => lineName(model, key)), 'line'),
      column('kwh', 'kWh', 3, keys.map((key) => truck.own.energy_balance[key]), 'energy'),
    ],
  };
}

function flow(model, truck) {
  if (!truck.own?.energy_balance) return null;
  return figure({
    title: model.compares ? `${truck.name}: from the battery to the road` : 'From the battery to the road',
    caption: flowCaption(model, truck),
    alt: `Flow of energy of ${truck.name} from the battery to the road, kWh`,
    height: () => 460,
    least: 600,
    option: (look) => flowOption(model, truck.own, look),
    sheets: [balanceSheet(model, truck)],
  });
}

// ------------------------------------------------------------------------------------------------ braking

const BRAKES = [
  ['regenerative braking, at the tyres', (own) => own.regenerative_braking_kwh, 'accent'],
  ['friction brakes', (own) => own.energy_balance.friction_brakes_kwh, 'soft'],
];

function brakingOption(told, look) {
  return {
    ...base(look),
    grid: { left: 8, right: 60, top: 22, bottom: 42 },
    xAxis: valueAxis(look, 'braking work, kWh'),
    yAxis: nameAxis(look, told.map(({ name }) => name), {
      axisLabel: { inside: true, verticalAlign: 'bottom', padding: [0, 0, 18, -4] },
      z: 10,
    }),
    tooltip: rowTip(look, (points) => [
      ...points.map((point) => [point.seriesName, `${decimals(point.value, 2)} kWh`]),
      ['regenerated', `${decimals(told[points[0].dataIndex].own.regenerated_kwh, 2)} kWh`],
    ]),
    series: BRAKES.map(([name, of, color]) => ({
      name,
      type: 'bar',
      stack: 'braking',
      barWidth: 15,
      data: told.map(({ own }) => of(own)),
      itemStyle: { color: look[color] },
      label: label(look, look.paper, {
        position: 'insideRight',
        textBorderWidth: 0,
        fontSize: 10.5,
        formatter: ({ value, dataIndex }) => {
          const all = told[dataIndex].own.regenerative_braking_kwh + told[dataIndex].own.energy_balance.friction_brakes_kwh;
          return value > 0.12 * all ? decimals(value, 1) : '';
        },
      }),
    })),
  };
}

function braking(model) {
  const told = model.trucks.filter((truck) => truck.own?.energy_balance && truck.own.regenerative_braking_kwh !== undefined);
  if (told.length === 0) return null;
  const all = ({ own }) => own.regenerative_braking_kwh + own.energy_balance.friction_brakes_kwh;
  const shares = told.map((truck) => {
    const share = all(truck) > 0 ? (100 * truck.own.regenerative_braking_kwh) / all(truck) : 0;
    return `${truck.name} ${decimals(share, 1)} %`;
  });
  return figure({
    title: 'Braking: regenerative and friction',
    caption:
      `Of the braking work, motors take: ${shares.join(', ')}; friction brakes take the rest. ` +
      'Losses between the wheels and the battery leave less to be regenerated: the table has it.',
    alt: `Bars: braking work by regenerative braking and by friction brakes of ${told.map(({ name }) => name).join(', ')}, kWh`,
    height: () => 70 + 40 * told.length,
    before: make(
      'div',
      { class: 'tools' },
      BRAKES.map(([name, , color]) =>
        make('span', {}, make('span', { class: 'swatch', style: `background: var(--${color})` }), name),
      ),
    ),
    option: (look) => brakingOption(told, look),
    sheets: [
      {
        title: 'braking work',
        file: 'braking',
        columns: [
          column('truck', '', 0, told.map(({ name }) => name), 'truck'),
          column('regenerative_braking_kwh', 'kWh', 3, told.map(({ own }) => own.regenerative_braking_kwh), 'regenerative braking, at the tyres'),
          column('friction_brakes_kwh', 'kWh', 3, told.map(({ own }) => own.energy_balance.friction_brakes_kwh), 'friction brakes'),
          column('regenerated_kwh', 'kWh', 3, told.map(({ own }) => own.regenerated_kwh), 'regenerated'),
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
