"""Random readings, random wishes: nothing is served without what its rule needs, in whatever order."""

from datetime import timedelta
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hearthtide.safety.cooling import cooled
from hearthtide.safety.readings import Reading, can_be
from hearthtide.safety.rule_sets import rule_set, rule_set_names
from hearthtide.safety.states import ARROWS, READY_TO_EAT, SERVED, Lot, NotYet, become
from hearthtide.safety.verdicts import Verdict, cook_verdict, gravest, hold_verdict
from read_by_hand import at

NA = "not applicable"
ANSWERS = ("pass", "fail", "unproven", "not applicable")
PROOFS = sorted({proof for wanted in ARROWS.values() for proof in wanted})
STATES = sorted({state for arrow in ARROWS for state in arrow} | {"discarded"})


@st.composite
def lots_of_readings(draw, point="warmest"):
    """Readings of one lot over a day, at its limits as often as between them."""
    found = []
    for n in range(draw(st.integers(0, 8))):
        unit = draw(st.sampled_from("CF"))
        limits = (
            ("135", "70", "41", "165", "60", "615") if unit == "F" else ("57", "21", "5", "74", "60", "4")
        )
        value = Decimal(draw(st.sampled_from(limits))) + draw(
            st.sampled_from([Decimal(0), Decimal("0.1"), Decimal("-0.1")])
        )
        when = at("8:00") + timedelta(
            minutes=draw(st.sampled_from((0, 1, 60, 119, 120, 121, 240, 359, 360, 361)))
        )
        held = draw(st.sampled_from((0, 15, 120)))
        place = draw(st.sampled_from(("", "thigh")))
        found.append(Reading(f"r{n}", "lot", when, 60, value, unit, point, "probe", "Ben", place, held))
    return tuple(found)


@given(lots_of_readings(), st.randoms(use_true_random=False), st.sampled_from(rule_set_names()))
def test_the_order_of_writing_down_changes_no_verdict(readings, random, name):
    rules = rule_set(name)
    shuffled = list(readings)
    random.shuffle(shuffled)
    for mixed in (tuple(shuffled), readings[::-1]):
        assert cooled(rules, mixed, at("8:00"), at("20:00")) == cooled(
            rules, readings, at("8:00"), at("20:00")
        )
        assert hold_verdict(rules, "cold", mixed) == hold_verdict(rules, "cold", readings)


@given(lots_of_readings(), st.sampled_from(("us-fda-2022", "us-fda-2017", "us-fda-2013")))
def test_cooling_passes_only_on_a_reading_in_time_with_none_too_warm_after_it(readings, name):
    """An oracle of its own: by minutes and degrees, no rule set asked."""
    stages = cooled(rule_set(name), readings, at("8:00"), at("20:00")).stages
    good = sorted((one for one in readings if can_be(one)), key=lambda one: one.at)
    limits = ((Decimal(70), Decimal(21), 120), (Decimal(41), Decimal(5), 360))
    for verdict, (F, C, minutes) in zip(stages, limits, strict=True):
        if not verdict.passes:
            continue
        hottest = {"F": 135, "C": 57}
        starts = []
        for place in {one.place for one in good}:
            own = [one for one in good if one.place == place]
            cooler = [one.at for one in own if one.value < hottest[one.unit]]
            hot = [o.at for o in own if o.value >= hottest[o.unit] and all(o.at < then for then in cooler)]
            starts += [max(hot) if hot else at("8:00")]
        start = min(starts, default=at("8:00"))
        for place in {one.place for one in good if one.at >= start}:
            own = [one for one in good if one.place == place and one.at >= start]
            (shown,) = (one for one in own if one.id in verdict.readings)
            after = [one for one in own if one.at >= shown.at]
            assert shown.at - start <= timedelta(minutes=minutes)
            assert all(one.value <= (F if one.unit == "F" else C) for one in after)


@given(lots_of_readings("coldest"))
def test_poultry_passes_only_if_every_part_s_last_reading_stood_there(readings):
    found = cook_verdict(rule_set("us-fda-2022"), "poultry", readings)
    real = [one for one in readings if can_be(one)]
    last = {place: max(o.at for o in real if o.place == place) for place in {o.place for o in real}}
    ends = [o for o in real if o.at == last[o.place]]
    holds = bool(ends) and all(o.value >= (165 if o.unit == "F" else 74) for o in ends)
    assert found.passes == holds
    assert set(found.readings) <= {one.id for one in real}


@given(lots_of_readings(), lots_of_readings())
def test_more_readings_never_turn_a_fail_in_time_into_a_pass(before, after):
    """A reading above the limit at or after its time has come stays the end of it."""
    later = tuple(
        Reading(
            f"s{one.id}", one.lot, one.at + timedelta(hours=7), 60, one.value, one.unit, one.point, "p", "Ben"
        )
        for one in after
    )
    rules = rule_set("us-fda-2022")
    first = cooled(rules, before, at("8:00"), at("14:30")).stages
    second = cooled(rules, (*before, *later), at("8:00"), at("23:59")).stages
    if all(one.value < (135 if one.unit == "F" else 57) for one in before[:1]):
        for was, now in zip(first, second, strict=True):
            assert not (was.answer == "fail" and now.passes)


VERDICTS = st.builds(Verdict, st.sampled_from(ANSWERS), st.just("R"), st.just("S"), st.just("words"))


@given(
    st.lists(
        st.tuples(st.sampled_from(STATES), st.dictionaries(st.sampled_from(PROOFS), VERDICTS, max_size=6)),
        max_size=12,
    )
)
def test_no_path_of_wishes_serves_what_was_not_proved(wishes):
    """The oracle keeps what was shown on the way and knows nothing of the arrows' table."""
    lot, shown, path = Lot("lot"), [], ["raw"]
    for to, proofs in wishes:
        try:
            lot = become(lot, to, proofs)
        except NotYet:
            continue
        path.append(to)
        shown.append({n for n, one in proofs.items() if one.passes or (n, one.answer) == ("date", NA)})
    proved = set().union(*shown)
    if lot.state in SERVED or lot.state in READY_TO_EAT:
        assert "cooked" in proved
        if "par-cooked" in path:
            assert {"first heat", "first cooling"} <= proved
        if "chilled" in path and path[-1] in SERVED and path[-2] == "chilled":
            assert {"cooling", "date"} <= shown[-1]
    if "discarded" in path:
        assert path[-1] == "discarded"
    if lot.state == "re-heated and served":
        assert "re-heated for one" in shown[-1]
    for before, after in pairwise(path):
        assert not (before == "par-cooked" and after not in ("cooked", "discarded"))


@given(st.lists(VERDICTS, max_size=5))
def test_together_they_are_as_grave_as_the_gravest(verdicts):
    answers = [one.answer for one in verdicts]
    found = gravest(verdicts)
    assert (found == "fail") == ("fail" in answers)
    if found == "pass":
        assert "pass" in answers
        assert not {"fail", "unproven"} & set(answers)


@pytest.mark.parametrize("name", rule_set_names())
def test_without_a_reading_nothing_passes(name):
    rules = rule_set(name)
    assert not any(one.passes for one in cooled(rules, (), at("8:00"), at("20:00")).stages)
    assert not cook_verdict(rules, "poultry", ()).passes
    assert not hold_verdict(rules, "hot", ()).passes
