// How soon a page can be used, against an empty one in the same browser: node page.mjs PACKAGES REPEATS PAGE.html
//
// An empty page and ours in turn, so that what else the machine does meets both; of each pair the difference counts, and of
// all pairs the median. A page can be used when its first picture is drawn and all charts of the first screen are in it.
// Target: 300 ms behind the empty page. Beside it: the same page less its scripts and data, which is what words and tables alone take;
// and the work of the page's own thread until all sections are made, which other work on the machine hardly moves. One JSON line
// a figure goes to standard output; those of time say how busy the machine was.
import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { loadavg } from 'node:os';
import { join, resolve } from 'node:path';

const [packages, repeats, file] = process.argv.slice(2);
const { chromium } = createRequire(join(resolve(packages), 'package.json'))('playwright-core');
const empty = `${resolve(file)}.empty.html`;
writeFileSync(empty, '<!doctype html><title>empty</title><p>empty');
const words = `${resolve(file)}.words.html`;
writeFileSync(words, readFileSync(file, 'utf8').replace(/<script[^]*?<\/script>/g, ''));

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM,
  chromiumSandbox: process.getuid() !== 0,
  args: ['--disable-background-networking', '--disable-component-update', '--disable-sync', '--no-first-run'],
});

const WINDOW = { width: 1440, height: 900 };
const TARGET_MS = 300;

/** Runs in the page before any of it: when the charts of the first screen stand there. */
function watch() {
  window.chartsAt = null;
  const look = () => {
    const seen = [...document.querySelectorAll('.chart, .strip')].filter((one) => one.getBoundingClientRect().top < innerHeight && one.getBoundingClientRect().height > 0);
    const there = seen.length > 0 && seen.every((one) => one.matches('.strip') || one.querySelector('svg'));
    if (!there) setTimeout(look, 5);
    else window.chartsAt = performance.now();
  };
  addEventListener('DOMContentLoaded', look);
}

/** First picture of a page; of ours with all charts of the first screen, and the work of its thread until all sections are made. */
async function opened(path, ours) {
  const context = await browser.newContext({ viewport: WINDOW });
  const page = await context.newPage();
  const session = await context.newCDPSession(page);
  await session.send('Performance.enable', { timeDomain: 'threadTicks' });
  if (ours) await page.addInitScript(watch);
  await page.goto(`file://${path}`);
  if (ours) await page.waitForFunction(() => document.documentElement.dataset.made === 'true' && window.chartsAt !== null, null, { polling: 50 });
  const first = () => performance.getEntriesByName('first-contentful-paint').length > 0;
  await page.waitForFunction(first, null, { polling: 50 });
  const [painted, charts] = await page.evaluate(() => [performance.getEntriesByName('first-contentful-paint')[0].startTime, window.chartsAt ?? 0]);
  const { metrics } = await session.send('Performance.getMetrics');
  await context.close();
  return { usable: Math.max(painted, charts), work: 1000 * metrics.find(({ name }) => name === 'TaskDuration').value };
}

const pairs = [];
await opened(empty, false); // the first page pays for the browser
for (let round = 0; round < Number(repeats); round += 1) pairs.push([await opened(empty, false), await opened(resolve(file), true), await opened(words, false)]);
await browser.close();

const median = (list) => list.sort((a, b) => a - b)[Math.floor(list.length / 2)];
const later = (of, which = 1) => median(pairs.map((pages) => pages[which][of] - pages[0][of]));
const usable = later('usable');
console.log(`{"figure": "page_bytes", "value": ${statSync(file).size}, "unit": "B"}`);
console.log(
  `{"figure": "page_usable", "value": ${usable.toFixed(0)}, "unit": "ms", "empty": ${median(pairs.map(([bare]) => bare.usable)).toFixed(0)}, "at_most": ${TARGET_MS}, "met": ${usable <= TARGET_MS}, "load": ${loadavg()[0].toFixed(1)}}`,
);
console.log(`{"figure": "page_words", "value": ${later('usable', 2).toFixed(0)}, "unit": "ms"}`);
console.log(`{"figure": "page_work", "value": ${later('work').toFixed(0)}, "unit": "ms"}`);
