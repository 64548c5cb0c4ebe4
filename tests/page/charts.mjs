// Looks at the charts of pages, and at the checks of boxes that these looks rest on (boxes.mjs); look.mjs runs them.
import { strict as assert } from 'node:assert';
import { clipped, faultsOf, onBars, overflows, overlaps, smallTargets } from './boxes.mjs';

// ------------------------------------------------------------------------------------------------ the checks themselves

const MADE = (body) => `<!doctype html><meta name="viewport" content="width=device-width"><style>body { margin: 8px; font: 16px/1.4 sans-serif } .far { position: absolute; left: 20px; top: 8px }
  .frame { width: 80px; overflow: hidden; white-space: nowrap } .scroll { width: 80px; overflow-x: auto; white-space: nowrap } .wide { width: 900px } button { min-width: 44px; min-height: 44px }
  .small { min-height: 20px; height: 20px } .dots { width: 60px; overflow: hidden; text-overflow: ellipsis; white-space: nowrap } .unseen { position: absolute; clip-path: inset(50%) }</style><body>${body}`;
const svg = (texts) => `<svg width="200" height="60" style="display: block">${texts.map(([x, y, text]) => `<text x="${x}" y="${y}" font-size="12">${text}</text>`).join('')}</svg>`;

/** Small pages, each with what is wrong in it: the check that must find it, and words of what it says. */
const PLANTED = [
  ['two labels of a chart over each other', svg([[20, 30, 'friction brakes'], [60, 34, 'tyre slip']]), overlaps, /"friction brakes" lies over "tyre slip"/],
  ['a paragraph over another', '<p>the answer</p><p class="far">the table</p>', overlaps, /"the answer" lies over "the table"/],
  ['a label cut by the edge of its chart', svg([[150, 30, 'friction brakes 0.259 kWh']]), clipped, /"friction brakes 0.259 kWh" is cut by \d+ px/],
  ['a label above its chart', svg([[20, 3, 'regenerated']]), clipped, /"regenerated" is cut/],
  ['words cut by a frame', '<div class="frame">two electric axles, trailing</div>', clipped, /"two electric axles, trailing" is cut/],
  ['words that end in dots', '<div class="dots">two electric axles</div>', clipped, /"two electric axles" ends in dots/],
  ['a table wider than the window', '<div class="wide">kWh</div>', overflows, /div.wide reaches from 8 to 908 in 390/],
  ['a name on its bar', '<svg width="200" height="40" style="display: block"><rect data-value="20.4" x="0" y="10" width="150" height="20"/><text x="10" y="25" font-size="12">motors 90 %</text></svg>', onBars, /"motors 90 %" lies on the shape of 20.4/],
  ['a button too low for a finger', '<button class="small">closer</button>', smallTargets, /button "closer" is \d+ x 20/],
];

/** Pages with nothing wrong that a hasty check would find fault with. */
const SOUND = [
  ['labels under each other', svg([[20, 20, 'friction brakes'], [20, 34, 'tyre slip']])],
  ['a name behind its bar', '<svg width="200" height="40" style="display: block"><rect data-value="20.4" x="0" y="10" width="100" height="20"/><text x="106" y="25" font-size="12">motors 90 %</text></svg>'],
  ['words that a reader can scroll to', '<div class="scroll">two electric axles, trailing</div><p>the table</p>'],
  ['words for screen readers alone', '<p>the answer <span class="unseen">in words that no eye is to see</span></p>'],
  ['what is folded', '<details><summary style="display: block; min-height: 44px">more</summary><p class="far">the table</p></details><p>the answer</p>'],
  ['a fold within a fold', '<details><summary style="min-height: 44px">more</summary><details><summary>still more</summary><p>the table</p></details></details><p>the answer</p>'],
  ['a number that stands out within a label', svg([[20, 20, 'tyre slip <tspan font-weight="600">0.94 kWh</tspan>']])],
  ['a button that a finger finds', '<button>closer</button>'],
];

const made = async (page, body) => page.goto(`data:text/html,${encodeURIComponent(MADE(body))}`);

async function checksFindWhatIsPlanted(browser) {
  const context = await browser.newContext({ viewport: { width: 390, height: 600 } });
  const page = await context.newPage();
  for (const [what, body, check, words] of PLANTED) {
    await made(page, body);
    const found = await check(page);
    assert.match(`${what}: ${found.join('\n')}`, words);
    assert.deepEqual(await faultsOf(page, { coarse: true }), found, `${what}: and nothing else`);
  }
  for (const [what, body] of SOUND) {
    await made(page, body);
    assert.deepEqual(await faultsOf(page, { coarse: true }), [], what);
  }
  await made(page, '<div class="scroll">two electric axles, trailing</div>');
  await page.emulateMedia({ media: 'print' });
  assert.match((await clipped(page)).join('\n'), /"two electric axles, trailing" is cut/, 'on paper nobody scrolls');
  await context.close();
}

