"""A wood fire against closed forms, hand sums and published values."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from hearthtide.errors import PhysicalRangeError
from hearthtide.heat.combustion import fuel
from hearthtide.heat.wood import (
    CHAR_SHARE,
    CHAR_J_kg,
    Split,
    fed_power_W,
    splits_of,
    steady_ember_share,
    wood_fire_W,
)
from published import Published

pytestmark = pytest.mark.subject("combustion and flames")


def test_three_kilograms_an_hour(published: Published) -> None:
    """3 kg/h at 20 % moisture by hand: (0.8 * 18.15 - 0.2 * 2.44) MJ/kg * 3 / 3600 = 11.69 kW; quoted as
    about 12 kW of oak for a pilot oven."""
    found, what = fed_power_W(3.0, 0.20) / 1000, "wood fed at 3 kg/h, 20 % water"
    published(what, "by hand", expected=11.693, computed=found, relative=1e-3, unit="kW")
    published(what, "quoted for a pilot oven", expected=12, computed=found, relative=0.05, unit="kW")


def test_char_lies_within_the_quoted(published: Published) -> None:
    """Char 0.20 to 0.25 of dry wood, 30 to 32 MJ/kg (from memory; lists give 31.1 pine, 31.6 oak)."""
    source = "usual range (from memory)"
    published("char of dry wood, share", source, expected=(0.20, 0.25), computed=CHAR_SHARE)
    published("heat value of char", source, expected=(30, 32), computed=CHAR_J_kg / 1e6, unit="MJ/kg")


def test_ember_share_by_hand(published: Published) -> None:
    """Dry: 0.22 * 31 / 18.15 = 0.3757. Half water: 0.5 * 6.82 / (0.5 * 18.15 - 1.22) = 0.4341."""
    for words, moisture, expected in (("dry wood", 0.0, 0.3757), ("half water", 0.5, 0.4341)):
        what, found = f"share of heat from embers, {words}", steady_ember_share(moisture)
        published(what, "by hand", expected=expected, computed=found, absolute=3e-4)


@given(moisture=st.floats(0.0, 0.5), mass_kg=st.floats(0.05, 5.0), flaming_s=st.floats(30, 2000),
       slower=st.floats(1.0, 20.0))  # fmt: skip
def test_all_heat_comes_out(moisture: float, mass_kg: float, flaming_s: float, slower: float) -> None:
    """Both parts integrated over all time (by quadrature, time in units of the ember's constant)."""
    ember_s, split = flaming_s * slower, (Split(100.0, mass_kg),)

    def release(which: int, units: float) -> float:
        at = np.array([100.0 + units * ember_s])
        return float(wood_fire_W(split, moisture, at, flaming_s, ember_s)[which][0])

    flames, embers = (quad(lambda u, i=i: release(i, u), 0, 60, limit=400)[0] * ember_s for i in (0, 1))
    whole = mass_kg * fuel("wood", moisture).calorific_J_kg
    assert flames + embers == pytest.approx(whole, rel=1e-6)
    assert embers == pytest.approx(whole * steady_ember_share(moisture), rel=1e-6)


def test_one_split_by_closed_form() -> None:
    """Flames fall by e in one flaming constant. Embers peak where d/dt (exp(-t/b) - exp(-t/a)) = 0:
    t = ln(b/a) a b / (b - a) = 965.7 s for a = 480 and b = 2400."""
    times = np.array([0.0, 480.0, 965.7 - 60, 965.7, 965.7 + 60])
    flames, embers = wood_fire_W((Split(0.0, 1.0),), 0.18, times, 480.0, 2400.0)
    assert flames[0] / flames[1] == pytest.approx(np.e, rel=1e-9)
    assert embers[0] == 0.0
    assert embers[3] > max(embers[2], embers[4])


def test_equal_time_constants_are_the_limit() -> None:
    """t exp(-t/a) / a² at a = 500 s, for dry wood's 0.22 * 31 MJ/kg."""
    times = np.array([100.0, 500.0, 2000.0])
    _, embers = wood_fire_W((Split(0.0, 1.0),), 0.0, times, 500.0, 500.0)
    np.testing.assert_allclose(embers, 0.22 * 31e6 * times * np.exp(-times / 500) / 500**2, rtol=1e-12)
    _, near = wood_fire_W((Split(0.0, 1.0),), 0.0, times, 500.0, 500.0001)
    np.testing.assert_allclose(near, embers, rtol=1e-5)


def test_nothing_burns_before_it_is_laid() -> None:
    flames, embers = wood_fire_W((Split(50.0, 1.0),), 0.18, np.array([0.0, 49.9]))
    assert not flames.any()
    assert not embers.any()


def test_splits_add_up() -> None:
    first, second, times = Split(0.0, 1.0), Split(300.0, 0.5), np.linspace(0, 4000, 41)
    both = wood_fire_W((first, second), 0.2, times)
    alone = [wood_fire_W((split,), 0.2, times) for split in (first, second)]
    np.testing.assert_allclose(both, np.add(alone[0], alone[1]))


def test_steady_feeding_gives_the_fed_power(published: Published) -> None:
    """After 20 h of 0.5 kg every 10 min (3 kg/h), averaged over one interval by the midpoint rule."""
    splits = splits_of(3.0, 0.5, 0.0, 20 * 3600 + 600)
    times = 20 * 3600 + (np.arange(6000) + 0.5) / 10
    flames, embers = (part.mean() for part in wood_fire_W(splits, 0.18, times))
    fed, found = fed_power_W(3.0, 0.18) / 1000, (flames + embers) / 1000
    what, source = "wood fire fed for 20 h", "what is fed"
    published(what, source, expected=fed, computed=found, relative=1e-4, unit="kW")
    assert embers / (flames + embers) == pytest.approx(steady_ember_share(0.18), rel=1e-4)


@given(kg_h=st.floats(0.1, 30), split_kg=st.floats(0.1, 5), hours=st.floats(0, 12))
def test_feeding_lays_all_the_wood(kg_h: float, split_kg: float, hours: float) -> None:
    splits = splits_of(kg_h, split_kg, 60.0, 60.0 + hours * 3600)
    assert sum(split.mass_kg for split in splits) == pytest.approx(kg_h * hours, rel=1e-6, abs=1e-6)
    assert all(0 < split.mass_kg <= split_kg and split.time_s >= 60.0 for split in splits)
    assert all(split.time_s <= 60.0 + hours * 3600 for split in splits)


def test_whole_splits_by_hand() -> None:
    """3 kg/h in pieces of 0.5 kg for half an hour: three, ten minutes apart."""
    assert splits_of(3.0, 0.5, 0.0, 1800.0) == (Split(0.0, 0.5), Split(600.0, 0.5), Split(1200.0, 0.5))


@pytest.mark.parametrize(
    ("name", "call"),
    [
        ("moisture", lambda: fed_power_W(3.0, 0.6)),
        ("moisture", lambda: steady_ember_share(-0.1)),
        ("kg_h", lambda: fed_power_W(-1.0, 0.2)),
        ("until_s", lambda: splits_of(3.0, 0.5, 100.0, 0.0)),
        ("ember_s", lambda: wood_fire_W((), 0.2, np.zeros(1), 600.0, 300.0)),
        ("mass_kg", lambda: wood_fire_W((Split(0.0, -1.0),), 0.2, np.zeros(1))),
    ],
)
def test_impossible_fires(name: str, call: object) -> None:
    assert callable(call)
    with pytest.raises(PhysicalRangeError, match=name):
        call()
