"""Pieces rounder than a slab: what they keep, what they meet, what turning does."""

import numpy as np
import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.food import column
from hearthtide.food.cooking import Target, cook, slowest
from hearthtide.food.exposure import REST, Exposure
from hearthtide.food.model import advance, flip, prepare, start
from hearthtide.food.outcome import colour_steps, weight_loss
from hearthtide.food.spec import Body, FoodLayer, Platter, Portion

EVEN = Exposure("stone", 300.0, 14_000.0, (14_000.0,) * 4, 350.0)
SIDED = Exposure("stone", 300.0, 14_000.0, (22_000.0, 14_000.0, 6_000.0, 14_000.0), 350.0)
IRON = Platter("cast_iron", 2.0, 0.04, 250.0)
SHAPES = {
    "log": Body("ellipse", 0.04),
    "ball": Body("ellipse", 0.04, 1.0),
    "half bird": Body("dome", 0.09, 0.6),
    "thick cut": Body("box", 0.08, 0.5),
}


def piece(shape: str, platter: Platter | None = None, thickness_m: float = 0.035) -> Portion:
    layers = (FoodLayer("chicken_breast_raw", thickness_m),)
    return Portion(shape, layers, 0.01, 4.0, platter=platter, body=SHAPES[shape])


def held_J_m2(food, state) -> float:
    cut = food.forms[state.over].cut
    rows = state.cells[: column.LUMP]
    capacity = cut.grids[cut.of, column.DRY] + column.WATER_J_kgK * rows[:, column.WATER : column.PEAK]
    return float(cut.share @ (capacity * rows[:, : column.NODES]).sum(axis=1))


@pytest.mark.parametrize("shape", SHAPES)
def test_a_body_has_the_volume_of_its_shape(shape):
    portion = piece(shape)
    cut = prepare(portion).forms[0].cut
    body, thickness_m = portion.body, portion.thickness_m
    volume_m = float(cut.share @ cut.grids[cut.of, column.VOLUME].sum(axis=1))
    # Per footprint: a box holds its thickness, an ellipse pi/4 of it when long and 2/3 when round.
    section = {"box": (1.0, 1.0)}.get(body.outline, (np.pi / 4, 2 / 3))
    if body.round in (0.0, 1.0):
        assert volume_m == pytest.approx(section[int(body.round)] * thickness_m, rel=2e-3)
    assert min(section) * thickness_m * 0.999 <= volume_m <= max(section) * thickness_m * 1.001


@pytest.mark.parametrize("platter", [None, IRON], ids=["stone", "platter"])
@pytest.mark.parametrize("shape", SHAPES)
def test_heat_taken_in_is_heat_held_and_heat_gone_through_turns_and_rest(shape, platter):
    food = prepare(piece(shape, platter))
    state = start(food)
    before = held_J_m2(food, state)
    for second in range(240):
        state = advance(food, state, SIDED if second < 180 else REST, 1.0, facing_deg=second)
        if second == 90:
            state = flip(food, state)
    share = food.forms[state.over].cut.share
    took, left = (float(share @ state.cells[: column.LUMP, k]) for k in (column.HEAT, column.LEFT))
    assert held_J_m2(food, state) - before == pytest.approx(took - left, abs=1e-8 * took)
    assert 0 < weight_loss(food, state) < 0.5


@pytest.mark.parametrize("shape", SHAPES)
def test_turning_over_twice_changes_nothing(shape):
    food = prepare(piece(shape))
    state = advance(food, start(food), SIDED, 120.0)
    back = flip(food, flip(food, state))
    assert np.array_equal(back.cells[:-1], state.cells[:-1])
    once = flip(food, state)
    assert held_J_m2(food, once) == pytest.approx(held_J_m2(food, state))
    assert weight_loss(food, once) == pytest.approx(weight_loss(food, state))


@pytest.mark.parametrize("shape", ["log", "ball", "half bird"])
def test_what_was_below_is_on_top_after_a_turn(shape):
    food = prepare(piece(shape))
    state = advance(food, start(food), Exposure("stone", 400.0, 2_000.0, (2_000.0,) * 4, 150.0), 400.0)
    before, after = colour_steps(food, state), colour_steps(food, flip(food, state))
    assert before.bottom > before.mean + 0.2
    assert after.mean > before.mean + 0.1


@pytest.mark.parametrize("shape", ["log", "half bird"])
def test_the_flame_side_browns_more_and_facing_about_mirrors_it(shape):
    food = prepare(piece(shape))
    heat = Exposure("stone", 300.0, 14_000.0, (30_000.0, 14_000.0, 6_000.0, 14_000.0), 350.0)
    straight = colour_steps(food, advance(food, start(food), heat, 600.0)).sectors
    about = colour_steps(food, advance(food, start(food), heat, 600.0, facing_deg=180.0)).sectors
    assert straight[0] > straight[2] + 0.1
    # Steps are chosen by one column of the flame side, hence not to rounding.
    assert about == pytest.approx((straight[2], straight[1], straight[0], straight[3]), abs=2e-3)


def test_a_round_piece_is_done_before_a_slab_of_its_thickness():
    """The trade's rule: true birds take 60 to 75 % of a slab's time; a ball less than a log."""
    target, seconds = Target(core_C=70.0), {}
    slab = Portion("slab", piece("log").layers, 0.01, 4.0)
    for portion in (slab, piece("half bird"), piece("log"), piece("ball")):
        food = prepare(portion)
        done = cook(food, start(food), EVEN, target, 3600.0, (500.0,))
        assert done.met
        seconds[portion.name] = done.seconds
    assert seconds["ball"] < seconds["log"] < seconds["slab"]
    assert seconds["half bird"] < seconds["slab"]


def test_layers_of_a_round_piece_lie_around_each_other():
    """What is named first is in the middle and gives up no juice; the meat is under the skin all round."""
    layers = (FoodLayer("chicken_cooked", 0.01), FoodLayer("chicken_thigh_raw", 0.02))
    form = prepare(Portion("boned", layers, 0.01, 4.0, body=Body("ellipse", 0.03))).forms[0]
    for c in range(len(form.cut.of)):
        muscle = form.cut.grids[form.cut.of[c], column.MUSCLE]
        outward = muscle[::-1] if form.cut.inward[c] else muscle
        assert outward[0] == 0.0
        assert outward[-1] == 1.0


def test_of_two_parts_the_slower_counts():
    breast, thigh = piece("half bird", thickness_m=0.035), piece("half bird", thickness_m=0.045)
    assert slowest((breast, thigh), 74.0) is thigh
    assert slowest((thigh, breast), 74.0) is thigh


def test_bodies_outside_the_model_are_refused():
    with pytest.raises(PhysicalRangeError, match="outline"):
        Body("star", 0.05)
    with pytest.raises(PhysicalRangeError, match="width_m"):
        Body("box", 0.0)
    flat = Portion("x", (FoodLayer("chicken_breast_raw", 0.01),), 0.01, 4.0, body=Body("ellipse", 0.1))
    with pytest.raises(PhysicalRangeError, match="thickness over width"):
        prepare(flat)
    rimmed = Portion("x", flat.layers, 0.01, 4.0, rim_thickness_m=0.02, body=Body("box", 0.1))
    with pytest.raises(PhysicalRangeError, match="rim"):
        prepare(rimmed)