// ------------------------------------------------------------------------------------------------ pages

/** A page as a mouse, a finger or a sheet of paper has it, with every chart drawn and every fold open that is wanted so. */
async function openAt(browser, folder, name, { width = 1280, coarse = false, colorScheme = 'light', paper = false, unfolded = false } = {}) {
  const context = await browser.newContext({ viewport: { width, height: 900 }, colorScheme, hasTouch: coarse, isMobile: coarse });
  context.setDefaultTimeout(60000);
  const page = await context.newPage();
  const complaints = [];
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => ['error', 'warning'].includes(message.type()) && complaints.push(message.text()));
  await page.goto(`file://${folder}/${name}.html`);
  await page.waitForFunction(() => document.documentElement.dataset.built === 'true' || document.scripts.length === 0, null, { polling: 50 });
  if (paper) await page.emulateMedia({ media: 'print', colorScheme });
  await page.evaluate((open) => {
    if (open) document.querySelectorAll('details:not(.numbers)').forEach((one) => (one.open = true));
  }, unfolded);
  await page.evaluate((sheet) => {
    dispatchEvent(new Event('beforeprint'));
    if (!sheet) dispatchEvent(new Event('afterprint'));
  }, paper);
  await page.waitForFunction(() => [...document.querySelectorAll('.chart')].every((one) => one.clientWidth === 0 || one.querySelector('svg') !== null), null, { polling: 50 });
  return { page, complaints, close: () => context.close() };
}

const CHARTS = ['#route', '#day', '#energy', '#forces', '#motors', '#braking', '#heat', '#collectives', '#start', '#climb', '#trucks', '#flow', '#parts', '#field', '#sure'];
const VIEWS = [
  { width: 1440 },
  { width: 1024, colorScheme: 'dark' },
  { width: 390, coarse: true },
  { width: 360, coarse: true },
  { width: 680, paper: true },
];

/** Widest, narrowest, paper. */
const EXTREMES = [VIEWS[0], VIEWS[3], VIEWS[4]];

/** Whole pages of all kinds, with all that is folded open: no target that a finger would miss. */
async function targetsSuitAFinger(browser, { folder }) {
  for (const name of ['why', 'twelve', 'day', 'site', 'payback', 'assess']) {
    const { page, complaints, close } = await openAt(browser, folder, name, { width: 390, coarse: true, unfolded: true });
    assert.ok((await page.locator('summary, button, a[href]').count()) >= (name === 'site' ? 0 : 3), name);
    assert.deepEqual(await smallTargets(page), [], name);
    assert.deepEqual(complaints, []);
    await close();
  }
}

/** An open page in another window, narrower than before, or on paper; all charts drawn anew. */
async function turnTo(page, { width, colorScheme = 'light', paper = false }) {
  await page.setViewportSize({ width, height: 900 });
  await page.emulateMedia({ media: paper ? 'print' : 'screen', colorScheme });
  if (paper) await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
  await page.waitForFunction(
    () =>
      [...document.querySelectorAll('.chart')].every((one) => {
        const svg = one.querySelector('svg');
        return one.clientWidth === 0 || (svg !== null && svg.clientWidth <= one.clientWidth + 1);
      }),
    null,
    { polling: 50 },
  );
}

/** Charts and what stands around them: at every width, in the dark, for a finger and on paper; a page for the mouse, one for the finger. */
const chartsAreSound = (names, views = VIEWS) => async (browser, { folder }) => {
  for (const name of names)
    for (const same of [views.filter(({ coarse }) => !coarse), views.filter(({ coarse }) => coarse)]) {
      const { page, complaints, close } = await openAt(browser, folder, name, { ...same[0], unfolded: true });
      for (const view of same) {
        if (view !== same[0]) await turnTo(page, view);
        let sections = 0;
        for (const root of CHARTS) {
          if ((await page.locator(root).count()) === 0) continue;
          sections += 1;
          assert.deepEqual(await faultsOf(page, { root, coarse: view.coarse }), [], `${name} ${JSON.stringify(view)} ${root}`);
        }
        assert.ok(sections >= 3, `${name}: ${sections} sections`);
      }
      // One pattern of dashes, which means one thing.
      const dashes = await page.locator('svg [stroke-dasharray]').evaluateAll((list) => [...new Set(list.map((one) => one.getAttribute('stroke-dasharray').replaceAll(/[ ,]+/g, ' ')))]);
      assert.deepEqual(dashes.filter((one) => one !== '5 4'), [], name);
      assert.deepEqual(complaints, []);
      await close();
    }
};

