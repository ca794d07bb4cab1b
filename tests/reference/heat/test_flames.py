"""Flames against published laws, worked numbers and measured fires."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import curve_fit

from hearthtide.errors import PhysicalRangeError
from hearthtide.heat.flames import (
    LENGTH_SPREAD,
    RADIANT,
    emitted_below,
    line_flame_length_m,
    line_flame_power_W,
    power_band_W,
    radiant_fraction,
    round_flame_length_m,
    round_flame_power_W,
)
from hearthtide.ranges import Array
from open_burners import BURNERS
from published import Published

pytestmark = pytest.mark.subject("combustion and flames")

# Hamins, NIST TN 1926 (2016): burner diameter m -> (heat release kW, radiant fraction). Stated k=2: 17 %.
PROPANE_FIRES = {
    0.10: [(2.7, 0.20), (6.8, 0.25), (11.8, 0.28), (17.9, 0.28), (36.9, 0.29)],
    0.353: [(15.6, 0.12), (34.0, 0.28), (79.7, 0.26), (102, 0.29), (125, 0.22)],
    1.00: [(55.6, 0.07), (82, 0.10), (107, 0.13), (137, 0.18)],
}
METHANE_FIRES = {
    0.10: [(0.42, 0.10), (1.1, 0.15), (1.9, 0.17)],
    0.353: [(6.7, 0.049), (11.2, 0.065), (19.3, 0.10), (27.0, 0.13), (63.5, 0.19), (145, 0.26), (178, 0.19)],
    1.00: [(49, 0.083), (81, 0.107), (130, 0.144), (172, 0.148)],
}
FIRES = {"propane": PROPANE_FIRES, "methane": METHANE_FIRES}


def table(gas: str) -> tuple[Array, Array]:
    """Burner loading W/m² and measured radiant fraction, in the order above."""
    rows = [(d, kW, chi) for d, fires in FIRES[gas].items() for kW, chi in fires]
    loading = [kW * 1000 / (math.pi * d * d / 4) for d, kW, _ in rows]
    return np.array(loading), np.array([chi for _, _, chi in rows])


def test_worked_lengths_of_nureg_1805(published: Published) -> None:
    """Wall and line fires of 700 kW (per metre), as computed by an open library's own tests."""
    source = "NUREG-1805, as an open library's tests work it"
    wall, free = line_flame_length_m(700e3, 1.0), line_flame_length_m(700e3, 1.0, against_wall=False)
    published("wall flame of 700 kW/m", source, expected=2.6805, computed=wall, relative=1e-4, unit="m")
    published(
        "free line flame of 700 kW/m", source, expected=1.340235, computed=free, relative=1e-5, unit="m"
    )


@pytest.mark.parametrize(("length_m", "power_W"), [(0.05, 892), (0.10, 2522), (0.15, 4633)])
def test_idle_flames_by_inverting_the_law(published: Published, length_m: float, power_W: float) -> None:
    """Q' = (L / 0.034)^1.5 kW/m by hand on a 0.5 m ribbon."""
    what, found = f"idle flame of {power_W} W on 0.5 m", line_flame_length_m(power_W, 0.5)
    published(what, "wall law inverted by hand", expected=length_m, computed=found, relative=1e-3, unit="m")


def test_purdue_flame(published: Published) -> None:
    """Methane, 7.1 cm burner, 4.2 kW: visible flame about 0.36 m (FDS Validation Guide)."""
    found, source = round_flame_length_m(4200, 0.071), "Purdue flame, FDS Validation Guide"
    published("methane flame of 4.2 kW", source, expected=0.36, computed=found, relative=0.15, unit="m")


def test_heskestad_by_hand(published: Published) -> None:
    """0.235 * 20^0.4 = 0.77889, less 1.02 * 0.1 and 1.02 * 0.2."""
    for diameter_m in (0.1, 0.2):
        found, expected = round_flame_length_m(20e3, diameter_m), 0.77889 - 1.02 * diameter_m
        what = f"round flame of 20 kW on {diameter_m} m"
        published(what, "Heskestad, by hand", expected=expected, computed=found, absolute=1e-4, unit="m")


