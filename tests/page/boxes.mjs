// What is wrong with the boxes of an open page, at its width and medium: text that lies over other text or on bars, text that is
// cut, what reaches beyond the window, and targets too small for a finger. Each call gives a list of words, empty where all is well.
//
// A box of text is that of one line of a text node, in HTML as in SVG. What a reader can scroll to counts as seen, and what is
// scrolled away lies over nothing; on paper nothing can be scrolled to. What is hidden, or is for screen readers alone, is no box.

/** Of these many pixels letters' boxes may lie over each other: they have room above and below that no letter fills. */
const SLACK_PX = 2;
/** Side of a target for a finger, WCAG 2.2, 2.5.5. */
export const TARGET_PX = 44;

/** Pages whose scripts are off: they run no timer and are told of no frame. */
export const scriptless = new WeakSet();

/** Runs in the page: all boxes of text under `root` with the part of each that is seen, and how it is cut. */
function measure({ root, paper }) {
  const styles = new Map();
  const styleOf = (element) => {
    if (!styles.has(element)) styles.set(element, getComputedStyle(element));
    return styles.get(element);
  };
  const parentOf = (element) => element.parentElement ?? element.getRootNode().host ?? null;
  const isHidden = (element) => {
    if (!element.checkVisibility({ opacityProperty: true, visibilityProperty: true })) return true;
    for (let one = element; one; one = parentOf(one)) if (styleOf(one).clipPath === 'inset(50%)') return true;
    return false;
  };
  /** Frames that hold an element, each with what becomes of text beyond it: a reader scrolls to it, or it is cut. */
  const framesOf = (element) => {
    const frames = [];
    for (let one = element; one && one !== document.documentElement; one = parentOf(one)) {
      const style = styleOf(one);
      const svg = one.localName === 'svg';
      const kinds = [style.overflowX, style.overflowY];
      if (one === document.body || (!svg && style.display === 'inline') || kinds.every((kind) => kind === 'visible')) continue;
      const { left, top, right, bottom } = one.getBoundingClientRect();
      const scrolls = kinds.map((kind) => !paper && ['auto', 'scroll'].includes(kind));
      frames.push({ left, top, right, bottom, scrolls, holds: kinds.map((kind) => kind !== 'visible') });
    }
    return frames;
  };
  const linesOf = (node) => {
    const range = document.createRange();
    range.selectNodeContents(node);
    return [...range.getClientRects()];
  };
  const boxes = [];
  const told = new Map();
  const within = document.querySelector(root);
  const texts = document.createTreeWalker(within, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const node = texts.currentNode;
    const element = node.parentElement;
    if (node.data.trim() === '' || element.closest('script, style, noscript, title, desc, template') || isHidden(element)) continue;
    // Pieces of one text of a drawing are one.
    const whole = element.closest('svg text') ?? node;
    if (told.has(whole)) continue;
    told.set(whole, told.size);
    const frames = framesOf(element);
    for (const line of whole === node ? linesOf(node) : [whole.getBoundingClientRect()]) {
      if (line.width < 1 || line.height < 1) continue;
      const box = { node: told.get(whole), text: whole.textContent.trim().replace(/\s+/g, ' ').slice(0, 60), left: line.left, right: line.right, top: line.top, bottom: line.bottom, cut: 0 };
      for (const frame of frames) {
        const over = [Math.max(frame.left - box.left, box.right - frame.right), Math.max(frame.top - box.top, box.bottom - frame.bottom)];
        over.forEach((pixels, side) => {
          if (frame.holds[side] && !frame.scrolls[side]) box.cut = Math.max(box.cut, pixels);
        });
        if (frame.holds[0]) Object.assign(box, { left: Math.max(box.left, frame.left), right: Math.min(box.right, frame.right) });
        if (frame.holds[1]) Object.assign(box, { top: Math.max(box.top, frame.top), bottom: Math.min(box.bottom, frame.bottom) });
      }
      boxes.push({ ...box, top: box.top + scrollY, bottom: box.bottom + scrollY });
    }
  }
  return boxes;
}

const boxesOf = async (page, root) => {
  const paper = await page.evaluate(() => matchMedia('print').matches);
  return page.evaluate(measure, { root, paper });
};

const where = ({ left, top }) => `at ${Math.round(left)}, ${Math.round(top)}`;

/** Texts that lie over each other; `all` are the boxes where they were measured already. */
export async function overlaps(page, root = 'body', all = null) {
  const boxes = (all ?? (await boxesOf(page, root))).filter(({ left, right, top, bottom }) => right - left > SLACK_PX && bottom - top > SLACK_PX);
  boxes.sort((a, b) => a.top - b.top);
  const found = [];
  boxes.forEach((a, index) => {
    for (const b of boxes.slice(index + 1)) {
      if (b.top >= a.bottom - SLACK_PX) break;
      const [wide, high] = [Math.min(a.right, b.right) - Math.max(a.left, b.left), Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top)];
      if (a.node !== b.node && wide > SLACK_PX && high > SLACK_PX) found.push(`"${a.text}" lies over "${b.text}" ${where(b)}, by ${Math.round(wide)} x ${Math.round(high)}`);
    }
  });
  return found;
}