// ------------------------------------------------------------------------------------------------ energy

// Lines that are kept before each place along the way, once more than in the page.
const BEFORE = [
  [],
  ['battery_losses_kwh'],
  ['auxiliaries_kwh', 'power_take_off_kwh', 'cooling_fan_kwh', 'battery_conditioning_kwh', 'brake_resistor_kwh'],
  ['inverter_losses_kwh', 'motor_losses_kwh', 'gear_change_losses_kwh'],
  ['gearbox_losses_kwh', 'propeller_shaft_losses_kwh', 'final_drive_losses_kwh', 'hub_losses_kwh'],
  ['tyre_slip_losses_kwh', 'retarder_kwh', 'friction_brakes_kwh'],
];
const sum = (list) => list.reduce((all, one) => all + one, 0);
const near = (a, b, slack, what) => assert.ok(Math.abs(a - b) <= slack, `${what}: ${a} for ${b}`);
const runsOf = (document) => document.trucks?.map((truck) => truck.own) ?? [document];

/** What is drawn of a flow: numbers, and pixels as they are in the picture. */
const drawnIn = (chart) =>
  chart.evaluate((frame) =>
    [...frame.querySelectorAll('[data-kwh]')].map((one) => {
      const path = one.getAttribute('d');
      const high = path === null ? Number(one.getAttribute('height')) : Number(/v(-?[\d.]+)C/.exec(path)?.[1] ?? one.dataset.px);
      return { kwh: Number(one.dataset.kwh), key: one.dataset.key, way: one.dataset.way, high, wide: Number(one.getAttribute('width')) };
    }),
  );

/** All that is drawn is the document's, sums up, and is as thick as it says. */
async function flowsSum(browser, { folder, json, plain, digitsOf }) {
  for (const [name, straight] of [['compare', true], ['back', true], ['city', true], ['down', false]]) {
    const { page, close } = await openAt(browser, folder, name, { unfolded: true });
    const charts = await page.locator('figure', { has: page.locator('h3', { hasText: 'From the battery to the road' }) }).locator('.chart').all();
    const runs = runsOf(json(name));
    assert.equal(charts.length, runs.length, name);
    for (const [at, chart] of charts.entries()) {
      const own = runs[at];
      const drawn = await drawnIn(chart);
      const kept = drawn.filter(({ key, way }) => key !== undefined && way === undefined && key !== 'net');
      const shown = (key) => Number(Math.abs(own.energy_balance[key]).toFixed(digitsOf(`energy_balance.${key}`))) !== 0;
      const takes = Object.entries(own.energy_balance).filter(([key, kwh]) => kwh > 0 && shown(key));
      assert.deepEqual(kept.map(({ key }) => key).toSorted(), takes.map(([key]) => key).toSorted(), name);
      for (const { key, kwh } of kept) near(kwh, own.energy_balance[key], 1e-9, key);
      const given = sum(Object.values(own.energy_balance).filter((kwh) => kwh < 0).map((kwh) => -kwh));
      const tiny = 0.005 * Object.keys(own.energy_balance).length;
      near(sum(kept.map(({ kwh }) => kwh)), own.battery_kwh + given, tiny, `${name}: all that is kept, for all that is given`);
      const [back] = drawn.filter(({ way }) => way === 'returns');
      near(back.kwh, Math.min(own.regenerated_kwh, own.discharged_kwh), 1e-9, 'what comes back');
      const on = drawn.filter(({ way }) => way === 'on');
      assert.equal(on.length, straight ? 5 : 0);
      on.forEach(({ kwh }, place) => {
        const before = sum(BEFORE.slice(0, place + 2).flat().map((key) => own.energy_balance[key] ?? 0));
        near(kwh, own.battery_kwh - before, 1e-9, `what reaches place ${place + 1}`);
      });
      const scales = drawn.filter(({ high }) => high > 3).map(({ kwh, high }) => high / kwh);
      assert.ok(scales.length >= 3 && Math.max(...scales) < 1.001 * Math.min(...scales), `${name}: as thick as they say: ${scales}`);
      const texts = (await chart.locator('svg text').allTextContents()).map(plain);
      for (const [key, kwh] of takes) assert.ok(texts.some((text) => text.endsWith(` ${kwh.toFixed(digitsOf(`energy_balance.${key}`))} kWh`)), `${key} ${kwh} among ${texts}`);
    }
    await close();
  }
}

