// The day as a strip: the charge of the battery over the clock, a panel of each truck over one axis; below it legs, stops and
// charging as bands, with their names outside.
import { decimals, duration } from '../data.js';
import { draw, make } from '../dom.js';
import { column, figure } from '../figure.js';
import { BOLD, sheet, words, wordsPx } from '../paint.js';
import { LIMIT } from '../theme.js';

const PX = { left: 40, right: 8, top: 10, high: 170, low: 130, band: 12, name: 15, gap: 26, title: 20, foot: 40 };
const STEPS_S = [1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440].map((minutes) => 60 * minutes);
const MARKS = [0, 25, 50, 75, 100];
const SMALL = 11;

const KINDS = [
  ['leg', 'leg'],
  ['stop', 'stop'],
  ['charging', 'stop that charges'],
];

/** "1:35" since the start of the day. */
const clock = (seconds) => {
  const minutes = Math.round(seconds / 60);
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`;
};
const percent = (soc) => `${decimals(100 * soc, 1)} %`;

/** What a pointer is told of a leg or stop. */
function told(phase) {
  const lines = [
    `${phase.full_name} (${KINDS.find(([kind]) => kind === phase.kind)[1]})`,
    `${clock(phase.begin_s)} to ${clock(phase.end_s)}, ${duration(phase.end_s - phase.begin_s)}`,
    `payload ${decimals(phase.payload_kg / 1000, 1)} t`,
  ];
  if (phase.kind === 'leg') lines.push(`${decimals(phase.distance_km, 1)} km`);
  lines.push(`${decimals(phase.battery_kwh, 1)} kWh from the battery`);
  if (phase.charged_kwh !== null) lines.push(`${decimals(phase.charged_kwh, 1)} kWh charged`);
  lines.push(`charge from ${percent(phase.begin_soc)} to ${percent(phase.end_soc)}`);
  return lines.join('\n');
}

// ------------------------------------------------------------------------------------------------ one panel

/** Bands are told by their fill and by their height: a stop is half as high as a leg, one that charges higher than both. */
const LOOKS = {
  leg: { from: 0, share: 1, opacity: 0.55 },
  stop: { from: 0.5, share: 0.5, opacity: 0.55 },
  charging: { from: -0.25, share: 1.25, opacity: 1 },
};
const colourOf = (look, kind) => (kind === 'leg' ? look.flow.moves : kind === 'charging' ? look.flow.back : look.soft);

/** Names that have room until the next of their row. */
function namesOf(look, phases, xOf, width, y) {
  const out = [];
  let used = 0;
  phases.forEach(({ name, begin_s }, at) => {
    const x = Math.max(xOf(begin_s), used);
    const wide = wordsPx(look, name, SMALL);
    const next = at + 1 < phases.length ? xOf(phases[at + 1].begin_s) : width;
    if (x > xOf(begin_s) || x + wide + 4 > next) return;
    out.push(words(look, x, y, name, { size: SMALL, colour: look.soft }));
    used = x + wide + 6;
  });
  return out;
}

/** What must be left: a dashed line, its words where the charge is furthest from it. */
function reserve(look, strip, xOf, yOf, width) {
  const demanded = strip.demanded_soc !== null;
  const soc = demanded ? strip.demanded_soc : strip.usable_soc;
  if (soc === null) return [];
  const text = `${demanded ? 'state of charge at the reserve demanded' : 'end of the usable window'} ${percent(soc)}`;
  const y = yOf(soc);
  return [
    draw('line', { x1: xOf(0), x2: width - PX.right, y1: y, y2: y, stroke: look.soft, 'stroke-width': 1, 'stroke-dasharray': LIMIT.join(' '), 'data-value': 100 * soc }),
    words(look, xOf(0) + 6, soc < 0.15 ? y - 5 : y + 14, text, { size: SMALL, colour: look.soft }),
  ];
}

function panel(look, model, strip, index, xOf, top, high, width) {
  const yOf = (soc) => top + (1 - soc) * high;
  const foot = top + high;
  const band = foot + 8;
  const children = MARKS.flatMap((mark) => [
    draw('line', { x1: PX.left, x2: width - PX.right, y1: yOf(mark / 100), y2: yOf(mark / 100), stroke: look.rule, 'stroke-width': mark === 0 ? 1.2 : 0.6 }),
    words(look, PX.left - 6, yOf(mark / 100) + 4, String(mark), { size: SMALL, colour: look.soft, anchor: 'end' }),
  ]);
  children.push(...reserve(look, strip, xOf, yOf, width));
  const line = strip.clock_s.map((seconds, at) => `${at === 0 ? 'M' : 'L'}${xOf(seconds).toFixed(1)} ${yOf(strip.soc[at]).toFixed(1)}`).join('');
  children.push(draw('path', { d: line, fill: 'none', stroke: look.series(index), 'stroke-width': 2, 'stroke-linejoin': 'round', 'data-line': 'charge' }));
  for (const phase of strip.phases) {
    const { from, share, opacity } = LOOKS[phase.kind];
    const wide = Math.max(xOf(phase.end_s) - xOf(phase.begin_s), 1);
    const inner = Math.max(wide - 1, 1);
    children.push(draw('rect', { x: xOf(phase.begin_s), y: band + from * PX.band, width: inner, height: share * PX.band, fill: colourOf(look, phase.kind), 'fill-opacity': opacity, 'data-phase': phase.kind, 'data-from-s': phase.begin_s, 'data-to-s': phase.end_s }));
    children.push(draw('rect', { x: xOf(phase.begin_s), y: top, width: wide, height: band + PX.band - top, fill: 'transparent', 'data-tip': phase.full_name }, draw('title', {}, told(phase))));
  }
  const names = band + PX.band + PX.name;
  children.push(...namesOf(look, strip.phases.filter(({ kind }) => kind === 'leg'), xOf, width, names));
  children.push(...namesOf(look, strip.phases.filter(({ kind }) => kind !== 'leg'), xOf, width, names + PX.name));
  return children;
}

// ------------------------------------------------------------------------------------------------ all of them

const titled = (model) => model.trucks.length > 1;
const highOf = (model) => (titled(model) ? PX.low : PX.high);
const pitchOf = (model) => (titled(model) ? PX.title : 0) + highOf(model) + 8 + PX.band + 2 * PX.name + PX.gap;

function clockAxis(look, end, xOf, y, width) {
  const room = Math.max(2, Math.floor((width - PX.left) / 70));
  const step = STEPS_S.find((one) => end / one <= room) ?? STEPS_S.at(-1);
  const children = [];
  for (let at = 0; at <= end; at += step) {
    const text = clock(at);
    const half = wordsPx(look, text, SMALL) / 2 + 1;
    children.push(draw('line', { x1: xOf(at), x2: xOf(at), y1: y - 14, y2: y - 10, stroke: look.soft, 'stroke-width': 0.8 }));
    children.push(words(look, Math.min(Math.max(xOf(at), half), width - half), y, text, { size: SMALL, colour: look.soft, anchor: 'middle' }));
  }
  children.push(words(look, width - PX.right, y + 18, 'clock of the day from its start, h', { colour: look.soft, anchor: 'end', size: SMALL }));
  return children;
}

function paint(look, width, model) {
  const strips = model.day.strips;
  const end = Math.max(...strips.map(({ end_s }) => end_s));
  const xOf = (seconds) => PX.left + (seconds / end) * (width - PX.left - PX.right);
  const children = [words(look, 2, 12, 'state of charge, %', { size: SMALL, colour: look.soft })];
  let y = PX.top + 8;
  strips.forEach((strip, index) => {
    if (strip.clock_s.length === 0) return;
    if (titled(model)) children.push(words(look, PX.left, y + 14, model.trucks[index].name, { weight: BOLD }));
    children.push(...panel(look, model, strip, index, xOf, y + (titled(model) ? PX.title : 4), highOf(model), width));
    y += pitchOf(model);
  });
  return sheet(width, y + PX.foot, [...children, ...clockAxis(look, end, xOf, y + 8, width)]);
}

const keys = () =>
  make(
    'p',
    { class: 'keys' },
    KINDS.map(([kind, name]) => make('span', {}, make('span', { class: `swatch band-${kind}` }), name)),
  );

const sheetOf = (model, strip, index) => ({
  title: `${model.trucks[index].name}, state of charge over the day`,
  file: `${model.trucks[index].id}-day`,
  columns: [column('clock_s', 's', 1, strip.clock_s, 'clock'), column('soc', '', 4, strip.soc, 'state of charge')],
});

const lowest = (strip) => Math.min(...strip.soc);

export function day(model) {
  if (!model.day || model.day.strips.every(({ clock_s }) => clock_s.length === 0)) return null;
  const { season, strips } = model.day;
  const told = strips
    .map((strip, index) => ({ strip, truck: model.trucks[index] }))
    .filter(({ strip }) => strip.soc.length > 0)
    .map(({ strip, truck }) => `${titled(model) ? `${truck.name}: ` : ''}from ${percent(strip.soc[0])} to ${percent(strip.soc.at(-1))}, lowest on the way ${percent(lowest(strip))}`);
  return figure({
    title: `Charge over the day${season === null ? '' : `, season ${season}`}`,
    caption: `State of charge ${told.join('; ')}. Dashed: what must be left. Bands: legs, stops and charging; the first line of names is of legs, the second of stops. A name without room stands in the table.`,
    alt: `State of charge over the clock of the day: ${told.join('; ')}`,
    before: keys(),
    paint: (look, width) => paint(look, width, model),
    sheets: strips.map((strip, index) => sheetOf(model, strip, index)),
  });
}
