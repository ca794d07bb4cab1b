// node build.mjs OUT [--fixtures]: bundles the screens into OUT. With --fixtures: pages on invented data, for
// whoever draws them (OUT/dev.html?fixture=tuesday#hearth); never shipped.
import { build } from 'esbuild';
import { createHash } from 'node:crypto';
import { cpSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { basename, dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

const web = dirname(fileURLToPath(import.meta.url));
const [target, flag] = process.argv.slice(2);
if (target === undefined || (flag !== undefined && flag !== '--fixtures')) {
  console.error('node build.mjs OUT [--fixtures]');
  process.exit(2);
}
const out = resolve(target);
const fixtures = flag === '--fixtures';

const COMMON = {
  absWorkingDir: web,
  bundle: true,
  minify: !fixtures,
  sourcemap: fixtures,
  format: 'esm',
  target: ['es2022'],
  jsx: 'automatic',
  jsxImportSource: 'preact',
  metafile: true,
  loader: { '.woff2': 'file', '.svg': 'file' },
  logLevel: 'warning',
};

/** Bundles one entry with its styles under names that change with their content; gives both and the inputs. */
async function bundled(entry) {
  const made = await build({
    ...COMMON,
    entryPoints: [entry],
    outdir: join(out, 'assets'),
    entryNames: '[name]-[hash]',
    assetNames: '[name]-[hash]',
  });
  const [script, styles] = Object.entries(made.metafile.outputs)
    .filter(([, one]) => one.entryPoint === entry)
    .map(([path, one]) => [basename(path), one.cssBundle && basename(one.cssBundle)])[0];
  if (!script || !styles) throw new Error(`${entry} made no script or no styles`);
  return { script, styles, inputs: Object.keys(made.metafile.inputs) };
}

/** The licences of everything of others that went into a bundle, in one text. */
function licences(inputs) {
  const packages = new Set(inputs.flatMap((path) => path.match(/^node_modules\/((?:@[^/]+\/)?[^/]+)/)?.[1] ?? []));
  return [...packages].sort().map((name) => {
    const { version } = JSON.parse(readFileSync(join(web, 'node_modules', name, 'package.json'), 'utf8'));
    return `${name} ${version}\n\n${readFileSync(join(web, 'node_modules', name, 'LICENSE'), 'utf8').trim()}\n`;
  }).join('\n\n');
}

function page(template, { script, styles }) {
  return readFileSync(join(web, template), 'utf8')
    .replaceAll('STYLES', `/assets/${styles}`)
    .replaceAll('SCRIPT', `/assets/${script}`);
}

async function buildFixtures() {
  const made = await bundled('fixtures/dev.tsx');
  writeFileSync(join(out, 'dev.html'), page('fixtures/dev.html', made));
}

async function buildBoard() {
  const made = await bundled('src/main.tsx');
  writeFileSync(join(out, 'index.html'), page('index.html', made));
  writeFileSync(join(out, 'assets', 'licences.txt'), licences(made.inputs));
  cpSync(join(web, 'public'), out, { recursive: true });
  const files = filesOf(out).map((path) => `/${relative(out, path)}`).filter((path) => path !== '/index.html').sort();
  const version = digest([join(out, 'index.html'), ...filesOf(out).sort()]);
  await build({
    ...COMMON,
    entryPoints: ['src/sw.ts'],
    outfile: join(out, 'sw.js'),
    format: 'iife',
    define: { FILES: JSON.stringify(['/', ...files]), VERSION: JSON.stringify(version) },
  });
}

function filesOf(folder) {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((one) => one.isFile())
    .map((one) => join(one.parentPath, one.name));
}

function digest(paths) {
  const sum = createHash('sha256');
  for (const path of paths) sum.update(readFileSync(path));
  return sum.digest('hex').slice(0, 16);
}

rmSync(out, { recursive: true, force: true });
mkdirSync(join(out, 'assets'), { recursive: true });
await (fixtures ? buildFixtures() : buildBoard());
