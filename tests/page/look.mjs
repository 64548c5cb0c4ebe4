// Opens pages in a browser and looks at them: node look.mjs FOLDER [NAME...], all looks or those named
//
// FOLDER holds packages/ (of package-lock.json) and the pages with their documents as tests/cli/page.bats makes them:
// limits (of three trucks), able (of one), compare, beside, drive (and its trace as CSV), central, city, back, down, full, hostile, held, ideal, parts, day (of a duty), days (of several trucks), payback (of two), assess (three side by side), assess-many (of five), assess-tipper, standing and standing-costs (one of two fails a rule), one of each family; results.json is of keys --results. The outcome of each look goes to FOLDER/looks/NAME:
// "fine", or what was wrong. Screenshots stay in FOLDER/shots for people.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join, resolve } from 'node:path';
import { strict as assert } from 'node:assert';
import { constants, deflateRawSync, inflateSync } from 'node:zlib';
import { duration } from '../../src/show/page/assets/data.js';
import { inflate } from '../../src/show/page/assets/inflate.js';
import { faultsOf, scriptless } from './boxes.mjs';
import { staticLooks } from './static.mjs';
import { chartLooks } from './charts.mjs';

const folder = resolve(process.argv[2]);
const need = createRequire(join(folder, 'packages', 'package.json'));
const { chromium } = need('playwright-core');
const axeSource = readFileSync(need.resolve('axe-core/axe.min.js'), 'utf8');
const json = (name) => JSON.parse(readFileSync(join(folder, `${name}.json`), 'utf8'));
const digitsOf = (key) => json('results').results.find((row) => row.key === key).digits;
const at = (document, key) => key.split('.').reduce((value, part) => value?.[part], document);


// Pages of a lineup for each family of trucks.
const families = ['rigid', 'tipper', 'tractor'];

/** Seconds and their text by the list that the terminal is held to as well; the page has a true minus, and a dash for none. */
const durations = readFileSync(new URL('../durations.tsv', import.meta.url), 'utf8')
  .trimEnd()
  .split('\n')
  .filter((line) => !line.startsWith('#'))
  .map((line) => line.split('\t'))
  .map(([seconds, text]) => [Number(seconds), text.replace(/^-(?=\d)/, '\u2212').replace(/^-$/, '\u2013')]);

// ------------------------------------------------------------------------------------------------ opening

/** A page in a context of its own, scrolled through once so that all charts are drawn; collects what it complains of. */
async function open(browser, name, { width = 1000, colorScheme = 'light', bypassCSP = false, unfolded = false } = {}) {
  const context = await browser.newContext({ viewport: { width, height: 800 }, colorScheme, bypassCSP, acceptDownloads: true });
  context.setDefaultTimeout(60000);
  const page = await context.newPage();
  const complaints = [];
  page.on('console', (message) => ['error', 'warning'].includes(message.type()) && complaints.push(message.text()));
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('request', (request) => request.url().startsWith('file:') || request.url().startsWith('blob:') || complaints.push(`asks for ${request.url()}`));
  page.on('dialog', (dialog) => complaints.push(`dialog ${dialog.message()}`) && dialog.dismiss());
  await page.goto(`file://${join(folder, `${name}.html`)}`);
  await page.waitForFunction(() => document.documentElement.dataset.built === 'true' || document.scripts.length === 0, null, { polling: 50 });
  if (unfolded) await page.evaluate(() => document.querySelectorAll('details:not(.numbers)').forEach((one) => (one.open = true)));
  await drawAll(page);
  return { page, complaints, close: () => context.close() };
}

/** Pages that looks leave as they were, by name: opened and drawn once for all of them. */
const shelf = new Map();
async function borrow(browser, name) {
  const kept = shelf.get(name);
  if (kept?.browser !== browser) shelf.set(name, { browser, opened: await open(browser, name) });
  const { page, complaints } = shelf.get(name).opened;
  await page.evaluate(() => scrollTo(0, 0));
  return { page, complaints, close: async () => {} };
}

/** Whether the page is still given frames: on a busy machine Chromium now and then stops giving them to a page, for good. */
const hasFrames = (page) =>
  page.evaluate(() => new Promise((done) => {
    setTimeout(done, 5000, false);
    requestAnimationFrame(() => requestAnimationFrame(() => done(true)));
  }));

async function drawAll(page) {
  let last = -1;
  for (let top = 0; top !== last; ) {
    last = top;
    top = await page.evaluate(() => (scrollBy(0, 750), scrollY));
    if (!(await hasFrames(page))) throw new Error('the page is given no frames');
  }
  await page.evaluate(() => scrollTo(0, 0));
}

const figureOf = (page, title) => page.locator('figure', { has: page.locator('h3', { hasText: title }) }).first();

/** Text of the CSV file behind the button of a sheet. */
async function download(page, title) {
  const sheet = page.locator('.sheet', { has: page.locator('summary', { hasText: title }) }).first();
  const [file] = await Promise.all([page.waitForEvent('download'), sheet.locator('button').click()]);
  return { name: file.suggestedFilename(), text: readFileSync(await file.path(), 'utf8') };
}

/** With plain spaces and signs, and units behind numbers as the program writes them. */
const plain = (text) =>
  text.replaceAll('\u00a0', ' ').replaceAll('\u2212', '-').replaceAll('\u202f', '').replace(/(\d) (?:(m)\u00b2|\u00b0(C)|(\u03a9))/g, (_, digit, area, degrees) => `${digit} ${area ? 'm2' : degrees ? 'degC' : 'ohm'}`);

/** A duration by the rule of the shared list, made without the page's code. */
function durationText(seconds) {
  const all = Math.abs(seconds);
  const sign = seconds < 0 ? '-' : '';
  const [count, large, small] = all < 3599.5 ? [Math.round(all), 'min', 's'] : [Math.round(all / 60), 'h', 'min'];
  return sign + (all < 59.95 ? `${all.toFixed(1)} s` : `${Math.trunc(count / 60)} ${large} ${String(count % 60).padStart(2, '0')} ${small}`);
}

/** Words that stand on two lines, of what matches. */
const brokenWords = (page, selector) =>
  page.locator(selector).evaluateAll((list) =>
    list.flatMap((one) => {
      const texts = document.createTreeWalker(one, NodeFilter.SHOW_TEXT);
      const broken = [];
      while (texts.nextNode())
        for (const { 0: word, index } of texts.currentNode.data.matchAll(/\p{L}+/gu)) {
          const range = document.createRange();
          range.setStart(texts.currentNode, index);
          range.setEnd(texts.currentNode, index + word.length);
          if (new Set([...range.getClientRects()].map(({ top }) => Math.round(top))).size > 1) broken.push(word);
        }
      return broken;
    }),
  );

/** Pieces of text on each sheet of a PDF file (ISO 32000-1, 9.4.3), as the browser writes it. */
function wordsOfSheets(pdf) {
  const text = pdf.toString('latin1');
  const bodyOf = (number) => {
    const begin = text.indexOf(`\n${number} 0 obj`);
    const from = text.indexOf('stream', begin) + 'stream'.length;
    const start = from + (text[from] === '\r' ? 2 : 1);
    return inflateSync(pdf.subarray(start, text.indexOf('endstream', start))).toString('latin1');
  };
  return [...text.matchAll(/\/Type \/Page\b(?!s)[^]*?\/Contents (\d+) 0 R/g)].map(([, number]) => (bodyOf(number).match(/\bT[jJ]\b/g) ?? []).length);
}

const rowsOf = (text) => text.trimEnd().split('\n').map((line) => line.split(','));

// ------------------------------------------------------------------------------------------------ looks

async function drawsEveryChart(browser, name, least) {
  const { page, complaints, close } = await borrow(browser, name);
  const marks = await page.locator('.chart').evaluateAll((frames) =>
    frames.map((frame) => [frame.getAttribute('aria-label'), frame.querySelectorAll('svg :is(path, rect, line)').length]),
  );
  assert.ok(marks.length >= least, `only ${marks.length} charts`);
  for (const [text, count] of marks) assert.ok(count > 5, `${text}: only ${count} shapes`);
  assert.deepEqual(complaints, []);
  await page.screenshot({ path: join(folder, 'shots', `${name}.png`), fullPage: true });
  await close();
}

