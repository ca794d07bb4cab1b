"""Random kitchens, readings and times in them: no arrow is taken that the record does not show by hand."""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hearthtide.safety.readings import Limit
from hearthtide.safety.rule_sets import rule_set
from hearthtide.safety.rules import (
    Cook,
    Cool,
    HeatAgain,
    Hold,
    Line,
    OutOfControl,
    ParCook,
    Parts,
    Reheat,
    RuleSet,
)
from kitchen_of_lots import Kitchen, Unproved

FDA = rule_set("us-fda-2022")


@given(st.integers(0, 2**32), st.sampled_from(("half bird", "pieces", None)))
def test_no_lot_of_a_random_kitchen_goes_on_unproved(seed, piece):
    Kitchen(Random(seed), FDA, piece).run(15)


def weaker(kind, **changed) -> RuleSet:
    """The set with all rules of a kind made too kind."""
    rules = tuple(replace(one, **changed) if isinstance(one, kind) else one for one in FDA.rules)
    return replace(FDA, rules=rules)


@pytest.mark.parametrize(
    ("kind", "changed"),
    [
        (Cook, {"lines": (Line(Limit(F=164, C=73)),)}),
        (Cool, {"within_s": 30000}),
        (Hold, {"limit": Limit(F=134, C=56)}),
        (OutOfControl, {"within_s": 14460}),
        (ParCook, {"first_heat_s": 3660}),
        (Reheat, {"within_s": 7260}),
        (HeatAgain, {"within_s": 7260}),
        (Parts, {"pieces": ()}),
    ],
)
def test_by_a_rule_that_is_too_kind_the_oracle_sees_it(kind, changed):
    kind_set = weaker(kind, **changed)
    with pytest.raises(Unproved):
        for seed in range(2000):
            Kitchen(Random(seed), kind_set).run(15)


def test_random_kitchens_get_far():
    """Else nothing would be tried: lots are chilled, held, on time, and reach a guest."""
    seen = {state for seed in range(600) for state in Kitchen(Random(seed), FDA).run(15)}
    assert seen >= {
        "par-cooked",
        "cooked",
        "chilled",
        "held hot",
        "re-heated and held",
        "time-controlled",
        "served",
    }
