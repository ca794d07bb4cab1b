import assert from 'node:assert/strict';
import { test } from 'node:test';

import type { Facts, What } from '../wire.ts';
import { dangersNow, gasShut_s, wayOut } from './danger.ts';
import { modelOf } from './for_tests.ts';

function model(told: readonly What[], facts: Partial<Facts> = {}) {
  const queue = told.map((what, n) => ({ id: `t${n}`, at_s: 69000 + n, what }));
  const one = modelOf({}, { queue, facts: { dangers: [], gas_shut: null, flame_out: null, ...facts } as unknown as Facts });
  return { ...one, house: { ...one.house, gas: true } };
}

test('the gravest that stands is shown, told here or by another', () => {
  assert.equal(wayOut(model([])), null);
  const dangers = [{ name: 'extraction off', at_s: 68000, by: 'Ana' }];
  assert.deepEqual(wayOut(model([], { dangers })), { danger: 'extraction off', since_s: 68000, nothing: false, gas: false, fan_off: true });
  const graver = wayOut(model([{ kind: 'danger', danger: 'carbon monoxide' }], { dangers }))!;
  assert.deepEqual([graver.danger, graver.nothing, graver.fan_off], ['carbon monoxide', true, true]);
});

test('one that is told over, or undone, stands no more', () => {
  const dangers = [{ name: 'fire', at_s: 68000, by: 'Ana' }];
  assert.equal(dangersNow(model([{ kind: 'danger_over', danger: 'fire' }], { dangers })).size, 0);
  assert.equal(dangersNow(model([{ kind: 'danger', danger: 'fire' }, { kind: 'undo', of: 't0' }])).size, 0);
});

test('the wait runs from the gas being shut, and ends with the flame', () => {
  assert.equal(gasShut_s(model([{ kind: 'flame_out' }])), null);
  assert.equal(gasShut_s(model([{ kind: 'flame_out' }, { kind: 'gas_shut' }])), 69001);
  assert.equal(gasShut_s(model([{ kind: 'gas_shut' }, { kind: 'flame', level: 'low' }])), null);
});

test('with the flame out the gas comes first', () => {
  const told: What[] = [{ kind: 'flame_out' }, { kind: 'danger', danger: 'extraction off' }];
  assert.equal(wayOut(model(told))!.gas, true);
  assert.equal(wayOut(model([...told, { kind: 'gas_shut' }]))!.gas, false);
});
