"""Pieces rounder than a slab: what they keep, what they meet, what turning does."""

from dataclasses import replace

import numpy as np
import pytest

from hearth_trials import Floor
from hearthtide.errors import PhysicalRangeError
from hearthtide.food import column
from hearthtide.food.cooking import Target, cook, slowest
from hearthtide.food.exposure import REST, Exposure
from hearthtide.food.model import NOTHING_ASKED, advance, flip, heat_on, prepare, run_until, start
from hearthtide.food.outcome import colour_steps, core_C, weight_loss
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
    # Not to rounding: nodes that boil or dry within a step of each other may change places.
    assert about == pytest.approx((straight[2], straight[1], straight[0], straight[3]), abs=2e-3)


def test_in_even_heat_a_thick_cut_browns_as_much_on_either_side():
    food = prepare(piece("thick cut"))
    sectors = colour_steps(food, advance(food, start(food), EVEN, 600.0)).sectors
    assert sectors[0] == pytest.approx(sectors[2], abs=1e-6)
    assert sectors[0] > sectors[1] - 1e-9


@pytest.mark.parametrize("heat_W_m2", [14_000.0, 25_000.0])
@pytest.mark.parametrize("width_m", [0.04, 0.05])
def test_one_run_of_a_thick_cut_agrees_with_many_short_ones(width_m, heat_W_m2):
    """An upright side that has warmed shines back: what it takes in must be told anew as it warms."""
    layers = (FoodLayer("beef_strip", 0.04),)
    food = prepare(Portion("cut", layers, 0.01, 4.0, platter=IRON, body=Body("box", width_m, 0.5)))
    state, short_s = start(food), 0.0
    hot = replace(EVEN, up_W_m2=heat_W_m2, rim_W_m2=(heat_W_m2,) * 4)
    once = cook(food, state, hot, Target(core_C=55.0), 3600.0)
    while core_C(food, state) < 55.0:
        state, took_s = run_until(food, state, heat_on(food, state, hot), NOTHING_ASKED, 1.0)
        short_s += took_s
    assert once.met
    assert once.seconds == pytest.approx(short_s, abs=2.5)


@pytest.mark.parametrize("shape", ["log", "half bird"])
def test_steps_follow_whichever_column_moves(shape):
    """Under a flame on one side, in steps of up to 1 s against 0.02 s."""
    heat = Exposure("stone", 300.0, 14_000.0, (30_000.0, 14_000.0, 6_000.0, 14_000.0), 350.0)
    food, found = prepare(piece(shape)), []
    for every_s in (1.0, 0.02):
        state, seen = start(food), []
        for seconds, turned in ((200.0, True), (300.0, False), (300.0, False)):
            run = heat_on(food, state, heat)
            state, _ = run_until(food, state, run, NOTHING_ASKED, seconds, every_s)
            seen += [core_C(food, state), *colour_steps(food, state).sectors]
            state = flip(food, state) if turned else state
        found.append(seen)
    assert found[0] == pytest.approx(found[1], abs=0.3)


@pytest.mark.parametrize("turned", [False, True], ids=["upright", "over"])
@pytest.mark.parametrize("shape", SHAPES)
def test_what_leaves_the_stone_under_it_is_what_the_food_takes(shape, turned, monkeypatch):
    """Under a lid in gas without a film: all heat comes from below, from a floor that cools."""
    monkeypatch.setattr("hearthtide.food.model.GAS_W_m2K", 0.0)
    food = prepare(replace(piece(shape), cover=1.0))
    state, floor = start(food), Floor(300.0)
    state = flip(food, state) if turned else state
    store_J_m2K = floor.store_J_m3K * floor.gap_m
    for _ in range(300):
        face_C = floor.surface_under_C(food.stone_conductance_W_m2K(state), state.base_C, 1.0)
        state = advance(food, state, replace(EVEN, stone_C=face_C), 1.0)
    share = food.forms[state.over].cut.share
    left_J_m2 = store_J_m2K * float((300.0 - floor.nodes_C).sum())
    assert float(share @ state.cells[:-1, column.HEAT]) == pytest.approx(left_J_m2, rel=0.02)


@pytest.mark.parametrize("shape", SHAPES)
def test_in_the_loops_too_what_leaves_the_stone_is_what_the_food_takes(shape, monkeypatch):
    monkeypatch.setattr("hearthtide.food.model.GAS_W_m2K", 0.0)
    food = prepare(replace(piece(shape), cover=1.0))
    nodes = 20
    stone = np.zeros((column.STONE_ROWS, nodes))
    stone[column.STONE_C], stone[column.STONE_J_M2K] = 300.0, 2.2e6 * 0.004
    stone[column.STONE_LINK] = 1.0 / 0.004
    heat = heat_on(food, start(food), EVEN, stone=stone.copy())
    state, _ = run_until(food, start(food), heat, NOTHING_ASKED, 300.0)
    share = food.forms[0].cut.share
    left_J_m2 = float(stone[column.STONE_J_M2K] @ (stone[column.STONE_C] - heat.stone[column.STONE_C]))
    assert float(share @ state.cells[:-1, column.HEAT]) == pytest.approx(left_J_m2, rel=0.02)


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


@pytest.mark.parametrize(
    ("food", "thin_m", "thick_m"),
    [("shrimp", 0.010, 0.014), ("beef_strip", 0.17, 0.2)],
    ids=["done before a flip", "not done in two hours"],
)
def test_of_parts_that_tie_the_thicker_is_the_slower(food, thin_m, thick_m):
    thin, thick = (Portion("part", (FoodLayer(food, m),), 0.01, 4.0) for m in (thin_m, thick_m))
    assert slowest((thin, thick), 63.0) is thick
    assert slowest((thick, thin), 63.0) is thick


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