/** Names of sixty letters on a phone: none over a number, none beyond the window, and no table wider than it for their sake. */
async function longNamesHaveRoom(browser, { folder, json }) {
  assert.ok(json('names').trucks.every(({ short_name: name }) => name.length === 60));
  const { page, close } = await openAt(browser, folder, 'names', { width: 390, coarse: true, unfolded: true });
  assert.deepEqual(await faultsOf(page, { root: '#energy', coarse: true }), []);
  assert.deepEqual(await faultsOf(page, { root: '#answer', coarse: true }), []);
  const wide = await page.locator('#answer .scroll, #differ .scroll, #limits .scroll, #trucks .scroll').evaluateAll((list) => list.map((one) => one.scrollWidth - one.clientWidth));
  assert.ok(wide.length > 4 && wide.every((over) => over <= 1), `tables reach beyond the window by ${wide}`);
  await close();
}

/** Least that the longest bar takes of a picture. */
const LONGEST_SHARE = 0.15;

/** Rows of bars beside long names: each bar on the side of zero that its value says, and the longest of a picture long enough to be seen. */
async function barsStandOnTheirSide(browser, { folder, json }) {
  assert.ok(json('wide').trucks.every(({ short_name: name }) => name.length === 40));
  const views = [620, 700, 768, 1000, 1440].map((width) => ({ width }));
  for (const [name, list] of [['wide', [...views, { width: 680, paper: true }]], ['tipper', [views[0], views[2]]]]) {
    const { page, close } = await openAt(browser, folder, name, { ...list[0], unfolded: true });
    for (const view of list) {
      if (view !== list[0]) await turnTo(page, view);
      const where = `${name} ${JSON.stringify(view)}`;
      const charts = await page.locator('.chart:has([data-value])').evaluateAll((frames) =>
        frames.map((frame) => ({
          what: frame.getAttribute('aria-label'),
          wide: frame.clientWidth,
          zero: Number(frame.querySelector('.zero').getAttribute('x1')),
          bars: [...frame.querySelectorAll('[data-value]')].map((bar) => ({ value: Number(bar.dataset.value), left: Number(bar.getAttribute('x')), long: Number(bar.getAttribute('width')) })),
        })),
      );
      const both = charts.filter(({ bars }) => bars.some(({ value }) => value < 0));
      assert.ok(charts.length >= 3 && both.length >= 1, `${where}: ${charts.length} pictures`);
      for (const { what, wide, zero, bars } of charts) {
        const strays = bars.filter(({ value, left, long }) => long > 1 && (value < 0 ? Math.abs(left + long - zero) : Math.abs(left - zero)) > 0.01);
        assert.deepEqual(strays, [], `${where}: ${what}`);
        const longest = Math.max(...bars.map(({ long }) => long));
        assert.ok(longest > LONGEST_SHARE * wide, `${where}: ${what}: the longest is ${longest} of ${wide}`);
      }
      assert.deepEqual(await faultsOf(page, { root: '#energy' }), [], where);
    }
    await close();
  }
}

/** On a phone: a list from the largest down, its bars as long as they say. */
async function flowsAreListsOnAPhone(browser, { folder, json }) {
  const { page, close } = await openAt(browser, folder, 'compare', { width: 360, coarse: true, unfolded: true });
  const charts = await page.locator('figure', { has: page.locator('h3', { hasText: 'From the battery to the road' }) }).locator('.chart').all();
  for (const [at, chart] of charts.entries()) {
    const drawn = await drawnIn(chart);
    const kept = drawn.filter(({ key }) => key !== undefined).map(({ kwh }) => kwh);
    assert.ok(kept.length > 8);
    assert.deepEqual(kept, kept.toSorted((a, b) => b - a));
    near(drawn[0].kwh, runsOf(json('compare'))[at].battery_kwh, 1e-9, 'net battery energy stands first');
    const scales = drawn.filter(({ wide }) => wide > 3).map(({ kwh, wide }) => wide / kwh);
    assert.ok(Math.max(...scales) < 1.001 * Math.min(...scales), `${scales}`);
  }
  await close();
}

/** Losses of all trucks: the document's, all over one axis. */
async function lossesStandOverOneAxis(browser, { folder, json }) {
  for (const [name, width] of [['compare', 1280], ['compare', 390], ['stalled', 1280]]) {
    const { page, close } = await openAt(browser, folder, name, { width });
    const whose = name === 'stalled' ? 'the trucks that finished' : 'all trucks';
    const chart = page.locator('figure', { has: page.locator('h3', { hasText: `Losses and auxiliaries of ${whose}` }) }).locator('.chart');
    const bars = await chart.locator('[data-value]').evaluateAll((list) => list.map((one) => [Number(one.dataset.value), Number(one.getAttribute('width'))]));
    const trucks = json(name).trucks.filter(({ common }) => common.status === 'finished');
    assert.ok(bars.length >= 8 * trucks.length && bars.length % trucks.length === 0);
    bars.forEach(([value], at) => {
      const balance = trucks[at % trucks.length].common.energy_balance;
      assert.ok(Object.values(balance).includes(value) || value === 0, `${value} is a line of ${trucks[at % trucks.length].name}`);
    });
    const scales = bars.filter(([, wide]) => wide > 3).map(([value, wide]) => wide / value);
    assert.ok(Math.max(...scales) < 1.001 * Math.min(...scales), `one axis: ${scales}`);
    await close();
  }
}

