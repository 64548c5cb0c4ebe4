// All trucks ranked: the difference of each against the first as a dot, its interval as a bar, the first as a line.
import { change, decimals, looksLikeNothing } from '../data.js';
import { tip } from '../dom.js';
import { column, figure } from '../figure.js';
import { finished } from '../model.js';
import { base, nameAxis, valueAxis } from '../theme.js';

const ROW_PX = 46;
const SIGN_PX = 6.6;
const END_PX = 5;
const ROOM = 0.06;

/** How sure a difference is as it is told, of one truck against another on a basis; null: not found. */
export function sureOf(model, truck, other, basis) {
  const pairs = model.result.uncertainty?.pairs ?? [];
  return pairs.find((pair) => pair.truck === truck.id && pair.other === other.id)?.[basis].told ?? null;
}

/** An end that one decimal would tell as zero has two: on which side of it the end lies is the verdict. */
const end = (percent) => change(percent, looksLikeNothing(percent, 1) ? 2 : 1);

/** "-7.9 to -4.5". */
export const interval = (low, high) => `${end(low)} to ${end(high)}`;
export const intervalOf = (is) => interval(is.low_percent, is.high_percent);

/** In per cent; near none and all not closer than a draw, or a thousandth, makes it: as in the terminal. */
export function probability(is) {
  const percent = 100 * is.probability_lower;
  const least = Math.max(0.1, is.draws > 0 ? 100 / is.draws : 0);
  if (percent > 100 - least) return `> ${decimals(100 - least, 1)} %`;
  if (percent < least) return `< ${decimals(least, 1)} %`;
  return `${decimals(percent, percent < 5 || percent > 95 ? 1 : 0)} %`;
}

export const method = (is) => (is.by === 'draws' ? `by ${is.draws} draws` : 'by first order');

function rowsOf(model) {
  const [first] = model.trucks;
  const key = model.result.answer.decides;
  if (!finished(first.common)) return [];
  return model.trucks
    .filter((truck) => finished(truck.common))
    .map((truck) => ({
      truck,
      percent: truck === first ? 0 : truck.common.percent[key],
      sure: truck === first ? null : sureOf(model, truck, first, 'common'),
    }))
    .sort((a, b) => a.percent - b.percent);
}

const textOf = ({ percent, sure }) => (sure ? `${change(percent, 1)} (${intervalOf(sure)})` : `${change(percent, 1)}`);

/** The bar with its ends, the dot, and the figures above it, kept within the picture. */
function drawn(look, rows, api, index, right) {
  const row = rows[index];
  const [x, y] = api.coord([row.percent, index]);
  const [from] = api.coord([row.sure?.low_percent ?? row.percent, index]);
  const [to] = api.coord([row.sure?.high_percent ?? row.percent, index]);
  const colour = look.series(row.truck.index);
  const line = (x1, y1, x2, y2, width) => ({ type: 'line', shape: { x1, y1, x2, y2 }, style: { stroke: colour, lineWidth: width } });
  const text = row.truck.index === 0 ? 'held against' : textOf(row);
  const half = (SIGN_PX * text.length) / 2;
  const [left] = api.coord([api.value(2), index]);
  const middle = Math.min(Math.max(x, left + half), right - half);
  return {
    type: 'group',
    children: [
      line(from, y, to, y, 2.5),
      line(from, y - END_PX, from, y + END_PX, row.sure ? 1.6 : 0),
      line(to, y - END_PX, to, y + END_PX, row.sure ? 1.6 : 0),
      { type: 'circle', shape: { cx: x, cy: y, r: 4.5 }, style: { fill: colour, stroke: look.paper, lineWidth: 1 } },
      {
        type: 'text',
        style: { text, x: middle, y: y - 9, align: 'center', verticalAlign: 'bottom', fill: look.ink, stroke: look.paper, lineWidth: 3, font: `11.5px ${look.font}` },
      },
    ],
  };
}

const leftOf = (width) => (width < 500 ? 108 : 170);

