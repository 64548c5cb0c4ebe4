// Pictures that are drawn here and not by the chart library: words with their widths, and rows of bars.
import { axisEnd, roundStep } from './theme.js';
import { mark } from './data.js';
import { draw, make } from './dom.js';
import { isForPaper } from './figure.js';

export const TEXT_PX = 12;
export const BOLD = 600;
/** Below that width names stand above their bars, and flows become lists. */
export const NARROW_PX = 560;

let canvas = null;
/** Width of words as they are drawn. */
export function wordsPx(look, text, size = TEXT_PX, weight = 400) {
  canvas ??= document.createElement('canvas').getContext('2d');
  canvas.font = `${weight} ${size}px ${look.font}`;
  return canvas.measureText(text).width;
}

export const words = (look, x, y, text, { anchor = 'start', colour = look.ink, size = TEXT_PX, weight } = {}) =>
  draw('text', { x, y, fill: colour, 'font-family': look.font, 'font-size': size, 'font-weight': weight, 'text-anchor': anchor }, text);

/** A number within words, which stands out from them. */
export const number = (text) => draw('tspan', { 'font-weight': BOLD }, text);
/** Width of a name with its number behind it. */
export const namedPx = (look, name, text) => wordsPx(look, `${name} `) + wordsPx(look, text, TEXT_PX, BOLD);

/** As much of a name as there is room for; the tables beside have the whole. */
export function fitted(look, text, room, size = TEXT_PX, weight = 400) {
  if (wordsPx(look, text, size, weight) <= room) return text;
  let letters = [...text].length;
  const cut = () => `${[...text].slice(0, letters).join('').trimEnd()}\u2026`;
  while (letters > 1 && wordsPx(look, cut(), size, weight) > room) letters -= 1;
  return cut();
}

export const sheet = (width, height, children) =>
  draw('svg', { width, height, viewBox: `0 0 ${width} ${height}`, style: 'display: block' }, children);

// ------------------------------------------------------------------------------------------------ rows of bars

/** What is higher than that may be parted between two sheets: with heading and caption no sheet holds it. */
const SHEET_PX = 800;
const BAR = { high: 9, pitch: 17, gap: 11, foot: 40, heading: 18, line: 30, bare: 15 };
/** On paper bars stand closer, so that as many as are drawn fit a sheet with their caption. */
const pitchOf = () => (isForPaper() ? 13.5 : BAR.pitch);
const gapOf = () => (isForPaper() ? 6 : BAR.gap);
/** A name above its bar: the line of both, the name's foot and the bar's top in it. */
const lineOf = () => (isForPaper() ? { line: 22, foot: 9, top: 12 } : { line: BAR.line, foot: 12, top: 16 });

/** Names stand above their bars too where they would leave bars less than this of a picture's width. */
const BARS_SHARE = 0.4;

/** Marks of an axis, at round numbers. */
function marksOf(least, most, room) {
  const step = roundStep((most - least) / Math.max(2, Math.floor(room / 90)));
  const marks = [];
  for (let at = Math.ceil(least / step - 1e-9); at * step <= most + 1e-9 * step; at += 1) marks.push(Number((at * step).toPrecision(12)));
  return marks;
}

/**
 * Groups of bars over one axis: [{name, rows: [{name, colour, value, text}]}]. Names and numbers stand outside the bars:
 * behind their ends, of bars below zero before them; on a picture too narrow for them on a line above. `axis`: what is measured, with
 * its unit.
 */
