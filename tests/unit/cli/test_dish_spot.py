"""`dish --spot`: exactly there, in the house's own lengths; or one line that says why not and where else."""

from __future__ import annotations

from pathlib import Path

import pytest

from hearthtide.cli.dish_asked import Asked, check_asked, house_asked
from hearthtide.cli.dish_spot import spot_asked
from hearthtide.errors import InputError
from hearthtide.house.files import oven_design, read_house
from hearthtide.house.places import Outline, Spot
from hearthtide.planning.build import house_outlines
from hearthtide.planning.places import enumerate_places

HOUSE = read_house(Path(__file__).parents[3] / "examples" / "brindlecote")
DESIGN = oven_design(HOUSE)
PLACES = enumerate_places(DESIGN, HOUSE.file.zones, house_outlines(HOUSE))


def asked(text: str, key: str = "pizza") -> Spot | None:
    return spot_asked(Asked(spot=text), HOUSE, key, DESIGN, PLACES)


@pytest.mark.parametrize("text", ["10,45", "10, 45", "10cm,45cm", "0.1 m, 450 mm", "+10.0,45"])
def test_centimetres_right_of_and_behind_the_mouths_middle(text: str) -> None:
    spot = asked(text)
    assert spot is not None
    assert (spot.x_m, spot.y_m) == pytest.approx((0.10, 0.45))


def test_inches_and_the_left() -> None:
    """4 in is 10.16 cm (1 in = 2.54 cm)."""
    spot = asked("-4in,18in")
    assert spot is not None
    assert (spot.x_m, spot.y_m) == pytest.approx((-0.1016, 0.4572))


def test_exactly_there_it_is_what_the_enumerated_spot_is() -> None:
    for known in PLACES.spots[::97]:
        key = next(k for k, d in HOUSE.dishes.items() if known.outline in _shapes(Outline.of(d.vessel)))
        dish = HOUSE.dishes[key]
        allowed = {place for stage in dish.stages for place in stage.places}
        if known.zone in allowed and known.flame_m >= dish.clear_of_flame:
            found = asked(f"{100 * known.x_m!r},{100 * known.y_m!r}", key)
            assert found is not None and found.zone == known.zone
            assert found.flame_m == pytest.approx(
                known.flame_m, abs=0.07
            )  # a pan may lie the other way round
            if known.outline.is_disc:
                assert found.flame_m == pytest.approx(known.flame_m, abs=1e-9)


def _shapes(outline: Outline) -> set[Outline]:
    return {outline, outline.turned()}


def test_a_kind_of_place_is_no_spot_but_does_as_place_does() -> None:
    assert asked("near") is None and Asked(spot="near").kind == "near" and Asked(place="mid").kind == "mid"
    found = house_asked(HOUSE, "half_chicken", Asked(spot="mid"))
    assert found == house_asked(HOUSE, "half_chicken", Asked(place="mid"))
    assert Asked(spot="10,45").kind is None


@pytest.mark.parametrize(
    ("key", "text", "said"),
    [
        ("pizza", "10", ("two lengths", "10,65")),
        ("pizza", "10,20,30", ("two lengths",)),
        ("pizza", "left,back", ("two lengths", "near, mid, edge, mouth")),
        ("pizza", "nan,40", ("two lengths",)),
        ("pizza", "inf,40", ("two lengths",)),
        ("pizza", "10kg,40", ("two lengths",)),
        ("pizza", "", ("two lengths",)),
        ("pizza", "200,40", ("on the hearth", "-60 to 60", "nearest")),
        ("pizza", "0,-5", ("on the hearth", "nearest")),
        ("pizza", "0,5", ("room for 28 cm", "wall", "nearest")),
        ("half_chicken", "-58,55", ("room for 26 by 20 cm", "nearest")),
        ("pizza", "-10,65", ("30 cm from the flame", "nearest")),
        ("strip_steak", "-33,80", ("6 cm from the flame", "nearest")),
        ("strip_steak", "20,40", ("a spot at near", "this is edge", "nearest")),
    ],
)
def test_spots_that_are_none(key: str, text: str, said: tuple[str, ...]) -> None:
    with pytest.raises(InputError) as error:
        asked(text, key)
    (finding,) = error.value.findings
    assert finding.expected and finding.remedy
    assert all(word in str(finding) for word in ("--spot", text, *said))


def test_the_remedy_can_be_followed() -> None:
    with pytest.raises(InputError) as error:
        asked("-10,65")
    (finding,) = error.value.findings
    assert asked(finding.remedy.removeprefix("The nearest for it is ").removesuffix(".")) is not None


@pytest.mark.parametrize(
    ("wrong", "name", "word"),
    [
        (Asked(spot="10,45", place="mid"), "--spot", "--place"),
        (Asked(picture=Path("run.gif")), "--picture", ".svg or .png"),
        (Asked(map=Path("hearth")), "--map", ".svg or .png"),
        (Asked(narrow=True), "--narrow", "--map"),
    ],
)
def test_options_that_do_not_go_together(wrong: Asked, name: str, word: str) -> None:
    with pytest.raises(InputError) as error:
        check_asked(wrong)
    assert name in str(error.value) and word in str(error.value)


def test_options_that_do() -> None:
    check_asked(Asked())
    check_asked(Asked(spot="10,45", picture=Path("run.SVG"), map=Path("map.png"), narrow=True))
