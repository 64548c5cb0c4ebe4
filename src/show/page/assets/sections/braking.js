// Who brakes: the work of the run by motors and friction brakes, stated stops, and how much of the adhesion it uses.
import { decimals, looksLikeNothing } from '../data.js';
import { make, tip } from '../dom.js';
import { column, figure } from '../figure.js';
import { quantity } from '../model.js';
import { bars } from '../paint.js';
import { base, label, LIMIT, signsAlong, upright, valueAxis } from '../theme.js';

const percent = (share, digits = 0) => (share === null ? '\u2013' : `${decimals(100 * share, digits)} %`);
const of = (model, truck) => (model.compares ? `: ${truck.name}` : '');
const names = (list) => (list.length < 2 ? list.join('') : `${list.slice(0, -1).join(', ')} and ${list.at(-1)}`);

// ------------------------------------------------------------------------------------------------ work of the run

// Who takes the braking work, from the results of a run.
const TAKERS = [
  { name: 'motors', of: (own) => own.regenerative_braking_kwh, colour: 'back' },
  { name: 'retarder', of: (own) => own.energy_balance.retarder_kwh, colour: 'used' },
  { name: 'friction brakes', of: (own) => own.energy_balance.friction_brakes_kwh, colour: 'lost' },
];

/** Those that any of the trucks has. */
const takersOf = (works) => TAKERS.filter((taker) => works.some(({ truck }) => taker.of(truck.own) !== undefined));

function worksOf(model) {
  const digits = quantity(model, 'regenerative_braking_kwh').digits;
  return model.trucks
    .filter(({ own }) => own?.energy_balance !== undefined)
    .map((truck) => {
      const taken = (taker) => taker.of(truck.own) ?? 0;
      return { truck, taken, whole: TAKERS.reduce((sum, taker) => sum + taken(taker), 0) };
    })
    .filter(({ whole }) => !looksLikeNothing(whole, digits));
}

/** Of each truck a bar for each that brakes. */
function workGroups(model, works, look) {
  const digits = quantity(model, 'regenerative_braking_kwh').digits;
  return works.map(({ truck, taken, whole }) => ({
    name: model.compares ? truck.name : 'braking',
    rows: takersOf(works).map((taker) => ({
      name: `${taker.name}, ${percent(taken(taker) / whole)}`,
      colour: look.flow[taker.colour],
      value: taken(taker),
      text: decimals(taken(taker), digits),
    })),
  }));
}

/** What a full battery kept from the motors, of runs that say so. */
function refusals(model, works) {
  const digits = quantity(model, 'refused_at_wheels_kwh').digits;
  const told = works
    .filter(({ truck }) => truck.own.refused_at_wheels_kwh !== undefined)
    .map(({ truck }) => `${truck.name} ${decimals(truck.own.refused_at_wheels_kwh, digits)} kWh`);
  return told.length > 0 ? ` Refused by a full battery, at the wheels, and done by friction brakes: ${told.join('; ')}.` : '';
}

/** What of the motors' braking a resistor at the d.c. bus turned into heat. */
function resistors(model, works) {
  const told = works
    .filter(({ truck }) => truck.own.energy_balance.brake_resistor_kwh !== undefined)
    .map(({ truck }) => `${truck.name} ${decimals(truck.own.energy_balance.brake_resistor_kwh, quantity(model, 'energy_balance.brake_resistor_kwh').digits)} kWh`);
  return told.length > 0 ? ` Of what motors braked, turned into heat by the brake resistor: ${told.join('; ')}.` : '';
}