// ------------------------------------------------------------------------------------------------ route

const stripOf = (page) => page.locator('figure', { has: page.locator('h3', { hasText: 'Elevation, speed' }) }).first();
const seenOf = (page) => stripOf(page).locator('[role=status]').textContent();
const press = (page, name) => stripOf(page).getByRole('button', { name }).click();

/** Left and right edges of the panels: those of the frames to which the chart library cuts their lines. */
const edgesOf = (page) =>
  stripOf(page).locator('.chart').evaluate((frame) =>
    [...frame.querySelectorAll('clipPath > *')]
      .map((one) => one.getBBox())
      .filter(({ width }) => width > 100)
      .map(({ x, width }) => [x, x + width]),
  );
/** The library cuts a little beyond the panel, by the width of the line. */
const LINE_SLACK_PX = 2;

async function panelsShareTheirEdges(browser, { folder }) {
  for (const width of [1280, 390]) {
    const { page, close } = await openAt(browser, folder, 'compare', { width });
    for (const name of [/whole route/, /closer/, /closer/, /left/, /closer/, /closer/, /closer/, /closer/, /right/]) {
      await press(page, name);
      const edges = await edgesOf(page);
      assert.ok(edges.length >= 4, `${edges.length} panels`);
      for (const side of [0, 1]) {
        const all = edges.map((edge) => edge[side]);
        assert.ok(Math.max(...all) - Math.min(...all) <= LINE_SLACK_PX, `${width} after ${name}: ${all}`);
      }
    }
    await close();
  }
}

/** The tip of the mark of a stop lies on the line of the road below it. */
async function stopsStandOnTheRoad(browser, { folder }) {
  const { page, close } = await openAt(browser, folder, 'compare');
  const found = await stripOf(page).locator('.chart').evaluate((frame) => {
    const paths = [...frame.querySelectorAll('svg path')];
    const road = paths.filter((one) => one.getAttribute('fill') === 'none' && one.getAttribute('d').length > 200).sort((a, b) => a.getBoundingClientRect().top - b.getBoundingClientRect().top)[0];
    const ink = getComputedStyle(document.documentElement).getPropertyValue('--ink').trim();
    const marks = paths.filter((one) => one.getAttribute('fill') === ink && one.getBoundingClientRect().width < 12).map((one) => one.getBoundingClientRect());
    const [matrix, length] = [road.getScreenCTM(), road.getTotalLength()];
    const points = Array.from({ length: 4001 }, (_, k) => road.getPointAtLength((k / 4000) * length).matrixTransform(matrix));
    return marks.map((mark) => {
      const x = (mark.left + mark.right) / 2;
      const below = points.reduce((best, point) => (Math.abs(point.x - x) < Math.abs(best.x - x) ? point : best));
      return below.y - mark.bottom;
    });
  });
  assert.ok(found.length >= 1, 'stops are marked');
  for (const gap of found) assert.ok(gap > -1 && gap < 5, `a mark ${gap.toFixed(1)} px above the road`);
  await close();
}

/** Names of the rows of bars are the limits of the document, and a bar of its truck covers where it held each back most. */
async function limitsStandWhereTheyAct(browser, { folder, json }) {
  const { page, close } = await openAt(browser, folder, 'compare');
  const { trucks } = json('compare');
  const labels = new Set(trucks.flatMap(({ own }) => own.limited_by.map(({ label }) => label)));
  const texts = await stripOf(page).locator('svg text').allTextContents();
  assert.deepEqual(new Set(texts.filter((text) => text.startsWith('limited by: ')).map((text) => text.slice(12))), labels);
  const [left, right] = (await edgesOf(page))[0];
  const found = await stripOf(page).locator('.chart').evaluate((frame) => {
    const top = frame.getBoundingClientRect();
    const style = getComputedStyle(document.documentElement);
    const rows = [...frame.querySelectorAll('svg text')].filter((one) => one.textContent.startsWith('limited by: ')).map((one) => ({ label: one.textContent.slice(12), y: one.getBoundingClientRect().bottom }));
    const bars = [...frame.querySelectorAll('svg path')].map((one) => ({ fill: one.getAttribute('fill'), box: one.getBoundingClientRect() })).filter(({ box }) => Math.round(box.height) === 5);
    return { rows, colours: [1, 2].map((at) => style.getPropertyValue(`--series-${at}`).trim()), bars: bars.map(({ fill, box }) => ({ fill, y: box.top, left: box.left - top.left, right: box.right - top.left })) };
  });
  const end = Number((await stripOf(page).locator('svg text').allTextContents()).filter((text) => /^[\d.]+$/.test(text)).at(-1));
  trucks.forEach(({ own }, at) => {
    for (const { label, at_km: place } of own.limited_by) {
      const row = found.rows.find((one) => one.label === label);
      const x = left + (place / end) * (right - left);
      const covers = found.bars.some((bar) => bar.fill === found.colours[at] && bar.y >= row.y - 3 && bar.y < row.y + 16 && bar.left <= x + 2 && bar.right >= x - 2);
      assert.ok(covers, `${label} at km ${place}, ${x}: ${JSON.stringify(found.bars.filter((bar) => bar.fill === found.colours[at] && Math.abs(bar.y - row.y) < 20))}`);
    }
  });
  await close();
}