/** Of the energy flows in pages at 1280 pixels, and in some of them at 390: no label lies on another, is cut or tells nothing. */
async function labelsStandApart(browser, wide, narrow) {
  for (const [width, names] of [[1280, wide], [390, narrow]])
    for (const name of names) {
      const { page, close } = await open(browser, name, { width, unfolded: width < 600 });
      const charts = await page.locator('figure', { has: page.locator('h3', { hasText: 'From the battery to the road' }) }).locator('.chart').all();
      assert.equal(charts.length, json(name).trucks?.length ?? 1, name);
      if (name === 'back') assert.ok(json(name).energy_balance.potential_kwh < 0, 'the route gives energy');
      for (const chart of charts) {
        const boxes = await chart.evaluate((frame) =>
          [...frame.querySelectorAll('svg text')].map((text) => {
            const { left, right, top, bottom } = text.getBoundingClientRect();
            return { text: text.textContent, left, right, top, bottom };
          }),
        );
        const frame = await chart.evaluate((one) => one.getBoundingClientRect().right);
        assert.ok(boxes.length > 6, `only ${boxes.length} labels`);
        const over = boxes.flatMap((a, i) => boxes.slice(i + 1).filter((b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom).map((b) => `${a.text} over ${b.text}`));
        assert.deepEqual(over, [], `${name} at ${width}`);
        for (const { text, right } of boxes) {
          assert.ok(right <= frame, `${text} is cut`);
          assert.ok(!/(^| )0(\.0*)?$/.test(text), `${text} is nothing`);
        }
      }
      await close();
    }
}

/** Axis labels of the lowest panel: the distance. */
const distances = (page) =>
  figureOf(page, 'Elevation, speed').evaluate((figure) => {
    const texts = [...figure.querySelectorAll('svg text')];
    const low = Math.max(...texts.map((text) => text.getBoundingClientRect().top));
    return texts
      .filter((text) => text.getBoundingClientRect().top > low - 24 && /^[\d.,]+$/.test(text.textContent))
      .map((text) => Number(text.textContent.replace(',', '')));
  });

async function strip(page) {
  const chart = figureOf(page, 'Elevation, speed').locator('.chart');
  await chart.scrollIntoViewIfNeeded();
  return { chart, box: await chart.boundingBox() };
}

/** Browsers that a look let go. */
const gone = [];

const looks = {
  ...staticLooks({ folder, json, plain, durationText }),
  ...chartLooks({ folder, json, plain, digitsOf }),
  compare_draws_every_chart_and_asks_for_nothing: (browser) => drawsEveryChart(browser, 'compare', 8),
  drive_draws_every_chart_and_asks_for_nothing: (browser) => drawsEveryChart(browser, 'drive', 6),

  limits_draw_every_chart_and_ask_for_nothing: (browser) => drawsEveryChart(browser, 'limits', 6),

  // Each figure of each truck has its cell, with what binds it and what would next: without scripts, and in the charts.
  async figures_of_limits_are_those_of_the_document(browser) {
    const document = json('limits');
    const plainly = await browser.newContext({ javaScriptEnabled: false });
    const page = await plainly.newPage();
    scriptless.add(page);
    await page.goto(`file://${join(folder, 'limits.html')}`);
    let seen = 0;
    for (const { group } of document.groups) {
      const section = group === 'deciding' ? '#answer table.abilities' : `#${group} table.abilities`;
      const shown = await page.locator(`${section} tbody tr:not(.row)`).evaluateAll((list) => list.map((row) => [...row.children].map((cell) => cell.textContent)));
      const rows = document.rows.filter((row) => row.group === group);
      assert.deepEqual(shown.map(([head]) => head), rows.map((row) => row.column_label), group);
      rows.forEach((row, index) =>
        document.trucks.forEach((truck, column) => {
          const figure = at(truck.figures, row.key);
          const cell = plain(shown[index][column + 1]);
          if (!figure) return assert.equal(cell, '', row.key);
          const amount = (value) => (row.unit === 's' ? durationText(value) : value.toFixed(row.digits));
          const value = figure.value === null ? 'none' : figure.beyond ? 'more than' : amount(figure.value);
          assert.ok(cell.startsWith(value), `${row.key} of ${truck.name}: ${value} in ${cell}`);
          if (figure.limited_by !== null) assert.ok(cell.includes(document.limits[figure.limited_by]), `${row.key}: ${cell}`);
          if (figure.next.limited_by !== null) assert.ok(cell.includes(`next ${document.limits[figure.next.limited_by]}`), `${row.key}: ${cell}`);
          if (figure.next.limited_by !== null && figure.next.value !== null) assert.ok(cell.includes(amount(figure.next.value)), `${row.key}: ${cell}`);
          seen += 1;
        }),
      );
    }
    assert.ok(seen > 150, `only ${seen} figures`);
    const demands = await page.locator('#answer table.side').first().locator('td b').allInnerTexts();
    assert.deepEqual(demands, document.answer.flatMap((of) => of.demands.map(({ met }) => (met ? 'yes' : 'no'))));
    await plainly.close();
    const { page: drawn, close } = await borrow(browser, 'limits');
    const bars = await figureOf(drawn, 'Startability by ground').locator('svg text').allTextContents();
    for (const { figures } of document.trucks)
      for (const ground of Object.values(figures.start)) assert.ok(bars.includes(ground.once_percent.value.toFixed(1)), `${ground.once_percent.value} among ${bars}`);
    await close();
  },

  async pages_of_limits_are_whole_on_a_narrow_screen(browser) {
    for (const name of ['limits', 'able']) {
      const { page, complaints, close } = await open(browser, name, { width: 375 });
      assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 375);
      const cut = await page.evaluate(() =>
        [...document.querySelectorAll('.chart')].flatMap((frame) => {
          const { left, right } = frame.getBoundingClientRect();
          return [...frame.querySelectorAll('svg text')]
            .filter((text) => text.getBoundingClientRect().right > right + 1 || text.getBoundingClientRect().left < left - 1)
            .map((text) => `${frame.getAttribute('aria-label')}: ${text.textContent}`);
        }),
      );
      assert.deepEqual(cut, []);
      const wide = await page.locator('.scroll').evaluateAll((list) => list.map((one) => [one.getAttribute('aria-label'), one.scrollWidth - one.clientWidth]).filter(([, over]) => over > (document.querySelectorAll('#answer thead .key').length > 2 ? 24 : 0)));
      assert.deepEqual(wide, [], name);
      if (name === 'able') assert.deepEqual(await brokenWords(page, '.abilities th:first-child, .abilities span.words'), []);
      assert.deepEqual(complaints, []);
      await page.screenshot({ path: join(folder, 'shots', `${name}-narrow.png`), fullPage: true });
      await close();
    }
  },

  async pages_of_limits_have_no_serious_barrier(browser) {
    for (const colorScheme of ['light', 'dark']) {
      const { page, close } = await open(browser, 'limits', { colorScheme, bypassCSP: true });
      await page.locator('#start summary').first().click();
      await page.addScriptTag({ content: axeSource });
      const { violations } = await page.evaluate(() => axe.run({ include: 'main', exclude: '.chart svg' }, { resultTypes: ['violations'] }));
      const grave = violations.filter(({ impact }) => ['serious', 'critical'].includes(impact));
      assert.deepEqual(grave.map(({ id, nodes }) => `${colorScheme} ${id}: ${nodes[0].html.slice(0, 200)} ${nodes[0].failureSummary}`), []);
      await close();
    }
  },

  // The ranking stands first and is whole on a phone and in the dark; scripts let it be sorted.
  async trucks_are_ranked_with_their_intervals(browser) {
    const document = json('twelve');
    for (const [width, colorScheme] of [[1000, 'light'], [390, 'light'], [1000, 'dark']]) {
      const { page, complaints, close } = await open(browser, 'twelve', { width, colorScheme });
      const names = () => page.locator('table.ranked tbody th .key').allInnerTexts();
      const ranked = document.trucks.toSorted((a, b) => a.common.kwh_per_km - b.common.kwh_per_km).map((truck) => truck.short_name);
      assert.deepEqual((await names()).map((name) => name.trim()), ranked);
      const top = await page.locator('table.ranked').evaluate((one) => one.getBoundingClientRect().top);
      assert.ok(top < 400, `the ranking begins at ${top}`);
      assert.deepEqual(await faultsOf(page, { root: '#answer' }), [], `${width}`);
      await page.locator('table.ranked thead button').first().click();
      assert.deepEqual((await names()).map((name) => name.trim()), ranked.toSorted((a, b) => a.toLowerCase().localeCompare(b.toLowerCase())));
      await page.locator('table.ranked thead button').nth(1).click();
      assert.deepEqual((await names()).map((name) => name.trim()), ranked);
      assert.deepEqual(complaints, []);
      await page.screenshot({ path: join(folder, 'shots', `ranked-${width}-${colorScheme}.png`) });
      await close();
    }
  },

  // What the data bring into the difference that an answer hangs on, the largest first.
  async what_to_measure_next_is_that_of_the_document(browser) {
    const { pairs, data } = json('compare').uncertainty;
    const { page, close } = await borrow(browser, 'compare');
    const next = await page.locator('table.shares').first().locator('tbody tr').evaluateAll((list) => list.map((row) => [...row.cells].map((cell) => cell.textContent)));
    const largest = pairs[0].common.shares.filter(({ share }) => share >= 0.0005);
    assert.equal(next.length, largest.length);
    largest.forEach((one, index) => {
      assert.ok(next[index][0].startsWith(data[one.datum].label), `${next[index][0]}: ${data[one.datum].label}`);
      assert.equal(next[index][2], (100 * one.share).toFixed(0));
      assert.ok(plain(next[index][3]).startsWith(`${one.slope_percent > 0 && Number(one.slope_percent.toFixed(2)) !== 0 ? '+' : ''}${one.slope_percent.toFixed(2)}`.replace(/^-(?=0\.00)/, '')), next[index][3]);
    });
    const told = (await page.locator('table.sure tbody tr').allInnerTexts()).map(plain);
    assert.equal(told.length, 2 * pairs.length);
    await close();
  },

  async hover_shows_values_of_all_panels(browser) {
    const { page, close } = await open(browser, 'compare');
    const { chart, box } = await strip(page);
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.move(box.x + box.width / 2 + 3, box.y + box.height / 2);
    const tip = chart.locator('.tip');
    await tip.waitFor({ state: 'visible' });
    const text = await tip.innerText();
    for (const wanted of [/km [\d.]+/, /elevation/, /km\/h/, /state of charge/, /battery power/, /kW/]) assert.match(text, wanted);
    for (const { short_name: name } of json('compare').trucks) assert.ok(text.includes(`${name}, state of charge`), `${name} in ${text}`);
    await close();
  },

  async hover_shows_the_values_of_the_trace_at_that_place(browser) {
    const { page, close } = await open(browser, 'drive');
    const { chart, box } = await strip(page);
    const [keys, ...rows] = rowsOf(readFileSync(join(folder, 'drive.csv'), 'utf8'));
    const column = (key) => rows.map((row) => Number(row[keys.indexOf(key)]));
    const [place, speed, elevation] = ['place_m', 'speed_km_h', 'elevation_m'].map(column);
    for (const share of [0.2, 0.45, 0.7, 0.9]) {
      await page.mouse.move(box.x + share * box.width, box.y + box.height / 2);
      await page.mouse.move(box.x + share * box.width + 1, box.y + box.height / 2);
      await page.waitForTimeout(100);
      const text = (await chart.locator('.tip').innerText()).replaceAll('\u2212', '-');
      const number = (pattern) => Number(pattern.exec(text)[1]);
      const metres = 1000 * number(/km (-?[\d.]+)/);
      const next = place.findIndex((one) => one >= metres);
      const near = (values, value, slack) => {
        const [low, high] = [Math.min(values[next - 1], values[next]), Math.max(values[next - 1], values[next])];
        assert.ok(value >= low - slack && value <= high + slack, `${value} at ${metres} m; ${low} to ${high}`);
      };
      near(elevation, number(/elevation\s+(-?[\d.]+) m/), 0.6);
      near(speed, number(/(?:two electric axles)\s+(-?[\d.]+) km\/h/), 0.3);
    }
    await close();
  },

  async dragging_zooms_and_the_buttons_go_back(browser) {
    const { page, close } = await open(browser, 'compare');
    const whole = await distances(page);
    const { box } = await strip(page);
    const y = box.y + 0.4 * box.height;
    await page.mouse.move(box.x + 0.4 * box.width, y);
    await page.mouse.down();
    await page.mouse.move(box.x + 0.5 * box.width, y, { steps: 5 });
    await page.mouse.up();
    await page.waitForTimeout(200);
    const near = await distances(page);
    const span = (list) => Math.max(...list) - Math.min(...list);
    assert.ok(span(near) < 0.3 * span(whole), `${whole} became ${near}`);
    await page.getByRole('button', { name: 'wider' }).focus();
    await page.keyboard.press('Enter');
    assert.ok(span(await distances(page)) > 1.3 * span(near));
    await page.getByRole('button', { name: 'whole route' }).click();
    assert.deepEqual(await distances(page), whole);
    await close();
  },

  async the_limits_are_told_as_the_document_has_them(browser) {
    const { page, close } = await open(browser, 'held');
    const { limited_by: limits } = json('held');
    const worst = limits.toSorted((a, b) => b.below_target_km_h - a.below_target_km_h)[0];
    assert.notEqual(worst, limits[0], 'the longest is not the one of the furthest place');
    const caption = await figureOf(page, 'Elevation, speed').locator('figcaption').innerText();
    assert.ok(plain(caption).includes(`furthest below it, by ${worst.below_target_km_h.toFixed(1)} km/h: km ${worst.at_km.toFixed(2)}.`), caption);
    const told = await page.locator('#limits tr').evaluateAll((list) => list.map((row) => [...row.children].map((cell) => cell.textContent)));
    const shown = told.map((row) => row.map(plain));
    assert.deepEqual(shown, [
      ['limited by', 'time', 'furthest below target at km', 'by, km/h'],
      ...limits.map((limit) => [limit.label, durationText(limit.duration_s), limit.at_km.toFixed(2), limit.below_target_km_h.toFixed(1)]),
    ]);
    await close();
  },

  async a_truck_that_keeps_within_the_margin_is_told_as_such(browser) {
    const { time_below_target_s: below, limited_by: limits } = json('city');
    assert.ok(below <= 1 && limits.length > 0, 'it is below its target speed, but not by the margin');
    const { page, close } = await borrow(browser, 'city');
    const caption = plain(await figureOf(page, 'Elevation, speed').locator('figcaption').innerText());
    assert.ok(caption.endsWith(' No truck is more than 3.2 km/h below its target speed for longer than 1 s.'), caption);
    await close();
  },

  // By the document, and by the decimals that `evener keys --results` tells of each line.
  async lines_are_alike_by_the_rule_of_the_terminal(browser) {
    const { page, close } = await borrow(browser, 'compare');
    const [first, second] = json('compare').trucks;
    const labels = Object.fromEntries(json('results').results.map(({ key, label }) => [key, label]));
    const small = [];
    for (const [basis, title] of [['common', 'All at the common speed'], ['own', 'Each at its own speeds']]) {
      const lines = Object.keys(first[basis].energy_balance).map((line) => `energy_balance.${line}`);
      const gap = (line) => Math.abs(at(second[basis], line) - at(first[basis], line));
      const isZero = (line) => Number(gap(line).toFixed(digitsOf(line))) === 0;
      small.push(...lines.map((line) => [gap(line), isZero(line), first[basis].battery_kwh]));
      const caption = plain(await figureOf(page, title).locator('figcaption').innerText());
      const told = / Alike: (.*)\.$/.exec(caption)[1].split(', ');
      assert.deepEqual(told.toSorted(), lines.filter(isZero).map((line) => labels[line]).toSorted());
      const texts = await figureOf(page, title).locator('svg text').allTextContents();
      for (const line of lines) assert.equal(texts.includes(labels[line]), !isZero(line), `${line} is drawn, or alike`);
    }
    assert.ok(small.some(([gap, zero, whole]) => gap < 0.0005 * whole && !zero), 'a line that is little of the whole, but not 0');
    await close();
  },

  flows_of_runs_have_labels_apart: (browser) => labelsStandApart(browser, ['drive', 'central', 'city', 'back'], ['back']),
  flows_of_comparisons_have_labels_apart: (browser) => labelsStandApart(browser, ['compare', ...families], ['compare']),

  /** Marks of the elevation, of a level road and of a hill, stand where their numbers say. */
  async marks_stand_where_they_say(browser) {
    for (const [name, most] of [['flat', 3], ['compare', 6]]) {
      const { page, close } = await borrow(browser, name);
      const texts = await page.locator('#route figure .chart').first().locator('svg text').evaluateAll((list) =>
        list.map((one) => ({ text: one.textContent, top: one.getBoundingClientRect().top })),
      );
      const topOf = (start) => texts.find(({ text }) => text.startsWith(start)).top;
      const marks = texts
        .filter(({ text, top }) => top > topOf('elevation') && top < topOf('speed') && /^[\u2212\d.]+$/.test(text))
        .map(({ text, top }) => ({ value: Number(plain(text)), top }))
        .sort((a, b) => a.value - b.value);
      assert.ok(marks.length >= 3 && marks.length <= most, `${name}: ${marks.length} marks`);
      const perUnit = marks.slice(1).map(({ value, top }, at) => (marks[at].top - top) / (value - marks[at].value));
      for (const one of perUnit) assert.ok(Math.abs(one / perUnit[0] - 1) < 0.05, `${name}: ${JSON.stringify(marks)}`);
      await close();
    }
  },

  async axes_end_at_few_decimals(browser) {
    for (const [name, km] of [['city', json('city').distance_km], ['compare', json('compare').trucks[0].own.distance_km]]) {
      const { page, close } = await borrow(browser, name);
      const marks = await distances(page);
      const [, from, to] = marks;
      const end = Math.max(...marks);
      const tenth = (to - from) / 10;
      assert.ok(end >= km - 0.005 && end - km <= 1.1 * tenth, `${marks} for ${km} km`);
      assert.ok(Math.abs(end / tenth - Math.round(end / tenth)) < 1e-6, `${marks}`);
      const motors = await figureOf(page, 'Operating points of the motors').locator('svg text').allTextContents();
      assert.deepEqual(motors.filter((text) => /\d\.\d/.test(text)), [], 'speeds and torques of the motors are whole');
      await close();
    }
  },

  // Its adhesion is that of the level, by which no grade is judged: startability and climbing are, and are told elsewhere.
  async wheel_force_is_told_as_of_the_level(browser) {
    const { page, close } = await borrow(browser, 'compare');
    const captions = await page.locator('#forces figcaption').allInnerTexts();
    await close();
    assert.equal(captions.length, 2);
    for (const text of captions) {
      assert.match(plain(text), /adhesion of the tyres on the level/);
      assert.doesNotMatch(plain(text), /\d+(\.\d+)? ?%/);
    }
  },

  async braking_is_told_as_the_document_has_it(browser) {
    for (const name of ['central', 'full']) {
      const { page, close } = await borrow(browser, name);
      const document = json(name);
      const caption = async (title) => plain(await figureOf(page, title).locator('figcaption').innerText());
      const { regenerative_braking_kwh: motors, energy_balance: { friction_brakes_kwh: friction } } = document;
      assert.ok((await caption('Braking work')).includes(` ${((100 * motors) / (motors + friction)).toFixed(0)} %`), await caption('Braking work'));
      const refused = / done by friction brakes: .* ([\d.]+) kWh\.$/.exec(await caption('Braking work'))?.[1];
      assert.equal(refused, document.refused_at_wheels_kwh?.toFixed(digitsOf('refused_at_wheels_kwh')), name);
      assert.equal(refused === undefined, name === 'central');
      for (const stop of document.stops) {
        const told = `${stop.deceleration_m_s2.toFixed(1)} m/s² ${(100 * stop.motor_share).toFixed(0)} %`;
        assert.ok((await caption('What motors take')).includes(told), `${told} in ${await caption('What motors take')}`);
      }
      assert.match(await page.locator('#braking .caution').innerText(), /local regulation, approved testing and licensed practice/);
      await close();
    }
  },

  // The line of what is quoted is no target; bands bind others, and the points lie where rows of the trace put them.
  async the_yardsticks_of_braking_say_what_they_are(browser) {
    const { page, close } = await borrow(browser, 'central');
    const words = (await figureOf(page, 'What motors take').locator('svg text').allTextContents()).join(' ');
    assert.match(words, /up to 48 % is commonly quoted, no source;\s*not a target/);
    const caption = plain(await figureOf(page, 'Use of adhesion').locator('figcaption').innerText());
    assert.doesNotMatch(caption, /UN R13/);
    assert.match(await page.locator('#braking .yardstick').innerText(), /UN R13 Annex 10 .* from memory.*bind vehicles without anti-lock systems and are no verdict here/);
    const [keys, ...rows] = rowsOf((await download(page, 'use of adhesion')).text);
    assert.deepEqual(keys, ['place_m', 'braking_rate', 'front_axle_use', 'driven_axle_use']);
    assert.ok(rows.length > 20 && rows.length <= 300, `${rows.length} points`);
    for (const [, rate, front, driven] of rows.map((row) => row.map(Number))) {
      assert.ok(rate > 0 && rate < 0.2, `${rate}`);
      assert.ok(front >= 0 && front <= rate + 0.01 && driven > 0.9 * rate, `${front} and ${driven} at ${rate}: motors brake at the driven axle`);
    }
    const [, ...bands] = rowsOf((await download(page, 'bands of UN R13')).text);
    for (const [z, ideal, low, high] of bands.map((row) => row.map(Number))) {
      assert.equal(ideal, z);
      if (z >= 0.15 && z <= 0.3) assert.ok(Math.abs(z - low - 0.08) < 1e-6 && Math.abs(high - z - 0.08) < 1e-6, `${low} to ${high} at ${z}`);
    }
    await close();
  },

  async load_collectives_are_those_of_the_document(browser) {
    const { page, close, complaints } = await borrow(browser, 'loads');
    const { shafts } = json('loads').load_collectives;
    const charts = await page.locator('#collectives .chart svg').count();
    assert.equal(charts, shafts.length);
    const table = plain(await page.locator('#collectives .whole table').innerText());
    for (const { label, largest_torque_nm: largest } of shafts) assert.ok(table.includes(label) && largest > 0, label);
    const lines = readFileSync(join(folder, 'loads.csv'), 'utf8').trimEnd().split('\n').slice(1).map((line) => line.split(','));
    const hub = lines.filter(([unit, , shaft]) => unit === 'leading' && shaft === 'wheel_hub');
    const [keys, ...rows] = rowsOf((await download(page, 'load collective, leading: wheel hub')).text);
    assert.deepEqual(keys, ['torque_from_nm', 'torque_to_nm', 'revolutions', 'duration_s']);
    for (const [from, , turns] of rows.map((row) => row.map(Number))) {
      const sum = hub.filter((line) => Number(line[5]) === from).reduce((all, line) => all + Number(line[11]), 0);
      assert.ok(Math.abs(sum - turns) <= 1e-4 * sum, `${from} Nm: ${turns} for ${sum}`);
    }
    assert.match(await page.locator('#collectives .caution').innerText(), /approved testing and licensed practice/);
    assert.deepEqual(complaints, []);
    await close();
  },

  async charts_of_braking_are_whole_on_a_narrow_screen(browser) {
    for (const [name, width] of [['compare', 390], ['full', 390], ['compare', 1280]]) {
      const { page, close } = await open(browser, name, { width, unfolded: width < 600 });
      const charts = await page.locator('#braking .chart').all();
      assert.ok(charts.length >= 3, `${charts.length} charts`);
      for (const chart of charts) {
        const over = await chart.evaluate((frame) => {
          const { left, right } = frame.getBoundingClientRect();
          return [...frame.querySelectorAll('svg text')].filter((text) => text.getBoundingClientRect().right > right + 1 || text.getBoundingClientRect().left < left - 1).map((text) => text.textContent);
        });
        assert.deepEqual(over, [], `${name} at ${width}`);
      }
      await close();
    }
  },

  async the_hottest_winding_is_that_of_the_document(browser) {
    const key = 'peak_winding_temperature_degc';
    const all = json('compare').trucks.map((truck) => truck.own[key]);
    for (const [name, title, degc] of [['drive', 'Temperatures of drive units', json('drive')[key]], ['compare', 'Winding temperatures', Math.max(...all)]]) {
      const { page, close } = await borrow(browser, name);
      const caption = plain(await figureOf(page, title).locator('figcaption').innerText());
      assert.match(caption, new RegExp(`^Hottest winding: [^:]+: ${degc.toFixed(digitsOf(key))} degC at km \\d+\\.\\d{${digitsOf('distance_km')}}\\. `));
      await close();
    }
  },

  // Each peak of the document has its row, with its range and the limits of the files; limits are told in the charts too.
  async peaks_of_temperatures_are_those_of_the_document(browser) {
    const { page, close } = await borrow(browser, 'drive');
    const document = json('drive');
    const shown = await page.locator('#heat tbody tr').evaluateAll((list) => list.map((row) => [...row.children].map((cell) => cell.textContent)));
    const expected = Object.entries(document.drive_units).flatMap(([unit, of]) =>
      ['winding', 'housing', 'inverter'].map((part) => {
        const ends = ['low', 'high'].map((end) => of[`peak_${part}_temperature_${end}_degc`]).filter((degc) => degc !== undefined).sort((a, b) => a - b);
        return [`${unit}, ${part}`, of[`peak_${part}_temperature_degc`].toFixed(0), ends.map((degc) => degc.toFixed(0)).join(' to ') || '\u2013'];
      }),
    );
    expected.push(['coolant', document.peak_coolant_temperature_degc.toFixed(0), '\u2013']);
    expected.push(...Object.entries(document.axles).map(([axle, of]) => [`brakes, ${axle}`, of.peak_brake_temperature_degc.toFixed(0), '\u2013']));
    assert.deepEqual(shown.map((row) => row.slice(0, 3)), expected);
    assert.ok(expected.some(([, , range]) => range.includes(' to ')) && expected.length > 8);
    const limits = Object.fromEntries(shown.map((row) => [row[0], row.at(-1)]));
    const texts = await page.locator('#heat svg text').allTextContents();
    for (const [part, words] of [['leading, winding', 'winding'], ['leading, inverter', 'inverter']]) {
      const [from, to] = limits[part].split(' to ');
      assert.ok(Number(from) < Number(to), limits[part]);
      for (const text of [`${words}: derating from ${from} °C`, `${words}: no torque from ${to} °C`]) assert.ok(texts.includes(text), `${text} among ${texts}`);
    }
    assert.ok(texts.includes(`limit of the coolant ${limits.coolant} °C`));
    assert.ok(texts.includes(`limit of the friction brakes ${limits['brakes, front']} °C`));
    assert.match(await page.locator('#heat .caution').innerText(), /approved testing, local regulation and licensed practice/);
    await close();
  },

  // Of the trucks of page "parts" the first models its winding alone, and the last has a retarder that the others lack.
  async what_a_truck_does_not_model_or_have_is_left_out(browser) {
    const { page, close } = await borrow(browser, 'parts');
    const { trucks } = json('parts');
    const titles = await page.locator('#heat h3').allInnerTexts();
    assert.deepEqual(titles, ['Winding temperatures', `Temperatures of drive units and coolant: ${trucks[1].short_name}`]);
    const [head, ...rows] = rowsOf((await download(page, 'energy balance, each at its own speeds')).text);
    assert.equal(head.length, 4);
    const retarder = rows.find(([line]) => line === 'retarder').slice(1).map(Number);
    assert.deepEqual(retarder, [0, 0, trucks[2].own.energy_balance.retarder_kwh]);
    for (const column of [2, 3]) {
      const gap = rows.slice(0, -1).reduce((sum, row) => sum + Number(row[column]) - Number(row[1]), 0);
      assert.ok(Math.abs(gap - (Number(rows.at(-1)[column]) - Number(rows.at(-1)[1]))) < 1e-3, `${gap} in column ${column}`);
    }
    const caption = plain(await figureOf(page, 'Braking work').locator('figcaption').innerText());
    const brakes = (await figureOf(page, 'Braking work').locator('svg text').allTextContents()).map(plain);
    const { regenerative_braking_kwh: motors, energy_balance: { retarder_kwh: slowed, friction_brakes_kwh: friction } } = trucks[2].own;
    assert.ok(brakes.some((text) => text.includes(`retarder, ${((100 * slowed) / (motors + slowed + friction)).toFixed(0)} %`)), `${brakes}`);
    for (const { short_name: name, own } of trucks) assert.ok(caption.includes(`${name} ${(100 * own.motor_braking_share).toFixed(0)} %`), caption);
    await close();
  },

  async how_axles_share_friction_is_told_as_the_file_has_it(browser) {
    for (const [name, words] of [['central', 'shared by the axle loads at rest'], ['ideal', 'in proportion to its load of the moment']]) {
      const { page, close } = await borrow(browser, name);
      assert.ok((await figureOf(page, 'Use of adhesion').locator('figcaption').innerText()).includes(words), name);
      await close();
    }
  },

  // "two electric axles" are many, or one truck: a name bears no verb, and begins no sentence.
  async names_of_trucks_bear_no_verb_and_begin_no_sentence(browser) {
    for (const [name, least] of [['compare', 4], ['drive', 0], ['tractor', 6]]) {
      const { page, close } = await borrow(browser, name);
      const names = json(name).trucks?.map((truck) => truck.short_name) ?? ['two electric axles'];
      const texts = (await page.locator('figcaption, h3, #energy > p, #limits > p').allInnerTexts()).map(plain);
      assert.ok(texts.filter((text) => names.some((one) => text.includes(one))).length > least, `${name}: few texts bear a name`);
      for (const text of texts) {
        for (const sentence of text.split(/(?<=\.) /)) assert.doesNotMatch(sentence, /^[a-z]/, text);
        for (const one of names) assert.doesNotMatch(text, new RegExp(`${one} (?!(?:and|against)\\b)[a-z]+`), text);
      }
      await close();
    }
  },

  async durations_are_told_as_the_shared_list_has_them() {
    assert.ok(durations.length >= 20);
    for (const [seconds, text] of durations) assert.equal(duration(seconds), text);
  },

  async tables_and_csv_files_hold_the_numbers_of_the_document(browser) {
    const { page, close } = await open(browser, 'compare');
    const { trucks } = json('compare');
    for (const basis of ['common', 'own']) {
      const title = basis === 'common' ? 'energy balance, all at the common speed' : 'energy balance, each at its own speeds';
      const { name, text } = await download(page, title);
      assert.equal(name, `energy-balance-${basis}.csv`);
      const [head, ...rows] = rowsOf(text);
      assert.equal(head.length, trucks.length + 1);
      const lines = Object.keys(trucks[0][basis].energy_balance);
      assert.equal(rows.length, lines.length + 1);
      trucks.forEach((truck, index) => {
        lines.forEach((line, row) => assert.equal(Number(rows[row][index + 1]), truck[basis].energy_balance[line]));
        assert.equal(Number(rows.at(-1)[index + 1]), truck[basis].battery_kwh);
      });
      const details = page.locator('details', { hasText: title }).first();
      await details.locator('summary').focus();
      await page.keyboard.press('Enter');
      await details.locator('tbody').waitFor();
      const shown = await details.locator('tbody tr').evaluateAll((list) => list.map((row) => [...row.children].map((cell) => cell.textContent)));
      assert.equal(shown.length, rows.length);
      const digits = [...lines.map((line) => digitsOf(`energy_balance.${line}`)), Math.max(...lines.map((line) => digitsOf(`energy_balance.${line}`)))];
      shown.forEach((cells, row) =>
        cells.slice(1).forEach((cell, index) => assert.equal(plain(cell), Number(rows[row][index + 1]).toFixed(digits[row]).replace(/^-(?=[0.]+$)/, ''), cells[0])),
      );
    }
    await close();
  },

  async the_csv_of_the_run_has_every_row_of_the_trace(browser) {
    const { page, close } = await borrow(browser, 'drive');
    const { text } = await download(page, ', over time');
    const [head, ...rows] = rowsOf(text);
    const [keys, ...trace] = rowsOf(readFileSync(join(folder, 'drive.csv'), 'utf8'));
    assert.equal(rows.length, trace.length);
    const steps = { time_s: 0.01, place_m: 0.1, speed_km_h: 0.01, target_speed_km_h: 0.01, battery_kw: 0.1, soc: 1e-5, winding_temperature_degc: 0.1,
      housing_temperature_degc: 0.1, inverter_temperature_degc: 0.1, coolant_temperature_degc: 0.1, trailer_axle_brake_temperature_degc: 1 };
    for (const [key, step] of Object.entries(steps)) {
      const here = head.findIndex((one) => one.endsWith(key));
      const there = keys.indexOf(head[here]);
      assert.ok(here >= 0 && there >= 0, key);
      rows.forEach((row, index) => {
        const off = Math.abs(Number(row[here]) - Number(trace[index][there]));
        assert.ok(off <= 0.5001 * step, `${key} in row ${index}: ${row[here]} for ${trace[index][there]}`);
      });
    }
    await close();
  },

  // What is drawn in a chart is one picture with a text of its own; contrast of its words is that of the page's colours.
  async nothing_is_inaccessible_in_light_or_dark(browser) {
    for (const name of ['compare', 'drive'])
      for (const colorScheme of ['light', 'dark']) {
        const { page, close } = await open(browser, name, { colorScheme, bypassCSP: true });
        await page.locator('#energy summary').first().click();
        await page.addScriptTag({ content: axeSource });
        const { violations } = await page.evaluate(() => axe.run({ include: 'main', exclude: '.chart svg' }, { resultTypes: ['violations'] }));
        const grave = violations.filter(({ impact }) => ['serious', 'critical'].includes(impact));
        assert.deepEqual(grave.map(({ id, nodes }) => `${name} ${colorScheme} ${id}: ${nodes[0].html.slice(0, 200)} ${nodes[0].failureSummary}`), []);
        await close();
      }
  },

  async the_scheme_of_the_reader_changes_page_and_charts(browser) {
    const { page, close } = await open(browser, 'compare');
    const light = await page.evaluate(() => [getComputedStyle(document.documentElement).backgroundColor, document.querySelector('.chart svg').outerHTML.length]);
    const line = () => figureOf(page, 'Elevation, speed').locator('svg').evaluate((svg) => svg.outerHTML.includes('#56c2b4'));
    assert.equal(await line(), false);
    await page.emulateMedia({ colorScheme: 'dark' });
    await page.waitForFunction(() => document.querySelector('.chart svg')?.outerHTML.includes('#56c2b4'), null, { polling: 50 });
    const dark = await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
    assert.notEqual(dark, light[0]);
    await page.screenshot({ path: join(folder, 'shots', 'dark.png'), fullPage: true });
    await close();
  },

  async it_fits_a_window_of_360_pixels(browser) {
    for (const name of ['compare', 'drive']) {
      const { page, complaints, close } = await open(browser, name, { width: 360 });
      const width = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok(width <= 360, `${name} is ${width} wide`);
      assert.deepEqual(complaints, []);
      await page.screenshot({ path: join(folder, 'shots', `${name}-narrow.png`), fullPage: true });
      await close();
    }
  },

  // Every row of likeness: the document's value of each truck, told as not alike where it is not, and its tolerance.
  async likeness_is_that_of_the_document(browser) {
    const document = json('compare');
    for (const width of [390, 1000]) {
      const { page, complaints, close } = await open(browser, 'compare', { width });
      const shown = await page.locator('#likeness tbody tr').evaluateAll((list) =>
        list.map((row) => [...row.cells].map((cell) => ({ value: (cell.querySelector('strong') ?? cell).childNodes[0].textContent, text: cell.innerText, strong: cell.querySelector('strong') !== null }))),
      );
      assert.equal(shown.length, document.likeness.rows.length);
      let unlike = 0;
      document.likeness.rows.forEach((row, index) => {
        const cells = shown[index];
        assert.ok(plain(cells[0].text).startsWith(width < 600 ? row.short_label : row.label), `${cells[0].text} for ${row.label}`);
        document.trucks.forEach((truck, place) => {
          const is = truck.likeness[row.key];
          assert.equal(plain(cells[1 + place].value), is.value.toFixed(row.digits), row.key);
          assert.equal(cells[1 + place].strong, !is.alike, row.key);
          assert.equal(cells[1 + place].text.includes('not alike'), !is.alike, row.key);
          if (is.at_km_h) assert.ok(plain(cells[1 + place].text).includes(`at ${is.at_km_h.toFixed(0)} km/h`), row.key);
          unlike += is.alike ? 0 : 1;
        });
        const tolerance = !row.judged ? '\u2013' : row.tolerance === 0 ? 'none' : row.tolerance_of === 'first' ? `${+(100 * row.tolerance).toPrecision(6)} %` : `${row.tolerance} ${row.unit}`;
        assert.equal(cells.at(-1).text.replace(/\s/g, ' '), tolerance, row.key);
      });
      assert.ok(unlike >= 4, `${unlike} cells are not alike`);
      const frame = await page.locator('#likeness .scroll').evaluate((one) => [one.scrollWidth, one.clientWidth]);
      assert.ok(frame[0] <= frame[1], `the table is ${frame[0]} wide in ${frame[1]}`);
      assert.deepEqual(complaints, []);
      await page.locator('#likeness').screenshot({ path: join(folder, 'shots', `likeness-${width}.png`) });
      await close();
    }
  },

  // Why: each step of the bridge, each bar of the lines and each row of the tables has the number of the document, and
  // steps follow each other from the first truck to the other.
  async bridge_and_causes_are_those_of_the_document(browser) {
    const { why } = json('why');
    const [told] = why.trucks;
    const parts = told.parts.filter(({ alike }) => !alike);
    assert.ok(parts.length >= 3 && parts.length < told.parts.length);
    for (const width of [390, 1000]) {
      const { page, complaints, close } = await open(browser, 'why', { width });
      await page.locator('#why figure').nth(1).scrollIntoViewIfNeeded();
      await page.locator('#why figure').nth(1).locator('rect').first().waitFor();
      const boxes = await page.locator('#why figure').first().locator('rect').evaluateAll((list) => list.map((one) => [Number(one.dataset.value), one.x.baseVal.value, one.x.baseVal.value + one.width.baseVal.value]));
      const slower = Math.abs(told.lowered_speed) >= 5e-5 ? [told.lowered_speed] : [];
      const values = [told.first, ...parts.map(({ part }) => part), ...slower, told.other];
      assert.equal(boxes.length, values.length);
      boxes.forEach(([value], index) => assert.ok(Math.abs(value - values[index]) < 1e-9, `step ${index}: ${value} for ${values[index]}`));
      const ends = boxes.map(([value, from, to], index) => (index > 0 && index < boxes.length - 1 && value < 0 ? from : to));
      const begins = boxes.map(([value, from, to]) => (value < 0 ? to : from));
      for (let step = 1; step < boxes.length - 1; step += 1) assert.ok(Math.abs(begins[step] - ends[step - 1]) < 1.5, `step ${step} begins at ${begins[step]}, not ${ends[step - 1]}`);
      assert.ok(Math.abs(boxes.at(-1)[2] - ends.at(-2)) < 1.5);
      const lines = await page.locator('#why figure').nth(1).locator('rect').evaluateAll((list) => list.map((one) => Number(one.dataset.value)));
      const drivetrain = told.parts.find(({ causes }) => causes.includes('drivetrain'));
      const largest = drivetrain.lines.map(({ part }) => part).sort((a, b) => Math.abs(b) - Math.abs(a));
      lines.forEach((value, index) => assert.ok(Math.abs(value - largest[index]) < 1e-9));
      const rows = await page.locator('#why table.causes').first().locator('tbody tr').evaluateAll((list) => list.map((row) => [...row.cells].map((cell) => cell.textContent)));
      told.parts.forEach((part, index) => {
        assert.equal(rows[index][0], part.label);
        if (part.alike) assert.equal(rows[index][1], 'alike');
        else assert.equal(Number(plain(rows[index][1])), Number(part.part.toFixed(4)), part.label);
      });
      const { right, over } = await page.evaluate(() => ({
        right: document.documentElement.scrollWidth,
        over: [...document.querySelectorAll('#why svg text')].filter((one) => one.getBBox().x < -2 || one.getBBox().x + one.getBBox().width > one.ownerSVGElement.clientWidth + 2).map((one) => one.textContent),
      }));
      // No line of zero goes through a name or a number; on a phone, where they stand above the bars, it is as high as a bar.
      const crossed = await page.locator('#why figure').nth(1).locator('svg:has(.zero)').evaluateAll((list, narrow) =>
        list.flatMap((svg) => {
          const zeros = [...svg.querySelectorAll('.zero')].map(({ x1, y1, y2 }) => [x1, y1, y2].map(({ baseVal }) => baseVal.value));
          const boxes = [...svg.querySelectorAll('text')].map((one) => [one.textContent, one.getBBox()]);
          return boxes.filter(([, box]) => zeros.some(([x, from, to]) => (narrow || (x > box.x && x < box.x + box.width)) && from < box.y + box.height - 3 && to > box.y + 3)).map(([text]) => text);
        }),
        width === 390,
      );
      assert.deepEqual(crossed, [], `width ${width}`);
      assert.ok(right <= width, `the page is ${right} wide in ${width}`);
      assert.deepEqual(over, []);
      assert.deepEqual(complaints, []);
      await page.locator('#why').screenshot({ path: join(folder, 'shots', `why-${width}.png`) });
      await close();
    }
  },

  // Beside another lineup: what each truck uses with both sets of data, and the lines that moved, as the document has them.
  async beside_is_that_of_the_document(browser) {
    const document = json('beside');
    for (const width of [390, 1000]) {
      const { page, complaints, close } = await open(browser, 'beside', { width });
      const tables = await page.locator('#beside table').evaluateAll((list) =>
        list.map((one) => [...one.tBodies[0].rows].map((row) => [...row.cells].map((cell) => cell.innerText))),
      );
      const told = document.beside.trucks;
      assert.equal(tables.length, told.length);
      ['here', 'there'].forEach((side, row) => {
        assert.equal(tables[0][row][0], `${side}, kWh/km`);
        told.forEach((truck, place) => {
          const cell = plain(tables[0][row][1 + place]);
          assert.ok(cell.startsWith(truck.use[side].toFixed(2)), `${cell} for ${truck.use[side]}`);
          if (place > 0) assert.ok(cell.includes(Math.abs(truck.percent[side]).toFixed(1)), `${cell} for ${truck.percent[side]}`);
        });
      });
      told.slice(1).forEach((truck, place) =>
        tables[1 + place].forEach((row, index) => {
          const line = truck.lines[index];
          assert.equal(row[0], line.label);
          const numbers = [line.difference_kwh_km.here, line.difference_kwh_km.there, line.moved_kwh_km];
          numbers.forEach((number, at) => assert.equal(Number(plain(row[1 + at])) + 0, Number(number.toFixed(3)) + 0, line.key));
        }),
      );
      assert.ok(tables[1].length >= 3);
      assert.deepEqual(complaints, []);
      const [whole, seen] = await page.evaluate(() => [document.documentElement.scrollWidth, window.innerWidth]);
      assert.ok(whole <= seen, `the page is ${whole} wide in ${seen}`);
      await page.locator('#beside').screenshot({ path: join(folder, 'shots', `beside-${width}.png`) });
      await close();
    }
  },

  // On a phone the answer stands in the open and what goes beyond it is folded, chart by chart; paper opens all of it.
  async on_a_phone_the_answer_is_open_and_the_rest_folded(browser) {
    const { page, complaints, close } = await open(browser, 'tractor', { width: 390 });
    const high = await page.evaluate(() => document.documentElement.scrollHeight);
    assert.ok(high < 16000, `${high} pixels high`);
    for (const open of ['table.ranked', '.verdict', '#answer table.side', '#limits table', '#route .chart'])
      assert.ok(await page.locator(open).first().isVisible(), `${open} is in the open`);
    const charts = () => page.locator('#energy .chart, #forces .chart, #motors .chart, #braking .chart, #heat .chart').evaluateAll((list) => list.map((one) => one.checkVisibility()));
    const seen = await charts();
    assert.deepEqual(seen.filter(Boolean).length, 1, 'of the charts beyond the answer that of all losses');
    assert.ok(seen[0] && seen.length > 12, `${seen}`);
    await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
    assert.ok((await charts()).every(Boolean), 'on paper all are open');
    await page.evaluate(() => dispatchEvent(new Event('afterprint')));
    assert.deepEqual(await charts(), seen);
    await page.locator('#heat summary').first().click();
    const chart = page.locator('#heat .chart').first();
    await chart.locator('svg').waitFor();
    await page.waitForFunction(() => {
      const frame = document.querySelector('#heat .chart');
      return Math.abs(frame.querySelector('svg').clientWidth - frame.clientWidth) <= 1;
    }, null, { polling: 50 });
    assert.deepEqual(complaints, []);
    await close();
  },

  // A browser that goes while a look is under way is replaced, and the look taken once more.
  async a_browser_that_goes_is_replaced(browser) {
    gone.push(browser);
    if (gone.length > 1) return assert.ok(browser !== gone[0] && browser.isConnected());
    const session = await browser.newBrowserCDPSession();
    await Promise.race([session.send('Browser.crash').catch(() => null), after(5000)]);
    await (await browser.newContext()).newPage();
  },

  // A table, and a chart that needs its width, may be moved sideways in a frame of its own; the page may not.
  async two_trucks_side_by_side_are_seen_at_390_pixels(browser) {
    const { page, close } = await open(browser, 'compare', { width: 390 });
    const { rows: listed, trucks } = json('compare');
    const rows = await page.locator('#answer > .scroll > table.side tbody tr').evaluateAll((list) =>
      list.map((row) => ({ head: row.querySelector('th').innerText, left: row.querySelector('th').getBoundingClientRect().left, right: Math.max(...[...row.cells].map((cell) => cell.getBoundingClientRect().right)), cells: row.cells.length })),
    );
    const first = listed.filter(({ main }) => main);
    assert.equal(rows.length, first.length);
    // the short label, but where the quantity is only in the long one
    const headOf = ({ label, short_label: short }) => (short === 'at the common speed' ? label : short);
    rows.forEach(({ head }, index) => assert.ok(plain(head).startsWith(headOf(first[index])), `${head} for ${headOf(first[index])}`));
    for (const { head, left, right, cells } of rows) {
      assert.equal(cells, trucks.length + 1);
      assert.ok(left >= 0 && right <= 390, `${head} reaches from ${left} to ${right}`);
    }
    const names = await page.locator('#answer > .scroll > table.side thead th .key').evaluateAll((list) => list.map((key) => [key.innerText, key.getBoundingClientRect().right]));
    assert.deepEqual(names.map(([name]) => name.trim()), trucks.map((truck) => truck.short_name));
    for (const [name, right] of names) assert.ok(right <= 390, `${name} ends at ${right}`);
    const over = await page.evaluate(() =>
      [...document.querySelectorAll('main, main *:not(svg *)')]
        .filter((one) => one.scrollWidth > one.clientWidth + 1 && one.clientWidth > 0 && getComputedStyle(one).display !== 'inline')
        .filter((one) => !one.matches('.scroll, .wide, .unseen, .ranked th:first-child, .who') && one.closest('.chart') === null)
        .map((one) => `${one.tagName} ${one.className} ${one.scrollWidth} in ${one.clientWidth}`),
    );
    assert.deepEqual(over, []);
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= 390);
    await page.screenshot({ path: join(folder, 'shots', 'compare-390.png') });
    await close();
  },

  // Tables that stand beside charts of the same figures are folded; for paper they are opened, and left as they were behind it.
  async tables_beside_charts_are_folded_and_printed(browser) {
    for (const name of ['compare', 'stalled', 'why']) {
      const { page, close } = await open(browser, name);
      const states = () => page.locator('details.paper').evaluateAll((list) => list.map((one) => one.open));
      const before = await states();
      assert.ok(before.includes(false), name);
      assert.equal(await page.locator('#differ table.side').first().isVisible(), false, name);
      await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
      assert.ok((await states()).every(Boolean), name);
      await page.emulateMedia({ media: 'print' });
      const bare = await page.locator('section').evaluateAll((list) => list.filter((one) => one.checkVisibility() && ![...one.children].some((child) => child.tagName !== 'H2' && child.checkVisibility())).map(({ id }) => id));
      assert.deepEqual(bare, [], `${name}: headings alone`);
      await page.evaluate(() => dispatchEvent(new Event('afterprint')));
      assert.deepEqual(await states(), before, name);
      await close();
    }
  },

  async on_paper_it_is_light_and_no_chart_is_cut(browser) {
    const { page, close } = await open(browser, 'compare', { colorScheme: 'dark' });
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    await page.setViewportSize({ width: 680, height: 960 });
    await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
    const found = await page.evaluate(() => ({
      back: getComputedStyle(document.documentElement).backgroundColor,
      charts: [...document.querySelectorAll('.chart')].map((frame) => [frame.clientWidth, frame.querySelector('svg').clientWidth, frame.closest('figure').clientHeight]),
    }));
    assert.equal(found.back, 'rgb(255, 255, 255)');
    for (const [frame, svg, height] of found.charts) {
      assert.ok(svg <= frame + 1 && frame <= 680, `a chart of ${svg} in ${frame}`);
      assert.ok(height < 960, `a figure of ${height} on a side of 960`);
    }
    await page.pdf({ path: join(folder, 'shots', 'compare.pdf'), format: 'A4', printBackground: true });
    await close();
  },

  // Each sheet has words on it beside its number, and the last sheet bears the number of all of them.
  // Printed before any script came, as where a printer does not wait: the browser's own unpacking never ends here.
  async on_paper_charts_are_there_at_once(browser) {
    const context = await browser.newContext({ viewport: { width: 1000, height: 800 } });
    const page = await context.newPage();
    const complaints = [];
    page.on('console', (message) => message.type() === 'error' && complaints.push(message.text()));
    page.on('pageerror', (error) => complaints.push(error.message));
    await page.addInitScript(() => {
      globalThis.DecompressionStream = class {
        readable = new ReadableStream();
        writable = new WritableStream();
      };
    });
    await page.goto(`file://${join(folder, 'compare.html')}`);
    assert.equal(await page.locator('.chart').count(), 0);
    await page.emulateMedia({ media: 'print' });
    assert.equal(await page.locator('.undrawn').isVisible(), true);
    const charts = await page.evaluate(() => {
      dispatchEvent(new Event('beforeprint'));
      return [...document.querySelectorAll('.chart')].filter((one) => one.checkVisibility()).map((one) => one.querySelectorAll('svg path, svg rect').length);
    });
    assert.ok(charts.length >= 8, `only ${charts.length} charts`);
    assert.deepEqual(charts.filter((shapes) => shapes < 3), []);
    assert.equal(await page.locator('.undrawn').isVisible(), false);
    assert.equal(await page.evaluate(() => document.scripts.length), 6, 'each script ran once');
    assert.deepEqual(complaints, []);
    await context.close();
  },

  // The reference is zlib, as Node.js has it.
  async what_is_packed_is_unpacked_at_once() {
    const texts = [readFileSync(join(folder, 'compare.html')), Buffer.alloc(0), Buffer.alloc(100000), Buffer.from('abcabcabc'), Buffer.from(Array.from({ length: 70000 }, (_, at) => (at * at * 2654435761) >>> 11))];
    for (const text of texts)
      for (const how of [{ level: 9 }, { level: 1 }, { level: 0 }, { strategy: constants.Z_FIXED }, { strategy: constants.Z_HUFFMAN_ONLY }])
        assert.equal(Buffer.compare(Buffer.from(inflate(deflateRawSync(text, how))), text), 0, `${text.length} bytes, ${JSON.stringify(how)}`);
  },

  // A chart with its heading fits a sheet, and what must not be parted from what stands behind it has something there: else all
  // of its part would be tied to the next, and parted where it should not be.
  async on_paper_no_sheet_is_blank_and_no_chart_parted(browser) {
    for (const name of ['compare', 'stalled', 'twelve', 'days', 'payback', 'assess']) {
      const { page, close } = await open(browser, name);
      const pdf = await page.pdf({ path: join(folder, 'shots', `${name}.pdf`), format: 'A4', printBackground: true });
      const sheets = wordsOfSheets(pdf);
      assert.ok(sheets.length >= 3, `${name}: only ${sheets.length} sheets`);
      sheets.forEach((words, index) => assert.ok(words > 20, `${name}: sheet ${index + 1} of ${sheets.length} has ${words} pieces of text`));
      await page.emulateMedia({ media: 'print' });
      await page.setViewportSize({ width: 680, height: 960 });
      await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
      const found = await page.evaluate(() => ({
        heights: [...document.querySelectorAll('figure:has(.chart)')].filter((one) => one.checkVisibility()).map((one) => one.getBoundingClientRect().height),
        long: document.querySelectorAll('.pieces.long').length,
        tied: [...document.querySelectorAll('main *')].filter((one) => one.checkVisibility() && getComputedStyle(one).breakAfter === 'avoid' && !one.nextElementSibling).map((one) => one.outerHTML.slice(0, 80)),
      }));
      assert.equal(found.long, 0, name);
      for (const height of found.heights) assert.ok(height < 960, `${name}: a figure of ${height} on a side of 960`);
      assert.deepEqual(found.tied, [], name);
      await close();
    }
  },

  async on_paper_the_route_is_whole_on_its_sheet(browser) {
    for (const name of ['compare', 'stalled', 'twelve']) {
      const { page, close } = await open(browser, name);
      await page.emulateMedia({ media: 'print' });
      await page.setViewportSize({ width: 680, height: 960 });
      await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
      assert.equal(await page.locator('.undrawn').isVisible(), false, `${name}: all charts are drawn`);
      const found = await page.evaluate(() => {
        const part = document.getElementById('route');
        return {
          before: getComputedStyle(part).breakBefore,
          high: part.querySelector('figure').getBoundingClientRect().bottom - part.getBoundingClientRect().top,
          panels: [...part.querySelectorAll('figure:first-of-type .chart clipPath > *')].map((one) => one.getBBox()).filter(({ width }) => width > 100).map(({ y, height }) => ({ y, height: Math.round(height) })),
          inside: [...new Set([...document.querySelectorAll('.chart svg, .frame svg')].map((one) => getComputedStyle(one).breakInside))],
        };
      });
      await close();
      assert.equal(found.before, 'page', name);
      assert.ok(found.high > 300 && found.high < 960, `${name}: the route takes ${found.high} of a sheet's 960`);
      // Panels from the top: elevation, speed, bars, charge; each is cut to its own for every line in it.
      const high = found.panels.toSorted((a, b) => a.y - b.y).filter(({ y }, at, all) => at === 0 || y - all[at - 1].y > 20).map(({ height }) => height);
      const [elevation, speed, charge] = [high[0], high[1], high.at(-1)];
      assert.ok(high.length === 4 && elevation >= 85 && speed >= 140 && charge >= 62, `${name}: panels are ${high} high`);
      assert.deepEqual(found.inside, ['avoid'], name);
    }
  },

  async no_word_of_a_tables_head_is_broken_on_a_phone(browser) {
    for (const name of ['stalled', 'days']) {
      const { page, close } = await open(browser, name, { width: 390, unfolded: true });
      assert.ok((await page.locator('thead th').count()) > 5, name);
      assert.deepEqual(await brokenWords(page, 'thead th'), [], name);
      await close();
    }
  },

  // Of more trucks than are told in the open flows and temperatures are printed small, those that stalled among them, by the document.
  async on_paper_many_trucks_have_their_flows_and_temperatures(browser) {
    const { trucks } = json('stalled');
    const { page, complaints, close } = await open(browser, 'stalled');
    assert.equal(await page.locator('section.small').count(), 0, 'on the screen there are none');
    await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
    await page.emulateMedia({ media: 'print' });
    const cards = await page.locator('section.small').evaluateAll((list) =>
      list.map((one) => [...one.querySelectorAll('.pair > div')].map((card) => ({
        title: card.querySelector('h4').textContent,
        kwh: [...card.querySelectorAll('[data-kwh]')].map((bar) => Number(bar.dataset.kwh)),
        lines: card.querySelectorAll('polyline').length,
        peaks: [...card.querySelectorAll('tbody tr')].map((row) => [...row.cells].map((cell) => cell.textContent)),
        seen: card.checkVisibility(),
      }))),
    );
    assert.equal(cards.length, 2);
    trucks.forEach(({ short_name: name, own }, index) => {
      const [flow, heat] = cards.map((part) => part[index]);
      const title = own.status === 'finished' ? name : `${name}, ${own.status} at km ${own.distance_km.toFixed(digitsOf('distance_km'))}`;
      assert.deepEqual([flow.title, heat.title], [title, title]);
      assert.ok(flow.seen && heat.seen);
      assert.ok(flow.kwh.some((kwh) => Math.abs(kwh - own.energy_balance.motor_losses_kwh) < 1e-9), `${name}: ${flow.kwh}`);
      assert.equal(heat.lines, Object.keys(own.drive_units).length);
      const windings = heat.peaks.filter(([part]) => part.endsWith('winding')).map(([, degc]) => degc);
      assert.deepEqual(windings, Object.values(own.drive_units).map((of) => of.peak_winding_temperature_degc.toFixed(0)));
    });
    assert.ok(trucks.some(({ own }) => own.status === 'stalled'));
    assert.doesNotMatch(await page.locator('.unprinted').innerText(), /Temperatures|From the battery/);
    await page.evaluate(() => dispatchEvent(new Event('afterprint')));
    assert.equal(await page.locator('section.small').count(), 0);
    assert.deepEqual(complaints, []);
    await close();
  },

  async how_it_was_made_tells_what_was_asked(browser) {
    const units = { kg_m3: 'kg/m\u00b3', km_h: 'km/h', m_s2: 'm/s\u00b2', m_s: 'm/s', '1_s': '1/s', degc: '\u00b0C', deg: 'deg', years: 'years', percent: '%', kg: 'kg', s: 's', m: 'm' };
    const askedName = (key) => {
      const end = Object.keys(units).find((one) => key.endsWith(`_${one}`));
      return (end ? `${key.slice(0, -end.length - 1)}, ${units[end]}` : key).replaceAll('_', ' ');
    };
    const { page, close } = await borrow(browser, 'drive');
    const rows = await page.locator('#made tr').evaluateAll((list) => list.map((row) => [...row.children].map((cell) => cell.textContent)));
    const { load_case: loadCase, driving } = json('drive');
    assert.equal(loadCase.gravity_m_s2, 9.80665);
    // As the helps of these keys say (evener keys); what is not among them is of the truck's files.
    const unasked = {
      air_density_kg_m3: 'by altitude and temperature',
      temperature_degc: 'of the standard atmosphere at this altitude',
      wind_from_deg: 'mean over all directions',
      endurance_speed_km_h: 'none',
    };
    for (const key of Object.keys(unasked)) assert.equal({ ...loadCase, ...driving }[key], null, key);
    for (const [key, value] of Object.entries({ ...loadCase, ...driving })) {
      const [, told] = rows.find(([name]) => name === askedName(key)) ?? [];
      assert.equal(typeof value === 'number' ? Number(told) : told, value ?? unasked[key] ?? 'as the files say', key);
    }
    await close();
  },

  async hostile_names_stay_text(browser) {
    const { page, complaints, close } = await open(browser, 'hostile');
    assert.deepEqual(complaints, []);
    const found = await page.evaluate(() => ({ scripts: document.scripts.length, images: document.images.length, text: document.body.innerText, title: document.title, touched: window.touched }));
    assert.equal(found.scripts, 6, 'data, our script and the library packed, what unpacks them, and both of them');
    assert.equal(found.images, 0);
    assert.equal(found.touched, undefined);
    assert.ok(found.text.includes('<script>touched=1</script>') && found.text.includes('<img src=x onerror=touched=2>'), found.text.slice(0, 300));
    assert.ok(found.title.includes('<script>'), found.title);
    await close();
  },

  async the_policy_forbids_any_network(browser) {
    const { page, close } = await open(browser, 'drive');
    const outcomes = await page.evaluate(async () => {
      const tried = (act) => act().then(() => 'went through', () => 'refused');
      const image = () => new Promise((done, fail) => Object.assign(new Image(), { onload: done, onerror: fail, src: 'http://127.0.0.1:9/x.png' }));
      const script = () => new Promise((done, fail) => document.head.append(Object.assign(document.createElement('script'), { onload: done, onerror: fail, src: 'data:text/javascript,1' })));
      return [await tried(() => fetch('data:text/plain,x')), await tried(image), await tried(script)];
    });
    assert.deepEqual(outcomes, ['refused', 'refused', 'refused']);
    const policy = await page.locator('meta[http-equiv=Content-Security-Policy]').getAttribute('content');
    assert.match(policy, /^default-src 'none'; script-src 'sha256-/);
    await close();
  },
};

