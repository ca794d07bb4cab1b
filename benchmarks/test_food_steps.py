"""What food costs and what its steps cost in error: one item, minutes, nodes, response tables."""

from __future__ import annotations

import json
import math
import os
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
from test_oven_steps import say, seconds

import hearthtide
from hearthtide.food.band import band, cover_all, ensemble
from hearthtide.food.column import Floats
from hearthtide.food.cooking import Target, cook, reached, until
from hearthtide.food.exposure import Exposure
from hearthtide.food.model import NOTHING_ASKED, Food, FoodState, flip, heat_on, prepare, run_until, start
from hearthtide.food.outcome import colour_steps, core_C, weight_loss
from hearthtide.house.files import portion, read_house
from hearthtide.planning.build import house_outlines
from hearthtide.planning.places import enumerate_places
from hearthtide.planning.response import LONGEST_S, covered, respond_in, target_of
from hearthtide.planning.settled import settled
from hearthtide.planning.table_filling import Asked, fill
from hearthtide.planning.table_spots import hearth_of, kinds_of
from hearthtide.planning.tables import Axes, Hearth, StageTable

HOUSE = read_house(Path(__file__).parents[1] / "examples" / "brindlecote")
EVEN = Exposure("stone", 355.0, 14_000.0, (14_000.0,) * 4, 120.0)
UNEVEN = replace(EVEN, rim_W_m2=(16_000.0, 13_500.0, 10_000.0, 12_000.0))
QUARTER_S = 900.0


def whole(food: Food, heat: Exposure, minutes: float = 15.0) -> None:
    """One item for so long, nothing asked, once turned over."""
    state = start(food)
    for _ in range(2):
        state, _ = run_until(food, state, heat_on(food, state, heat), NOTHING_ASKED, 30.0 * minutes)
        state = flip(food, state)


def test_a_quarter_hour(capsys):
    """Every dish for fifteen minutes, turned over half way, on stone that stays as hot."""
    lines = []
    for key in HOUSE.dishes:
        food = prepare(portion(HOUSE, key))
        took = [1e3 * seconds(lambda f=food, h=heat: whole(f, h), 20) for heat in (EVEN, UNEVEN)]
        lines.append(f"  {key:14s} even heat {took[0]:.2f} ms, uneven {took[1]:.2f} ms")
    food = prepare(portion(HOUSE, "strip_steak"))
    began = seconds(lambda: prepare(portion(HOUSE, "strip_steak")), 50)
    lines.append(f"  cutting a steak into its nodes {1e3 * began:.2f} ms")
    lines += [
        f"  steak, {m:2.0f} minutes: {1e3 * seconds(lambda m=m: whole(food, EVEN, m), 10):.2f} ms"
        for m in (4, 15, 60)
    ]
    say(capsys, "\n".join(["fifteen minutes of each dish:", *lines]))


NODES = """
import json, sys
from pathlib import Path
from hearthtide.food.column import NODES
from hearthtide.food.cooking import Target
from hearthtide.food.model import prepare, start
from test_food_steps import EVEN, HOUSE, at_steps, done_s, portion, seconds, whole

found = {}
for key, target in (("strip_steak", Target(52.0)), ("pizza", Target(85.0, 3)), ("cheese_dip", Target(68.0))):
    food = prepare(portion(HOUSE, key))
    whole(food, EVEN)
    found[key] = [seconds(lambda: whole(food, EVEN), 10), *at_steps(food, target, 1.0, 240.0)]
print(json.dumps([NODES, found]))
"""


