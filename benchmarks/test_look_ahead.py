"""The reduced oven: what a look ahead costs, alone and for many possible ovens, and its error."""

from __future__ import annotations

import time
from collections.abc import Iterator

import numpy as np
import pytest
from test_oven_steps import WITH_A_DOOR, say, spots

from hearthtide.oven.advance import advance
from hearthtide.oven.answers import course
from hearthtide.oven.footprint import Disc, cover_fractions
from hearthtide.oven.grid import NOMINAL
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import Oven, OvenState, build_oven
from hearthtide.oven.reduced import Member, look_ahead, on_spots, reduce, reduced_state

LOOK_S, MEMBERS = 1200.0, 1000
STATES_W = (8_000.0, 14_000.0, 26_000.0)  # powers that two hours were spent under before the look
LOOKS_W = (2_400.0, 12_000.0, 26_000.0)
FED = {"bare": (), "three pizzas": (1, 3, 6)}
FOOD_W_m2K, BASE_C, TOP_C = 150.0, 95.0, 98.0


@pytest.fixture(scope="module")
def oven() -> Oven:
    return build_oven(WITH_A_DOOR, NOMINAL)


def states(oven: Oven) -> Iterator[OvenState]:
    for power_W in STATES_W:
        yield course(oven, oven.cold(20.0), power_W, 7200.0).state


def food(count: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    return np.full(count, FOOD_W_m2K), np.full(count, BASE_C), np.full(count, TOP_C)


def full_look(oven: Oven, discs: list[Disc], state: OvenState, power_W: float, fed: tuple[int, ...]):
    load = NO_LOAD
    if fed:
        load = Load(cover_fractions(oven, [discs[i] for i in fed]), *food(len(fed)))
    for _ in range(int(LOOK_S / 8)):
        state = advance(oven, state, power_W, 1.0, load, steps=8).state
    return state


def test_one_look(benchmark, oven: Oven):
    reduced = reduce(oven, spots(oven))
    state = reduced_state(reduced, course(oven, oven.cold(20.0), 26_000.0, 5400.0).state)
    benchmark(look_ahead, reduced, state, 12_000.0, LOOK_S)


def test_a_thousand_possible_ovens(capsys, oven: Oven):
    reduced = reduce(oven, spots(oven))
    state = reduced_state(reduced, course(oven, oven.cold(20.0), 26_000.0, 5400.0).state)
    factors = np.random.default_rng(0).uniform(0.8, 1.2, (MEMBERS, 3))
    began = time.perf_counter()
    for power, films, conductivity in factors:
        look_ahead(reduced, state, 12_000.0, LOOK_S, member=Member(power, films, conductivity))
    say(capsys, f"{MEMBERS} possible ovens, 20 min each: {time.perf_counter() - began:.2f} s")


def test_error_against_the_full_oven(capsys, oven: Oven):
    """Spots after 20 minutes, over flames before and after, bare and fed: full at 1 s, reduced at 10."""
    discs = spots(oven)
    reduced = reduce(oven, discs)
    lines, every = [], []
    for name, fed in FED.items():
        apart = []
        for state in states(oven):
            for power_W in LOOKS_W:
                full = reduced_state(reduced, full_look(oven, discs, state, power_W, fed))
                load = on_spots(reduced, fed, *food(len(fed))) if fed else NO_LOAD
                look = look_ahead(reduced, reduced_state(reduced, state), power_W, LOOK_S, load)
                apart.append((look.floor_C - full.floor_C)[: len(discs)])
        error = np.array(apart)
        every.append(error)
        lines.append(
            f"  {name}: rms {rms(error):.1f} K, mean {error.mean():+.1f}, most {abs(error).max():.1f}"
        )
    say(capsys, "\n".join([f"20 min ahead against the full oven, {np.array(every).size} spots:", *lines]))


def rms(values: np.ndarray) -> float:
    return float(np.sqrt(np.square(values).mean()))
