import assert from 'node:assert/strict';
import { test } from 'node:test';

import type { ShownHouse, ShownLanding } from '../wire.ts';
import { keyed } from './keyed.ts';
import { along, bent, drawn, lineOf, linesOf, placesOf, ticks, type Axis } from './lines.ts';
import { celsius, clock, count, countedOut, degrees } from './shown.ts';
import {
  dotShare,
  dotsPath,
  edgeAlong,
  edgePath,
  figurePlaces,
  labelBeside,
  overlap,
  thirdOf,
  viewOf,
  wedgePath,
} from './stone.ts';

/** A round stone of 1.2 m with a mouth of 0.5 m, its cells 10 cm apart. */
function roundHouse(): ShownHouse {
  const r = 0.6;
  const sill = Math.sqrt(r * r - 0.25 * 0.25);
  const outline: [number, number][] = [];
  for (let i = 0; i <= 72; i++) {
    const a = Math.asin(0.25 / r) + (i / 72) * (2 * Math.PI - 2 * Math.asin(0.25 / r));
    outline.push([r * Math.sin(a), sill - r * Math.cos(a)]);
  }
  const cells: [number, number][] = [];
  for (let x = -0.55; x < 0.6; x += 0.1) for (let y = 0.05; y < 1.2; y += 0.1) cells.push([x, y]);
  return {
    name: 'Test',
    night: 'Tuesday',
    doors_s: 61200,
    outline_m: outline,
    mouth_m: 0.5,
    flames: [
      {
        along_m: [
          [-0.45, 0.8],
          [-0.4, 0.9],
          [-0.3, 1.0],
        ],
        breadth_m: 0.05,
      },
    ],
    cells_m: cells,
    cell_side_m: 0.1,
    band_C: [345, 370],
    levels: ['low', 'high'],
    cooks: ['Oven cook'],
    platters: 12,
    dishes: [],
    together_s: 75,
    late_after_s: 120,
    plans: true,
  gas: true,
  };
}

test('the drawing holds the stone whole, its mouth at the bottom', () => {
  const view = viewOf(roundHouse());
  assert.ok(view.width >= 1.2 && view.width < 1.3);
  assert.ok(view.y + view.height > 0 && view.y < -1.1);
});

test('the edge is open at the mouth: no piece of it lies on the sill', () => {
  const ends = [...edgePath(roundHouse()).matchAll(/M(-?[\d.]+) (-?[\d.]+)L(-?[\d.]+) (-?[\d.]+)/g)];
  assert.ok(ends.length > 60);
  for (const [, x1, y1, x2, y2] of ends)
    assert.ok(
      !(
        Math.abs(Number(y1)) < 0.005 &&
        Math.abs(Number(y2)) < 0.005 &&
        Math.abs(Number(x1) + Number(x2)) < 0.4
      ),
    );
});

test('hotter stone has larger dots, within its cell', () => {
  assert.ok(dotShare(250) < dotShare(350) && dotShare(350) < dotShare(440));
  assert.ok(dotShare(900) < 1 && dotShare(20) > 0);
});

test('no dot outside the stone, none under the flame, none where nobody knows the heat', () => {
  const house = roundHouse();
  const starts = [
    ...dotsPath(
      house,
      house.cells_m.map(() => 360),
    ).matchAll(/M(-?[\d.]+) (-?[\d.]+)a([\d.]+)/g),
  ];
  assert.ok(starts.length > 60 && starts.length < house.cells_m.length);
  for (const [, x, y, r] of starts) {
    const [cx, cy] = [Number(x) + Number(r), -Number(y)];
    assert.ok(Math.hypot(cx, cy - Math.sqrt(0.36 - 0.0625)) <= 0.6);
    assert.ok(Math.hypot(cx + 0.4, cy - 0.9) > 0.05);
  }
  assert.equal(dotsPath(house, []), '');
});

test('the wedge of a leading edge lies on the item’s outline, where it points', () => {
  const disc = { shape: 'disc', width_m: 0.3, depth_m: 0.3 } as const;
  const box = { shape: 'box', width_m: 0.2, depth_m: 0.3 } as const;
  assert.equal(edgeAlong(disc, 77), 0.15);
  assert.ok(Math.abs(edgeAlong(box, 0) - 0.15) < 1e-9 && Math.abs(edgeAlong(box, 90) - 0.1) < 1e-9);
  const [, tipX, tipY] = wedgePath(disc, 90, 0.04).match(/M(-?[\d.]+) (-?[\d.]+)/) ?? [];
  assert.ok(Number(tipX) > 0.15 && Math.abs(Number(tipY)) < 1e-6, 'east points to the right');
});

test('figures stand on free stone: clear of items, of the fire, of the edge and of each other', () => {
  const house = roundHouse();
  const item = { x: -0.15, y: 0.4, width: 0.3, height: 0.3 };
  const places = figurePlaces(house, [item], 0.2, 0.1);
  assert.ok(places.length >= 3, `${places.length}`);
  for (const {
    at: [x, y],
  } of places) {
    assert.ok(!overlap({ x: x - 0.1, y: y - 0.05, width: 0.2, height: 0.1 }, item));
    assert.ok(Math.hypot(x + 0.4, y - 0.9) >= 0.17);
  }
});

