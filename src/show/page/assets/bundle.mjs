// Makes the page's frame, style and script into a C file: node bundle.mjs SOURCE WORK OUT.c
//
// WORK is where the packages of package-lock.json are put. Where they cannot be fetched the C file says so and the build
// goes on without the page; what is wrong with our own scripts fails it.
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { copyFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join, resolve } from 'node:path';
import { deflateRawSync } from 'node:zlib';

const [source, work, out] = process.argv.slice(2).map((path) => resolve(path));
const LITERAL_BYTES = 2000;

// ------------------------------------------------------------------------------------------------ packages

function fetchPackages() {
  const lock = readFileSync(join(source, 'package-lock.json'));
  const stamp = join(work, 'fetched');
  const name = createHash('sha256').update(lock).digest('hex');
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === name) return;
  mkdirSync(work, { recursive: true });
  for (const file of ['package.json', 'package-lock.json']) copyFileSync(join(source, file), join(work, file));
  execFileSync('npm', ['ci', '--ignore-scripts', '--no-audit', '--no-fund', '--loglevel=error'], {
    cwd: work,
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  writeFileSync(stamp, name);
}

// ------------------------------------------------------------------------------------------------ the page

const esbuildOf = () => createRequire(join(work, 'package.json'))('esbuild');

function script(entry) {
  const { outputFiles } = esbuildOf().buildSync({
    entryPoints: [join(source, entry)],
    bundle: true,
    write: false,
    minify: true,
    format: 'iife',
    target: 'es2020',
    legalComments: 'eof',
    nodePaths: [join(work, 'node_modules')],
    logLevel: 'warning',
  });
  return outputFiles[0].text;
}

const hash = (code) => `'sha256-${createHash('sha256').update(code, 'utf8').digest('base64')}'`;

const pack = (code) => deflateRawSync(Buffer.from(code, 'utf8'), { level: 9 }).toString('base64');
const policyOf = (scripts) => `default-src 'none'; ${scripts.length > 0 ? `script-src ${scripts.map(hash).join(' ')}; ` : ''}style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'`;

/** Frames cut where the program puts in title, body and data: one with scripts, which stand in it packed, as they are most of a page,
 * and one without. */
function pieces() {
  const [code, charts, load] = [script('main.js'), script('charts.js'), script('load.js').trim()];
  const style = readFileSync(join(source, 'style.css'), 'utf8').replace(/\/\*[^]*?\*\//g, '').replace(/\s+/g, ' ').trim();
  const put = { policy: policyOf([load, code, charts]), bare_policy: policyOf([]), style, load, packed: pack(code), charts: pack(charts) };
  const cut = (name) =>
    readFileSync(join(source, name), 'utf8')
      .replace(/\n\s*/g, '\n')
      .split(/\{\{(?:title|body|data)\}\}/)
      .map((part) => part.replace(/\{\{(\w+)\}\}/g, (_, name) => put[name]));
  return [...cut('frame.html'), ...cut('bare.html')];
}

// ------------------------------------------------------------------------------------------------ C

/** Literals of bounded length; bytes that a C string cannot hold as they are in octal. */
function literals(text) {
  const bytes = Buffer.from(text, 'utf8');
  const out = [];
  for (let at = 0; at < bytes.length; at += LITERAL_BYTES) {
    let literal = '';
    for (const byte of bytes.subarray(at, at + LITERAL_BYTES)) {
      const plain = byte >= 0x20 && byte < 0x7f && byte !== 0x22 && byte !== 0x5c && byte !== 0x3f;
      literal += plain ? String.fromCharCode(byte) : `\\${byte.toString(8).padStart(3, '0')}`;
    }
    out.push(`    "${literal}",`);
  }
  return out.join('\n');
}

const HEAD = '/* Made by bundle.mjs. */\n#include "show/page/assets.h"\n#include <stddef.h>\n\n';

function withPage(parts) {
  const lists = parts.map((part, at) => `static const char *const part_${at}[] = {\n${literals(part)}\n    NULL};\n`).join('\n');
  return (
    `${HEAD}${lists}\nconst evn_assets *evn_assets_get(void)\n{\n` +
    '    static const evn_assets asset = {{part_0, part_1, part_2, part_3}, {part_4, part_5, part_6}};\n    return &asset;\n}\n\n' +
    'const char *evn_assets_missing(void) { return NULL; }\n'
  );
}

function withoutPage(reason) {
  return (
    `${HEAD}const evn_assets *evn_assets_get(void) { return NULL; }\n` +
    `const char *evn_assets_missing(void) { return ${JSON.stringify(reason)}; }\n`
  );
}

function main() {
  try {
    fetchPackages();
  } catch (error) {
    process.stderr.write(`The page's packages could not be fetched; evener is built without --page.\n${error.stderr ?? error}\n`);
    writeFileSync(out, withoutPage('its packages could not be fetched from the npm registry'));
    return;
  }
  writeFileSync(out, withPage(pieces()));
}

main();
