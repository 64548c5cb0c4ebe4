// Unpacks DEFLATE (RFC 1951) at once, for paper that does not wait; whatever else is unpacked is left to the browser.

const END = 256;
const MOST_BITS = 15;
// Section 3.2.5: the least length and distance of each code, and the bits that are added to it.
const LENGTH_BITS = [0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 4, 5, 5, 5, 5, 0];
const LENGTHS = [3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 15, 17, 19, 23, 27, 31, 35, 43, 51, 59, 67, 83, 99, 115, 131, 163, 195, 227, 258];
const DISTANCE_BITS = Array.from({ length: 30 }, (_, code) => Math.max(0, (code >> 1) - 1));
const DISTANCES = DISTANCE_BITS.map((bits, code) => (code < 4 ? code + 1 : ((2 + (code & 1)) << bits) + 1));
// Section 3.2.7: the order in which lengths of the codes for lengths stand.
const ORDER = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];

/** A code by the lengths of its words (section 3.2.2): how many there are of each length, and what they stand for in their order. */
function codeOf(lengths) {
  const counts = new Uint16Array(MOST_BITS + 1);
  for (const length of lengths) if (length > 0) counts[length] += 1;
  const symbols = [];
  for (let bits = 1; bits <= MOST_BITS; bits += 1) lengths.forEach((length, symbol) => length === bits && symbols.push(symbol));
  return { counts, symbols };
}

const repeated = (...runs) => runs.flatMap(([length, count]) => Array(count).fill(length));
// Section 3.2.6.
const FIXED = [codeOf(repeated([8, 144], [9, 112], [7, 24], [8, 8])), codeOf(repeated([5, 30]))];

class Bits {
  constructor(bytes) {
    this.bytes = bytes;
    this.at = 0; // in bits
  }

  one() {
    const bit = (this.bytes[this.at >> 3] >> (this.at & 7)) & 1;
    this.at += 1;
    return bit;
  }

  /** A number, its lowest bit first. */
  number(count) {
    let value = 0;
    for (let bit = 0; bit < count; bit += 1) value |= this.one() << bit;
    return value;
  }

  /** What the next word of a code stands for; words come highest bit first. */
  symbol({ counts, symbols }) {
    let [word, first, before] = [0, 0, 0];
    for (let bits = 1; bits <= MOST_BITS; bits += 1) {
      word |= this.one();
      if (word - first < counts[bits]) return symbols[before + word - first];
      before += counts[bits];
      first = (first + counts[bits]) << 1;
      word <<= 1;
    }
    throw new Error('a word that is in no code');
  }
}

/** Codes that stand before what they pack. */
function codesOf(bits) {
  const [literals, distances, words] = [bits.number(5) + 257, bits.number(5) + 1, bits.number(4) + 4];
  const own = Array(ORDER.length).fill(0);
  for (const symbol of ORDER.slice(0, words)) own[symbol] = bits.number(3);
  const code = codeOf(own);
  const lengths = [];
  while (lengths.length < literals + distances) {
    const symbol = bits.symbol(code);
    if (symbol < 16) lengths.push(symbol);
    else if (symbol === 16) lengths.push(...repeated([lengths.at(-1), 3 + bits.number(2)]));
    else lengths.push(...repeated([0, symbol === 17 ? 3 + bits.number(3) : 11 + bits.number(7)]));
  }
  return [codeOf(lengths.slice(0, literals)), codeOf(lengths.slice(literals))];
}

function putPacked(bits, out, [literals, distances]) {
  for (let symbol = bits.symbol(literals); symbol !== END; symbol = bits.symbol(literals)) {
    if (symbol < END) {
      out.push(symbol);
      continue;
    }
    const length = LENGTHS[symbol - END - 1] + bits.number(LENGTH_BITS[symbol - END - 1]);
    const code = bits.symbol(distances);
    const back = DISTANCES[code] + bits.number(DISTANCE_BITS[code]);
    for (let byte = 0; byte < length; byte += 1) out.push(out[out.length - back]);
  }
}

function putPlain(bits, out) {
  const at = (bits.at + 7) >> 3;
  const from = at + 4; // behind the count and its complement
  const to = from + (bits.bytes[at] | (bits.bytes[at + 1] << 8));
  for (let byte = from; byte < to; byte += 1) out.push(bits.bytes[byte]);
  bits.at = 8 * to;
}

/** All bytes that were packed. */
export function inflate(bytes) {
  const bits = new Bits(bytes);
  const out = [];
  for (let last = 0; !last; ) {
    last = bits.one();
    const kind = bits.number(2);
    if (kind === 0) putPlain(bits, out);
    else putPacked(bits, out, kind === 1 ? FIXED : codesOf(bits));
  }
  return Uint8Array.from(out);
}
