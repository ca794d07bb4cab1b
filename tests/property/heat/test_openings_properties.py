from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from hearthtide.heat.openings import (
    MouthFlow,
    layer_flow,
    mixed_flow_kg_s,
    mouth_flow,
    neutral_m,
    plume_kg_s,
    two_layer_flow,
)


@dataclass(frozen=True)
class Case:
    width_m: float
    height_m: float
    room_C: float
    lower_C: float
    upper_C: float
    convective_W: float
    flame_length_m: float
    burner_z_m: float
    entrainment: float
    fuel_kg_s: float
    flue_kg_s: float
    discharge: float

    def solved(self, **change: float) -> MouthFlow:
        return mouth_flow(**(vars(self) | change))

    def neutral_at(self, interface_m: float) -> float:
        gases = self.room_C, self.lower_C, self.upper_C
        size = self.width_m, self.height_m, interface_m
        return neutral_m(*size, *gases, self.fuel_kg_s, self.flue_kg_s, self.discharge)

    def flows_at(self, interface_m: float, neutral: float) -> tuple[float, float, float]:
        gases = self.room_C, self.lower_C, self.upper_C
        return layer_flow(self.width_m, self.height_m, interface_m, neutral, *gases, self.discharge)

    def plume_at(self, interface_m: float) -> float:
        height_m = interface_m - self.burner_z_m
        return self.entrainment * plume_kg_s(self.convective_W, self.flame_length_m, height_m)


@st.composite
def cases(draw: st.DrawFn, burning: bool = False) -> Case:
    """Any oven; `burning`: with a fire, no layer colder than the room, and at most a small flue."""
    # Temperatures to a millikelvin: two densities that agree in all their digits leave nothing to compare.
    room_C = round(draw(st.floats(0, 40)), 3)
    lower_C = round(draw(st.floats(room_C if burning else 0, 600) | st.just(room_C)), 3)
    coldest_C = lower_C + 1 if burning else lower_C
    height_m = draw(st.floats(0.1, 2.0))
    nothing = st.nothing() if burning else st.just(0.0)
    return Case(
        width_m=draw(st.floats(0.1, 2.0)),
        height_m=height_m,
        room_C=room_C,
        lower_C=lower_C,
        upper_C=round(draw(st.floats(coldest_C, 1200) | st.just(coldest_C)), 3),
        convective_W=draw(st.floats(100, 1e5) | nothing),
        flame_length_m=draw(st.floats(0.05, 2.0)),
        burner_z_m=draw(st.floats(0, 0.3)),
        entrainment=draw(st.floats(0.1, 3) | nothing),
        fuel_kg_s=draw(st.floats(1e-9, 0.003) | st.just(0.0)),
        flue_kg_s=draw(st.floats(1e-9, 0.005 if burning else 0.3) | st.just(0.0)),
        discharge=draw(st.floats(0.6, 0.8)),
    )


@given(case=cases())
def test_as_much_leaves_as_comes_in(case: Case) -> None:
    flow = case.solved()
    gained = flow.inflow_kg_s + case.fuel_kg_s
    lost = flow.outflow_lower_kg_s + flow.outflow_upper_kg_s + case.flue_kg_s
    assert gained == pytest.approx(lost, rel=1e-9, abs=1e-12)


@given(case=cases())
def test_neither_layer_grows_or_shrinks(case: Case) -> None:
    """What the lower layer gains, the plume takes; at the soffit the flue takes what is over."""
    flow = case.solved()
    taken = flow.plume_kg_s
    if flow.interface_m == case.height_m:
        taken = max(taken, case.flue_kg_s - case.fuel_kg_s)
    assume(flow.interface_m > 0)
    net = flow.inflow_kg_s - flow.outflow_lower_kg_s
    assert net == pytest.approx(taken, rel=1e-9, abs=1e-9 * (flow.inflow_kg_s + case.fuel_kg_s) + 1e-12)


