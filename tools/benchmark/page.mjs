// How soon a page can be used, against an empty one in the same browser: node page.mjs PACKAGES REPEATS PAGE.html
//
// In turn, the median counts. Target: at most 1.5 times the empty page and half a second. One JSON line a figure goes to
// standard output, words to standard error, as the other measurements have it.
import { statSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join, resolve } from 'node:path';

const [packages, repeats, file] = process.argv.slice(2);
const { chromium } = createRequire(join(resolve(packages), 'package.json'))('playwright-core');
const empty = `${resolve(file)}.empty.html`;
writeFileSync(empty, '<!doctype html><title>empty</title><p>empty');

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM,
  chromiumSandbox: process.getuid() !== 0,
  args: ['--disable-background-networking', '--disable-component-update', '--disable-sync', '--no-first-run'],
});

/** Until the second frame behind loading: what stands in the window is drawn, and answers. */
async function opened(path) {
  const page = await browser.newPage();
  const began = performance.now();
  await page.goto(`file://${path}`);
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
  const took = performance.now() - began;
  await page.close();
  return took;
}

const times = { empty: [], page: [] };
await opened(empty);
for (let round = 0; round < Number(repeats); round += 1) {
  times.empty.push(await opened(empty));
  times.page.push(await opened(resolve(file)));
}
await browser.close();

const median = (list) => list.sort((a, b) => a - b)[Math.floor(list.length / 2)];
const plain = median(times.empty);
const page = median(times.page);
const allowed = 1.5 * plain + 500;
console.log(`{"figure": "page_bytes", "value": ${statSync(file).size}, "unit": "B"}`);
console.log(`{"figure": "page_usable", "value": ${page.toFixed(0)}, "unit": "ms", "empty": ${plain.toFixed(0)}, "at_most": ${allowed.toFixed(0)}, "met": ${page <= allowed}}`);
