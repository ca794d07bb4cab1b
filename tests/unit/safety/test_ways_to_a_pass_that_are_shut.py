"""Ways to a pass that must not be one, each of them tried on these rules."""

from datetime import date, timedelta

import pytest

from hearthtide.safety.claims import SAID_INSTEAD, Evidence, claim
from hearthtide.safety.cooling import cooled
from hearthtide.safety.dates import Frozen, Kept, date_verdict
from hearthtide.safety.readings import Limit
from hearthtide.safety.rule_sets import NoSuchRules, overridden, rule_set, rule_set_names
from hearthtide.safety.rules import Cook, Hold, Line, Override
from hearthtide.safety.states import Lot, NotYet, become
from hearthtide.safety.time_control import Out, time_rules, time_verdict
from hearthtide.safety.verdicts import ToReheat, Verdict, hold_verdict, out_for, reheat_verdict
from read_by_hand import at, read

FDA = rule_set("us-fda-2022")
PASSED = Verdict("pass", "", "", "")
NONE_APPLIES = Verdict("not applicable", "", "", "not judged")
TODAY = date(2026, 6, 2)
OWN = Override("Ana", TODAY, "the city's adoption")


@pytest.mark.parametrize("purpose", ["one order", "hold"])
@pytest.mark.parametrize("name", rule_set_names())
def test_heat_from_before_it_left_the_cold_re_heats_nothing(name, purpose):
    lot = ToReheat("poultry", True, PASSED, PASSED, at("18:00"))
    early = (read("95C", "12:00", held_s=3000),)
    found = reheat_verdict(rule_set(name), purpose, lot, early)
    assert not found.passes or "any temperature" in found.words


def test_cooling_that_nobody_judged_is_no_cooling():
    lot = ToReheat("poultry", True, NONE_APPLIES, PASSED, at("18:00"))
    assert reheat_verdict(FDA, "one order", lot, ()).answer == "unproven"
    with pytest.raises(NotYet, match="cooling: not applicable"):
        become(Lot("wings", "cooling"), "chilled", {"cooling": NONE_APPLIES})


def test_one_part_that_is_cold_does_not_stand_for_one_that_is_not():
    """3-501.14: all of it."""
    birds = (
        read("140F", "12:00", "warmest", place="thigh"),
        read("140F", "12:00", "warmest", place="breast"),
        read("50F", "13:30", "warmest", place="thigh"),
        read("41F", "13:31", "warmest", place="breast"),
    )
    first, second = cooled(FDA, birds, None, at("20:00")).stages
    assert (first.passes, second.passes) == (True, False)
    assert len(first.readings) == 2


def test_a_night_without_a_reading_is_not_kept_hot():
    evening, morning = read("138F", at("18:00")), read("138F", at("32:00"))
    assert hold_verdict(FDA, "hot", (evening, morning)).answer == "unproven"
    assert hold_verdict(FDA, "hot", (evening, read("138F", at("22:00")))).passes


def test_air_or_another_part_does_not_end_a_time_out_of_the_cold():
    warm = read("10C", "6:00", "warmest")
    for point in ("air", "coldest", "surface"):
        assert out_for(FDA, "cold", (warm, read("3C", "11:00", point)), at("12:00")) == timedelta(hours=6)


def own_hold(id, F=140):
    words = {"section": "city code", "severity": "block", "known": "seen", "words": "own", "override": OWN}
    return Hold(id=id, side="hot", limit=Limit(F=F, C=60), **words)