function option(model, rows, look, width) {
  const ends = rows.flatMap(({ percent, sure }) => [percent, sure?.low_percent ?? percent, sure?.high_percent ?? percent]);
  const [low, high] = [Math.min(0, ...ends), Math.max(0, ...ends)];
  const room = Math.max(ROOM * (high - low), 0.1);
  const [least, most] = [low - room, high + room];
  const right = width - 14;
  return {
    ...base(look),
    grid: { left: leftOf(width), right: 14, top: 14, bottom: 44 },
    xAxis: valueAxis(look, `against ${model.trucks[0].name}, %`, { min: least, max: most, axisLabel: { color: look.soft, fontFamily: look.font, fontSize: 11, hideOverlap: true, showMinLabel: false, showMaxLabel: false, formatter: (value) => change(value, Number.isInteger(value) ? 0 : 1) } }),
    yAxis: nameAxis(look, rows.map(({ truck }) => truck.name), { axisLabel: { width: leftOf(width) - 10, overflow: 'break', lineHeight: 14 } }),
    tooltip: {
      ...base(look).tooltip,
      formatter: ({ dataIndex }) => {
        const { truck, percent, sure } = rows[dataIndex];
        return tip(truck.name, [
          ['difference', `${change(percent, 1)} %`],
          ...(sure ? [['90 % interval', `${intervalOf(sure)} %`], ['is lower', probability(sure)]] : []),
        ]);
      },
    },
    series: [
      {
        type: 'custom',
        data: rows.map(({ percent }, index) => [percent, index, least]),
        encode: { x: 0, y: 1 },
        renderItem: (_, api) => drawn(look, rows, api, api.value(1), right),
        markLine: {
          silent: true,
          symbol: 'none',
          label: { show: false },
          lineStyle: { color: look.ink, type: 'dashed', width: 1.2 },
          data: [{ xAxis: 0 }],
        },
      },
    ],
  };
}

const said = ({ truck, percent, sure }) =>
  `${truck.name} ${change(percent, 1)} %${sure ? ` (${intervalOf(sure)}${sure.apart === 'cannot_be_told_apart' ? ', cannot be told apart' : ''})` : ''}`;

export function ranked(model) {
  if (!model.compares || model.limits) return null;
  const rows = rowsOf(model);
  if (rows.length < 2) return null;
  const [first] = model.trucks;
  const found = rows.find(({ sure }) => sure)?.sure ?? null;
  const words = model.result.answer.decides === 'kwh_per_km' ? 'energy consumption' : 'energy consumption per tonne of payload';
  const others = rows.filter(({ truck }) => truck !== first);
  return figure({
    title: `All trucks ranked: ${words} at the common speed`,
    caption: found
      ? `Dot: difference against ${first.name}; bar: its 90 % interval ${method(found)}. A bar that holds the dashed line cannot be told apart from ${first.name}.`
      : `Dot: difference against ${first.name}, the dashed line. Nobody asked how sure it is.`,
    alt: `Against ${first.name}: ${others.map(said).join('; ')}`,
    height: () => 14 + 44 + ROW_PX * rows.length,
    option: (look, width) => option(model, rows, look, width),
    sheets: [
      {
        title: 'the ranking',
        file: 'ranking',
        columns: [
          column('truck', '', 0, rows.map(({ truck }) => truck.name), 'truck'),
          column('percent', '%', 1, rows.map(({ percent }) => percent), 'difference'),
          column('interval_low_percent', '%', 1, rows.map(({ sure }) => sure?.low_percent ?? null), 'interval from'),
          column('interval_high_percent', '%', 1, rows.map(({ sure }) => sure?.high_percent ?? null), 'to'),
          column('probability_lower', '', 3, rows.map(({ sure }) => sure?.probability_lower ?? null), 'probability that it is lower'),
          column('apart', '', 0, rows.map(({ sure }) => sure?.apart.replaceAll('_', ' ') ?? null), 'told apart'),
        ],
      },
    ],
  });
}
