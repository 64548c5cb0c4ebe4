// Colours and lines of the charts. Colours stand in the style sheet, so that dark and print change them in one place.

import { mark } from './data.js';
import { tip } from './dom.js';

// Each truck by colour and by dashes: either tells them apart.
const DASHES = ['solid', [9, 4], [2, 3], [12, 3, 2, 3], [5, 2], [1, 2]];
const SERIES = 6;

export function theme() {
  const style = getComputedStyle(document.documentElement);
  const of = (name) => style.getPropertyValue(`--${name}`).trim();
  return {
    ink: of('ink'),
    soft: of('soft'),
    rule: of('rule'),
    paper: of('paper'),
    accent: of('accent'),
    land: of('land'),
    font: of('figures'),
    flow: { moves: of('accent'), used: of('flow-used'), lost: of('flow-lost'), back: of('flow-back'), given: of('flow-given') },
    series: (truck) => of(`series-${(truck % SERIES) + 1}`),
    dashes: (truck) => DASHES[(truck + Math.floor(truck / SERIES)) % DASHES.length],
    line: (truck, width = 1.6) => ({
      color: of(`series-${(truck % SERIES) + 1}`),
      type: DASHES[(truck + Math.floor(truck / SERIES)) % DASHES.length],
      width,
    }),
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

/** A name beside a point of a line. */
export const nameAt = (look, colour, name, coord, more) => ({
  silent: true,
  symbol: 'circle',
  symbolSize: 4,
  itemStyle: { color: colour },
  label: label(look, colour, { formatter: name, ...more }),
  data: [{ coord }],
});

/** Of `count` names along lines over the same way, that of number `index`: each at a row of its own, above and below in turn. */
export const rowOfName = (index, count, rows) => Math.floor(((index + 0.6) / (count + 0.2)) * (rows - 1));
export const sideOfName = (index) => (index % 2 === 0 ? 'top' : 'bottom');

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