test('a small item’s name goes where nothing else is', () => {
  const view = viewOf(roundHouse());
  const small = { x: -0.05, y: 0.5, width: 0.1, height: 0.1 };
  const above = { x: -0.1, y: 0.62, width: 0.2, height: 0.2 };
  const below = { x: -0.1, y: 0.3, width: 0.2, height: 0.18 };
  const [x] = labelBeside(small, 0.2, 0.1, [above, below], view);
  assert.ok(Math.abs(x) > 0.1, 'to a side, for above and below are taken');
});

test('thirds as a cook at the mouth sees them', () => {
  const house = roundHouse();
  assert.deepEqual(thirdOf(house, [-0.4, 1.0]), ['back', 'left']);
  assert.deepEqual(thirdOf(house, [0.0, 0.2]), ['front', '']);
  assert.deepEqual(thirdOf(house, [0.4, 0.6]), ['middle', 'right']);
});

const LANDING: ShownLanding = {
  table: 'B4',
  course: 1,
  drop: 1,
  drops: 1,
  covers: 4,
  wanted_s: 69720,
  planned_s: 69900,
  first_told_s: 69720,
  honest_s: 69960,
  holds: 0.9,
  plates: [
    { item: 'B4-1', dish: 'pizza', begins_s: 69600, in_s: 69610, out_s: 69790, ready_s: 69830 },
    { item: 'B4-2', dish: 'steak', begins_s: 69000, in_s: 69010, out_s: 69480, ready_s: 69780 },
    { item: 'B4-3', dish: 'shrimp', begins_s: 69400, in_s: 69410, out_s: 69700, ready_s: 69710 },
  ],
};

test('strands: the first to go in lies on the knot’s level, later ones outward, no two on one', () => {
  assert.deepEqual(placesOf(3), [0, -1, 1]);
  assert.deepEqual(placesOf(4), [-0.5, 0.5, -1.5, 1.5]);
  const line = lineOf(LANDING);
  assert.deepEqual(
    line.strands.map((strand) => strand.item),
    ['B4-2', 'B4-3', 'B4-1'],
  );
  assert.equal(new Set(line.strands.map((strand) => strand.place)).size, 3);
});

test('late, early and as told, by what the room was first told', () => {
  assert.equal(lineOf(LANDING).slip, 'late');
  assert.equal(lineOf(LANDING).slip_s, 180);
  assert.equal(lineOf(LANDING, 'honest_s').slip_s, 240);
  assert.equal(lineOf({ ...LANDING, planned_s: 69600 }).slip, 'early');
  assert.equal(lineOf({ ...LANDING, planned_s: 69740 }).slip, 'as told');
});

test('a landing that has left is no line any more; the rest are in the order they land', () => {
  const other = { ...LANDING, table: 'C1', planned_s: 69800 };
  assert.deepEqual(
    linesOf([LANDING, other], null, 69000).map((line) => line.table),
    ['C1', 'B4'],
  );
  assert.deepEqual(
    linesOf([LANDING, other], null, 70200).map((line) => line.table),
    [],
  );
});

test('strands end in their knot and never run past it', () => {
  const axis: Axis = { from_s: 69000, until_s: 70200, width: 600 };
  const end = along(axis, LANDING.planned_s);
  for (const strand of lineOf(LANDING).strands) {
    const { waiting, hot, resting } = drawn(strand, axis, LANDING.planned_s, 10);
    const all = [...`${waiting}${hot}${resting}`.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map(
      ([, x, y]) => [Number(x), Number(y)] as const,
    );
    assert.ok(all.every(([x]) => x <= end + 1e-6));
    const last = all.reduce((most, point) => (point[0] > most[0] ? point : most));
    assert.ok(Math.abs(last[0] - end) < 0.01 && Math.abs(last[1]) < 0.01);
  }
  assert.equal(bent(10, 10, 0, 50), '');
});

test('ticks stand on whole minutes', () => {
  assert.deepEqual(ticks({ from_s: 69010, until_s: 69900, width: 1 }, 5), [69300, 69600, 69900]);
});

test('clocks and counts as they are read', () => {
  assert.equal(clock(69720), '19:22');
  assert.equal(clock(69749), '19:22');
  assert.equal(clock(86400 + 300), '0:05');
  assert.deepEqual(count(41.2), { text: '42', unit: 's' });
  assert.deepEqual(count(-3), { text: '0', unit: 's' });
  assert.deepEqual(count(100), { text: '2', unit: 'min' });
  assert.equal(countedOut(252), '4:12');
  assert.equal(countedOut(-1), '0:00');
  assert.deepEqual(count(900), { text: '15', unit: 'min' });
});

test('temperatures in this device’s unit, and back', () => {
  assert.equal(degrees(74, 'F'), 165);
  assert.equal(degrees(74, 'C'), 74);
  assert.ok(Math.abs(celsius(165, 'F') - 73.9) < 0.05);
});

test('keyed digits: four at the most, no idle nought', () => {
  assert.equal(keyed('', '7'), '7');
  assert.equal(keyed('0', '7'), '7');
  assert.equal(keyed('1234', '5'), '1234');
});
