// Where the energy goes: differences line by line, and each truck's flow from the pack to the road.
import { change, decimals, words } from '../data.js';
import { make, tip } from '../dom.js';
import { column, figure } from '../figure.js';
import { finished } from '../model.js';
import { base, label, nameAxis, rowTip, valueAxis } from '../theme.js';
import { key } from './answer.js';

const lineName = (key) => words(key);

// ------------------------------------------------------------------------------------------------ differences

function outcomes(model, basis) {
  const of = model.trucks.map((truck) => ({ truck, outcome: truck[basis] }));
  return finished(of[0].outcome) ? of.filter(({ outcome }) => finished(outcome)) : [];
}

/** Lines by the largest difference against the first truck, smallest last; those below the threshold, per cent of what the first takes, are left out. */
function lines(found, smallPercent) {
  const first = found[0].outcome;
  const least = (Math.abs(first.battery_kwh) * smallPercent) / 100;
  return Object.keys(first.ledger)
    .map((key) => ({
      key,
      gaps: found.map(({ outcome }) => (outcome.ledger[key] ?? 0) - first.ledger[key]),
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

function differenceOption(found, rows, look, width) {
  const others = found.slice(1);
  return {
    ...base(look),
    grid: { left: width < 500 ? 88 : 112, right: 8, top: 8, bottom: 44 },
    xAxis: valueAxis(look, width < 500 ? `kWh against ${found[0].truck.name}` : `kWh less (left) or more (right) than ${found[0].truck.name}`, { boundaryGap: ['9%', '9%'] }),
    yAxis: nameAxis(look, rows.map(({ key: line }) => lineName(line))),
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

function differenceCaption(found, rows, smallPercent) {
  const total = found
    .slice(1)
    .map(({ truck, outcome }) => `${truck.name} ${change(outcome.battery_kwh - found[0].outcome.battery_kwh, 2)} kWh`);
  const largest = rows[0];
  const most = largest.gaps.reduce((best, gap, at) => (Math.abs(gap) > Math.abs(largest.gaps[best]) ? at : best), 0);
  return (
    `The largest difference is in ${lineName(largest.key)}: ${change(largest.gaps[most], 2)} kWh for ${found[most].truck.name}. ` +
    `All lines together, from the battery: ${total.join(', ')}. Lines that differ by less than ${smallPercent} % of the whole are left out.`
  );
}

function differenceSheet(found, basis) {
  const keys = Object.keys(found[0].outcome.ledger);
  return {
    title: `ledger, ${basis === 'common' ? 'all at the common speed' : 'each at its own speeds'}`,
    file: `ledger-${basis}`,
    columns: [
      column('line', '', 0, [...keys.map(lineName), 'net from the battery'], 'line'),
      ...found.map(({ truck, outcome }) =>
        column(
          `${truck.name}_kwh`,
          'kWh',
          3,
          [...keys.map((key) => outcome.ledger[key] ?? null), outcome.battery_kwh],
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
    caption: differenceCaption(found, rows, smallPercent),
    alt: `Bars: differences of each ledger line against ${found[0].truck.name}, kWh`,
    height: () => 70 + rows.length * (16 + 16 * (found.length - 1)),
    before: make('div', { class: 'tools' }, found.slice(1).map(({ truck }) => key(truck))),
    option: (look, width) => differenceOption(found, rows, look, width),
    sheets: [differenceSheet(found, basis)],
  });
}

// ------------------------------------------------------------------------------------------------ the flow

// From the pack to the road: what each place along the way keeps for itself.
const WAY = [
  { name: 'drawn from the pack', keeps: ['pack_kwh'] },
  { name: 'd.c. bus', keeps: ['auxiliaries_kwh', 'pto_kwh'] },
  { name: 'motors', keeps: ['inverter_kwh', 'motor_kwh', 'shifting_kwh'] },
  { name: 'driveline', keeps: ['gearbox_kwh', 'shafts_kwh', 'final_drive_kwh', 'wheel_end_kwh'] },
  { name: 'wheels', keeps: ['tyre_slip_kwh', 'friction_brakes_kwh'] },
  { name: 'road', keeps: ['rolling_kwh', 'air_kwh', 'grade_kwh', 'kinetic_kwh'] },
];

/** What is left behind each place; null where at some place nothing flows on towards the road. */
function cascade(outcome) {
  let rest = outcome.battery_kwh;
  const flows = [];
  for (const [at, { keeps }] of WAY.entries()) {
    if (rest <= 0 || keeps.some((key) => (outcome.ledger[key] ?? 0) < 0)) return null;
    flows.push(rest);
    if (at < WAY.length - 1) rest -= keeps.reduce((sum, key) => sum + (outcome.ledger[key] ?? 0), 0);
  }
  return flows;
}

function cascadeLinks(outcome) {
  const flows = cascade(outcome);
  const links = [];
  const names = new Set([WAY[0].name, 'given back']);
  const link = (source, target, kwh) => {
    if (kwh <= outcome.drawn_kwh * 1e-4) return;
    names.add(source).add(target);
    links.push({ source, target, value: kwh });
  };
  link(WAY[0].name, 'given back', outcome.returned_kwh);
  WAY.forEach(({ name, keeps }, at) => {
    keeps.forEach((key) => link(name, `${lineName(key)}\u200b`, outcome.ledger[key] ?? 0));
    if (at < WAY.length - 1) link(name, WAY[at + 1].name, flows[at + 1]);
  });
  return { names: [...names], links };
}

/** Where the way ends lower, or gives back more than it takes: all that gives on one side, all that takes on the other. */
function hubLinks(outcome) {
  const links = [];
  const names = new Set(['the way']);
  const add = (name, kwh) => {
    if (Math.abs(kwh) <= Math.abs(outcome.drawn_kwh + outcome.returned_kwh) * 1e-4) return;
    names.add(name);
    links.push(kwh > 0 ? { source: 'the way', target: name, value: kwh } : { source: name, target: 'the way', value: -kwh });
  };
  add(outcome.battery_kwh > 0 ? 'from the battery, net' : 'into the battery, net', -outcome.battery_kwh);
  Object.entries(outcome.ledger).forEach(([key, kwh]) =>
    add(key === 'grade_kwh' && kwh < 0 ? 'height given up' : `${lineName(key)}\u200b`, kwh),
  );
  return { names: [...names], links };
}

function flowOption(outcome, look) {
  const { names, links } = cascade(outcome) === null ? hubLinks(outcome) : cascadeLinks(outcome);
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
        right: 96,
        top: 8,
        bottom: 8,
        nodeWidth: 9,
        nodeGap: 11,
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

function flowCaption(truck) {
  const { own } = truck;
  const top = Object.entries(own.ledger)
    .filter(([, kwh]) => kwh > 0)
    .sort((a, b) => b[1] - a[1])
    .slice(0, 3)
    .map(([key, kwh]) => `${lineName(key)} ${decimals(kwh, 1)} kWh`);
  const { grade_kwh: grade } = own.ledger;
  const height = grade < 0 ? `, and the ${decimals(-grade, 1)} kWh of height given up,` : '';
  return (
    `${truck.name}: ${decimals(own.drawn_kwh, 1)} kWh are drawn and ${decimals(own.returned_kwh, 1)} kWh come back while braking; ` +
    `of the ${decimals(own.battery_kwh, 1)} kWh between them${height} most goes into ${top.join(', ')}. Widths are kWh, net of what comes back.`
  );
}

function ledgerSheet(truck) {
  const keys = Object.keys(truck.own.ledger);
  return {
    title: `${truck.name}, ledger at its own speeds`,
    file: `${truck.name}-ledger`,
    columns: [
      column('line', '', 0, keys.map(lineName), 'line'),
      column('kwh', 'kWh', 3, keys.map((key) => truck.own.ledger[key]), 'energy'),
    ],
  };
}

function flow(model, truck) {
  if (!truck.own?.ledger) return null;
  return figure({
    title: model.compares ? `${truck.name}: from the pack to the road` : 'From the pack to the road',
    caption: flowCaption(truck),
    alt: `Flow of energy of ${truck.name} from the pack to the road, kWh`,
    height: () => 400,
    least: 600,
    option: (look) => flowOption(truck.own, look),
    sheets: [ledgerSheet(truck)],
  });
}

// ------------------------------------------------------------------------------------------------ braking

const BRAKES = [
  ['by motors, at the tyres', (own) => own.motor_braking_kwh, 'accent'],
  ['by friction brakes', (own) => own.ledger.friction_brakes_kwh, 'soft'],
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
      ['back into the pack', `${decimals(told[points[0].dataIndex].own.returned_kwh, 2)} kWh`],
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
          const all = told[dataIndex].own.motor_braking_kwh + told[dataIndex].own.ledger.friction_brakes_kwh;
          return value > 0.12 * all ? decimals(value, 1) : '';
        },
      }),
    })),
  };
}

function braking(model) {
  const told = model.trucks.filter((truck) => truck.own?.ledger && truck.own.motor_braking_kwh !== undefined);
  if (told.length === 0) return null;
  const all = ({ own }) => own.motor_braking_kwh + own.ledger.friction_brakes_kwh;
  const shares = told.map((truck) => {
    const share = all(truck) > 0 ? (100 * truck.own.motor_braking_kwh) / all(truck) : 0;
    return `${truck.name} ${decimals(share, 1)} %`;
  });
  return figure({
    title: 'Braking: motors and friction brakes',
    caption:
      `Of the work of slowing and holding back, motors take: ${shares.join(', ')}; friction brakes take the rest. ` +
      'Losses on the way to the pack leave less to come back: the table has it.',
    alt: `Bars: braking work by motors and by friction brakes of ${told.map(({ name }) => name).join(', ')}, kWh`,
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
          column('motor_braking_kwh', 'kWh', 3, told.map(({ own }) => own.motor_braking_kwh), 'by motors, at the tyres'),
          column('friction_brakes_kwh', 'kWh', 3, told.map(({ own }) => own.ledger.friction_brakes_kwh), 'by friction brakes'),
          column('returned_kwh', 'kWh', 3, told.map(({ own }) => own.returned_kwh), 'back into the pack'),
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
