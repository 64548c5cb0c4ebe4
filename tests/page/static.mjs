// Looks at pages whose scripts do not run: what a preview in a mail shows. All figures are held against the document.
import { join } from 'node:path';
import { strict as assert } from 'node:assert';
import { faultsOf, scriptless } from './boxes.mjs';

const at = (document, key) => key.split('.').reduce((value, part) => value?.[part], document);
const signed = (number, text) => (number > 0 && /[1-9]/.test(text) ? `+${text}` : text);
/** A tie goes to the even digit, as C's printf has it. */
const even = (number, digits) => {
  const scaled = number * 10 ** digits;
  return scaled % 1 !== 0 && (2 * scaled) % 1 === 0 ? 2 * Math.round(scaled / 2) / 10 ** digits : number;
};
const fixed = (number, digits) => even(number, digits).toFixed(digits).replace(/^-(?=[0.]+$)/, '');

/** Of a value in a row of the document, without the page's or the program's code. */
function textOf(row, number, durationText) {
  if (number === null || number === undefined) return '\u2013';
  if (typeof number === 'string') return number;
  if (typeof number === 'boolean') return number ? 'yes' : 'no';
  if (row.kind === 'yes_no') return ['no', 'yes'][number] ?? 'not judged';
  return row.unit === 's' ? durationText(number).replace(/^-(?=0\.0 s$)/, '') : fixed(row.kind === 'share' ? 100 * number : number, row.digits);
}

/** Its difference against the truck held against, from both values; the document lists those of results against the first truck by
 * themselves. */
function gapOf(row, truck, first, isFirst) {
  const [, basis, name] = /^(own|common|)\.?(.*)$/.exec(row.key.startsWith('masses.') ? `own.${row.key}` : row.key);
  const here = at(first, row.key);
  if (row.change === null || typeof here !== 'number') return null;
  if (row.percent_from !== null && Math.abs(here) < row.percent_from) return null;
  const likeness = row.key.startsWith('likeness.');
  const listed = !likeness && isFirst;
  const there = at(truck, row.key);
  const gap = listed ? at(truck[basis || 'own'], `${row.change}.${name}`) : typeof there === 'number' ? there - here : null;
  if (gap === undefined || gap === null) return null;
  return row.change === 'percent' && !listed ? (100 * gap) / Math.abs(here) : gap;
}

function changeText(row, gap, durationText) {
  if (row.change === 'percent') return `${signed(gap, fixed(gap, 1))} %`;
  if (row.unit === 's') return signed(gap, durationText(gap)).replace(/^-(?=0\.0 s$)/, '');
  return signed(gap, fixed(row.kind === 'share' ? 100 * gap : gap, row.digits));
}

/** So high the table of ten rows begins, by name of page and width of the window. */
const TABLE_BY_PX = { compare: { 1440: 900, 390: 1150 }, twelve: { 1440: 1250, 390: 1750 } };

/** Pages whose pictures are kept for people: a picture of a whole page costs as much as a look. */
const SHOWN = ['compare', 'stalled', 'twelve'];

