// Builds the page from the data in it. A section that has nothing to tell is left out.
import { decimals } from './data.js';
import { make } from './dom.js';
import { drawAll, redrawAll } from './figure.js';
import { modelOf, placeDigits } from './model.js';
import { groupSections, verdict } from './sections/abilities.js';
import { answer } from './sections/answer.js';
import { beside } from './sections/beside.js';
import { braking } from './sections/braking.js';
import { collectives } from './sections/collectives.js';
import { energy } from './sections/energy.js';
import { forces } from './sections/forces.js';
import { heat } from './sections/heat.js';
import { likeness } from './sections/likeness.js';
import { limits } from './sections/limits.js';
import { made } from './sections/made.js';
import { motors } from './sections/motors.js';
import { route } from './sections/route.js';
import { sure } from './sections/sure.js';
import { trust } from './sections/trust.js';

// In the order in which they are read. Another subject brings its own file and one line here.
const SECTIONS = [
  ['answer', null, answer],
  ['sure', 'How sure', sure],
  ['likeness', 'Like for like', likeness],
  ['route', 'The route', route],
  ['energy', 'Energy balance', energy],
  ['beside', 'Beside other data', beside],
  ['limits', 'Limits', limits],
  ['forces', 'Wheel force (tractive effort)', forces],
  ['motors', 'Operating points of the motors', motors],
  ['braking', 'Braking', braking],
  ['heat', 'Temperatures', heat],
  ['collectives', 'Load collectives', collectives],
  ['trust', 'Accuracy and validity', trust],
  ['made', 'How this page was made', made],
];

// Pages of limits have a section for each group of figures; the forces stand behind those of starting.
function sectionsOf(model) {
  if (!model.limits) return SECTIONS;
  const groups = groupSections(model);
  const behind = groups.findIndex(([id]) => id === 'start') + 1;
  const shared = (wanted) => SECTIONS.find(([id]) => id === wanted);
  return [['answer', null, verdict], ...groups.slice(0, behind), shared('forces'), ...groups.slice(behind), ['trust', 'What this rests on', trust], shared('made')];
}

function about(model) {
  const { result } = model;
  if (model.limits) return model.compares ? 'What each starts on, climbs and holds downhill, and what binds it' : 'What it can do before any route, and what binds it';
  const km = (model.compares ? result.trucks[0]?.own?.distance_km : result.distance_km) ?? null;
  const parts = [
    model.compares ? `${model.trucks.length} trucks over ${model.route.name}` : null,
    km === null ? null : `${decimals(km, placeDigits(model))} km`,
    `${result.driver} driver`,
    model.route.source === 'invented' ? 'invented scenario' : null,
  ];
  return parts.filter(Boolean).join(', ');
}

function build(model) {
  const main = document.querySelector('main');
  main.replaceChildren(make('header', {}, make('h1', {}, model.title), make('p', { class: 'about' }, about(model))));
  for (const [id, title, section] of sectionsOf(model)) {
    const content = section(model);
    if (content === null) continue;
    const heading = title === null ? null : make('h2', { id: `${id}-title` }, title);
    main.append(
      make('section', { id, 'aria-labelledby': heading ? `${id}-title` : null, 'aria-label': heading ? null : 'The answer' }, heading, content),
    );
  }
}

build(modelOf(JSON.parse(document.getElementById('page-data').textContent)));

matchMedia('(prefers-color-scheme: dark)').addEventListener('change', redrawAll);
matchMedia('print').addEventListener('change', redrawAll);
addEventListener('beforeprint', drawAll);
addEventListener('afterprint', redrawAll);
document.documentElement.dataset.built = 'true';