def test_a_wide_weak_fire_has_no_length() -> None:
    """0.235 * 1^0.4 = 0.235 is less than 1.02 * 1."""
    assert round_flame_length_m(1000, 1.0) == 0.0


@given(length_m=st.floats(0.01, 3.0), burner_m=st.floats(0.05, 2.0), wall=st.booleans())
def test_line_round_trip(length_m: float, burner_m: float, wall: bool) -> None:
    power_W = line_flame_power_W(length_m, burner_m, wall)
    if power_W <= 1e6:
        assert line_flame_length_m(power_W, burner_m, wall) == pytest.approx(length_m, rel=1e-9)


@given(length_m=st.floats(0.01, 2.5), diameter_m=st.floats(0.02, 1.0))
def test_round_round_trip(length_m: float, diameter_m: float) -> None:
    power_W = round_flame_power_W(length_m, diameter_m)
    if power_W <= 1e6:
        assert round_flame_length_m(power_W, diameter_m) == pytest.approx(length_m, rel=1e-7)


def test_spread_of_seven_correlations() -> None:
    """2.55 and 3.98 over Heskestad's own 3.7 * 1^0.4 - 1.02 at Q* = 1 (firemodels experiment archive)."""
    assert pytest.approx((2.55 / (3.7 - 1.02), 3.98 / (3.7 - 1.02)), rel=1e-9) == LENGTH_SPREAD


def test_power_band_by_hand(published: Published) -> None:
    """A line's power goes with length^1.5: 1.4851^-1.5 = 0.5526 and 0.9515^-1.5 = 1.0775 of the middle."""
    middle = line_flame_power_W(0.4, 0.5)
    band = power_band_W(0.4, lambda length: line_flame_power_W(length, 0.5))
    source = "seven correlations (firemodels archive), by hand"
    for end, expected, found in zip(("lower", "upper"), (0.5526, 1.0775), band, strict=True):
        what = f"{end} end of the power read off a line flame, over the middle"
        published(what, source, expected=expected, computed=found / middle, relative=1e-3)


@pytest.mark.parametrize("gas", ["propane", "methane"])
def test_radiant_constants_are_the_least_squares_fit(published: Published, gas: str) -> None:
    loading, measured = table(gas)
    fit, _ = curve_fit(lambda q, most, scale: most * -np.expm1(-q / scale), loading, measured, (0.25, 1.5e5))
    for which, expected, found in zip(("most", "scale"), fit, RADIANT[gas], strict=True):
        published(
            f"radiant share by loading, {gas}: {which}",
            "least squares (SciPy) on NIST TN 1926",
            expected=expected if which == "most" else expected / 1000,
            computed=found if which == "most" else found / 1000,
            relative=0.003,
            unit="" if which == "most" else "kW/m²",
        )
    assert RADIANT["natural_gas"] == RADIANT["methane"]


KINDS = {"propane": "propane", "methane": "methane and natural gas"}
LOADING_ALONE = (
    "fires of one loading on burners of other widths differ by that among themselves; loading alone cannot "
    "tell them apart"
)


def rms_of(off: Array) -> float:
    return math.sqrt(np.mean(off**2))