function workFigure(model) {
  const works = worksOf(model);
  if (works.length === 0) return null;
  const digits = quantity(model, 'regenerative_braking_kwh').digits;
  const takers = takersOf(works);
  const shares = works.map(({ truck }) => `${truck.name} ${percent(truck.own.motor_braking_share)}`);
  return figure({
    title: 'Braking work of the run',
    caption: `Share of the motors: ${shares.join('; ')}.${resistors(model, works)}${refusals(model, works)}`,
    alt: `Bars: braking work of ${names(takers.map(({ name }) => name))}, kWh`,
    paint: (look, width) => bars(look, width, workGroups(model, works, look), 'braking work, kWh'),
    sheets: [
      {
        title: 'braking work',
        file: 'braking-work',
        columns: [
          column('truck', '', 0, works.map(({ truck }) => truck.name), 'truck'),
          ...takers.map((taker) => column(`${taker.name.replace(' ', '_')}_kwh`, 'kWh', digits, works.map(({ taken }) => taken(taker)), taker.name)),
          column('regenerated_kwh', 'kWh', quantity(model, 'regenerated_kwh').digits, works.map(({ truck }) => truck.own.regenerated_kwh), 'regenerated'),
        ],
      },
    ],
  });
}

// ------------------------------------------------------------------------------------------------ stated stops

const QUOTED = 0.48;
const rateOf = (key) => /^deceleration_([\d.]+)_m_s2\.motor_share$/.exec(key)?.[1];

// Rows of names behind the ends of lines.
const NAME_PX = 15;

/** How far each name moves down so that those of lines that end together, as from a full battery, stand below each other. */
function apart(ends) {
  const order = ends.map((_, at) => at).sort((a, b) => ends[a] - ends[b]);
  const moved = [...ends];
  order.slice(1).forEach((at, before) => {
    moved[at] = Math.max(moved[at], moved[order[before]] + NAME_PX);
  });
  return moved.map((y, at) => y - ends[at]);
}

/** A line for each deceleration, named behind its end. */
function stopSeries(truck, look, high) {
  const { shares } = truck.braking;
  const lines = shares.list
    .filter(({ key }) => rateOf(key) !== undefined)
    .map(({ key }) => ({ rate: rateOf(key), points: shares.pairs('speed_km_h', key, undefined, (share) => 100 * share) }));
  const shifts = apart(lines.map(({ points }) => (1 - (points.at(-1)[1] ?? 0) / 100) * high));
  const colour = look.series(truck.index);
  return lines.map(({ rate, points }, at) => ({
    name: rate,
    type: 'line',
    symbol: 'none',
    data: points,
    lineStyle: { color: colour, width: 1.8 },
    emphasis: { disabled: true },
    endLabel: label(look, colour, { formatter: `${rate} m/s²`, offset: [0, shifts[at]] }),
    markPoint: signsAlong(look, at, points, [0, points.at(-1)[0]], (at + 0.5) / lines.length, { spots: 2, colour }),
  }));
}

function quotedLine(look, width) {
  const words = width < 500 ? ['up to 48 % is commonly', 'quoted, no source;', 'not a target'] : ['up to 48 % is commonly quoted, no source; not a target'];
  return {
    silent: true,
    symbol: 'none',
    lineStyle: { color: look.soft, width: 0.8, type: 'solid' },
    label: label(look, look.soft, { formatter: words.join('\n'), position: 'insideStartBottom', distance: [24, 4], fontSize: 10.5, lineHeight: 14 }),
    data: [{ yAxis: 100 * QUOTED }],
  };
}

function stopOption(truck, look, width, height) {
  const { shares } = truck.braking;
  const [first, ...others] = stopSeries(truck, look, height - 78);
  return {
    ...base(look),
    grid: { left: 46, right: 64, top: 34, bottom: 44 },
    xAxis: valueAxis(look, 'speed, km/h', { min: 0, max: Math.ceil(shares.of('speed_km_h').at(-1)) }),
    yAxis: upright(look, 'taken by motors, % of the demanded braking power', { min: 0, max: 100 }),
    tooltip: {
      ...base(look).tooltip,
      trigger: 'axis',
      formatter: (points) => tip(`${decimals(points[0].axisValue, 1)} km/h`, points.map(({ seriesName, value }) => [`${seriesName} m/s²`, percent(value[1] === null ? null : value[1] / 100)])),
    },
    series: [{ ...first, markLine: quotedLine(look, width) }, ...others],
  };
}

