// Unpacks the page's script and runs it. What cannot unpack it shows the page as it is without scripts.
const packed = Uint8Array.from(atob(document.getElementById('page-script').textContent), (letter) => letter.charCodeAt(0));
const unpacked = new Blob([packed]).stream().pipeThrough(new DecompressionStream('deflate-raw'));
new Response(unpacked).text().then((text) => {
  const script = document.createElement('script');
  script.textContent = text;
  document.body.append(script);
});
