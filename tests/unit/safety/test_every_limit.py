"""Every number of every rule set, one reading to either side, in both units.

The numbers are written here by hand from the reference on food safety kept beside the project's design
(sections 1.1 to 1.6 and the table of jurisdictions), not read from the sets: a slip in either shows.
"""

from datetime import timedelta
from decimal import Decimal

import pytest

from hearthtide.safety.cooling import cooled
from hearthtide.safety.rule_sets import rule_set, rule_set_names
from hearthtide.safety.rules import Cool
from hearthtide.safety.time_control import Out, time_rules, time_verdict
from hearthtide.safety.verdicts import ToReheat, Verdict, cook_verdict, hold_verdict, reheat_verdict
from read_by_hand import at, read

US = ("us-fda-2022", "us-fda-2017", "us-fda-2013")
STEP = Decimal("0.1")


def both(C):
    """A limit a code states in °C alone, in both units."""
    return (Decimal(C) * 9 / 5 + 32, Decimal(C))


def fda(F, C):
    return (Decimal(F), Decimal(C))


# set, food, (°F, °C), seconds
COOKED = [
    *[(name, "poultry", fda(165, 74), 0) for name in US[:2]],
    ("us-fda-2013", "poultry", fda(165, 74), 15),
    *[(name, "ground", fda(155, 68), 17) for name in US[:2]],
    ("us-fda-2013", "ground", fda(155, 68), 15),
    *[(name, "ground", fda(145, 63), 180) for name in US],
    *[(name, "fish", fda(145, 63), 15) for name in US],
    *[(name, "plant", fda(135, 57), 0) for name in US],
    *[
        (name, "poultry", both(C), held_s)
        for name in ("england-wales-ni", "scotland")
        for C, held_s in ((60, 2700), (65, 600), (70, 120), (75, 30), (80, 6))
    ],
    ("canada-ontario", "poultry", both(74), 15),
    ("canada-ontario", "pork", both(71), 15),
    ("canada-ontario", "fish", both(70), 15),
    ("australia", "poultry", both(75), 0),
    ("new-zealand", "poultry", both(75), 0),
]
HOT = [
    *[(name, fda(135, 57)) for name in US],
    *[(name, both(63)) for name in ("england-wales-ni", "france")],
    *[(name, both(60)) for name in ("canada-ontario", "australia", "new-zealand", "codex")],
]
# Above, not at: the Food Hygiene (Scotland) Regulations 2006, schedule 4, paragraph 2(1)(b).
HOT_ABOVE = [("scotland", both(63))]
COLD = [
    *[(name, fda(41, 5)) for name in US],
    ("england-wales-ni", both(8)),
    *[(name, both(5)) for name in ("australia", "new-zealand")],
    *[(name, both(4)) for name in ("canada-ontario", "codex")],
    ("france", both(3)),
]
# set, where the clock starts, each stage's end and its time from where it counts
COOLED = [
    *[(name, fda(135, 57), [(fda(70, 21), 120, 0), (fda(41, 5), 360, 0)]) for name in US],
    ("canada-ontario", both(60), [(both(20), 120, 0), (both(4), 240, 1)]),
    *[(name, both(60), [(both(21), 120, 0), (both(5), 240, 1)]) for name in ("australia", "new-zealand")],
    ("france", both(63), [(both(10), 120, 0)]),
    ("codex", both(60), [(both(10), 120, 0)]),
]
TO_HOLD = [
    *[(name, fda(165, 74), 15, 120) for name in US],
    *[(name, both(82), 0, None) for name in ("scotland",)],
    ("canada-ontario", both(74), 15, 120),
    ("australia", both(60), 0, 120),
    ("new-zealand", both(75), 0, None),
    ("france", both(63), 0, 60),
    ("codex", both(75), 0, 60),
]
UNITS = pytest.mark.parametrize(("unit", "n"), [("F", 0), ("C", 1)])


@UNITS
@pytest.mark.parametrize(("name", "food", "pair", "held_s"), COOKED)
def test_cooked(name, food, pair, held_s, unit, n):
    rules = rule_set(name)
    assert cook_verdict(rules, food, (read(f"{pair[n]}{unit}", "18:00", held_s=held_s),)).passes
    assert (
        cook_verdict(rules, food, (read(f"{pair[n] - STEP}{unit}", "18:00", held_s=held_s),)).answer == "fail"
    )
    if held_s:
        short = (read(f"{pair[n]}{unit}", "18:00", held_s=held_s - 1),)
        assert cook_verdict(rules, food, short).answer == "fail"


@UNITS
@pytest.mark.parametrize(("name", "pair"), HOT)
def test_kept_hot(name, pair, unit, n):
    assert hold_verdict(rule_set(name), "hot", (read(f"{pair[n]}{unit}", "18:00"),)).passes
    assert hold_verdict(rule_set(name), "hot", (read(f"{pair[n] - STEP}{unit}", "18:00"),)).answer == "fail"


@UNITS
@pytest.mark.parametrize(("name", "pair"), HOT_ABOVE)
def test_kept_hot_above_a_limit_and_not_at_it(name, pair, unit, n):
    assert hold_verdict(rule_set(name), "hot", (read(f"{pair[n] + STEP}{unit}", "18:00"),)).passes
    at_it = hold_verdict(rule_set(name), "hot", (read(f"{pair[n]}{unit}", "18:00"),))
    assert (at_it.answer, "above 63 °C" in at_it.words) == ("fail", True)