// ------------------------------------------------------------------------------------------------ all of them

for (const name of ['looks', 'shots']) mkdirSync(join(folder, name), { recursive: true });
const launch = () =>
  chromium.launch({
    executablePath: process.env.CHROMIUM,
    chromiumSandbox: process.getuid() !== 0,
    // Where /dev/shm is small, as in a container, a browser that keeps its pictures there is killed.
    args: ['--disable-dev-shm-usage', '--disable-background-networking', '--disable-component-update', '--disable-sync', '--no-first-run'],
  });

const after = (ms, outcome) => new Promise((done) => setTimeout(done, ms, outcome));

/** Whether the browser, not the page, is at fault: one that is gone, does not answer, or stopped giving frames to a page. */
async function isStuck(browser) {
  if (!browser.isConnected()) return true;
  const pages = browser.contexts().flatMap((context) => context.pages());
  const answersOf = (page) => (scriptless.has(page) ? page.evaluate(() => true) : hasFrames(page));
  const answers = await Promise.race([Promise.all(pages.map(answersOf)), after(20000, [false])]).catch(() => [false]);
  return answers.includes(false);
}

let browser = await launch();

const STUCK = 'the browser got stuck';

/** What comes of a look, however long a busy machine takes over it; given up only where the browser got stuck. */
async function endOf(outcome) {
  for (;;) {
    const found = await Promise.race([outcome, after(60000, null)]);
    if (found !== null) return found;
    if (await isStuck(browser)) return STUCK;
  }
}

/** The outcome of one look; once more, three times at most, in a new browser where the one at hand got stuck. */
async function outcomeOf(look) {
  for (let tries = 1; ; tries++) {
    const outcome = await endOf(look(browser).then(() => 'fine', (error) => error.stack ?? String(error)));
    if (outcome === 'fine') return outcome;
    const stuck = outcome === STUCK || (await isStuck(browser));
    await Promise.race([browser.close(), after(10000)]);
    browser = await launch();
    if (!stuck || tries === 4) return outcome;
    console.log('the browser got stuck; once more');
  }
}

const wanted = process.argv.slice(3);
for (const [name, look] of Object.entries(looks).filter(([one]) => wanted.length === 0 || wanted.includes(one))) {
  const began = performance.now();
  writeFileSync(join(folder, 'looks', name), `${await outcomeOf(look)}\n`);
  console.log(`${name}: ${Math.round(performance.now() - began)} ms`);
}
await Promise.race([browser.close(), after(10000)]);
process.exit(0); // timers of what was given up do not hold it
