// Colours and lines of the charts. Colours stand in the style sheet, so that dark and print change them in one place.

import { mark } from './data.js';
import { draw, make, tip } from './dom.js';

// Each truck by colour and by sign: either tells them apart. From the seventh on the same, but hollow (html_ranked.c). Lines of
// one truck have its colour, and signs that tell them apart.
const SIGNS = [
  'M-4.5 0a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0-9 0z',
  'M-4-4h8v8h-8z',
  'M0-5.5 5.5 0 0 5.5-5.5 0z',
  'M0-5 5 4h-10z',
  'M0 5-5-4h10z',
  'M-1.8-5h3.6v3.2h3.2v3.6h-3.2v3.2h-3.6v-3.2h-3.2v-3.6h3.2z',
];
const SERIES = SIGNS.length;
/** Dashes are for what must or should be kept: limits and targets. */
export const LIMIT = [5, 4];

export function theme() {
  const style = getComputedStyle(document.documentElement);
  const of = (name) => style.getPropertyValue(`--${name}`).trim();
  return {
    ink: of('ink'),
    soft: of('soft'),
    pale: of('pale'),
    rule: of('rule'),
    paper: of('paper'),
    accent: of('accent'),
    land: of('land'),
    font: of('figures'),
    flow: { moves: of('accent'), used: of('flow-used'), lost: of('flow-lost'), back: of('flow-back'), given: of('flow-given') },
    series: (truck) => of(`series-${(truck % SERIES) + 1}`),
    line: (truck, width = 1.6) => ({ color: of(`series-${(truck % SERIES) + 1}`), width }),
  };
}

// About as many marks as the chart library puts on an axis.
const MARKS = 5;

/** Where an axis ends behind a value: at a tenth of the step between its marks, so that its last mark has few decimals. */
export function axisEnd(value) {
  if (!(value > 0)) return 1;
  const power = Math.floor(Math.log10(value / MARKS)) - 1;
  const tenths = Math.ceil(value / 10 ** power - 1e-9);
  return power < 0 ? tenths / 10 ** -power : tenths * 10 ** power;
}

/** The next of 1, 2, 2.5, 5 and 10 times a power of ten. */
export function roundStep(least) {
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 2.5, 5, 10].map((one) => one * power).find((one) => one >= least);
}

export function valueAxis(look, name, more = {}) {
  return {
    type: 'value',
    name,
    nameLocation: 'middle',
    nameGap: 28,
    nameTextStyle: { color: look.soft, fontFamily: look.font, fontSize: 12 },
    axisLabel: { color: look.soft, fontFamily: look.font, fontSize: 11, hideOverlap: true, formatter: mark },
    axisLine: { show: true, lineStyle: { color: look.rule } },
    axisTick: { show: false },
    splitLine: { lineStyle: { color: look.rule, width: 0.6 } },
    ...more,
  };
}

/** The name of a vertical axis stands above it, level, where it can be read. */
export function upright(look, name, more = {}) {
  return valueAxis(look, name, {
    nameLocation: 'end',
    nameGap: 10,
    nameTextStyle: { color: look.soft, fontFamily: look.font, fontSize: 12, align: 'left', padding: [0, 0, 0, -34] },
    ...more,
  });
}

/** Names from top to bottom, for level bars. */
export function nameAxis(look, names, more = {}) {
  return {
    type: 'category',
    inverse: true,
    data: names,
    axisLine: { show: false },
    axisTick: { show: false },
    ...more,
    axisLabel: { color: look.ink, fontFamily: look.font, fontSize: 12, ...more.axisLabel },
  };
}

/** For bars: the pointer shows all of one row; `rows(points)` gives names and values. */
export const rowTip = (look, rows) => ({
  ...base(look).tooltip,
  trigger: 'axis',
  axisPointer: { type: 'shadow' },
  formatter: (points) => tip(points[0].name, rows(points)),
});