export function bars(look, width, groups, axis) {
  const all = groups.flatMap((group) => group.rows);
  const [low, high] = [Math.min(0, ...all.map((row) => row.value)), Math.max(0, ...all.map((row) => row.value))];
  const beforeBars = Math.max(...groups.map((group) => wordsPx(look, group.name))) + 12;
  const sides = low < 0 ? 2 : 1;
  const longest = Math.max(...all.map((row) => wordsPx(look, `${row.text}${row.name ? `  ${row.name}` : ''}`, 11))) + 10;
  const mostBehind = ((1 - BARS_SHARE) * width - beforeBars) / sides;
  // Of many trucks names above their bars would take more than a sheet: there they are cut instead.
  const cut = isForPaper() && all.length * lineOf().line + groups.length * (BAR.heading + gapOf()) + BAR.foot > SHEET_PX;
  const narrow = width < NARROW_PX || (!cut && longest > mostBehind);
  const behind = cut ? Math.min(longest, mostBehind) : longest;
  const named = (row) => (cut && row.name ? fitted(look, row.name, behind - 16 - wordsPx(look, row.text, 11), 11) : row.name);
  const spoken = (row) => `${row.text}${row.name ? `  ${named(row)}` : ''}`;
  const left = narrow ? 2 : beforeBars;
  const [from, to] = [low < 0 && !narrow ? left + behind : left, narrow ? width - 8 : width - behind];
  const span = high - low > 0 ? high - low : axisEnd(0);
  /** Room that numbers take on the line of a group. */
  const beside = (group) => Math.max(...group.rows.map((row) => (row.name ? 0 : wordsPx(look, row.text, 11))));
  const xOf = (value) => from + ((value - low) / span) * (to - from);
  const marks = marksOf(low, low + span, to - from);
  const rules = (from, to) => marks.map((at) => draw('line', { x1: xOf(at), x2: xOf(at), y1: from, y2: to, stroke: look.rule, 'stroke-width': at === 0 ? 1.4 : 0.6, class: at === 0 ? 'zero' : null }));
  const scale = (foot) => [
    ...marks.map((at) => {
      const half = wordsPx(look, mark(at), 11) / 2 + 1;
      return words(look, Math.min(Math.max(xOf(at), half), width - half), foot + 15, mark(at), { anchor: 'middle', colour: look.soft, size: 11 });
    }),
    words(look, Math.min(Math.max((from + to) / 2, wordsPx(look, axis) / 2 + 2), width - wordsPx(look, axis) / 2 - 2), foot + 33, axis, { anchor: 'middle', colour: look.soft }),
  ];
  // On paper each group is a picture of its own, so that a sheet may end between them; the last bears the axis.
  const parted = isForPaper();
  const pieces = [];
  let [children, ruled] = [[], []];
  let y = 4;
  for (const [index, group] of groups.entries()) {
    if (narrow) children.push(words(look, 2, (y += BAR.heading) - 4, fitted(look, group.name, width - 16 - beside(group), TEXT_PX, BOLD), { weight: BOLD }));
    else children.push(words(look, left - 12, y + (group.rows.length * pitchOf()) / 2 + 3, group.name, { anchor: 'end' }));
    for (const row of group.rows) {
      const [a, b] = [Math.min(xOf(0), xOf(row.value)), Math.max(xOf(0), xOf(row.value))];
      const top = !narrow ? y + (pitchOf() - BAR.high) / 2 : row.name ? y + lineOf().top : y + 2;
      const ends = row.value < 0 ? { x: a - 5, anchor: 'end' } : { x: b + 5, anchor: 'start' };
      if (narrow) ruled.push(rules(top - 1, top + BAR.high + 1)); // names and numbers stand above the bars: no line through them
      children.push(draw('rect', { x: a, y: top, width: Math.max(b - a, 1), height: BAR.high, fill: row.colour, 'data-value': row.value }));
      // A bar without a name has its number on the line of its group.
      if (narrow && row.name) children.push(words(look, 2, y + lineOf().foot, fitted(look, row.name, width - 16 - wordsPx(look, row.text, 11), 11), { size: 11 }));
      if (narrow) children.push(words(look, width - 4, row.name ? y + lineOf().foot : y - 4, row.text, { size: 11, anchor: 'end' }));
      else children.push(words(look, ends.x, top + BAR.high - 0.5, row.value < 0 && row.name ? `${named(row)}  ${row.text}` : spoken(row), { size: 11, anchor: ends.anchor }));
      y += !narrow ? pitchOf() : row.name ? lineOf().line : BAR.bare;
    }
    y += gapOf();
    const last = index === groups.length - 1;
    if (!parted && !last) continue;
    pieces.push(sheet(width, y + (last ? BAR.foot : 0), [...(narrow ? ruled.flat() : rules(pieces.length === 0 ? 2 : 0, y)), last ? scale(y) : [], children]));
    [children, ruled, y] = [[], [], 0];
  }
  const tall = pieces.reduce((sum, one) => sum + Number(one.getAttribute('height')), 0);
  return parted ? make('div', { class: tall > SHEET_PX ? 'pieces long' : 'pieces' }, pieces.map((one) => make('div', {}, one))) : pieces[0];
}
