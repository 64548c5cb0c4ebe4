// Temperatures along the route.
import { decimals } from '../data.js';
import { tip } from '../dom.js';
import { column, figure } from '../figure.js';
import { placeDigits, quantity, unitName } from '../model.js';
import { axisEnd, base, nameAt, rowOfName, sideOfName, upright, valueAxis } from '../theme.js';

const km = (metres) => metres / 1000;
const peakDigits = (model) => quantity(model, 'peak_winding_temperature_degc').digits;

function lines(model) {
  return model.trucks.flatMap((truck) =>
    truck.trace === null
      ? []
      : truck.units
          .map((unit, at) => ({ truck, unit, at, name: unitName(model, truck, unit), degc: truck.trace.ofUnit(unit.name, 'winding_temperature_degc') }))
          .filter(({ degc }) => degc !== undefined),
  );
}

function nameOnLine(truck, look, name, degc, index, count) {
  const row = rowOfName(index, count, truck.trace.rows);
  const coord = [km(truck.trace.of('place_m')[row]), degc[row]];
  return nameAt(look, look.series(truck.index), name, coord, { position: sideOfName(index) });
}

function option(found, look) {
  return {
    ...base(look),
    grid: { left: 46, right: 16, top: 34, bottom: 44 },
    xAxis: valueAxis(look, 'distance, km', { min: 0, max: ({ max }) => axisEnd(max), splitLine: { show: false } }),
    yAxis: upright(look, 'winding temperature, °C', { scale: true }),
    tooltip: {
      ...base(look).tooltip,
      trigger: 'axis',
      formatter: (points) => {
        const place = points[0].axisValue * 1000;
        return tip(
          `km ${decimals(km(place), 2)}`,
          found.map(({ truck, name, degc }) => {
            const here = truck.trace.valueAt(truck.trace.of('place_m'), degc, place);
            return [name, here === null ? '\u2013' : `${decimals(here, 1)} °C`];
          }),
        );
      },
    },
    series: found.map(({ truck, name, degc, at }, index) => ({
      name,
      type: 'line',
      symbol: 'none',
      sampling: 'minmax',
      data: Array.from(degc, (value, row) => [km(truck.trace.of('place_m')[row]), value]),
      lineStyle: { ...look.line(truck.index, at === 0 ? 1.8 : 1), opacity: at === 0 ? 1 : 0.85 },
      emphasis: { disabled: true },
      markPoint: found.length > 1 ? nameOnLine(truck, look, name, degc, index, found.length) : undefined,
    })),
  };
}

export function heat(model) {
  const found = lines(model);
  if (found.length === 0) return null;
  const hottest = found
    .map(({ name, degc, truck }) => {
      const most = degc.reduce((best, value, row) => (value > degc[best] ? row : best), 0);
      return { name, degc: degc[most], km: km(truck.trace.of('place_m')[most]) };
    })
    .sort((a, b) => b.degc - a.degc)[0];
  return [
    figure({
      title: 'Winding temperatures',
      caption: `Hottest winding: ${hottest.name}: ${decimals(hottest.degc, peakDigits(model))} °C at km ${decimals(hottest.km, placeDigits(model))}. Thick lines: first drive unit of each truck.`,
      alt: 'Winding temperature of each drive unit along the route',
      height: (width) => (width < 500 ? 260 : 300),
      option: (look) => option(found, look),
      sheets: found.map(({ truck, unit, name, degc }) => ({
        title: `${name}, winding temperature`,
        file: `${truck.id}-${unit.name}-winding`,
        columns: [
          column('place_m', 'm', 1, truck.trace.of('place_m'), 'distance along the route'),
          column('winding_temperature_degc', 'degC', 1, degc, 'winding temperature'),
        ],
      })),
    }),
  ];
}
