// Looks at the charts of pages, and at the checks of boxes that these looks rest on (boxes.mjs); look.mjs runs them.
import { strict as assert } from 'node:assert';
import { clipped, faultsOf, overflows, overlaps, smallTargets } from './boxes.mjs';

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
  ['a button too low for a finger', '<button class="small">closer</button>', smallTargets, /button "closer" is \d+ x 20/],
];

/** Pages with nothing wrong that a hasty check would find fault with. */
const SOUND = [
  ['labels under each other', svg([[20, 20, 'friction brakes'], [20, 34, 'tyre slip']])],
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

// ------------------------------------------------------------------------------------------------ all of them

/** The looks by name. */
export const chartLooks = () => ({
  checks_of_boxes_find_what_is_planted: checksFindWhatIsPlanted,
});