def test_the_search_ends_at_the_root_in_twenty_thousand_ovens() -> None:
    """Rare shapes that a hundred examples do not meet; the same balances."""
    rng = np.random.default_rng(20)
    for _ in range(20_000):
        room, lower, spread = rng.uniform(0, 40), rng.uniform(0, 600), rng.uniform(0, 600)
        lower = room if rng.random() < 0.5 else lower
        size = rng.uniform(0.1, 2), rng.uniform(0.1, 2)
        gases = room, lower, lower + (spread if rng.random() < 0.7 else 0.0)
        fire = rng.uniform(100, 1e5), rng.uniform(0.05, 2), rng.uniform(0, 0.3), rng.uniform(0, 3)
        fuel, flue = (rng.uniform(0, most) if rng.random() < 0.5 else 0.0 for most in (0.003, 0.3))
        interface, _, inflow, low, high, plume = two_layer_flow(*size, *gases, *fire, fuel, flue, 0.69)
        assert abs(inflow + fuel - low - high - flue) <= 1e-9 * (inflow + fuel)
        if 0 < interface < size[1]:
            assert abs(inflow - low - plume) <= 1e-9 * (inflow + fuel)


@given(case=cases())
def test_heights_lie_in_the_opening_and_flows_have_one_sign(case: Case) -> None:
    flow = case.solved()
    assert 0 <= flow.interface_m <= case.height_m
    assert 0 <= flow.neutral_m <= case.height_m
    assert min(flow.inflow_kg_s, flow.outflow_lower_kg_s, flow.outflow_upper_kg_s, flow.plume_kg_s) >= 0


@given(case=cases(burning=True), share=st.floats(0.02, 0.98))
def test_the_interface_is_the_only_height_where_the_upper_layer_is_steady(case: Case, share: float) -> None:
    """Under it more would leave the upper layer than comes, over it less."""
    flow = case.solved()
    tried = share * case.height_m
    assume(abs(tried - flow.interface_m) > 1e-3 * case.height_m and 0 < flow.interface_m < case.height_m)
    neutral = case.neutral_at(tried)
    assume(0 < neutral < case.height_m)
    upper = case.flows_at(tried, neutral)[2]
    surplus = upper + case.flue_kg_s - case.fuel_kg_s - case.plume_at(tried)
    assert surplus * (flow.interface_m - tried) > 0


@given(case=cases())
def test_flows_are_those_of_the_neutral_height(case: Case) -> None:
    """To 1 ug/s: a neutral height a hair above the interface has no digits left for less."""
    flow = case.solved()
    assume(0 < flow.neutral_m < case.height_m)
    again = case.flows_at(flow.interface_m, flow.neutral_m)
    assert again == pytest.approx(
        (flow.inflow_kg_s, flow.outflow_lower_kg_s, flow.outflow_upper_kg_s),
        rel=1e-5,
        abs=1e-6 * (flow.inflow_kg_s + case.fuel_kg_s) + 1e-9,
    )


@given(case=cases(burning=True), more=st.floats(1.01, 3))
def test_a_greedier_plume_never_lifts_the_interface(case: Case, more: float) -> None:
    greedy = case.solved(entrainment=min(case.entrainment * more, 5))
    assert greedy.interface_m <= case.solved().interface_m + 1e-6 * case.height_m


@given(case=cases(), step_K=st.floats(0, 1e-6))
def test_nearly_equal_densities_are_no_edge(case: Case, step_K: float) -> None:
    """A lower layer a hair warmer than the room adds at most what it would exchange through the whole
    opening, which grows with the root of the difference.
    """
    upper_C = case.lower_C + 50 + case.room_C
    flow = case.solved(upper_C=upper_C, lower_C=case.room_C)
    beside = case.solved(upper_C=upper_C, lower_C=case.room_C + step_K)
    size = case.width_m, case.height_m
    own = mixed_flow_kg_s(*size, case.room_C + step_K, case.room_C, case.discharge)
    assert beside.inflow_kg_s == pytest.approx(flow.inflow_kg_s, rel=1e-5, abs=2 * own + 1e-9)
