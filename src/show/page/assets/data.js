// What the program wrote into the page, and how its numbers are shown.

/** Reads whole numbers in seven bits a byte, lowest first, the eighth set where more follow. */
function reader(text) {
  const bytes = atob(text);
  let at = 0;
  return () => {
    let value = 0;
    for (let weight = 1; ; weight *= 128) {
      const byte = bytes.charCodeAt(at);
      at += 1;
      value += (byte & 0x7f) * weight;
      if (byte < 0x80) return value;
    }
  };
}

/** A list of whole numbers from differences (order 1) or differences of those (order 2), zigzag, behind a 0 how many more follow. */
function unpackList(next, order, rows) {
  const list = [];
  let sum = 0;
  let change = 0;
  while (list.length < rows) {
    const told = next();
    const signed = told % 2 === 1 ? -(told + 1) / 2 : told / 2;
    for (let again = told === 0 ? next() : 0; again >= 0; again -= 1) {
      change = order === 2 ? change + signed : signed;
      sum += change;
      list.push(sum);
    }
  }
  return list;
}

/** Column after column; null where a row has none. */
function unpackColumns(text, columns, rows) {
  const next = reader(text);
  return columns.map(({ decimals: places, order, gaps }) => {
    const there = gaps ? unpackList(next, 1, rows) : null;
    const [times, per] = places < 0 ? [10 ** -places, 1] : [1, 10 ** places];
    return unpackList(next, order, rows).map((whole, row) => (there === null || there[row] === 1 ? (whole * times) / per : null));
  });
}

/** Columns by key, unpacked when the first of them is asked for. */
export class Columns {
  #values = null;

  constructor(written) {
    this.list = written.columns;
    this.rows = written.rows;
    this.packed = written.packed;
  }

  get values() {
    if (this.#values === null) {
      const unpacked = unpackColumns(this.packed, this.list, this.rows);
      this.#values = new Map(this.list.map(({ key }, at) => [key, unpacked[at]]));
    }
    return this.#values;
  }

  has(key) {
    return this.list.some((column) => column.key === key);
  }

  of(key) {
    return this.values.get(key);
  }

  column(key) {
    return this.list.find((column) => column.key === key);
  }

  /** Pairs for a chart of one column over another, each changed on the way. */
  pairs(x, y, changeX = (value) => value, changeY = (value) => value) {
    const xs = this.of(x);
    const ys = this.of(y);
    const out = new Array(this.rows);
    for (let row = 0; row < this.rows; row += 1) {
      out[row] = [changeX(xs[row]), ys[row] === null ? null : changeY(ys[row])];
    }
    return out;
  }

  /** Between rows, straight; x rises from row to row, or stays. null: beyond, or nothing there. */
  valueAt(xs, ys, x) {
    if (this.rows === 0 || x < xs[0] || x > xs[this.rows - 1]) return null;
    let low = 0;
    let high = this.rows - 1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (xs[middle] <= x) low = middle;
      else high = middle;
    }
    if (ys[low] === null || ys[high] === null) return null;
    const share = xs[high] > xs[low] ? (x - xs[low]) / (xs[high] - xs[low]) : 0;
    return ys[low] + share * (ys[high] - ys[low]);
  }

  /** The column of a drive unit, also where a truck has but one, whose columns bear no name. */
  ofUnit(unit, key) {
    return this.of(`${unit}.${key}`) ?? this.of(key);
  }
}

/** A value at a dotted key of a document: "energy_balance.air_drag_kwh", "drive_units.rear.gear_changes"; undefined: none. */
export const at = (document, key) => key.split('.').reduce((value, part) => value?.[part], document);

const group = (text) => text.replace(/\B(?=(\d{3})+$)/g, '\u202f');

/** Whether decimals show nothing but zeros. */
export const looksLikeNothing = (value, digits) => Number(Math.abs(value).toFixed(digits)) === 0;

/** So many decimals, thousands apart, a true minus. */
export function decimals(value, digits) {
  if (value === null || value === undefined || !Number.isFinite(value)) return '\u2013';
  const [whole, part] = Math.abs(value).toFixed(digits).split('.');
  return `${value < 0 && !looksLikeNothing(value, digits) ? '\u2212' : ''}${whole.length > 4 ? group(whole) : whole}${part ? `.${part}` : ''}`;
}

/** A mark on an axis: as many decimals as it has. */
export const mark = (value) => decimals(value, (String(Number(value.toPrecision(6))).split('.')[1] ?? '').length);

export function change(value, digits) {
  const text = decimals(value, digits);
  return value > 0 && !looksLikeNothing(value, digits) ? `+${text}` : text;
}

const SECOND_DECIMALS = 1;

/** "1 h 35 min", "2 min 59 s", "41.2 s": as evn_format_duration tells it, tests/durations.tsv holds both to it. */
export function duration(seconds) {
  if (seconds === null || seconds === undefined || !Number.isFinite(seconds)) return '\u2013';
  const sign = seconds < 0 ? '\u2212' : '';
  const all = Math.abs(seconds);
  const pair = (count, large, small) => `${sign}${Math.floor(count / 60)} ${large} ${String(count % 60).padStart(2, '0')} ${small}`;
  if (all < 59.95) return `${decimals(seconds, SECOND_DECIMALS)} s`;
  return all < 3599.5 ? pair(Math.round(all), 'min', 's') : pair(Math.round(all / 60), 'h', 'min');
}

/** A duration as a difference, with its sign. */
export const durationChange = (seconds) =>
  `${seconds > 0 && !looksLikeNothing(seconds, SECOND_DECIMALS) ? '+' : ''}${duration(seconds)}`;

/** Numbers stay on one line with their units. */
export const bound = (text) => text.replace(/(\d) (?=(%|kWh|kW|kg|km|h|min|s|t|°C)\b|%)/g, '$1\u00a0');

const UNITS = { degC: '°C', ohm: 'Ω', m2: 'm²', 'm/s2': 'm/s²', 'kg/m3': 'kg/m³', '': '' };
export const unitText = (unit) => UNITS[unit] ?? unit;

/** "winding temperature, °C". */
export const heading = (column) => `${column.label ?? column.key}${column.unit ? `, ${unitText(column.unit)}` : ''}`;

/** Text of a CSV file: keys as the program's own CSV files have them. */
export function csv(columns) {
  const lines = [columns.map(({ key }) => key.replaceAll('.', '_')).join(',')];
  const rows = columns[0]?.values.length ?? 0;
  const plain = (value) => {
    if (value === null || value === undefined || Number.isNaN(value)) return '';
    const text = typeof value === 'string' && /^[=+\-@\t\r]/.test(value) ? `'${value}` : String(value); // no formula of a spreadsheet
    return /[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  };
  for (let row = 0; row < rows; row += 1) lines.push(columns.map(({ values }) => plain(values[row])).join(','));
  return `${lines.join('\n')}\n`;
}