@UNITS
@pytest.mark.parametrize(("name", "pair"), COLD)
def test_kept_cold(name, pair, unit, n):
    assert hold_verdict(rule_set(name), "cold", (read(f"{pair[n]}{unit}", "18:00", "warmest"),)).passes
    out = (read(f"{pair[n] + STEP}{unit}", "18:00", "warmest"),)
    assert hold_verdict(rule_set(name), "cold", out).answer == "fail"


@UNITS
@pytest.mark.parametrize(("name", "above", "stages"), COOLED)
def test_cooled_in_time_and_a_minute_late(name, above, stages, unit, n):
    rules = rule_set(name)
    assert len([rule for rule in rules.of(Cool) if rule.starts == "hot"]) == len(stages)
    for k, (_, _, _) in enumerate(stages):
        for late, answer in ((0, "pass"), (1, "fail")):
            found = [read(f"{above[n]}{unit}", "8:00", "warmest")]
            met = [at("8:00")]
            for j, (pair, minutes, since) in enumerate(stages[: k + 1]):
                when = met[-1 if since else 0] + timedelta(minutes=minutes + (late if j == k else 0))
                met.append(when)
                found.append(read(f"{pair[n]}{unit}", when, "warmest"))
            verdicts = cooled(rules, tuple(found), None, at("23:00")).stages
            assert verdicts[k].answer == answer, (name, k, late, verdicts[k])


@UNITS
@pytest.mark.parametrize(("name", "above", "stages"), COOLED)
def test_a_tenth_too_warm_at_the_limit_s_time_is_a_fail_and_no_reading_unproven(name, above, stages, unit, n):
    rules = rule_set(name)
    pair, minutes, _ = stages[0]
    start = read(f"{above[n]}{unit}", "8:00", "warmest")
    then = at("8:00") + timedelta(minutes=minutes)
    warm = (start, read(f"{pair[n] + STEP}{unit}", then, "warmest"))
    assert cooled(rules, warm, None, at("23:00")).stages[0].answer == "fail"
    assert cooled(rules, (start,), None, at("23:00")).stages[0].answer == "unproven"


@UNITS
@pytest.mark.parametrize(("name", "above", "stages"), COOLED)
def test_the_clock_starts_where_it_was_last_hot_or_left_the_heat(name, above, stages, unit, n):
    rules = rule_set(name)
    pair, minutes, _ = stages[0]
    then = at("8:00") + timedelta(minutes=minutes)
    end = read(f"{pair[n]}{unit}", then, "warmest")
    barely = read(f"{above[n] - STEP}{unit}", "8:00", "warmest")
    assert cooled(rules, (barely, end), at("8:00"), at("23:00")).stages[0].passes
    assert cooled(rules, (barely, end), at("7:59"), at("23:00")).stages[0].answer == "fail"
    assert cooled(rules, (barely, end), None, at("23:00")).stages[0].answer == "unproven"


@UNITS
@pytest.mark.parametrize(("name", "pair", "held_s", "within"), TO_HOLD)
def test_re_heated_to_be_kept_hot(name, pair, held_s, within, unit, n):
    passed = Verdict("pass", "", "", "")
    lot = ToReheat("poultry", True, passed, passed, at("8:00"))
    then = at("8:00") + timedelta(minutes=within or 30)
    rules = rule_set(name)
    assert reheat_verdict(rules, "hold", lot, (read(f"{pair[n]}{unit}", then, held_s=held_s),)).passes
    cool = (read(f"{pair[n] - STEP}{unit}", then, held_s=held_s),)
    assert reheat_verdict(rules, "hold", lot, cool).answer == "fail"
    if within:
        slow = (read(f"{pair[n]}{unit}", then + timedelta(minutes=1), held_s=held_s),)
        assert reheat_verdict(rules, "hold", lot, slow).answer == "fail"


@pytest.mark.parametrize("name", US)
@pytest.mark.parametrize(
    ("value", "answer"),
    [
        ("41F", "pass"),
        ("41.1F", "fail"),
        ("5C", "pass"),
        ("5.1C", "fail"),
        ("135F", "pass"),
        ("134.9F", "fail"),
        ("57C", "pass"),
        ("56.9C", "fail"),
    ],
)
def test_where_time_alone_may_begin(name, value, answer):
    rule = time_rules(rule_set(name))[0]
    out = Out(at("17:00"), at("21:00"), procedure=True)
    assert time_verdict(rule, out, (read(value, "17:00"),), at("21:00")).answer == answer


@pytest.mark.parametrize("name", US)
@pytest.mark.parametrize(
    ("value", "answer"), [("70F", "pass"), ("70.1F", "fail"), ("21C", "pass"), ("21.1C", "fail")]
)
def test_six_hours_from_the_cold_are_never_above_70_F(name, value, answer):
    rule = time_rules(rule_set(name))[1]
    out = Out(at("10:00"), at("16:00"), procedure=True)
    readings = (read("41F", "10:00", "warmest"), read(value, "13:00", "warmest"))
    assert time_verdict(rule, out, readings, at("16:00")).answer == answer
    assert time_verdict(rule, out, readings[:1], at("16:00")).answer == "unproven"


def test_every_set_is_tried_here():
    tried = {row[0] for table in (COOKED, HOT, HOT_ABOVE, COLD, COOLED, TO_HOLD) for row in table}
    assert tried == set(rule_set_names())