function stopCaption({ stops }) {
  const told = Array.from(stops.of('deceleration_m_s2'), (rate, row) => `${decimals(rate, 1)} m/s² ${percent(stops.of('motor_share')[row])}`);
  return (
    `Over the whole stop, from ${decimals(stops.of('from_speed_km_h')[0], 0)} km/h to rest on the level, motors take of the braking work: ${told.join(', ')}. ` +
    `As loaded, at the state of charge of the start, motors cold, with the adhesion that the truck's file states, at each speed in the gear that brakes most; the share falls at walking pace, where regeneration fades out.`
  );
}

const stopFigure = (model, truck) =>
  figure({
    title: `What motors take of a stop${of(model, truck)}`,
    caption: stopCaption(truck.braking),
    alt: `Share of the demanded braking power that the motors of ${truck.name} take, over speed, at three decelerations`,
    height: (width) => (width < 500 ? 280 : 320),
    option: (look, width, height) => stopOption(truck, look, width, height),
    sheets: [
      {
        title: `${truck.name}, stated stops`,
        file: `${truck.id}-stops`,
        columns: truck.braking.stops.list.map((one) => ({ ...one, values: truck.braking.stops.of(one.key) })),
      },
      {
        title: `${truck.name}, motors' share over speed`,
        file: `${truck.id}-stop-shares`,
        columns: truck.braking.shares.list.map((one) => ({ ...one, values: truck.braking.shares.of(one.key) })),
      },
    ],
  });

// ------------------------------------------------------------------------------------------------ adhesion

const LINES = ['band_low_use', 'band_high_use', 'band_above_use', 'least_rate_use'];

const thin = (name, data, style) => ({ name, type: 'line', symbol: 'none', silent: true, data, lineStyle: style, emphasis: { disabled: true } });

/** What is shown ends a little beyond the points, and reaches where the bands begin. */
const endOf = (values, least) => Math.ceil(Math.max(least, ...Array.from(values).map((one) => 1.05 * one)) * 10 - 1e-9) / 10;

function adhesionOption(model, truck, look) {
  const { use } = truck.braking;
  const bands = model.bands;
  const most = endOf(use.of('braking_rate'), 0.3);
  const high = endOf([...use.of('front_axle_use'), ...use.of('driven_axle_use')], 0.4);
  const within = (points) => points.map(([z, f]) => [z, f !== null && z <= most && f <= high ? f : null]);
  const line = (key) => within(bands.pairs('braking_rate', key));
  const points = (key, style) => ({ type: 'scatter', symbolSize: 5, data: use.pairs('braking_rate', key), ...style });
  const ideal = line('ideal_use');
  const shown = ideal.filter(([, f]) => f !== null);
  return {
    ...base(look),
    grid: { left: 46, right: 16, top: 34, bottom: 44 },
    xAxis: valueAxis(look, 'braking rate z', { min: 0, max: most }),
    yAxis: upright(look, 'use of adhesion f, braking force over axle load', { min: 0, max: high }),
    tooltip: {
      ...base(look).tooltip,
      trigger: 'item',
      formatter: ({ seriesName, value }) => tip(`z ${decimals(value[0], 3)}`, [[seriesName, decimals(value[1], 3)]]),
    },
    series: [
      ...LINES.map((key) => thin(key, line(key), { color: look.soft, width: 0.8, type: LIMIT })),
      {
        ...thin('ideal', ideal, { color: look.ink, width: 1 }),
        markPoint: {
          silent: true,
          symbolSize: 0,
          label: label(look, look.ink, { formatter: 'f = z', position: 'bottom' }),
          data: [{ coord: shown[Math.floor(0.85 * shown.length)] }],
        },
      },
      points('front_axle_use', { name: 'front axle', symbol: 'circle', itemStyle: { color: look.paper, borderColor: look.ink, borderWidth: 1 } }),
      points('driven_axle_use', { name: 'most used driven axle', symbol: 'diamond', itemStyle: { color: look.series(truck.index) } }),
    ],
  };
}