async function drag(page, dx, dy = 0) {
  const box = await stripOf(page).locator('.chart').boundingBox();
  const [x, y] = [box.x + 0.4 * box.width, box.y + 220];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + dx, y + dy, { steps: 4 });
  await page.mouse.up();
}

/** A trembling click zooms nothing; a drag does, and takes what the pointer showed away; keys work the buttons. */
async function onlyADragZooms(browser, { folder }) {
  const { page, close } = await openAt(browser, folder, 'compare');
  await stripOf(page).locator('.chart').scrollIntoViewIfNeeded();
  await drag(page, 7);
  assert.equal(await seenOf(page), 'Whole route');
  await stripOf(page).locator('.tip').waitFor({ state: 'visible' });
  await drag(page, 90);
  assert.match(await seenOf(page), /^km \d.* to \d/);
  await stripOf(page).locator('.tip').waitFor({ state: 'hidden', timeout: 3000 });
  for (const [name, means] of [['left', 'start'], ['right', 'end'], ['closer', 'half'], ['wider', 'twice'], ['whole route', 'start to end']]) {
    const button = stripOf(page).getByRole('button', { name: new RegExp(`${name}.*: .*${means}`) });
    const before = await seenOf(page);
    await button.focus();
    await page.keyboard.press('Enter');
    assert.notEqual(await seenOf(page), before, name);
  }
  assert.equal(await seenOf(page), 'Whole route');
  await close();
}

/** Until a page neither scrolls nor glides: its place is the same over ten frames, however long a busy machine takes to give them. */
const stands = (page) =>
  page.evaluate(() => new Promise((done) => {
    let [last, still] = [scrollY, 0];
    const look = () => {
      still = scrollY === last ? still + 1 : 0;
      last = scrollY;
      if (still < 10) requestAnimationFrame(look);
      else done();
    };
    requestAnimationFrame(look);
  }));

/** Fingers by the protocol of the browser, which knows a scroll from a drag as on a phone: a move for each frame. */
async function swipe(page, client, dx, dy) {
  const box = await stripOf(page).locator('.chart').boundingBox();
  const [x, y] = [box.x + 0.5 * box.width, box.y + 220];
  const point = (share) => [{ x: x + share * dx, y: y + share * dy }];
  await client.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: point(0) });
  for (let k = 1; k <= 8; k += 1) {
    await client.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: point(k / 8) });
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(done)));
  }
  await client.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
  await stands(page);
}

async function aFingerScrolls(browser, { folder }) {
  const { page, close } = await openAt(browser, folder, 'compare', { width: 390, coarse: true });
  const client = await page.context().newCDPSession(page);
  await stripOf(page).locator('.chart').evaluate((one) => scrollTo(0, one.getBoundingClientRect().top + scrollY - 100));
  const before = await page.evaluate(() => scrollY);
  await swipe(page, client, 0, -150);
  await page.waitForFunction((least) => scrollY > least, before + 80, { polling: 50 });
  await stands(page);
  assert.equal(await seenOf(page), 'Whole route');
  await page.evaluate((top) => scrollTo(0, top), before);
  await swipe(page, client, 120, 0);
  assert.equal(await seenOf(page), 'Whole route', 'a level swipe zooms nothing');
  const toggle = stripOf(page).getByRole('button', { name: 'zoom by dragging' });
  const isPressed = async () => (await toggle.getAttribute('aria-pressed')) === 'true';
  // A tap while a page still glides from a swipe stops it, and is no tap: fingers try again.
  for (let tries = 0; tries < 3 && !(await isPressed()); tries++) {
    await toggle.tap();
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
  }
  assert.ok(await isPressed(), 'it is pressed');
  await page.evaluate((top) => scrollTo(0, top), before);
  await swipe(page, client, 7, 0);
  assert.equal(await seenOf(page), 'Whole route', 'less than ten pixels zoom nothing');
  await swipe(page, client, 120, 0);
  assert.match(await seenOf(page), /^km \d/, 'where it was asked for, it does');
  await close();
}

