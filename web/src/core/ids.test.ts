import assert from 'node:assert/strict';
import { test } from 'node:test';

import { newId } from './ids.ts';

test('an id is as the board wants it, and no two are the same', () => {
  const ids = Array.from({ length: 1000 }, () => newId());
  for (const id of ids) assert.match(id, /^[A-Za-z0-9_-]{8,64}$/);
  assert.equal(new Set(ids).size, ids.length);
});
