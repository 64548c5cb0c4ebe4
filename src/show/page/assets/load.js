// Unpacks the page's script and runs it, behind the first picture of the page. What cannot unpack it shows the page as it is without
// scripts.
function run() {
  const text = atob(document.getElementById('page-script').textContent);
  const packed = new Uint8Array(text.length);
  for (let at = 0; at < text.length; at += 1) packed[at] = text.charCodeAt(at);
  const unpacked = new Blob([packed]).stream().pipeThrough(new DecompressionStream('deflate-raw'));
  new Response(unpacked).text().then((code) => {
    const script = document.createElement('script');
    script.textContent = code;
    document.body.append(script);
  });
}

// A page that nobody sees is given no frames.
const LATEST_MS = 300;
let begun = false;
const begin = () => {
  if (!begun) run();
  begun = true;
};
requestAnimationFrame(() => setTimeout(begin));
setTimeout(begin, document.hidden ? 0 : LATEST_MS);