def with_nodes(nodes: int) -> dict[str, list[float]]:
    """Figures of a copy of the program with another number of nodes, its cells widening as much in all."""
    source = Path(hearthtide.__file__).parent
    with tempfile.TemporaryDirectory() as scratch:
        shutil.copytree(source, Path(scratch) / "hearthtide", ignore=shutil.ignore_patterns("__pycache__"))
        column = Path(scratch) / "hearthtide" / "food" / "column.py"
        column.write_text(column.read_text().replace("\nNODES = 12\n", f"\nNODES = {nodes}\n"))
        grid = Path(scratch) / "hearthtide" / "food" / "grid.py"
        widens = f"\nWIDENING = {1.6 ** (12 / nodes)}\n"
        grid.write_text(grid.read_text().replace("\nWIDENING = 1.6\n", widens))
        paths = os.pathsep.join([scratch, str(Path(__file__).parent), *filter(None, sys.path)])
        run = {**os.environ, "PYTHONPATH": paths, "NUMBA_CACHE_DIR": str(Path(scratch) / "numba")}
        said = subprocess.run([sys.executable, "-c", NODES], env=run, check=True, stdout=subprocess.PIPE)
    counted, found = json.loads(said.stdout)
    assert counted == nodes
    return found


def test_cost_and_error_against_nodes(capsys):
    counts = (12, 24, 48)
    found = {nodes: with_nodes(nodes) for nodes in counts}
    lines = []
    for key in found[12]:
        for nodes in counts:
            took, done, core, colour, lost = found[nodes][key]
            lines.append(
                f"  {key:12s} {nodes:3d} nodes {1e3 * took:6.2f} ms; done in {done:6.1f} s; "
                f"after 4 min core {core:.2f} °C, colour {colour:.2f}, lost {lost:.2%}"
            )
    say(capsys, "\n".join(["cost of fifteen minutes and what comes out, against nodes:", *lines]))


def done_s(food: Food, target: Target, every_s: float) -> tuple[float, FoodState]:
    state = start(food)
    asked = until(food, state, target)
    state, took_s = run_until(food, state, heat_on(food, state, EVEN), asked, LONGEST_S, every_s)
    assert reached(food, state, target)
    return took_s, state


def at_steps(food: Food, target: Target, every_s: float, after_s: float) -> tuple[float, float, float, float]:
    """Seconds to the target; after a fixed time core, colour on top and share of weight lost."""
    took_s, _ = done_s(food, target, every_s)
    state = start(food)
    state, _ = run_until(food, state, heat_on(food, state, EVEN), NOTHING_ASKED, after_s, every_s)
    return took_s, core_C(food, state), colour_steps(food, state).mean, weight_loss(food, state)


def test_error_of_steps(capsys):
    """Steps of up to a second, as cooking takes them, against 0.02 s: at the target and after set times."""
    lines = []
    for key, target, after_s in (
        ("strip_steak", Target(50.0), 420.0),
        ("strip_steak", Target(50.0), 900.0),
        ("pizza", Target(85.0, 3), 150.0),
        ("pizza", Target(85.0, 3), 240.0),
        ("cheese_dip", Target(68.0), 300.0),
        ("cheese_dip", Target(bubbling=True), 600.0),
    ):
        food = prepare(portion(HOUSE, key))
        for every_s in (1.0, 0.5):
            coarse, fine = (at_steps(food, target, dt, after_s) for dt in (every_s, 0.02))
            off = [a - b for a, b in zip(coarse, fine, strict=True)]
            lines.append(
                f"  {key:12s} to {every_s:g} s: target after {fine[0]:.0f} s {off[0]:+.2f} s; "
                f"after {after_s:.0f} s core {off[1]:+.3f} K, colour {off[2]:+.4f}, weight {off[3]:+.3%}"
            )
    say(capsys, "\n".join(["steps against steps of 0.02 s:", *lines]))


@cache
def asked_of_the_house() -> tuple[dict[str, Asked], Hearth]:
    oven, moment = settled(HOUSE)
    places = enumerate_places(oven.design, HOUSE.file.zones, house_outlines(HOUSE))
    asked = {
        key: Asked(
            portion(HOUSE, key),
            dish.stages,
            tuple(kinds_of(oven, moment, places, dish, i) for i in range(len(dish.stages))),
        )
        for key, dish in HOUSE.dishes.items()
    }
    return asked, hearth_of(oven, moment)