// How the axles share friction braking, by the word of brakes.distribution.
const SHARED = {
  loads_at_rest: 'Friction brakes are shared by the axle loads at rest.',
  ideal: 'Friction brakes are shared so that all braking of an axle, that of motors included, is in proportion to its load of the moment, as far as motors leave it to them.',
  stated: 'Friction brakes are shared by the axles as the file states it.',
};

/** "0.26 by the driven axle at z 0.05". */
function largestUse(use) {
  const of = (key, name) => {
    const used = use.of(key);
    const row = used.reduce((best, one, at) => (one > used[best] || Number.isNaN(used[best]) ? at : best), 0);
    return { name, most: used[row], rate: use.of('braking_rate')[row] };
  };
  const axles = [of('front_axle_use', 'front'), of('driven_axle_use', 'driven')].filter(({ most }) => Number.isFinite(most));
  const largest = axles.reduce((best, one) => (one.most > best.most ? one : best));
  return `${decimals(largest.most, 2)} by the ${largest.name} axle at z ${decimals(largest.rate, 2)}`;
}

function adhesionCaption({ use, distribution }) {
  const rates = use.of('braking_rate');
  const hardest = rates.reduce((best, z, row) => (z > rates[best] ? row : best), 0);
  return (
    `Rings: front axle; diamonds: most used driven axle. Hardest braking: z ${decimals(rates[hardest], 2)}, where the front axle uses ${decimals(use.of('front_axle_use')[hardest], 2)} ` +
    `and the driven one ${decimals(use.of('driven_axle_use')[hardest], 2)}. Largest use: ${largestUse(use)}. ${SHARED[distribution]}`
  );
}

/** Told once, before the charts of all trucks. */
const YARDSTICK = 'Use of adhesion, dashed in grey as a yardstick: the bands of UN R13 Annex 10 around f = z and its least braking rate above them, from memory. They bind vehicles without anti-lock systems and are no verdict here.';

const adhesionFigure = (model, truck) =>
  figure({
    title: `Use of adhesion while braking${of(model, truck)}`,
    caption: adhesionCaption(truck.braking),
    alt: `Use of adhesion of front and driven axle of ${truck.name} over the braking rate, with the line f = z and bands of UN R13 Annex 10`,
    height: (width) => (width < 500 ? 300 : 360),
    option: (look) => adhesionOption(model, truck, look),
    sheets: [
      {
        title: `${truck.name}, use of adhesion`,
        file: `${truck.id}-adhesion`,
        columns: truck.braking.use.list.map((one) => ({ ...one, values: truck.braking.use.of(one.key) })),
      },
      {
        title: 'bands of UN R13 Annex 10, from memory',
        file: 'adhesion-bands',
        columns: model.bands.list.map((one) => ({ ...one, values: model.bands.of(one.key) })),
      },
    ],
  });

export function braking(model) {
  const told = model.trucks.filter((truck) => truck.braking !== null);
  if (told.length === 0) return null;
  const braked = told.filter(({ braking: { use } }) => use !== null && use.rows > 0);
  const unbraked = told.filter((truck) => truck.trace !== null && !braked.includes(truck)).map(({ name }) => name);
  return [
    workFigure(model),
    told.map((truck) => stopFigure(model, truck)),
    braked.length > 0 ? make('p', { class: 'note yardstick' }, YARDSTICK) : null,
    braked.map((truck) => adhesionFigure(model, truck)),
    unbraked.length > 0 ? make('p', {}, `Nothing braked in the run of ${names(unbraked)}.`) : null,
    make('p', { class: 'caution' }, 'How hard a loaded vehicle may be braked, by what and on which road is for local regulation, approved testing and licensed practice to decide.'),
  ];
}