export function staticLooks({ folder, json, plain, durationText }) {
  /** A page whose scripts do not run; nothing may be asked for. It is shut also where a look fails. */
  async function within(browser, name, width, look) {
    const context = await browser.newContext({ viewport: { width, height: 800 }, javaScriptEnabled: false });
    const page = await context.newPage();
    scriptless.add(page);
    const asked = [];
    page.on('request', (request) => request.url().startsWith('file:') || asked.push(request.url()));
    const looked = async () => {
      await page.goto(`file://${join(folder, `${name}.html`)}`);
      await look(page);
    };
    await looked().finally(() => context.close());
    assert.deepEqual(asked, [], name);
  }

  /** Texts of the cells of tables, group by group of trucks, the columns of all groups side by side. */
  const cellsOf = async (page, selector, trucks) => {
    const tables = await page.locator(selector).all();
    const rows = new Map();
    for (const table of tables) {
      const read = await table.locator('tbody tr').all();
      for (const row of read) {
        const [head, ...cells] = await row.locator('th, td').evaluateAll((list) =>
          list.map((cell) => {
            const small = cell.querySelector('small')?.textContent ?? null;
            const long = cell.querySelector('.long');
            return { small, first: (long ?? cell).textContent.slice(0, small === null ? undefined : (long ?? cell).textContent.length - small.length) };
          }),
        );
        const name = head.first.replaceAll('\u00a0', ' ');
        rows.set(name, [...(rows.get(name) ?? []), ...cells]);
      }
    }
    for (const [head, cells] of rows) assert.equal(cells.length, trucks, `${head}: ${cells.length} cells`);
    return rows;
  };

  /** The first truck, or where that did not finish at the common speed the lowest there, as in the ranking. */
  const heldAgainst = (document) => {
    const { decides } = document.answer;
    const common = document.trucks.filter((truck) => truck.common.status === 'finished');
    const on = common.length > 1 ? 'common' : 'own';
    const ranked = document.trucks.filter((truck) => truck[on].status === 'finished').sort((a, b) => a[on][decides] - b[on][decides]);
    return ranked.length === 0 || ranked.includes(document.trucks[0]) ? document.trucks[0] : ranked[0];
  };

  const finishedOn = (truck, row) => !/^(own|common)\./.test(row.key) || truck[row.key.split('.')[0]].status === 'finished';

  /** The ten rows, then the others: heads, values and differences of every truck. */
  async function rowsAreThoseOfTheDocument(page, name) {
    const document = json(name);
    const first = heldAgainst(document);
    const unitOf = ({ kind, unit }) => (kind === 'share' ? '%' : unit === 's' ? '' : unit.replace('degC', '\u00b0C').replace(/^m2$/, 'm\u00b2').replace(/^ohm$/, '\u03a9'));
    const headOf = (row) => `${row.label}${unitOf(row) ? `, ${unitOf(row)}` : ''}`;
    const all = document.trucks.every(({ own }) => own.status === 'finished');
    let seen = 0;
    assert.equal(document.rows.filter(({ main }) => main).length, 10, 'over a cycle ten rows come first');
    for (const [selector, rows, more] of [
      ['#answer > .scroll > table.side', document.rows.filter(({ main }) => main), all ? [] : ['distance covered, km']],
      ['#answer > details.rows table', document.rows.filter(({ main }) => !main), []],
    ]) {
      const shown = await cellsOf(page, selector, document.trucks.length);
      assert.deepEqual([...shown.keys()], [...more, ...rows.map(headOf)], `${name}: rows in their order`);
      for (const row of rows)
        document.trucks.forEach((truck, index) => {
          const told = finishedOn(truck, row);
          const gap = truck !== first && told && first.own.status === 'finished' ? gapOf(row, truck, first, first === document.trucks[0]) : null;
          const listed = at(truck.changes, row.key) ?? null;
          assert.ok(gap === null ? listed === null : Math.abs(listed - gap) <= 1e-6 * Math.abs(gap) + 1e-9, `${name}: ${row.key} of ${truck.name} changes by ${gap}, listed ${listed}`);
          const value = told ? textOf(row, at(truck, row.key), durationText) : '\u2013';
          const cell = shown.get(headOf(row))[index];
          const [head, small] = [plain(cell.first), cell.small === null ? null : plain(cell.small)];
          const beyond = row.key.endsWith('.value') && at(truck, row.key.replace(/\.value$/, '.beyond')) === true ? '> ' : '';
          const heat = row.key === 'own.limited_by.0.label' && told ? heatBeside(truck) : undefined;
          const doubt = row.key === 'own.limited_by.0.label' && told ? inDoubt(truck, truck.own.limited_by[0]) : '';
          if (heat || doubt) assert.deepEqual([head, small], [value + doubt, heat ? `too: ${heat.label}, ${durationText(heat.duration_s)}${inDoubt(truck, heat)}` : null]);
          else assert.deepEqual([head, small], gap === null ? [beyond + value, null] : [changeText(row, listed, durationText), value], `${name}: ${row.key} of ${truck.name}`);
          seen += 1;
        });
    }
    return seen;
  }

  /** Gross mass or an axle beyond what the file permits, by what was found. */
  const isOverloaded = ({ findings }, { name }) => findings.some(({ text }) => text.startsWith(`${name}: `) && text.includes('; permitted are '));

  /** The limit of temperature that stands below the one that limited it longest. */
  const heatBeside = ({ own: { limited_by: [longest, ...others] } }) => {
    const isHeat = ({ limit }) => /^(winding|inverter)_temperature$/.test(limit);
    return longest && !isHeat(longest) ? others.find(isHeat) : undefined;
  };

  /** Behind a limit that would not have bound with another time constant of the winding. */
  const inDoubt = ({ own: { findings } }, limit) =>
    limit?.limit === 'winding_temperature' && findings.some((text) => /^whether the winding .* derates is not decided/.test(text)) ? ', in doubt' : '';

  /** Order, differences, intervals and probabilities of the ranking; those that did not finish are in none. */
  async function rankingIsThatOfTheDocument(page, name) {
    const document = json(name);
    const { decides } = document.answer;
    const ranked = document.trucks.filter(({ common }) => common.status === 'finished').sort((a, b) => a.common[decides] - b.common[decides]);
    const rows = await page.locator('table.ranked tbody tr').evaluateAll((list) => list.map((row) => ({ head: row.cells[0].innerText, text: row.innerText, marks: row.querySelectorAll('.strip path').length, bars: row.querySelectorAll('.strip .bar').length })));
    if (ranked.length < 2) return assert.equal(rows.length, 0);
    assert.equal(rows.length, ranked.length);
    const labels = await page.locator('table.ranked .axis text').evaluateAll((list) => list.map((one) => [Number(one.textContent.replace('\u2212', '-')), parseFloat(one.getAttribute('x'))]));
    const perPercent = (labels.at(-1)[1] - labels[0][1]) / (labels.at(-1)[0] - labels[0][0]);
    assert.ok(labels.length >= 2, `the axis of the ranking has ${labels.length} numbers`);
    for (const [value, at] of labels) assert.ok(Math.abs(at - labels[0][1] - perPercent * (value - labels[0][0])) < 0.02, `${labels}`);
    const caption = plain(await page.locator('table.ranked caption').innerText());
    const who = ranked.length === document.trucks.length ? 'All trucks' : `The ${ranked.length} of ${document.trucks.length} trucks that finished`;
    assert.ok(caption.startsWith(`${who} ranked by `), caption);
    const first = ranked.includes(document.trucks[0]) ? document.trucks[0] : ranked[0];
    rows.forEach(({ head, text, marks, bars }, index) => {
      const truck = ranked[index];
      assert.equal(plain(head).trim().replace(/\s+/g, ' '), `${truck.short_name}${isOverloaded(document, truck) ? ' \u2717 overloaded' : ''}`);
      assert.equal(marks, 1, 'a dot');
      if (truck === first) return assert.ok(text.includes('held against'), text);
      const told = document.uncertainty.pairs?.find((pair) => pair.truck === truck.name && pair.other === first.name)?.common.told;
      const percent = truck.common.percent?.[decides] ?? told?.percent;
      const shown = plain(text);
      assert.ok(shown.includes(signed(percent, fixed(percent, 1))), `${percent} in ${shown}`);
      assert.equal(bars, told ? 1 : 0);
      if (!told) return;
      const end = (value) => signed(value, fixed(value, /[1-9]/.test(value.toFixed(1)) ? 1 : 2));
      assert.ok(shown.includes(`${end(told.low_percent)} to ${end(told.high_percent)}`), shown);
      assert.equal(shown.includes('cannot be told apart'), told.apart === 'cannot_be_told_apart', shown);
    });
    return rows.length;
  }

  return {
    // The first screen, on a phone too: who, by how much, how sure; what is not alike; who finished; ten rows.
    async without_scripts_the_answer_is_that_of_the_document(browser) {
      for (const name of ['compare', 'stalled', 'twelve', 'wide']) {
        await within(browser, name, 1000, async (page) => {
        const document = json(name);
        const verdict = (await page.locator('.verdict p').allInnerTexts()).map(plain);
        assert.deepEqual(verdict, document.answer.brief.map(plain), name);
        await rankingIsThatOfTheDocument(page, name);
        assert.ok((await rowsAreThoseOfTheDocument(page, name)) >= 20 * document.trucks.length, `${name}: few figures`);
        const finished = document.reached.filter((truck) => truck.finished);
        const status = (await page.locator('.status').allInnerTexts()).map(plain).join(' ');
        if (finished.length === document.trucks.length) assert.equal(status, '', name);
        else assert.ok(status.startsWith(`${finished.length} of ${document.trucks.length} finished`), status);
        const first = (await page.locator('#answer > :is(.verdict, .status, .note), #answer .ranked').allInnerTexts()).join(' ');
        assert.equal((first.match(/\bstalled\b/g) ?? []).length, document.reached.filter(({ finished: done }) => !done).length, 'each is told once');
        document.reached.forEach(({ short_name: title, finished: done, distance_km: km, of_km: of, reason }, index) => {
          const why = reason?.replace(document.trucks[index].truck, 'it');
          if (!done) for (const text of [`${title} did not finish: stalled at ${km.toFixed(2)} of ${of.toFixed(2)} km; `, why]) assert.ok(status.includes(plain(text)), `${text} in ${status}`);
        });
        });
      }
    },

    // Who is told as the lowest or the next is told as overloaded too; heat that limited a truck stands beside what did longer.
    async without_scripts_loads_and_heat_stand_in_the_answer(browser) {
      await within(browser, 'stalled', 390, async (page) => {
        const document = json('stalled');
        const { trucks, answer } = document;
        const [best, next] = trucks.filter(({ common }) => common.status === 'finished').sort((a, b) => a.common[answer.decides] - b.common[answer.decides]);
        const [which, , limits] = (await page.locator('.verdict p').allInnerTexts()).map(plain);
        assert.ok(isOverloaded(document, best) && isOverloaded(document, next));
        assert.ok(which.includes(` is that of ${best.short_name} (overloaded): `), which);
        assert.ok(which.includes(`that of ${next.short_name}, the next (overloaded), is `), which);
        const heated = trucks.filter((truck) => truck.own.status === 'finished' && heatBeside(truck));
        assert.ok(heated.length > 0);
        for (const truck of heated) {
          const { label, duration_s: seconds } = heatBeside(truck);
          assert.ok(inDoubt(truck, heatBeside(truck)) !== '');
          assert.ok(limits.endsWith(`; ${label} kept ${truck.short_name} (${durationText(seconds)}, in doubt) below it too.`), limits);
        }
        assert.deepEqual(await faultsOf(page, { root: '#answer' }), []);
      });
      await within(browser, 'compare', 390, async (page) => {
        assert.ok(!json('compare').trucks.some((truck) => isOverloaded(json('compare'), truck)) && !(await page.locator('#answer').innerText()).includes('overloaded'));
      });
    },

    // Each truck's frame is drawn with names for its letters, figures are those of the document, and nothing lies over anything.
    async without_scripts_a_site_has_frames_and_all_figures(browser) {
      for (const width of [1000, 390])
        await within(browser, 'site', width, async (page) => {
          const document = json('site');
          assert.equal(await page.locator('#frames svg.frame').count(), document.trucks.length);
          const lettered = await page.locator('#frames figure').evaluateAll((list) => list.map((one) => [one.querySelectorAll('svg .letter').length, one.querySelectorAll('ol.parts li').length]));
          for (const [letters, names] of lettered) assert.ok(letters === names && names >= 5, `${letters} letters, ${names} names`);
          const words = (await page.locator('ol.parts li').allInnerTexts()).filter((text) => !/^[a-z0-9 ]+$/.test(text));
          assert.deepEqual(words, [], 'parts are named in words');
          assert.deepEqual(await faultsOf(page, { root: '#frames' }), [], `${width}`);
          const cells = await page.locator('table.abilities:not(.decides) tbody tr:not(.row)').evaluateAll((list) => list.map((row) => [...row.querySelectorAll('td')].map((cell) => cell.firstChild?.textContent ?? '')));
          assert.equal(cells.length, document.rows.length);
          document.rows.forEach((row, index) =>
            document.trucks.forEach(({ figures }, truck) => {
              const figure = at(figures, row.key);
              const told = plain(cells[index][truck]).replace(/\s/g, '');
              if (!figure) assert.equal(told, '', row.key);
              else if (figure.value === null) assert.match(told, /^(none|notknown)$/, row.key);
              else assert.ok(told.replace('\u2212', '-').startsWith(fixed(figure.value, row.digits)), `${row.key}: ${told}`);
            }),
          );
        });
    },

    // Which to buy stands first, in the sentences of the document; each cell of each table is a figure of it.
    async without_scripts_payback_has_the_figures_of_the_document(browser) {
      const document = json('payback');
      const figure = (truck, key) => truck.figures.find((one) => one.key === key)?.value;
      const cellsIn = (page, selector) => page.locator(selector).evaluateAll((list) => list.map((table) => [...table.querySelectorAll('tbody tr')].map((row) => ({ key: row.dataset.key, head: row.cells[0].textContent, cells: [...row.cells].slice(1).map((cell) => [...cell.childNodes].map((node) => node.textContent)) }))));
      let seen = 0;
      /** A figure as it is shown, with as many decimals as that has. */
      const same = (text, value, what) => {
        const told = plain(text);
        seen += 1;
        assert.equal(told, fixed(value, (told.split('.')[1] ?? '').length), what);
      };
      for (const width of [1440, 390])
        await within(browser, 'payback', width, async (page) => {
          assert.deepEqual(await faultsOf(page), [], `${width}`);
          assert.match(await page.locator('.invented').innerText(), /^Invented prices: /);
          const tops = await page.locator('.invented, table.which, .verdict').evaluateAll((list) => list.map((one) => one.getBoundingClientRect().top));
          assert.ok(tops.every((top, at) => at === 0 || top > tops[at - 1]) && tops[2] < 900, `${tops}`);
          assert.deepEqual((await page.locator('#left-out li').allInnerTexts()).map(plain), document.not_counted.map(plain));
          const [which] = await cellsIn(page, 'table.which');
          assert.deepEqual(which.map(({ head }) => Number(plain(head))), document.bases[0].advice.map((of) => of.annual_km));
          for (const [at, basis] of document.bases.entries()) {
            const part = `.basis[data-basis=${basis.basis}]`;
            assert.deepEqual((await page.locator(`${part} .verdict p`).allInnerTexts()).map(plain), basis.advice.map(({ sentence }) => plain(sentence)));
            assert.equal(plain(await page.locator(`${part} .alike`).innerText()), plain(basis.alike));
            which.forEach(({ cells }, row) => {
              const of = basis.advice[row];
              const told = plain(cells[at].join(' '));
              if (of.trucks_needed > 1) return assert.ok(told.startsWith(`takes ${of.trucks_needed} trucks`) && told.includes(`one cannot: ${of.hours_a_day.toFixed(2)} h a day`), told);
              if (!of.battery_suffices) return assert.equal(told, 'none no battery that was found suffices');
              assert.ok(told.startsWith(`${of.best} ${of.per_km.toFixed(4)} EUR/km`), told);
              assert.ok(told.includes(`turns to ${of.next} at ${fixed(of.turns_at_extra_price, 0)} EUR (now ${fixed(of.extra_price, 0)})`), told);
            });
            const [worth] = await cellsIn(page, `${part} table.worth`);
            assert.ok(worth.length >= 13, `${worth.length} rows`);
            for (const { key, head, cells } of worth)
              basis.trucks.forEach((truck, index) => {
                const value = figure(truck, key);
                const [told] = cells[index];
                if (value === undefined) return assert.equal(told, '\u2013', key);
                if (key === 'extra.turns_at_km.count' || key === 'extra.rates_of_return') {
                  const [name, times] = key === 'extra.rates_of_return' ? ['extra.rate_of_return', 100] : ['extra.turns_at_km', 1];
                  const all = Array.from({ length: value }, (_, k) => times * figure(truck, `${name}.${k + 1}`));
                  if (value === 0) return assert.equal(told, 'none');
                  if (value > 4) assert.ok(told.endsWith(`, ${value - 4} more`), told);
                  return told.split(', ').slice(0, 4).forEach((text, k) => same(text, all[k], key));
                }
                if (value === null || (key === 'extra.turns_at_energy_price' && value < 0)) return assert.equal(told, 'none', key);
                same(told, head.endsWith(', %') && !key.endsWith('_percent') ? 100 * value : value, key);
              });
          }
          const told = document.bases.filter((basis) => figure(basis.trucks[1], 'extra.sum.0') !== undefined);
          const years = await cellsIn(page, '#flow table.years');
          const parts = await cellsIn(page, '#parts table');
          const sure = await cellsIn(page, '#sure table.sureness');
          const shares = await cellsIn(page, '#sure table.shares');
          const fields = await cellsIn(page, '#field table.field');
          assert.deepEqual([told.length, years.length, parts.length, sure.length, shares.length, fields.length], [2, 2, 4, 2, 2, 4]);
          told.forEach((basis, at) => {
            const [, other] = basis.trucks;
            assert.equal(years[at].length, document.years + 1);
            years[at].forEach(({ cells: [[sum, discounted, band]] }, year) => {
              same(sum, figure(other, `extra.sum.${year}`), `year ${year}`);
              same(discounted, figure(other, `extra.discounted.${year}`), `year ${year}`);
              const { low, high } = other.sure.discounted_saving_by_year[year];
              assert.equal(plain(band), `${fixed(low, 0)} to ${fixed(high, 0)}`);
            });
            for (const [table, begin] of [[parts[at], 'per_km.'], [parts[2 + at], 'per_t_km.']]) { // per km, and per tonne-kilometre
              for (const { key, cells } of table) basis.trucks.forEach((truck, index) => same(cells[index][0], figure(truck, key), key));
              assert.equal(table.length, 12);
              assert.ok(table[0].key.startsWith(begin), table[0].key);
            }
            const { net_present_value: value, probability_above_zero: pays, probability_paid_back_by_year: within } = other.sure;
            [value.low, value.median, value.high, 100 * pays, ...within.slice(1).map((share) => 100 * share)].forEach((number, row) => same(sure[at][row].cells[0][0], number, sure[at][row].head));
            assert.deepEqual(shares[at].map(({ head }) => head), other.sure.causes.map(({ label }) => label));
            other.sure.causes.forEach(({ share, net_present_value: moves }, row) => [100 * share, moves].forEach((number, column) => same(shares[at][row].cells[column][0], number, 'share')));
            const [least, values] = [fields[2 * at], fields[2 * at + 1]];
            const { field } = basis;
            field.annual_km.forEach((km, row) => {
              assert.equal(Number(plain(values[row].head)), km);
              assert.deepEqual(least[row].cells.map((cell) => cell.join('')), field.costs_least[row].map((id, k) => `${field.alike[row][k] ? '=alike' : id}${field.trucks_needed[row][k] > 1 ? `\u00d7${field.trucks_needed[row][k]} trucks, one cannot` : ''}`));
              const [against] = field.against_first;
              against.net_present_value[row].forEach((number, column) => same(values[row].cells[column][0], number, `${km} km`));
              const turns = against.turns_at_energy_price[row];
              if (turns === null) assert.equal(values[row].cells.at(-1)[0], 'none');
              else same(values[row].cells.at(-1)[0], turns, `line at ${km} km`);
            });
          });
        });
      assert.ok(seen > 800, `only ${seen} figures`);
    },

    // Advice in the sentence of the document, then the table; truck by truck what decided, and each number it is made of.
    async without_scripts_verdicts_are_those_of_the_document(browser) {
      const WORDS = { pass: '\u2713 pass', marginal: '\u2248 marginal', fail: '\u2717 fail', not_known: '? not known', not_asked: '\u2013 not asked' };
      const CLASSES = { pass: 'passed', marginal: 'marginal', fail: 'failed', not_known: 'unknown', not_asked: 'unasked' };
      const seen = new Set();
      const ascii = (text) => plain(text).replaceAll('\u00b2', '2').replaceAll('\u00b3', '3');
      for (const name of ['assess', 'assess-many', 'assess-tipper'])
        await within(browser, name, 1440, async (page) => {
          const document = json(name);
          const { trucks } = document;
          const [{ verdicts: demands }] = trucks;
          assert.equal(await page.locator('script').count(), 0);
          assert.deepEqual((await page.locator('.verdict p').allInnerTexts()).map(plain), [ascii(document.advice.sentence)]);
          assert.equal(ascii(await page.locator('#trust p').last().innerText()), ascii(document.caution));
          const cell = (verdict, text) => assert.ok(ascii(text) === WORDS[verdict] || ascii(text).startsWith(WORDS[verdict]), `${verdict}: ${text}`);
          /** As shown: word, margin with as many decimals as that has, and unit. */
          const judged = ({ verdict, margin, unit, demand }, { told, small, kind }) => {
            seen.add(verdict);
            assert.equal(ascii(told), WORDS[verdict], demand);
            assert.equal(kind, CLASSES[verdict], demand);
            if (verdict === 'not_known' || verdict === 'not_asked') return assert.equal(small, null, demand);
            const [, number, shown] = /^([+-]?[\d.]+) ?(.*)$/.exec(ascii(small));
            const times = unit !== '%' && shown === '%' ? 100 : 1;
            if (times === 1) assert.equal(shown, unit, demand);
            assert.equal(number, signed(margin, fixed(times * margin, (number.split('.')[1] ?? '').length)), demand);
          };
          const rows = await page.locator('table.verdicts tr').evaluateAll((list) =>
            list.map((row) => ({
              head: row.querySelector('th[scope^=row]')?.textContent ?? '',
              group: row.classList.contains('row'),
              cells: [...row.querySelectorAll('td')].filter((one) => one.querySelector('b')).map((one) => ({ kind: one.className, told: one.querySelector('b').textContent, small: one.querySelector('small')?.textContent ?? null })),
            })),
          );
          const grouped = trucks.length > 4;
          const cells = grouped
            ? rows.filter(({ group }) => group).map((_, at) => rows.filter(({ group, cells: of }) => !group && of.length > 0).slice(at * trucks.length, (at + 1) * trucks.length).map(({ cells: [one] }) => one))
            : rows.filter(({ cells: of }) => of.length > 0).map(({ cells: of }) => of);
          const heads = rows.filter(({ group, cells: of }) => (grouped ? group : of.length > 0)).map(({ head }) => ascii(head));
          assert.equal(cells.length, demands.length + 1);
          trucks.forEach(({ verdict }, index) => cell(verdict, cells[0][index].told));
          demands.forEach(({ label, demand, at_most: most }, row) => {
            assert.ok(heads[row + 1].startsWith(ascii(label)) && heads[row + 1].includes(demand === 'rules' ? 'clause of least margin' : most ? 'at most ' : 'at least '), heads[row + 1]);
            trucks.forEach(({ verdicts }, index) => judged(verdicts[row], cells[row + 1][index]));
          });
          const decided = await page.locator('.decided').evaluateAll((list) =>
            list.map((one) => ({
              whole: one.querySelector(':scope > p').textContent,
              items: [...one.querySelectorAll('.judged > li')].map((item) => ({
                kind: item.className,
                words: [...item.querySelector('p').childNodes].filter((node) => node.nodeType === 3).map((node) => node.data).join(''),
                formula: item.querySelector('details p code').textContent,
                told: item.querySelector('details').textContent,
                inputs: [...item.querySelectorAll('details li')].map((input) => ({ key: input.querySelector('code').textContent, from: input.querySelector('.from')?.textContent ?? null, amount: [...input.childNodes].filter((node) => node.nodeType === 3).map((node) => node.data).join('') })),
              })),
            })),
          );
          let numbers = 0;
          trucks.forEach(({ sentence, verdicts }, index) => {
            const { whole, items } = decided[index];
            assert.ok(ascii(sentence).startsWith(ascii(whole)), whole);
            const order = ['fail', 'not_known', 'marginal', 'pass'].flatMap((verdict) => verdicts.filter((one) => one.verdict === verdict));
            assert.deepEqual(items.map(({ kind }) => kind), order.map(({ verdict }) => CLASSES[verdict]));
            order.forEach((is, at) => {
              const { words, formula, inputs, told } = items[at];
              assert.ok(ascii(words).trim().startsWith(ascii(is.label)), words);
              if (is.verdict !== 'pass') assert.ok(ascii(sentence).includes(ascii(words).trim()), `${words} in ${sentence}`);
              assert.equal(formula, `margin = ${is.formula}`);
              for (const text of [is.found, is.source]) assert.ok(text === null || told.includes(text), `${text} in ${told}`);
              assert.equal(inputs.length, is.inputs.length);
              is.inputs.forEach(({ key, value, unit, from }, k) => {
                assert.equal(inputs[k].key, key);
                assert.equal(inputs[k].from, from === null ? null : `(${from})`);
                const [, number, shown] = /= (\S+) ?(.*?) ?$/.exec(ascii(inputs[k].amount));
                if (value === null) return assert.equal(number, '\u2013', key);
                numbers += 1;
                assert.ok(Math.abs(Number(number) - value) <= 1e-11 * Math.abs(value), `${key} is ${number} of ${value}`);
                assert.equal(shown, unit, key);
              });
            });
          });
          assert.ok(numbers >= 3 * trucks.length * demands.length - 20, `only ${numbers} numbers`);
          const turns = (await page.locator('#turns li').allInnerTexts()).map(plain);
          assert.equal(turns.length, document.turns.length);
          document.turns.forEach(({ truck, demand, datum }, at) => {
            const of = trucks.find((one) => one.name === truck);
            const about = of ?? (demand ? trucks[0] : null);
            const label = about?.verdicts.find((one) => one.demand === demand).label;
            const begins = of ? `${of.title}, ${label}: ${datum} ` : `Which is advised: ${label ? `${label}, ` : ''}${datum} `;
            assert.ok(turns[at].startsWith(ascii(begins)), `${turns[at]} for ${begins}`);
          });
        });
      assert.deepEqual([...seen].sort(), Object.keys(WORDS).sort(), 'each verdict was looked at');
    },

    // Three trucks side by side on a phone, with all that is folded open; on paper what is not passed is told with what it is made of.
    async without_scripts_verdicts_are_whole_on_a_phone_and_on_paper(browser) {
      for (const [name, width] of [
        ['assess-tipper', 360],
        ['assess-tipper', 680],
        ['assess-many', 390],
      ])
        await within(browser, name, width, async (page) => {
          const paper = width === 680;
          if (paper) await page.emulateMedia({ media: 'print' });
          else await page.locator('details').evaluateAll((list) => list.forEach((one) => (one.open = true)));
          assert.deepEqual(await faultsOf(page), [], `${name} at ${width}`);
          const tops = await page.locator('.verdict, table.verdicts, #decided').evaluateAll((list) => list.map((one) => one.getBoundingClientRect().top));
          assert.ok(tops.length === 3 && tops[0] < tops[1] && tops[1] < tops[2] && tops[1] < 500, `${tops}`);
          const cut = await page.locator('.scroll:has(.verdicts)').evaluate((one) => one.scrollWidth - one.clientWidth);
          assert.ok(cut <= 1, `${name} at ${width}: the table reaches beyond the page by ${cut} pixels`);
          if (!paper) return;
          const shown = await page.locator('.decided > ul.judged > li > details').evaluateAll((list) => list.map((one) => one.querySelector('li').checkVisibility()));
          assert.ok(shown.length > 0 && shown.every(Boolean), `${shown}`);
        });
    },

    // In the ranking, in the table of which to buy, and in the sentences of both.
    async without_scripts_who_fails_is_told_beside_who_leads(browser) {
      const failing = (trucks) => trucks.filter(({ standing_verdict: verdict }) => verdict === 'fail');
      await within(browser, 'standing', 390, async (page) => {
        const { trucks } = json('standing');
        const rows = (await page.locator('table.ranked tbody tr').allInnerTexts()).map(plain);
        assert.equal(failing(trucks).length, 1);
        for (const { short_name: title, standing_verdict: verdict } of trucks) assert.equal(rows.find((text) => text.trim().startsWith(title)).includes('\u2717 fails rules on loads'), verdict === 'fail', title);
        assert.ok(rows[0].includes(failing(trucks)[0].short_name), 'the lowest is the one that fails');
        assert.match(plain(await page.locator('.standing').innerText()), /: failed by sleek \(rules on loads\)\.$/);
        assert.ok((await page.locator('.verdict').innerText()).includes('does not meet the demands'));
        assert.deepEqual(await faultsOf(page, { root: '#answer' }), []);
      });
      await within(browser, 'standing-costs', 390, async (page) => {
        const [basis] = json('standing-costs').bases;
        const cells = (await page.locator('table.which tbody td').allInnerTexts()).map(plain);
        assert.ok(new Set(basis.advice.map(({ best }) => best)).size === 2, 'one of them fails, at some distance the other is best');
        basis.advice.forEach(({ best, sentence }, at) => {
          const fails = failing(basis.trucks).some(({ name }) => name === best);
          assert.equal(cells[at].includes('\u2717 fails rules on loads'), fails, cells[at]);
          assert.equal(sentence.includes('It fails what the duty demands: rules on loads.'), fails);
        });
        assert.equal(await page.locator('.standing').count(), 2, 'with which to buy, and with the field');
        assert.deepEqual(await faultsOf(page, { root: '#answer' }), []);
      });
    },

    async without_scripts_trucks_that_look_alike_share_a_drawing(browser) {
      await within(browser, 'twins', 390, async (page) => {
        assert.equal(await page.locator('#frames svg.frame').count(), 1);
        assert.match(await page.locator('#frames figcaption').innerText(), /^Frame: .*central.*, the same of .*central/);
        assert.equal(await page.locator('#frames figcaption .key').count(), 2);
        assert.deepEqual(await faultsOf(page, { root: '#frames' }), []);
      });
    },

    // Ranking, answer, conditions, what is not alike, loads beyond what is permitted, demands, table, why, what would change it: as in the
    // terminal. What is not alike is in the answer, and truck by truck folded: it is told once.
    async without_scripts_it_is_told_in_the_order_of_the_terminal(browser) {
      for (const [name, order] of [
        ['stalled', ['ranked', 'verdict', 'note', 'status', 'unlike', 'loads', 'side', 'because', 'change']],
        ['why', ['ranked', 'verdict', 'note', 'unlike', 'side', 'side', 'because']],
      ])
        await within(browser, name, 390, async (page) => {
          const told = await page.locator('#answer > *').evaluateAll((list) =>
            list.flatMap((one) => ['ranked', 'verdict', 'note', 'status', 'unlike', 'loads', 'because', 'change', 'side'].filter((kind) => one.classList.contains(kind) || one.querySelector(`:scope > table.${kind}`))),
          );
          assert.deepEqual(told.filter((kind, at) => kind === 'side' || kind !== told[at - 1]), order, name);
          assert.equal(await page.locator('details.unlike').getAttribute('open'), null);
          assert.deepEqual((await page.locator('.because p').allInnerTexts()).map(plain).filter((text) => text !== 'By causes'), json(name).answer.why.map(plain), name);
          const loads = json(name).trucks.filter(({ masses }) => masses.gross_kg > masses.permitted_gross_kg);
          const words = (await page.locator('.loads').allTextContents()).map(plain).join(' ');
          for (const { short_name: title, masses } of loads) assert.ok(words.includes(`${title}: gross mass ${masses.gross_kg.toFixed(0)} of ${masses.permitted_gross_kg.toFixed(0)} kg; axle `), `${title} in ${words}`);
          assert.equal(loads.length > 0, name === 'stalled');
          for (const one of await page.locator('.loads p').all()) assert.ok(await one.isVisible(), 'who is overloaded is not folded');
        });
    },

    // Where the energy goes and what limited it, line by line.
    async without_scripts_losses_and_limits_are_those_of_the_document(browser) {
      for (const name of ['compare', 'stalled', 'twelve']) {
        await within(browser, name, 1000, async (page) => {
        const document = json(name);
        const basis = document.trucks.some(({ common }) => common.status === 'finished') ? 'common' : 'own';
        const shown = await cellsOf(page, '#differ table', document.trucks.length);
        const done = document.trucks.filter((truck) => truck[basis].status === 'finished');
        const sums = shown.get('net battery energy');
        document.trucks.forEach((truck, index) => {
          if (!done.includes(truck)) return assert.ok([...shown.values()].every((cells) => cells[index].first === '\u2013'), `${truck.name} did not finish`);
          const value = ({ first, small }) => Number(plain(small ?? first).replace('\u2013', '0'));
          const lines = [...shown].filter(([head]) => head !== 'net battery energy');
          const sum = lines.reduce((all, [, cells]) => all + value(cells[index]), 0);
          for (const { key, label } of json('results').results.filter((row) => row.key.startsWith('energy_balance.') && shown.has(row.label))) {
            const { first, small } = shown.get(label)[index];
            const listed = truck.line_changes[basis][key.replace('energy_balance.', '')];
            if (small === null) assert.equal(listed, undefined, `${name}: ${key} of ${truck.name}`);
            else assert.ok(Math.abs(Number(plain(first)) - listed) < 0.006, `${name}: ${key} of ${truck.name} ${first}, listed ${listed}`);
          }
          assert.ok(Math.abs(sum - truck[basis].battery_kwh) < 0.006 * lines.length, `${name}: lines of ${truck.name} sum to ${sum}`);
          assert.equal(value(sums[index]).toFixed(1), fixed(truck[basis].battery_kwh, 1));
        });
        const limits = (await page.locator('#limits tbody tr').allInnerTexts()).map((text) => plain(text).replace(/\s+/g, ' ').trim());
        const expected = document.trucks.flatMap((truck) =>
          truck.own.limited_by
            .filter(({ duration_s: seconds }) => durationText(seconds) !== '0.0 s')
            .map((limit, at) => {
              const end = truck.own.status === 'finished' ? '' : ` did not finish, ${truck.own.distance_km.toFixed(2)} km`;
              const head = at > 0 ? '' : `${truck.short_name}${end} `;
              return `${head}${limit.label}${inDoubt(truck, limit)} ${durationText(limit.duration_s)} ${limit.at_km.toFixed(2)} ${limit.below_target_km_h.toFixed(1)}`;
            }),
        );
        assert.deepEqual(limits, expected, name);
        if (name === 'stalled') assert.ok(expected.filter((text) => text.includes('winding temperature, in doubt')).length === 3, 'in doubt, of a truck that finished too');
        });
      }
    },

    // What each truck is: motors, gears, battery, body, tyres, axle loads.
    async without_scripts_facts_of_trucks_are_those_of_the_document(browser) {
      for (const name of ['compare', 'twelve'])
        await within(browser, name, 1000, async (page) => {
          const { trucks } = json(name);
          const shown = await cellsOf(page, '#trucks table', trucks.length);
          assert.ok(shown.size >= 10 && shown.size === trucks[0].facts.length, `${shown.size} facts`);
          [...shown].forEach(([head, cells], index) =>
            trucks.forEach(({ facts }, column) => {
              const { label, digits, value, text } = facts[index];
              assert.ok(head.startsWith(label), `${head} for ${label}`);
              assert.equal(plain(cells[column].first), plain(text ?? fixed(value, digits)), label);
            }),
          );
        });
    },

    // On paper nothing but charts is left folded, and without scripts they are not there; tables fit a sheet.
    async on_paper_what_is_folded_is_told_without_scripts(browser) {
      for (const name of ['compare', 'stalled', 'twelve'])
        await within(browser, name, 680, async (page) => {
          assert.equal(await page.locator('.undrawn').isVisible(), false, name);
          await page.emulateMedia({ media: 'print' });
          assert.match(await page.locator('.undrawn').innerText(), /^Printed without charts/, name);
          const seen = await page.locator('details.paper > :not(summary)').evaluateAll((list) => list.map((one) => one.checkVisibility() && one.getBoundingClientRect().height > 0));
          assert.ok(seen.length >= 1 && seen.every(Boolean), `${name}: ${seen}`);
          const wide = await page.locator('details.rows table, #answer table').evaluateAll((list) => list.map((one) => one.getBoundingClientRect().right));
          for (const right of wide) assert.ok(right <= 681, `${name}: a table ends at ${right}`);
        });
    },

    // Against a truck that did not finish nothing is held; what is not alike is against the one that the answer names.
    async without_scripts_nothing_is_held_against_one_that_stalled(browser) {
      const { trucks } = json('stalled');
      assert.equal(trucks[0].own.status, 'stalled');
      await within(browser, 'stalled', 1440, async (page) => {
        const captions = (await page.locator('#answer table.side caption').allTextContents()).map((text) => text.trim());
        const sentence = /^Not like for like with (.*?):/.exec(json('stalled').answer.sentences[1]);
        assert.ok(captions.length >= 2 && captions.every((text) => text.includes(`: difference against ${sentence[1]}, and value`)), captions.join('\n'));
        assert.ok((await page.locator('.unlike').innerText()).startsWith(`What is not alike with ${sentence[1]} (`));
        const { against, rows } = json('stalled').likeness;
        const held = trucks.find(({ name }) => name === against);
        assert.equal(held.short_name, sentence[1]);
        assert.ok(held.alike && rows.every(({ key }) => held.likeness[key].alike) && trucks[0].alike === false, `likeness is against ${against}`);
        assert.ok((await page.locator('#likeness caption').first().textContent()).trim().endsWith(`each against ${sentence[1]}`));
        const cut = await page.locator('#answer .scroll').evaluateAll((list) => list.map((one) => one.scrollWidth - one.clientWidth));
        assert.ok(cut.every((pixels) => pixels <= 1), `tables reach beyond the page by ${cut} pixels`);
      });
    },

    // No column that sets it apart, no text beyond the window, at two widths; pictures are kept for people.
    async without_scripts_pages_are_whole(browser) {
      for (const name of ['compare', 'drive', 'limits', 'stalled', 'twelve', 'names', 'wide'])
        for (const width of [390, 1440]) {
          await within(browser, name, width, async (page) => {
          assert.ok((await page.locator('main h1').innerText()).length > 3 && (await page.locator('.verdict p').count()) > 0, name);
          assert.deepEqual(await faultsOf(page), [], `${name} at ${width}`);
          assert.ok(!(await page.locator('body').textContent()).includes('\u2009'), `${name}: a number may break at its thousands`);
          const by = TABLE_BY_PX[name]?.[width];
          if (by !== undefined) {
            const top = await page.locator('#answer > .scroll > table.side').first().evaluate((one) => one.getBoundingClientRect().top);
            assert.ok(top < by, `the table begins at ${top}`);
          }
          if (SHOWN.includes(name)) await page.screenshot({ path: join(folder, 'shots', `${name}-plain-${width}.png`), fullPage: true });
          });
        }
    },
  };
}