/** Texts that a frame cuts, and that no reader can scroll to; texts that end in dots for want of room. */
export async function clipped(page, root = 'body', all = null) {
  const cut = (all ?? (await boxesOf(page, root))).filter((box) => box.cut > SLACK_PX).map((box) => `"${box.text}" is cut by ${Math.round(box.cut)} px ${where(box)}`);
  const dotted = await page.evaluate(
    (selector) =>
      [...document.querySelectorAll(`${selector} *`)]
        .filter((one) => one.checkVisibility() && getComputedStyle(one).textOverflow === 'ellipsis' && one.scrollWidth > one.clientWidth + 1)
        .map((one) => `"${one.textContent.trim().slice(0, 60)}" ends in dots`),
    root,
  );
  return [...cut, ...dotted];
}

/** Elements that reach beyond the sides of the window, or of the sheet, where no frame of their own scrolls. */
export const overflows = (page, root = 'body') =>
  page.evaluate((selector) => {
    const paper = matchMedia('print').matches;
    const wide = document.documentElement.clientWidth;
    const held = (element) => {
      for (let one = element.parentElement; one && one !== document.body; one = one.parentElement) {
        const kind = getComputedStyle(one).overflowX;
        if (kind !== 'visible' && !(paper && ['auto', 'scroll'].includes(kind))) return true;
      }
      return false;
    };
    const beyond = [...document.querySelectorAll(`${selector} *:not(svg *)`)]
      .filter((element) => element.checkVisibility())
      .map((element) => ({ element, box: element.getBoundingClientRect() }))
      .filter(({ element, box }) => box.width > 0 && box.height > 0 && (box.right > wide + 1 || box.left < -1) && !held(element))
      .map(({ element, box }) => `${element.localName}.${element.className} reaches from ${Math.round(box.left)} to ${Math.round(box.right)} in ${wide}`);
    const whole = document.documentElement.scrollWidth;
    return whole > wide + 1 ? [...beyond, `the page is ${whole} wide in ${wide}`] : beyond;
  }, root);

/** Targets that a finger would miss; links within a sentence, with other words beside them, are as high as their line. */
export const smallTargets = (page, root = 'body') =>
  page.evaluate(
    ([selector, least]) =>
      [...document.querySelectorAll(`${selector} :is(a[href], button, summary, input, select, textarea, [role=button], [role=slider])`)]
        .filter((one) => one.checkVisibility() && !(one.localName === 'a' && getComputedStyle(one).display === 'inline' && one.parentElement.textContent.trim() !== one.textContent.trim()))
        .map((one) => ({ one, box: one.getBoundingClientRect() }))
        .filter(({ box }) => box.width > 1 && box.height > 1 && Math.min(box.width, box.height) < least - 0.5)
        .map(({ one, box }) => `${one.localName} "${one.textContent.trim().slice(0, 40)}" is ${Math.round(box.width)} x ${Math.round(box.height)}`),
    [root, TARGET_PX],
  );

/** Words on bars and bands: on shapes of drawings that stand for a number, which bear it as data-value or data-kwh. */
export const onBars = (page, root = 'body') =>
  page.evaluate((selector) => {
    const found = [];
    for (const svg of document.querySelectorAll(`${selector} svg`)) {
      const shapes = [...svg.querySelectorAll('[data-value], [data-kwh]')];
      if (shapes.length === 0) continue;
      for (const text of svg.querySelectorAll('text')) {
        const { x, y, width, height } = text.getBBox();
        // Where letters are: below the room above them and above that of their tails.
        const points = Array.from({ length: 27 }, (_, k) => new DOMPoint(x + (width * (k % 9)) / 8, y + height * (0.3 + 0.2 * Math.floor(k / 9))));
        const under = shapes.find((shape) => points.some((point) => shape.isPointInFill(point)));
        if (under) found.push(`"${text.textContent}" lies on the shape of ${under.dataset.key ?? under.dataset.way ?? under.dataset.value ?? under.dataset.kwh}`);
      }
    }
    return found;
  }, root);

/** All that is wrong at the width and medium of a page; with `coarse`, targets too, as of a page opened for touch. */
export async function faultsOf(page, { root = 'body', coarse = false } = {}) {
  const boxes = await boxesOf(page, root);
  return [await overlaps(page, root, boxes), await clipped(page, root, boxes), await overflows(page, root), await onBars(page, root), coarse ? await smallTargets(page, root) : []].flat();
}