def test_own_rules_replace_what_they_are_about_and_nothing_else():
    strict = overridden(FDA, (own_hold("HH1H"),))
    assert hold_verdict(strict, "hot", (read("136F", "18:00"),)).answer == "fail"
    for wrong, words in (
        ((own_hold("OURS"),), "HH1H, HH1C"),
        ((own_hold("HH1H"), own_hold("HH1H", 101)), "one id"),
        ((own_hold("CK1"),), "not about"),
        ((own_hold("HH1C"),), "not about"),
    ):
        with pytest.raises(NoSuchRules, match=words):
            overridden(FDA, wrong)
    words = {"section": "city code", "severity": "block", "known": "seen", "words": "own", "override": OWN}
    less = Cook(id="CK1", foods=("poultry",), lines=(Line(Limit(F=165, C=74)),), **words)
    with pytest.raises(NoSuchRules, match="leaves out foods"):
        overridden(FDA, (less,))


MARKED = Out(at("17:00"), at("21:00"), procedure=True)
EARLIER = Out(at("17:00"), at("19:00"), procedure=True)


@pytest.mark.parametrize(
    ("out", "reading", "now", "answer"),
    [
        (MARKED, read("40F", at("17:00") - timedelta(days=3)), "18:00", "unproven"),
        (MARKED, read("40F", "16:59", "air"), "18:00", "unproven"),
        (MARKED, read("40F", "16:59"), "16:00", "unproven"),
        (Out(at("17:00"), at("16:00"), procedure=True), read("40F", "16:59"), "18:00", "fail"),
        (EARLIER, read("40F", "16:59"), "19:01", "fail"),
        (EARLIER, read("40F", "16:59"), "19:00", "pass"),
    ],
)
def test_time_alone_begins_and_ends_where_it_says(out, reading, now, answer):
    assert time_verdict(time_rules(FDA)[0], out, (reading,), at(now)).answer == answer


def test_stretches_out_are_not_negative():
    with pytest.raises(ValueError, match="zero or longer"):
        Out(at("17:00"), before=(timedelta(minutes=-5),))


@pytest.mark.parametrize(
    "words",
    ["glutenfree", "gluten\u2011free", "Gluten\u00a0Free", "free from gluten", "zero gluten", "GF pizza",
     "sans gluten", "sin gluten", "senza glutine", "glutenfrei", "coeliac safe", "contains no gluten"],
)  # fmt: skip
def test_no_words_of_a_gluten_claim_pass_without_evidence(words):
    found = claim(words, None, TODAY)
    assert (found.allowed, found.words) == (False, SAID_INSTEAD)


@pytest.mark.parametrize("words", ["contains gluten", "Contiene glutine", SAID_INSTEAD, "Pizza with figs"])
def test_words_that_claim_nothing_are_left_alone(words):
    assert claim(words, None, TODAY).allowed


@pytest.mark.parametrize(
    ("evidence", "allowed"),
    [
        (Evidence("GP-1", "lab 7", date(2026, 5, 1), 5.0), True),
        (Evidence("GP-1", "lab 7", date(2026, 5, 1), 19.9), True),
        (Evidence("GP-1", "lab 7", date(2026, 5, 1), 20.0), False),
        (Evidence("GP-1", "lab 7", date(2026, 5, 1), float("nan")), False),
        (Evidence("GP-1", "lab 7", date(2026, 5, 1), -1.0), False),
        (Evidence("GP-1", "lab 7", date(2099, 5, 1), 5.0), False),
        (Evidence("GP-1", " ", date(2026, 5, 1), 5.0), False),
        (Evidence(" ", "lab 7", date(2026, 5, 1), 5.0), False),
    ],
)
def test_evidence_is_whole_or_none(evidence, allowed):
    """21 CFR 101.91: below 20 ppm."""
    assert claim("gluten-free pizza", evidence, TODAY).allowed == allowed


def test_days_that_cannot_be_are_asked_about():
    assert date_verdict(FDA, Kept(date(2026, 6, 3)), TODAY).answer == "unproven"
    assert date_verdict(FDA, Kept(date(2026, 5, 30), marked=date(2026, 6, 1)), TODAY).answer == "fail"
    with pytest.raises(ValueError, match="before it was frozen"):
        Frozen(date(2026, 6, 3), date(2026, 6, 1))