def filled(workers: int) -> tuple[dict[str, tuple[StageTable, ...]], float, float]:
    asked, hearth = asked_of_the_house()
    began, began_own = time.perf_counter(), processors_s()
    found = fill(tuple(asked.values()), hearth, Axes(), workers, lambda _: None)
    own = processors_s() - began_own
    return dict(zip(asked, found, strict=True)), time.perf_counter() - began, own


def processors_s() -> float:
    """Processor time of this process and of those it started and saw end."""
    spent = os.times()
    return spent.user + spent.children_user


def test_response_entries(capsys):
    """The house's tables: all dishes, kinds of spot, stones and irradiances; the second run starts two."""
    filled(1)
    lines = []
    for workers in (1, 2):
        tables, took, own = filled(workers)
        entries = sum(table.values[0].size for stages in tables.values() for table in stages)
        lines.append(
            f"  processes: {workers}; {entries} entries in {took:.1f} s, {own:.1f} s of processor time"
        )
    say(capsys, "\n".join(["response tables:", *lines]))


def test_error_of_tables(capsys):
    """Between entries against direct runs; the band against 200 members, at three heats of every stage."""
    asked, hearth = asked_of_the_house()
    tables, _, _ = filled(1)
    random, lines = np.random.default_rng(0), list[str]()
    for key, dish in asked.items():
        state = start(prepare(dish.portion))
        members = ensemble(dish.portion, None, 200, 1)
        states = [start(member.food) for member in members]
        for i, stage in enumerate(dish.stages):
            table = tables[key][i]
            food, kinds = covered(prepare(dish.portion), stage), table.kinds
            off = []
            for _ in range(100):
                kind, stone_C = int(random.integers(len(kinds))), random.uniform(200.0, 450.0)
                up_W_m2 = math.exp(random.uniform(math.log(4e3), math.log(4e4)))
                entry = table.at(kind, stone_C, up_W_m2)
                heat = hearth.exposure(kinds[kind], stone_C, up_W_m2)
                answer = respond_in(food, state, stage, heat, hearth.stone(stone_C))
                if entry is not None and answer.seconds is not None:
                    colour = colour_steps(food, answer.state).mean
                    off.append((entry.seconds / answer.seconds - 1, entry.colour - colour))
            time_off, colour_off = np.array(off).T
            own = kinds[0]
            stay = (own.stone_C, own.up_W_m2)
            edges = []
            for stone_C, up_W_m2 in (stay, (275.0, 9e3), (400.0, 23e3)):
                heat = hearth.exposure(own, stone_C, up_W_m2)
                flips = respond_in(food, state, stage, heat, hearth.stone(stone_C)).flip_at_s
                ends = sampled(cover_all(members, stage.covered), states, stage, heat, hearth, flips)
                sides, entry = band(np.array([end for end, _ in ends])), table.at(0, stone_C, up_W_m2)
                edges += [entry.low_s / sides.low - 1, entry.high_s / sides.high - 1]
                if (stone_C, up_W_m2) == stay:
                    after = [state for _, state in ends]
            states = after
            state = respond_in(food, state, stage, hearth.exposure(own, *stay), hearth.stone(stay[0])).state
            lines.append(
                f"  {key:12s} {stage.name:12s} time rms {rms(time_off):.1%}, most {abs(time_off).max():.1%}; "
                f"colour rms {rms(colour_off):.2f}, most {abs(colour_off).max():.2f}; "
                f"band {min(edges):+.0%} to {max(edges):+.0%}"
            )
    say(capsys, "\n".join(["response tables against direct runs:", *lines]))


def sampled(members, states, stage, heat, hearth, flips) -> list[tuple[float, FoodState]]:
    """Every member's end [s] and state then."""
    found = []
    for member, state in zip(members, states, strict=True):
        meets = member.meets(heat)
        ran = cook(member.food, state, meets, target_of(stage), LONGEST_S, flips, hearth.stone(meets.stone_C))
        found.append((ran.seconds if ran.met else math.inf, ran.state))
    return found


def rms(values: Floats) -> float:
    return float(np.sqrt((values**2).mean()))