@pytest.mark.parametrize(("gas", "beyond", "rms"), [("propane", 3, 0.13), ("methane", 8, 0.28)])
def test_radiant_fractions_against_the_measured(
    published: Published, gas: str, beyond: int, rms: float
) -> None:
    """How many of 14 fires lie beyond the stated 17 %.

    Propane: 0.353 m at 15.6 kW (+24 %), 34 kW (-20 %) and 125 kW (+23 %). Methane and natural gas: most of
    them, 0.10 m low (-46, -24 %), 0.353 m high at 6.7 to 27 kW (+27 to +53 %) and low at 145 kW (-19 %),
    1.00 m low at 49 kW (-26 %): at one loading the narrow and the widest burner shine twice as much as the
    middle one, which no law of loading alone can follow.
    """
    loading, measured = table(gas)
    off = np.array([radiant_fraction(gas, q) for q in loading]) / measured - 1
    assert np.count_nonzero(abs(off) > 0.17) == beyond
    assert rms_of(off) == pytest.approx(rms, abs=0.01)
    published(
        f"radiant share of 14 fires of {KINDS[gas]}, off by (rms)",
        "Hamins, NIST TN 1926 (its own k=2)",
        expected=(0.0, 17.0),
        computed=100 * rms_of(off),
        unit="%",
        missed=LOADING_ALONE if gas == "methane" else "",
    )
    light = (loading < 300e3) & (gas == "methane")
    for kind, pick in (("lowest", np.argmin), ("highest", np.argmax)):
        if light.any():
            worst = float(off[light][pick(off[light])]) + 1
            published(
                f"radiant share of {KINDS[gas]} on lightly loaded burners over measured, {kind}",
                "Hamins, NIST TN 1926 (its own k=2)",
                expected=1.0,
                computed=worst,
                relative=0.17,
                missed=LOADING_ALONE,
            )


def test_wood_shines_within_the_quoted(published: Published) -> None:
    """Red oak: 4.6 of 12.4 kJ/g is radiated, 0.37; flames over logs 0.3 to 0.4 (both from memory)."""
    found, what = radiant_fraction("wood", 3e5), "radiant share of a log fire"
    published(what, "Tewarson, red oak (from memory)", expected=(0.3, 0.4), computed=found)


@given(low=st.floats(0, 1e7), more=st.floats(0, 1e7), gas=st.sampled_from(["propane", "methane"]))
def test_a_heavier_loaded_burner_shines_no_less(low: float, more: float, gas: str) -> None:
    assert 0 <= radiant_fraction(gas, low) <= radiant_fraction(gas, low + more) < 1


def test_unknown_fuel_and_impossible_flames() -> None:
    with pytest.raises(KeyError, match="peat"):
        radiant_fraction("peat", 1e5)
    with pytest.raises(PhysicalRangeError, match="loading_W_m2"):
        radiant_fraction("propane", -1.0)
    with pytest.raises(PhysicalRangeError, match="power_W"):
        round_flame_length_m(math.nan, 0.1)
    with pytest.raises(PhysicalRangeError, match="length_m"):
        line_flame_power_W(-0.1, 0.5)
    with pytest.raises(PhysicalRangeError, match="shares"):
        emitted_below(np.array([1.1]))


def emission_profile(count: int) -> Array:
    """Relative emission of equal stretches of the flame's length."""
    return np.diff(emitted_below(np.linspace(0.0, 1.0, count + 1))) * count


def test_half_the_emission_by_hand(published: Published) -> None:
    """Rising as 2 x / 0.75 up to 0.75: x^2 / 0.75, half at sqrt(0.375) = 0.6124; falling to 0 at 1."""
    at = np.array([0.0, 0.6123724, 0.75, 0.9, 1.0])
    for height, expected, found in zip(at, (0, 0.5, 0.75, 0.96, 1), emitted_below(at), strict=True):
        what = "share of a flame's light from below a height"
        published(what, "by hand", expected=expected, computed=found, absolute=1e-6, at=f"{height:g} of it")


def test_emission_profile_is_the_published_one(published: Published) -> None:
    """Hankinson and Lowesmith's weights for N = 400 points: j up to n = 0.75 N, then
    n - (n - 1) / (N - (n + 1)) (j - (n + 1)), scaled to a mean of 1; ours is their limit for many points."""
    count, waist = 400, 300
    j = np.arange(1, count + 1, dtype=float)
    weights = np.where(j <= waist, j, waist - (waist - 1) / (count - (waist + 1)) * (j - (waist + 1)))
    ours = emission_profile(count)
    assert ours.mean() == pytest.approx(1.0, rel=1e-4)
    theirs = weights / weights.mean()
    worst = int(np.argmax(abs(ours - theirs)))
    published(
        "emission along a flame, 400 points, mean 1",
        "Hankinson and Lowesmith",
        expected=theirs[worst],
        computed=ours[worst],
        absolute=0.02,
        at="where farthest off",
    )


