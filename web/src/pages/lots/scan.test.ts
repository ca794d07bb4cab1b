import assert from 'node:assert/strict';
import { test } from 'node:test';

import { NOTHING, afterPress, fnv1a64, inGroups, lotNumber, lotsMeant, type Press } from './scan.ts';

const key = (one: string): Press => ({ key: one, code: /\d/.test(one) ? `Digit${one}` : '' });
const ENTER: Press = { key: 'Enter', code: 'Enter' };

/** What is read when keys come so many ms apart. */
function typed(keys: readonly Press[], apart_ms: number): string | null {
  let burst = NOTHING;
  let at_ms = 5000;
  let read: string | null = null;
  for (const one of [...keys, ENTER]) {
    at_ms += apart_ms;
    ({ burst, read } = afterPress(burst, one, at_ms));
  }
  return read;
}

test('the hash gives the published values of FNV-1a, 64 bits', () => {
  // Test vectors of the IETF draft-eastlake-fnv.
  const of = (text: string): string => fnv1a64(new TextEncoder().encode(text)).toString(16);
  assert.deepEqual(['', 'a', 'foobar'].map(of), ['cbf29ce484222325', 'af63dc4c8601ec8c', '85944171f73967e8']);
});

test('a number has ten digits and is read in groups', () => {
  for (const lot of ['', 'Wings 2026-06-02', 'Крылья 2026-06-02', '翼']) assert.match(lotNumber(lot), /^\d{10}$/);
  // 0x85944171f73967e8 is 9625390261332436968.
  assert.equal(lotNumber('foobar'), '1332436968');
  assert.equal(inGroups('0482913557'), '0482 913 557');
});

test('a lot is meant by its name or by its number; two lots of one number are both named', () => {
  const lots = ['Wings 2026-06-02', 'Dip'];
  assert.deepEqual(lotsMeant(' Dip ', lots), ['Dip']);
  assert.deepEqual(lotsMeant(inGroups(lotNumber('Dip')), lots), ['Dip']);
  assert.deepEqual(lotsMeant('0000000000', lots), []);
  assert.deepEqual(lotsMeant(lotNumber('Dip'), ['Dip', 'Dip']), ['Dip', 'Dip']);
});

test('a scanner types fast and ends with Enter', () => {
  assert.equal(typed([...'0482913557'].map(key), 8), '0482913557');
});

test('what a hand types outside a field is no scan', () => {
  assert.equal(typed([...'0482913557'].map(key), 180), null);
  assert.equal(typed([...'12'].map(key), 8), null);
  assert.equal(typed([], 8), null);
});

test('digits are told by the place of their keys, whatever language the tablet is set to', () => {
  const french: Press[] = [['à', '0'], ['"', '3'], ['&', '1'], ['é', '2']].map(([one, digit]) => ({ key: one!, code: `Digit${digit}` }));
  assert.equal(typed(french, 8), '0312');
  assert.equal(typed([{ key: 'Shift', code: 'ShiftLeft' }, ...french], 8), '0312');
});

test('another key in between begins anew', () => {
  assert.equal(typed([...[...'9999'].map(key), { key: 'ArrowDown', code: 'ArrowDown' }, ...[...'0482'].map(key)], 8), '0482');
});
