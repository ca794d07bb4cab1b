"""Whatever oven is written, it is refused with findings or becomes a design that lies on its hearth."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hearthtide.errors import Finding
from hearthtide.house.models import ZonesFile
from hearthtide.house.oven_checks import check_oven, longest_ribbon_m
from hearthtide.house.oven_design import burner_shares, design_of
from hearthtide.house.oven_file import BurnerFile, OvenFile
from hearthtide.house.places import Outline, spots_of
from hearthtide.house.yaml_lines import Document
from hearthtide.oven.hearth import RectangularHearth, RoundHearth

LAYERS = [{"material": "fireclay", "thickness": "50 mm"}]


def lengths(low_cm, high_cm):
    return st.integers(low_cm, high_cm).map(lambda cm: f"{cm} cm")


burners = st.fixed_dictionaries(
    {"kind": st.sampled_from(["ribbon", "cluster", "bed", "under"])},
    optional={
        "bearing": st.integers(-180, 180).map(lambda deg: f"{deg} deg"),
        "standoff": lengths(0, 60),
        "length": lengths(5, 150),
        "breadth": lengths(1, 10),
        "diameter": lengths(5, 60),
        "share": st.integers(1, 100).map(lambda percent: f"{percent} %"),
    },
)
flames = st.tuples(st.integers(1, 60), st.integers(1, 130)).map(
    lambda kW: [{"name": "low", "power": f"{kW[0]} kW"}, {"name": "high", "power": f"{min(kW[1], 120)} kW"}]
)
ovens = st.fixed_dictionaries(
    {
        "name": st.just("Any"),
        "shape": st.sampled_from(["round", "rectangular"]),
        "mouth_width": lengths(20, 120),
        "mouth_height": lengths(10, 60),
        "floor": st.just(LAYERS),
        "dome": st.just(LAYERS),
        "fuel": st.sampled_from(["natural_gas", "propane", "wood"]),
        "burners": st.lists(burners, min_size=1, max_size=4),
        "flames": flames,
        "floor_band": st.just({"low": "330 C", "high": "360 C"}),
    },
    optional={
        "diameter": lengths(60, 250),
        "width": lengths(40, 300),
        "depth": lengths(40, 300),
        "crown": st.sampled_from(["dome", "barrel", "flat"]),
        "wall_height": lengths(0, 60),
        "crown_rise": lengths(0, 150),
        "moisture": st.just("20 %"),
    },
)


def angles(low_deg, high_deg):
    return st.integers(low_deg, high_deg).map(lambda deg: f"{deg} deg")


fires = st.fixed_dictionaries(
    {
        "kind": st.just("ribbon"),
        "bearing": angles(-100, 100),
        "standoff": lengths(4, 15),
        "length": lengths(10, 60),
    }
) | st.fixed_dictionaries(
    {
        "kind": st.just("cluster"),
        "bearing": angles(-100, 100),
        "standoff": lengths(10, 50),
        "diameter": lengths(6, 20),
    }
)
shapes = st.fixed_dictionaries(
    {"shape": st.just("round"), "diameter": lengths(80, 160), "crown_rise": lengths(30, 60)}
) | st.fixed_dictionaries(
    {
        "shape": st.just("rectangular"),
        "width": lengths(80, 160),
        "depth": lengths(80, 160),
        "crown": st.sampled_from(["barrel", "dome"]),
        "wall_height": lengths(15, 40),
        "crown_rise": lengths(10, 40),
    }
)
likely = st.builds(
    lambda shape, own, burners, below: (
        own
        | shape
        | {"burners": burners + below, "fuel": "propane", "mouth_width": "40 cm", "mouth_height": "20 cm"}
        | {"flames": [{"name": "low", "power": "5 kW"}, {"name": "high", "power": "30 kW"}]}
    ),
    shapes,
    st.just(
        {"name": "Any", "floor": LAYERS, "dome": LAYERS, "floor_band": {"low": "330 C", "high": "360 C"}}
    ),
    st.lists(fires, min_size=1, max_size=3),
    st.just([]) | st.just([{"kind": "under", "share": "25 %"}]),
)


@settings(max_examples=300, deadline=None)
@given(ovens | likely)
def test_an_oven_is_refused_or_becomes_a_design(data):
    oven = OvenFile.model_validate(data)
    found = list(check_oven(oven, Document("oven.yaml", {})))
    assert all(isinstance(finding, Finding) and finding.expected and finding.remedy for finding in found)
    assert len(set(found)) == len(found)
    if found:
        return
    design = design_of(oven)
    assert sum(burner.share for burner in design.burners) == pytest.approx(1.0, abs=2e-6)
    for burner in design.fires:
        rim = burner.breadth_m / 2 - 1e-6
        room = float(design.hearth.room_m(design.flame_path_m(burner)).min())
        assert room >= (0.0 if burner.kind == "ribbon" else rim)
    for spot in spots_of(design, ZonesFile(), Outline(0.0, 0.0, 0.15))[::40]:
        assert float(design.hearth.room_m(np.array([spot.x_m, spot.y_m]))) >= 0.15
        away = float(design.flame_distance_m(np.array([[spot.x_m, spot.y_m]]))[0])
        assert math.isclose(spot.flame_m, away - 0.15, abs_tol=1e-9)


@given(
    st.lists(st.tuples(st.sampled_from(["ribbon", "cluster"]), st.floats(0.05, 3.0)), min_size=1, max_size=4)
)
def test_shares_add_up_and_ribbons_share_by_length(some):
    written = tuple(
        BurnerFile.model_validate(
            {"kind": kind, "length" if kind == "ribbon" else "diameter": f"{size:.4f} m"}
        )
        for kind, size in some
        if kind == "ribbon" or size < 1.0
    )
    assume(written)
    shares = burner_shares(written)
    assert sum(shares) == pytest.approx(1.0, abs=1e-12)
    per_metre = [s / b.length for s, b in zip(shares, written, strict=True) if b.length]
    assert per_metre == pytest.approx([per_metre[0]] * len(per_metre) if per_metre else [])
    assert all(
        s == pytest.approx(1 / len(written)) for s, b in zip(shares, written, strict=True) if not b.length
    )


@given(
    st.floats(0.5, 3.0),
    st.floats(0.5, 3.0),
    st.floats(0.0, 0.2),
    st.floats(0.2, 0.8),
    st.floats(-179.0, 179.0),
)
def test_the_longest_ribbon_in_a_box_ends_where_the_mouth_begins(width, depth, standoff, mouth, bearing):
    """The line itself is walked here: its nearer end stands at the mouth's edge, or in the front corner."""
    hearth, mouth_m = RectangularHearth(width, depth), mouth * width
    length = longest_ribbon_m(hearth, bearing, standoff, mouth_m)
    assume(length > 0.01)
    side = 1.0 if bearing >= 0 else -1.0
    (end,) = hearth.along_wall_m(bearing, standoff, np.array([side * length / 2]))
    edge = min(mouth_m / 2, width / 2 - standoff)
    assert end == pytest.approx([side * edge, standoff], abs=1e-6)


@given(st.floats(0.6, 2.5), st.floats(0.0, 0.25), st.floats(0.1, 0.8), st.floats(-179.0, 179.0))
def test_the_longest_ribbon_on_a_disc_ends_behind_the_mouths_corner(diameter, standoff, mouth, bearing):
    """Centre, the ribbon's nearer end and the sill's corner lie on one line."""
    hearth = RoundHearth(diameter, sill_m=mouth * diameter)
    length = longest_ribbon_m(hearth, bearing, standoff, hearth.sill_m)
    assume(length > 0.01)
    side = 1.0 if bearing >= 0 else -1.0
    (end,) = hearth.along_wall_m(bearing, standoff, np.array([side * length / 2]))
    x0, y0 = hearth.centre_m
    towards = math.atan2(end[0] - x0, end[1] - y0)
    assert towards == pytest.approx(math.atan2(side * hearth.sill_m / 2 - x0, 0.0 - y0), abs=1e-9)
