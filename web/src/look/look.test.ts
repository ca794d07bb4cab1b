import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';

import {
  ACROSS_M,
  ACT_MM,
  CAP,
  capitalMm,
  GAP_MM,
  glassOf,
  HAND_M,
  KEY_MM,
  NUMBER_ARCMIN,
  OVEN_M,
  readFrom,
  sizeVars,
  WORD_ARCMIN,
} from './sizes.ts';

const tokens = readFileSync(new URL('tokens.css', import.meta.url), 'utf8');
const sizes = readFileSync(new URL('sizes.css', import.meta.url), 'utf8');

/** The colours of one polarity, by name. */
function colours(polarity: string): Record<string, string> {
  const block = tokens.slice(tokens.indexOf(`[data-polarity='${polarity}']`)).split('}')[0] ?? '';
  return Object.fromEntries(
    [...block.matchAll(/--(\w+):\s*(#[0-9a-f]{6})/g)].map((found) => [found[1], found[2]]),
  );
}

/** Relative luminance and contrast as WCAG 2.2 defines them. */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const share = parseInt(hex.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * (r ?? 0) + 0.7152 * (g ?? 0) + 0.0722 * (b ?? 0);
}

function contrast(a: string, b: string): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return ((high ?? 0) + 0.05) / ((low ?? 0) + 0.05);
}

test('black on white is 21 to 1, as the standard says', () => {
  assert.ok(Math.abs(contrast('#000000', '#ffffff') - 21) < 1e-9);
});

// Which ink lies on which ground, as the styles have it; a pair and its reverse are one.
const PAIRS = [
  ...['chalk', 'hush', 'ember', 'smoke'].map((ink) => [ink, 'ground']),
  ...['chalk', 'ember'].map((ink) => [ink, 'stone']),
  ...['chalk', 'hush', 'smoke'].map((ink) => [ink, 'key']),
] as [string, string][];

for (const polarity of ['dark', 'light']) {
  const found = colours(polarity);
  for (const [ink, ground] of PAIRS) {
    test(`${polarity}: ${ink} on ${ground} has 7 to 1 or better`, () => {
      const ratio = contrast(found[ink] ?? '', found[ground] ?? '');
      assert.ok(ratio >= 7, `${ratio.toFixed(2)}`);
    });
  }
  test(`${polarity}: a rule stands out by 3 to 1, as WCAG 2.2 asks of what is not text`, () => {
    assert.ok(contrast(found['rule'] ?? '', found['ground'] ?? '') >= 3);
  });
}

test('the pairs tested are all the pairs the styles use for words', () => {
  const used = new Set<string>();
  for (const name of ['frame', 'hearth', 'stone', 'pass', 'fire', 'entry', 'watch', 'wall']) {
    const css = readFileSync(new URL(`${name}.css`, import.meta.url), 'utf8');
    for (const found of css.matchAll(/(?:^|[\s;{])(?:color|fill):\s*var\(--(\w+)\)/g))
      used.add(found[1] ?? '');
  }
  const known = new Set([...PAIRS.map(([ink]) => ink), 'ground', 'stone']);
  assert.deepEqual(
    [...used].filter((one) => !known.has(one)),
    [],
  );
});

/** The letters of a kind in a form, in millimetres as laid out. */
function lettersMm(kind: string, form: 'tablet' | 'hand'): number {
  const block = form === 'hand' ? sizes.slice(sizes.indexOf("data-form='hand'")) : sizes;
  return Number(block.match(new RegExp(`--${kind}: calc\\(var\\(--u\\) \\* ([\\d.]+)\\)`))?.[1]);
}

for (const [form, from_m] of [
  ['tablet', OVEN_M],
  ['hand', HAND_M],
] as const) {
  test(`${form}: words fill 30 minutes of arc at ${from_m} m, the move and its number theirs at twice that`, () => {
    const across_m = (ACROSS_M / OVEN_M) * from_m;
    assert.ok(lettersMm('word', form) * CAP >= capitalMm(WORD_ARCMIN, from_m));
    assert.ok(lettersMm('far', form) * CAP >= capitalMm(WORD_ARCMIN, across_m));
    assert.ok(lettersMm('number', form) * CAP >= capitalMm(NUMBER_ARCMIN, across_m) * (1 - 0.01));
  });
}

test('on a tablet the move has capitals of 18 mm and its number 26 mm', () => {
  assert.ok(lettersMm('far', 'tablet') * CAP >= 18);
  assert.ok(lettersMm('number', 'tablet') * CAP >= 26);
});

test('keys are as large as hands in gloves need', () => {
  assert.equal(lettersMm('act', 'tablet'), ACT_MM);
  assert.equal(lettersMm('key-size', 'tablet'), KEY_MM);
  assert.equal(lettersMm('gap', 'tablet'), GAP_MM);
});

test('a capital of 30 minutes of arc at 2 m is 17.5 mm, of 45 at 1 m 13 mm', () => {
  assert.ok(Math.abs(capitalMm(30, 2) - 17.5) < 0.05);
  assert.ok(Math.abs(capitalMm(45, 1) - 13.1) < 0.05);
});

test('a screen of ten inches is laid out in millimetres, a phone for the hand, a large one larger', () => {
  assert.deepEqual(glassOf(1280, 800, { px_per_mm: 1280 / 216 }).form, 'wide');
  assert.ok(Math.abs(readFrom(glassOf(1280, 800, { px_per_mm: 1280 / 216 })) - OVEN_M) < 0.02);
  assert.equal(glassOf(800, 1280, { px_per_mm: 1280 / 216 }).form, 'tall');
  assert.equal(glassOf(390, 844, { px_per_mm: 6 }).form, 'hand');
  assert.ok(readFrom(glassOf(1920, 1080, { px_per_mm: 1920 / 530 })) > 2);
});

test('sizes become pixels by the density of the glass, not by the browser’s inch', () => {
  const glass = glassOf(1280, 800, { px_per_mm: 1280 / 216 });
  const px = Number(sizeVars(glass)['--u'].replace('px', ''));
  assert.ok(px * ACT_MM >= 40 * (1280 / 216) * 0.99, `${px * ACT_MM} px for 40 mm`);
});
