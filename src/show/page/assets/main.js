// Puts charts into the page that is there without them, and lets tables be sorted.
import { make } from './dom.js';
import { bringLibrary, foldOnPhone, fromPaper, redrawAll, toPaper } from './figure.js';
import { modelOf } from './model.js';
import { groupPlaces } from './sections/abilities.js';
import { beside } from './sections/beside.js';
import { braking } from './sections/braking.js';
import { collectives } from './sections/collectives.js';
import { day } from './sections/day.js';
import { energy } from './sections/energy.js';
import { forces } from './sections/forces.js';
import { heat } from './sections/heat.js';
import { motors } from './sections/motors.js';
import { field, flow, parts, shares } from './sections/payback.js';
import { route } from './sections/route.js';
import { putSmall, takeSmall } from './sections/small.js';
import { why } from './sections/why.js';
import { sortable } from './sort.js';

// What each place of the page takes, in the order in which it is read; a title makes it a section of its own, an empty one a
// part of the section that it stands in. Another
// subject brings its own file and one line here.
const PLACES = {
  why: [['bridge', null, why]],
  differ: [
    ['energy', '', energy],
    ['beside', 'Beside other data', beside],
  ],
  route: [['strip', null, route]],
  day: [['charge', null, day]],
  flow: [['saved', null, flow]],
  parts: [['per-km', null, parts]],
  field: [['least', null, field]],
  shares: [['variance', null, shares]],
  evidence: [
    ['forces', 'Wheel force (tractive effort)', forces],
    ['motors', 'Operating points of the motors', motors],
    ['braking', 'Braking', braking],
    ['heat', 'Temperatures', heat],
    ['collectives', 'Load collectives', collectives],
  ],
};

// Of more trucks the evidence is folded.
const TRUCKS_OPEN = 3;

// A run alone differs from nothing: its energy is evidence. Pages of limits have places within their groups of figures; the forces stand
// behind those of starting.
function placesOf(model) {
  if (model.limits) return { ...groupPlaces, forces: [PLACES.evidence[0]] };
  return model.compares ? PLACES : { ...PLACES, evidence: [['energy', 'Energy balance', energy], ...PLACES.evidence] };
}

/** A part of the page; what is evidence is folded of many trucks, and on a phone. */
function partOf(model, id, title, content, isEvidence) {
  if (title === null) return content;
  if (title === '') return make('div', { id }, content);
  const heading = make('h2', { id: `${id}-title` }, title);
  const show = `Show ${title.toLowerCase()}`;
  const many = isEvidence && model.trucks.length > TRUCKS_OPEN;
  const inner = many ? make('details', {}, make('summary', {}, show), content) : isEvidence ? foldOnPhone(model, show, content) : content;
  return make('section', { id, 'aria-labelledby': `${id}-title`, class: many ? 'folded' : null }, heading, inner);
}

/** Tables of what charts show too are folded; on paper they are open. */
function foldTables(id, title) {
  const section = document.getElementById(id);
  const tables = [...(section?.children ?? [])].filter((one) => one.matches('.scroll'));
  if (tables.length === 0 || !section.querySelector('figure')) return;
  const fold = make('details', { class: 'paper' }, make('summary', {}, title));
  section.querySelector('[data-charts]').after(fold);
  fold.append(...tables);
}

/** Section by section, so that the page answers the reader between them. */
function* build(model) {
  const places = placesOf(model);
  for (const place of document.querySelectorAll('[data-charts]')) {
    const name = place.dataset.charts;
    for (const [id, title, section] of places[name] ?? []) {
      yield;
      const content = section(model);
      if (content === null) continue;
      place.append(...[partOf(model, id, title, content, name === 'evidence')].flat(Infinity).filter((one) => one !== null && one !== undefined));
    }
  }
  foldTables('differ', 'Table: where the energy goes');
  if (model.compares) foldTables('day', 'Tables: leg by leg');
  foldTables('why', 'Tables: causes and their lines');
  foldTables('flow', 'Tables: year by year');
  foldTables('field', 'Tables: which costs least, and what each is worth');
  document.querySelectorAll('table.ranked, table.sure, table.shares, table.data').forEach(sortable);
}

const told = modelOf(JSON.parse(document.getElementById('page-data').textContent));
const work = build(told);
/** What is folded of many trucks is printed small. */
const isPrintedSmall = told.compares && !told.limits && told.trucks.length > TRUCKS_OPEN;

const AT_REST_MS = 100;
/** All that draws charts is there. */
const tellBuilt = () => (document.documentElement.dataset.built = 'true');

function goOn() {
  if (!work.next().done) setTimeout(goOn);
  else if (!document.documentElement.dataset.made) {
    document.querySelectorAll('#plain, .keys.plain').forEach((one) => one.remove());
    document.documentElement.dataset.made = 'true';
    // The library comes when the page has nothing else to do, so that it is there for charts and for paper.
    setTimeout(() => bringLibrary().then(tellBuilt), AT_REST_MS);
  }
}
goOn();

/** What is folded on a screen and printed: open for paper, and as the reader left it behind that. Evidence of many trucks is printed
 * where the reader opened it: of twelve it is a hundred sheets. */
const folds = () => [...document.querySelectorAll('details.paper:not([open])')];
let opened = [];
/** What is not printed is named on paper, where the evidence ends: sections that are folded, and folds within those that are printed. */
function nameUnprinted() {
  document.querySelectorAll('.unprinted').forEach((one) => one.remove());
  const place = document.querySelector('[data-charts="evidence"]');
  const folded = [...document.querySelectorAll('section.folded:not(:has(details[open])) > h2, section:not(.folded) details.folded:not([open]) > summary')]
    .filter((one) => !isPrintedSmall || !one.closest('#heat, #energy'));
  if (!place || folded.length === 0) return;
  const names = folded.map((one) => one.textContent).join('; ');
  place.append(make('p', { class: 'unprinted about' }, `Not printed, as it is folded on the page: ${names}. What is opened there is printed.`));
}

addEventListener('beforeprint', () => {
  while (!work.next().done);
  if (globalThis.evenerCharts) tellBuilt(); // unpacked for paper
  opened = folds();
  opened.forEach((one) => (one.open = true));
  if (isPrintedSmall) putSmall(told);
  nameUnprinted();
});
addEventListener('afterprint', () => {
  opened.forEach((one) => (one.open = false));
  takeSmall();
});

matchMedia('(prefers-color-scheme: dark)').addEventListener('change', redrawAll);
matchMedia('print').addEventListener('change', redrawAll);
addEventListener('beforeprint', toPaper);
addEventListener('afterprint', fromPaper);