// ------------------------------------------------------------------------------------------------ days

/** Bands below the charge are as long as legs and stops last; what comes in by charging is not lost from the flow. */
async function daysAreThoseOfTheDocument(browser, { folder, json }) {
  const { page, complaints, close } = await openAt(browser, folder, 'day');
  const document = json('day');
  const season = document.seasons[document.worst_season];
  const bands = await page.locator('#day [data-phase]').evaluateAll((all) =>
    all.map((one) => ({ kind: one.dataset.phase, from: Number(one.dataset.fromS), to: Number(one.dataset.toS), x: Number(one.getAttribute('x')), wide: Number(one.getAttribute('width')) })),
  );
  assert.equal(bands.length, season.phases.length);
  const clock = (seconds) => `${Math.floor(Math.round(seconds / 60) / 60)}:${String(Math.round(seconds / 60) % 60).padStart(2, '0')}`;
  const legs = await page.locator('table.legs').first().locator('tbody tr').evaluateAll((list) => list.map((row) => [...row.cells].slice(1, 3).map((cell) => cell.textContent)));
  assert.deepEqual(legs, season.phases.map((phase) => [clock(phase.begin_s), clock(phase.duration_s)]));
  const perSecond = (bands.at(-1).x - bands[0].x) / (bands.at(-1).from - bands[0].from);
  season.phases.forEach((phase, at) => {
    const band = bands[at];
    assert.equal(band.kind, phase.charged_kwh !== undefined ? 'charging' : phase.kind);
    near(band.from, phase.begin_s, 1e-6, phase.name);
    near(band.to - band.from, phase.duration_s, 1e-6, phase.name);
    near(band.x - bands[0].x, perSecond * phase.begin_s, 0.1, `${phase.name} begins`);
    near(band.wide, perSecond * phase.duration_s - 1, 0.2, `${phase.name} lasts`);
  });
  const { day } = season;
  const [, input] = await page.locator('#energy [data-place]').evaluateAll((all) => all.map((one) => Number(one.dataset.rest)));
  near(input, day.battery_kwh - day.charged_stored_kwh + day.charged_kwh - day.energy_balance.battery_losses_kwh, 1e-9, 'what reaches the bus');
  assert.match(await page.locator('#energy figcaption').first().innerText(), /Charging at stops brought/);
  assert.deepEqual(complaints, []);
  await close();
}

// ------------------------------------------------------------------------------------------------ payback