def ratios(name: str, even: bool = False) -> tuple[Array, Array]:
    """Predicted over measured on the floor and on the line: points on the axis that shine all round."""
    gas, diameter_m, power_kW, line_m, floor, line = BURNERS[name]
    chi = radiant_fraction(gas, power_kW * 1000 / (math.pi * diameter_m**2 / 4))
    shares = (np.arange(400) + 0.5) / 400
    z_m = shares * round_flame_length_m(power_kW * 1000, diameter_m)
    profile = np.ones(400) if even else emission_profile(400)
    kW_sr = profile / 400 * chi * power_kW / (4 * math.pi)
    on_floor = [np.sum(kW_sr * z_m / (r * r + z_m**2) ** 1.5) / q for r, q in floor.items()]
    on_line = [np.sum(kW_sr * line_m / (line_m**2 + (z_m - z) ** 2) ** 1.5) / q for z, q in line.items()]
    return np.array(on_floor), np.array(on_line)


def all_ratios(even: bool = False) -> Array:
    return np.concatenate([part for name in BURNERS for part in ratios(name, even)])


def test_profile_nears_four_open_burners_better_than_an_even_one() -> None:
    """Root mean square of predicted/measured - 1 over 45 gauges, and over those within 0.15 m of the axis."""
    assert np.mean((all_ratios() - 1) ** 2) < 0.6 * np.mean((all_ratios(even=True) - 1) ** 2)
    for name in ("P3", "P6"):
        near, even = ratios(name)[0][:2], ratios(name, even=True)[0][:2]
        assert np.all(abs(near - 1) < abs(even - 1))


TIP = "gases above the flame's tip still shine; ours ends at 0.53 m"


def state_fluxes(published: Published, how: str, together: Array) -> None:
    what, source = "flux at 45 gauges round four open gas fires", "Hamins, NIST TN 1926"
    mean = math.exp(np.mean(np.log(together)))
    published(f"{what}, {how}: geometric mean", source, expected=1.0, computed=mean, absolute=0.2)
    share = 100 * rms_of(together - 1)
    published(f"{what}, {how}: rms", source, expected=(0, 35), computed=share, unit="%")


def test_fluxes_of_four_open_burners(published: Published) -> None:
    """The source's spread justifies 35 % for a point and 20 % for the geometric mean of simple flames.

    Beyond 35 %: P3's highest gauge (0.42 at z = 1.33 m, where our flame ends at 0.53 m) and the floor of
    natural gas M11 at r = 0.457 and 0.692 m (1.35, 1.48), where the radiant fraction comes out at 0.165
    against 0.129 measured.
    """
    together = all_ratios()
    state_fluxes(published, "points on the flame's axis", together)
    assert np.count_nonzero(abs(together - 1) > 0.35) == 3
    for name in ("P6", "P17"):
        np.testing.assert_allclose(np.concatenate(ratios(name)), 1.0, atol=0.35)
    loading = "radiant share 0.165 by loading, 0.129 measured"
    for name, where, number, place, cause in (
        ("P3", 1, 5, "highest gauge beside a free propane fire (P3, z = 1.33 m)", TIP),
        ("M11", 0, 3, "stone 0.46 m from a free natural gas fire (M11)", loading),
        ("M11", 0, 4, "stone 0.69 m from a free natural gas fire (M11)", loading),
    ):
        published(
            f"{place}, over measured",
            "Hamins, NIST TN 1926",
            expected=1.0,
            computed=ratios(name)[where][number],
            absolute=0.35,
            missed=cause,
        )