export function label(look, color, more = {}) {
  return {
    show: true,
    color: color ?? look.ink,
    fontFamily: look.font,
    fontSize: 11.5,
    textBorderColor: look.paper,
    textBorderWidth: 3,
    ...more,
  };
}

/** The sign of a truck, or of another of several lines, as the chart library draws it. */
export function sign(look, index, colour = look.series(index)) {
  const hollow = index >= SERIES;
  return { symbol: `path://${SIGNS[index % SERIES]}`, symbolSize: 9, symbolKeepAspect: true, itemStyle: { color: hollow ? look.paper : colour, borderColor: hollow ? colour : look.paper, borderWidth: hollow ? 1.5 : 1 } };
}

/** Sign and name of one of several lines of a truck, for the line above a chart; `colour` is of the style sheet. */
export const signKey = (index, colour, name) =>
  make(
    'span',
    { class: 'key' },
    draw('svg', { class: 'mark', width: 13, height: 13, viewBox: '-6.5 -6.5 13 13', 'aria-hidden': 'true' }, draw('path', { d: SIGNS[index % SERIES], style: `fill: var(--${colour})` })),
    name,
  );
export const seriesName = (truck) => `series-${(truck % SERIES) + 1}`;

/** Signs along a line between two values of x, those of several lines at places of their own by their `share` of the way from
 * one to the next; a name stands at the first. */
export function signsAlong(look, index, points, [from, to], share, { spots = 4, colour = look.series(index), name, position } = {}) {
  const spot = (k) => from + ((k + share) / spots) * (to - from);
  const at = (x) => {
    let [low, high] = [0, points.length - 1];
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (points[middle][0] <= x) low = middle;
      else high = middle;
    }
    return Math.abs(points[low][0] - x) < Math.abs(points[high][0] - x) ? points[low] : points[high];
  };
  const inside = (point) => point[1] !== null && point[0] >= from && point[0] <= to;
  const reached = Array.from({ length: spots }, (_, k) => spot(k)).filter((x) => points.length > 1 && x <= points.at(-1)[0]);
  const coords = reached.map(at).filter(inside);
  const told = name === undefined ? { show: false } : label(look, colour, { formatter: name, position });
  return { silent: true, ...sign(look, index, colour), label: { show: false }, data: coords.map((coord, k) => (k === 0 ? { coord, label: told } : { coord })) };
}

/** A name beside a point of a line. */
export const nameAt = (look, colour, name, coord, more) => ({
  silent: true,
  symbol: 'circle',
  symbolSize: 4,
  itemStyle: { color: colour },
  label: label(look, colour, { formatter: name, ...more }),
  data: [{ coord }],
});

// ------------------------------------------------------------------------------------------------ shades, and words on them

const channels = (colour) => [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16));

/** So much of the accent on the paper, as an opaque colour. */
export function shade(look, share) {
  const [paper, accent] = [channels(look.paper), channels(look.accent)];
  const mixed = paper.map((from, at) => Math.round(from + share * (accent[at] - from)));
  return `#${mixed.map((one) => one.toString(16).padStart(2, '0')).join('')}`;
}

/** Relative luminance as WCAG 2.2 defines it. */
function luminance(colour) {
  const [red, green, blue] = channels(colour).map((one) => {
    const share = one / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

/** Ink or paper, whichever stands out more from a colour. */
export function inkOn(look, colour) {
  const contrast = (other) => {
    const [low, high] = [luminance(colour), luminance(other)].sort((a, b) => a - b);
    return (high + 0.05) / (low + 0.05);
  };
  return contrast(look.ink) >= contrast(look.paper) ? look.ink : look.paper;
}

export const base = (look) => ({
  animation: false,
  textStyle: { color: look.ink, fontFamily: look.font },
  tooltip: {
    confine: true,
    backgroundColor: look.paper,
    borderColor: look.rule,
    textStyle: { color: look.ink, fontFamily: look.font, fontSize: 12 },
  },
});