/** Bars are as high and cells as coloured as the document says, lines lie where one truck takes over from another. */
async function paybackIsThatOfTheDocument(browser, { folder, json, plain }) {
  const document = json('payback');
  const { page, complaints, close } = await openAt(browser, folder, 'payback', { width: 1000, unfolded: true });
  const bases = document.bases;
  const stacks = await page.locator('#parts figure .chart').evaluateAll((list) => list.map((one) => ({ bars: [...one.querySelectorAll('[data-value]')].map((bar) => [bar.dataset.key, Number(bar.dataset.value), Number(bar.getAttribute('height'))]), texts: [...one.querySelectorAll('text')].map((text) => text.textContent) })));
  assert.equal(stacks.length, bases.length);
  bases.forEach(({ trucks }, at) => {
    const expected = trucks.flatMap(({ figures }) => figures.filter(({ key, value }) => key.startsWith('per_km.') && Math.abs(value) >= 0.00005));
    assert.deepEqual(stacks[at].bars.map(([key, value]) => `${key} ${value}`).toSorted(), expected.map(({ key, value }) => `${key} ${value}`).toSorted());
    const scales = stacks[at].bars.filter(([, , high]) => high > 3).map(([, value, high]) => high / value);
    near(Math.max(...scales), Math.min(...scales), 1e-3 * Math.max(...scales), 'one scale');
    const told = stacks[at].texts.map(plain);
    for (const { figures } of trucks) for (const { key, value } of figures) if (key === 'cost.per_km') assert.ok(told.includes(value.toFixed(4)), `${value} among ${told}`);
    for (const { label, value } of expected) assert.ok(told.includes(value.toFixed(4)) && told.includes(label), `${label} ${value}`);
  });
  const fields = await page.locator('#field figure .chart').evaluateAll((list) =>
    list.map((one) => ({
      cells: [...one.querySelectorAll('rect[data-key]')].map((cell) => ({ id: cell.dataset.key, x: Number(cell.getAttribute('x')), y: Number(cell.getAttribute('y')), wide: Number(cell.getAttribute('width')), high: Number(cell.getAttribute('height')) })),
      hatched: one.querySelectorAll('[data-hatched]').length,
      lines: [...one.querySelectorAll('polyline[data-line]')].map((line) => ({ id: line.dataset.line, points: line.getAttribute('points').split(' ').map((point) => point.split(',').map(Number)) })),
    })),
  );
  bases.forEach(({ field }, at) => {
    const { cells, lines, hatched } = fields[at];
    assert.equal(hatched, field.trucks_needed.flat().filter((count) => count > 1).length, 'cells that one truck cannot do');
    assert.deepEqual(cells.map(({ id }) => id), field.costs_least.flat());
    const [first] = cells;
    const points = lines.flatMap((one) => one.points);
    const over = field.takes_over;
    assert.ok(over.flat().length > 0 && lines.length >= 1, 'it does turn');
    assert.deepEqual([...new Set(lines.map(({ id }) => id))].toSorted(), [...new Set(over.flat().map(({ below, above }) => `${below} ${above}`))].toSorted());
    const step = field.energy_price[1] - field.energy_price[0];
    over.forEach((list, k) => {
      for (const { energy_price: price } of list) {
        const y = first.y + first.high / 2 - ((price - field.energy_price[0]) / step) * first.high;
        assert.ok(points.some(([x, at]) => Math.abs(x - (k + 0.5) * first.wide) <= first.wide / 2 + 0.01 && Math.abs(at - y) < 0.01), `border at ${field.annual_km[k]} km, ${price}`);
      }
    });
  });
  const shares = await page.locator('#sure figure .chart').evaluateAll((list) => list.map((one) => [...one.querySelectorAll('[data-value]')].map((bar) => Number(bar.dataset.value))));
  const causes = bases.map(({ trucks }) => trucks[1].sure.causes.filter(({ share }) => share >= 0.005).map(({ share }) => 100 * share));
  assert.deepEqual(shares, causes);
  for (const list of shares) assert.deepEqual(list, list.toSorted((a, b) => b - a), 'sorted');
  assert.equal(await page.locator('#flow figure .chart svg').count(), bases.length);
  const flows = await page.locator('#flow figure .chart').evaluateAll((list) => list.map((one) => one.getAttribute('aria-label')));
  bases.forEach(({ trucks: [, other] }, at) => assert.ok(plain(flows[at]).includes(`sleek ${other.figures.find(({ key }) => key === `extra.discounted.${document.years}`).value.toFixed(0)} EUR`), flows[at]));
  assert.deepEqual(complaints, []);
  await close();
}

// ------------------------------------------------------------------------------------------------ all of them

/** The looks by name; `tools` are what look.mjs has: the folder of pages, documents, plain text, decimals of results. */
export const chartLooks = (tools) =>
  Object.fromEntries(
    Object.entries({
      checks_of_boxes_find_what_is_planted: checksFindWhatIsPlanted,
      long_names_have_room: longNamesHaveRoom,
      bars_stand_on_their_side: barsStandOnTheirSide,
      charts_of_comparisons_are_sound_at_every_width: chartsAreSound(['compare']),
      charts_of_three_trucks_are_sound: chartsAreSound(['parts', 'tractor'], EXTREMES),
      charts_of_payback_are_sound_at_every_width: chartsAreSound(['payback']),
      charts_of_payback_are_those_of_the_document: paybackIsThatOfTheDocument,
      charts_of_runs_are_sound_at_every_width: chartsAreSound(['drive']),
      charts_of_descents_are_sound: chartsAreSound(['full', 'down'], EXTREMES),
      charts_of_days_are_sound: chartsAreSound(['day', 'days'], EXTREMES),
      days_are_those_of_the_document: daysAreThoseOfTheDocument,
      energy_flows_sum_and_are_those_of_the_document: flowsSum,
      energy_flows_are_ranked_lists_on_a_phone: flowsAreListsOnAPhone,
      losses_of_all_trucks_stand_over_one_axis: lossesStandOverOneAxis,
      panels_of_the_route_share_their_edges: panelsShareTheirEdges,
      stops_stand_on_the_road: stopsStandOnTheRoad,
      limits_stand_where_they_act: limitsStandWhereTheyAct,
      only_a_drag_zooms: onlyADragZooms,
      a_finger_scrolls: aFingerScrolls,
      targets_suit_a_finger: targetsSuitAFinger,
    }).map(([name, look]) => [name, (browser) => look(browser, tools)]),
  );
