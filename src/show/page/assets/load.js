// Unpacks the page's scripts and runs them: ours behind the first picture of the page, the chart library when ours asks for it. What
// cannot unpack them shows the page as it is without scripts. A printer does not wait: what is not there yet is then unpacked at once.
import { inflate } from './inflate.js';

const run = new Set();
function runOnce(id, code) {
  if (run.has(id)) return;
  run.add(id);
  const script = document.createElement('script');
  script.textContent = code;
  document.body.append(script);
}

function bytesOf(id) {
  const text = atob(document.getElementById(id).textContent);
  const packed = new Uint8Array(text.length);
  for (let at = 0; at < text.length; at += 1) packed[at] = text.charCodeAt(at);
  return packed;
}

function unpack(id) {
  const unpacked = new Blob([bytesOf(id)]).stream().pipeThrough(new DecompressionStream('deflate-raw'));
  return new Response(unpacked).text().then((code) => runOnce(id, code));
}

// A page that nobody sees is given no frames.
const LATEST_MS = 300;
let begun = false;
const begin = () => {
  if (!begun) unpack('page-script');
  begun = true;
};
globalThis.evenerUnpack = unpack;
requestAnimationFrame(() => setTimeout(begin));
setTimeout(begin, document.hidden ? 0 : LATEST_MS);

addEventListener('beforeprint', () => {
  const missing = ['page-script', 'chart-script'].filter((id) => !run.has(id));
  begun = true;
  for (const id of missing) runOnce(id, new TextDecoder().decode(inflate(bytesOf(id))));
  // Ours was not there when the event was sent.
  if (missing.includes('page-script')) dispatchEvent(new Event('beforeprint'));
});
