"""Roasts, microwaves, packs, freezing, bringing back on the heat, opened packs: each number, to either side.

The numbers are written here by hand, in both units, not read from the sets. Roasts (3-401.11(B)): the table
of WAC 246-215-03400. Microwaves: 12VAC5-421-710, Delaware 3-403.11(B). Packs: Delaware 3-403.11(C). Fish: WAC
246-215-03425. Time from 70 °F: 2VAC5-585-850. The rest: the project's reference on food safety.
"""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from hearthtide.safety.cooling_acts import Again, Method, heated_through_verdict, method_verdict
from hearthtide.safety.dates import Kept, date_verdict
from hearthtide.safety.packed import (
    Instructions,
    Microwaved,
    instructed_verdict,
    microwave_verdict,
    packed_reheat_verdict,
)
from hearthtide.safety.readings import Limit
from hearthtide.safety.roasts import Roasted, roast_hold_verdict, roast_reheat_verdict, roast_verdict
from hearthtide.safety.rule_sets import rule_set, rule_set_names
from hearthtide.safety.rules import Line
from hearthtide.safety.time_control import Out, time_rules, time_verdict
from hearthtide.safety.undercooked import FrozenFish, Ordered, frozen_verdict, undercooked_verdict
from hearthtide.safety.verdicts import ToReheat, Verdict, cook_verdict, hold_verdict, reheat_verdict
from read_by_hand import at, read

US = ("us-fda-2022", "us-fda-2017", "us-fda-2013")
OTHERS = tuple(name for name in rule_set_names() if name not in US)
STEP = Decimal("0.1")
PASSED = Verdict("pass", "", "", "")
UNITS = pytest.mark.parametrize(("unit", "n"), [("F", 0), ("C", 1)])
EACH_US = pytest.mark.parametrize("name", US)
MIN = 60
# °F, °C, seconds
ROAST_LINES = [
    ("130", "54.4", 112 * MIN), ("131", "55.0", 89 * MIN), ("133", "56.1", 56 * MIN),
    ("135", "57.2", 36 * MIN), ("136", "57.8", 28 * MIN), ("138", "58.9", 18 * MIN),
    ("140", "60.0", 12 * MIN), ("142", "61.1", 8 * MIN),
    ("144", "62.2", 5 * MIN), ("145", "62.8", 4 * MIN), ("147", "63.9", 134), ("149", "65.0", 85),
    ("151", "66.1", 54), ("153", "67.2", 34), ("155", "68.3", 22), ("157", "69.4", 14), ("158", "70.0", 0),
]  # fmt: skip
# oven, weight and its unit, the air in °F and °C
ROAST_OVENS = [
    ("still dry", "9.9", "lb", ("350", "177")), ("still dry", "10", "lb", ("250", "121")),
    ("still dry", "4.4", "kg", ("350", "177")), ("still dry", "4.5", "kg", ("250", "121")),
    ("convection", "9.9", "lb", ("325", "163")), ("convection", "10", "lb", ("250", "121")),
    ("convection", "4.4", "kg", ("325", "163")), ("convection", "4.5", "kg", ("250", "121")),
]  # fmt: skip
# until solid at, then kept at (°F, °C), hours
FREEZING = [
    (None, ("-4", "-20"), 168),
    (("-31", "-35"), ("-31", "-35"), 15),
    (("-31", "-35"), ("-4", "-20"), 24),
]
ROAST = Roasted("still dry", Decimal(6), "lb", at("8:00"), at("10:00"))
OVEN_HOT = tuple(read("400F", f"{hour}:00", "air") for hour in (8, 9, 10))
FOUND = ("half bird", "whole bird")


def off(pair, n, step=Decimal(0)):
    return f"{Decimal(pair[n]) + step}{'FC'[n]}"


@EACH_US
@UNITS
@pytest.mark.parametrize("line", ROAST_LINES, ids=lambda line: line[0])
def test_a_roast_by_every_line_of_its_table(name, line, unit, n):
    """3-401.11(B)."""
    rules, held = rule_set(name), line[2]
    good = read(off(line, n), "10:05", held_s=held)
    assert roast_verdict(rules, ROAST, (*OVEN_HOT, good)).passes
    cool = read(off(line, n, -STEP), "10:05", held_s=held)
    assert roast_verdict(rules, ROAST, (*OVEN_HOT, cool)).answer == "fail"
    if held:
        short = read(off(line, n), "10:05", held_s=held - 1)
        assert roast_verdict(rules, ROAST, (*OVEN_HOT, short)).answer == "fail"


@EACH_US
@UNITS
@pytest.mark.parametrize(("oven", "weight", "weighed", "pair"), ROAST_OVENS)
def test_a_roast_in_an_oven_as_hot_as_its_weight_asks(name, oven, weight, weighed, pair, unit, n):
    """3-401.11(B), the oven."""
    roast = Roasted(oven, Decimal(weight), weighed, at("8:00"), at("9:00"))
    core = read("158F", "9:00")
    for step, answer in ((Decimal(0), "pass"), (-STEP, "fail")):
        air = (read(off(pair, n, step), "7:55", "air"), read(off(pair, n), "8:50", "air"))
        found = roast_verdict(rule_set(name), roast, (*air, core))
        assert (found.answer, found.section) == (answer, "3-401.11(B)")


@EACH_US
def test_a_roast_s_oven_that_nobody_read_is_unproven(name):
    rules, core = rule_set(name), read("158F", "10:00")
    late = (read("400F", "8:01", "air"), read("400F", "9:00", "air"), read("400F", "10:00", "air"))
    gap = (read("400F", "8:00", "air"), read("400F", "9:01", "air"), read("400F", "10:00", "air"))
    warming = (read("300F", "7:40", "air"), *OVEN_HOT)
    assert roast_verdict(rules, ROAST, (*warming, core)).passes, "it was hot as the roast went in"
    twice = (read("300F", "8:00", "air"), *OVEN_HOT)
    assert roast_verdict(rules, ROAST, (*twice, core)).answer == "fail", "the worse of two at once"
    early = (read("400F", "7:29", "air"), *OVEN_HOT[1:])
    for air in ((), late, gap, early):
        assert roast_verdict(rules, ROAST, (*air, core)).answer == "unproven"
    assert roast_verdict(rules, ROAST, OVEN_HOT).answer == "unproven", "no reading of its core"


@EACH_US
@UNITS
def test_a_roast_is_kept_hot_at_130_F_if_it_was_cooked_as_one(name, unit, n):
    """3-501.16(A)(1)."""
    rules = rule_set(name)
    cooked = roast_verdict(rules, ROAST, (*OVEN_HOT, read("158F", "10:00")))
    pair = ("130", "54")
    assert roast_hold_verdict(rules, cooked, (read(off(pair, n), "11:00"),)).passes
    assert roast_hold_verdict(rules, cooked, (read(off(pair, n, -STEP), "11:00"),)).answer == "fail"
    as_meat = cook_verdict(rules, "intact meat", (read("145F", "10:00", held_s=15),))
    assert as_meat.passes
    assert roast_hold_verdict(rules, as_meat, (read(off(pair, n), "11:00"),)).answer == "fail"
    assert hold_verdict(rules, "hot", (read(off(pair, n), "11:00"),)).answer == "fail"


@EACH_US
def test_the_rest_of_a_roast_goes_by_its_own_table_again(name):
    """3-403.11(E)."""
    rules = rule_set(name)
    cooked = roast_verdict(rules, ROAST, (*OVEN_HOT, read("158F", "10:00")))
    lot = ToReheat("whole roast", True, PASSED, PASSED, at("7:30"))
    pink = (*OVEN_HOT, read("130F", "10:00", held_s=112 * MIN))
    found = roast_reheat_verdict(rules, ROAST, cooked, False, lot, pink)
    assert (found.passes, found.section) == (True, "3-403.11(E)")
    assert roast_hold_verdict(rules, found, (read("130F", "11:00"),)).passes
    for sliced, first, answer in ((True, cooked, "fail"), (False, PASSED, "fail")):
        assert roast_reheat_verdict(rules, ROAST, first, sliced, lot, pink).answer == answer
    short = (*OVEN_HOT, read("130F", "10:00", held_s=112 * MIN - 1))
    assert roast_reheat_verdict(rules, ROAST, cooked, False, lot, short).answer == "fail"
    warm = ToReheat("whole roast", True, Verdict("fail", "CL1", "", ""), PASSED, at("7:30"))
    assert roast_reheat_verdict(rules, ROAST, cooked, False, warm, pink).answer == "fail"


def in_two(value, when):
    return (read(value, when, place="edge"), read(value, when, place="middle"))


@EACH_US
@UNITS
@pytest.mark.parametrize("purpose", ["cook", "hold"])
def test_all_parts_out_of_a_microwave_once_it_has_stood(name, purpose, unit, n):
    """3-401.12; 3-403.11(B)."""
    rules, pair = rule_set(name), ("165", "74")
    heated = Microwaved(True, True, at("9:00"), at("8:30"))
    assert microwave_verdict(rules, purpose, heated, in_two(off(pair, n), "9:02")).passes
    cool = microwave_verdict(rules, purpose, heated, in_two(off(pair, n, -STEP), "9:02"))
    assert cool.answer == "fail"
    early = in_two(off(pair, n), at("9:02") - timedelta(seconds=1))
    assert microwave_verdict(rules, purpose, heated, early).answer == "unproven"
    assert microwave_verdict(rules, purpose, heated, (read("180F", "9:02"),)).answer == "unproven"
    for odd in (Microwaved(False, True, at("9:00")), Microwaved(True, False, at("9:00"))):
        assert microwave_verdict(rules, purpose, odd, in_two("180F", "9:02")).answer == "fail"


@EACH_US
def test_a_microwave_for_the_hot_hold_has_two_hours(name):
    """3-403.11(D)."""
    rules = rule_set(name)
    for left, answer in (("7:02", "pass"), ("7:01", "fail")):
        heated = Microwaved(True, True, at("9:00"), at(left))
        assert microwave_verdict(rules, "hold", heated, in_two("165F", "9:02")).answer == answer
    unknown = Microwaved(True, True, at("9:00"))
    assert microwave_verdict(rules, "hold", unknown, in_two("165F", "9:02")).answer == "unproven"


@EACH_US
@UNITS
def test_a_plant_s_food_from_its_pack(name, unit, n):
    """3-403.11(C), (D)."""
    rules, pair = rule_set(name), ("135", "57")
    assert packed_reheat_verdict(rules, True, at("8:00"), (read(off(pair, n), "10:00"),)).passes
    for readings in ((read(off(pair, n, -STEP), "10:00"),), (read(off(pair, n), "10:01"),)):
        assert packed_reheat_verdict(rules, True, at("8:00"), readings).answer == "fail"
    good = (read(off(pair, n), "10:00"),)
    assert packed_reheat_verdict(rules, False, at("8:00"), good).answer == "fail"
    assert packed_reheat_verdict(rules, True, None, good).answer == "unproven"
    assert reheat_verdict(
        rules, "hold", ToReheat("plant", True, PASSED, PASSED, at("8:00")), good
    ).answer == ("fail"), "food of this house needs 165 °F"


def freezer(value, hours):
    """A freezer read twice a day from the hour it is solid."""
    return tuple(read(value, at("8:00") + timedelta(hours=h), "air") for h in range(0, hours + 1, 12))


@EACH_US
@UNITS
@pytest.mark.parametrize(("solid", "kept", "hours"), FREEZING)
def test_fish_frozen_by_each_of_the_ways(name, solid, kept, hours, unit, n):
    """3-402.11(A)."""
    rules = rule_set(name)
    first = () if solid is None else (read(off(solid, n), "7:59", "air"),)
    kept_at = freezer(off(kept, n), hours)
    out = at("8:00") + timedelta(hours=hours)
    assert frozen_verdict(rules, FrozenFish(at("8:00"), out), (*first, *kept_at)).passes
    soon = FrozenFish(at("8:00"), out - timedelta(minutes=1))
    assert not frozen_verdict(rules, soon, (*first, *kept_at)).passes
    warm = (*first, *kept_at[:-1], read(off(kept, n, STEP), out, "air"))
    assert not frozen_verdict(rules, FrozenFish(at("8:00"), out), warm).passes
    if solid is not None:
        slow = (read(off(solid, n, STEP), "7:59", "air"), *kept_at)
        assert not frozen_verdict(rules, FrozenFish(at("8:00"), out), slow).passes


@EACH_US
def test_a_freezer_is_read_every_day_and_its_records_are_kept_for_90(name):
    """3-402.11, 3-402.12."""
    rules, out = rule_set(name), at("8:00") + timedelta(days=7)
    days = freezer("-4F", 168)
    holes = tuple(one for one in days if not at("20:00") <= one.at <= at("8:00") + timedelta(hours=36))
    assert frozen_verdict(rules, FrozenFish(at("8:00"), out), holes).answer == "unproven"
    assert frozen_verdict(rules, FrozenFish(at("8:00"), out), ()).answer == "unproven"
    assert frozen_verdict(rules, FrozenFish(), days).answer == "unproven"
    for kept, answer in ((date(2026, 9, 7), "pass"), (date(2026, 9, 6), "fail")):  # 9 June and 90 days
        fish = FrozenFish(statement="Brackwater 7", served=date(2026, 6, 9), kept_until=kept)
        assert frozen_verdict(rules, fish, ()).answer == answer
    assert frozen_verdict(rules, FrozenFish(exempt="molluscan shellfish"), ()).answer == "not applicable"
    assert frozen_verdict(rules, FrozenFish(exempt="salmon"), ()).answer == "unproven"


@UNITS
@pytest.mark.parametrize("opened", ["cut produce", "opened pack"])
def test_cut_produce_and_opened_packs_on_time_from_70_F(opened, unit, n):
    """3-501.19(B) of the newer text."""
    rule = next(one for one in time_rules(rule_set("us-fda-2022")) if one.id == "TP4")
    pair, out = ("70", "21"), Out(at("10:00"), at("14:00"), procedure=True, opened=opened)
    began, later = read(off(pair, n), "10:00", "warmest"), read(off(pair, n), "12:00", "warmest")
    assert time_verdict(rule, out, (began, later), at("14:00")).passes
    assert time_verdict(rule, out, (began, later), at("14:01")).answer == "fail"
    assert time_verdict(rule, out, (began,), at("14:00")).answer == "unproven"
    for wrong in (
        (read(off(pair, n, STEP), "10:00"), later),
        (began, read(off(pair, n, STEP), "12:00", "warmest")),
    ):
        assert time_verdict(rule, out, wrong, at("14:00")).answer == "fail"
    late = Out(at("10:00"), at("14:01"), procedure=True, opened=opened)
    assert time_verdict(rule, late, (began, later), at("12:30")).answer == "fail", "marked too late"
    other = Out(at("10:00"), at("14:00"), procedure=True)
    assert time_verdict(rule, other, (began, later), at("12:30")).answer == "not applicable"


@pytest.mark.parametrize("name", US[1:])
def test_earlier_editions_have_no_time_from_70_F(name):
    assert all(not rule.only for rule in time_rules(rule_set(name)))


@EACH_US
@pytest.mark.parametrize(
    ("use_by", "today", "answer"),
    [
        (None, date(2026, 6, 8), "pass"),
        (None, date(2026, 6, 9), "fail"),
        (date(2026, 6, 5), date(2026, 6, 5), "pass"),
        (date(2026, 6, 5), date(2026, 6, 6), "fail"),
        (date(2026, 6, 20), date(2026, 6, 9), "fail"),
    ],
)
def test_an_opened_pack_has_seven_days_and_never_more_than_its_maker_gives(name, use_by, today, answer):
    """3-501.17(B): opened on 2 June, that is day 1."""
    marked = min(date(2026, 6, 8), use_by or date(2026, 6, 8))
    kept = Kept(date(2026, 6, 2), marked=marked, opened=True, use_by=use_by)
    found = date_verdict(rule_set(name), kept, today)
    assert (found.answer, found.rule) == (answer, "DM2")


@EACH_US
def test_an_opened_pack_marked_a_day_too_far_is_wrongly_marked(name):
    """3-501.18(A): opened on 2 June, its seventh day is the 8th."""
    for marked, answer in ((date(2026, 6, 8), "pass"), (date(2026, 6, 9), "fail")):
        kept = Kept(date(2026, 6, 2), marked=marked, opened=True)
        assert date_verdict(rule_set(name), kept, date(2026, 6, 5)).answer == answer


@pytest.mark.parametrize("name", rule_set_names())
def test_no_set_passes_what_is_past_its_maker_s_date(name):
    for opened in (True, False):
        kept = Kept(date(2026, 6, 2), marked=date(2026, 6, 3), opened=opened, use_by=date(2026, 6, 3))
        assert not date_verdict(rule_set(name), kept, date(2026, 6, 4)).passes


HOT = read("135F", "14:00", "warmest", place="thigh")
WINGS = Again("poultry", at("16:00"))


@EACH_US
@UNITS
def test_heated_through_again_in_time_and_once(name, unit, n):
    """Agencies' procedures: at or before 2 h, 165 °F for 15 s; within 2 h as other re-heating."""
    rules, pair = rule_set(name), ("165", "74")
    good = read(off(pair, n), "16:40", held_s=15)
    assert heated_through_verdict(rules, WINGS, (HOT, good)).passes
    for reading in (
        read(off(pair, n, -STEP), "16:40", held_s=15),
        read(off(pair, n), "16:40", held_s=14),
        read(off(pair, n), "18:01", held_s=15),
    ):
        assert heated_through_verdict(rules, WINGS, (HOT, reading)).answer == "fail"
    assert heated_through_verdict(rules, WINGS, (HOT, read(off(pair, n), "18:00", held_s=15))).passes
    late = Again("poultry", at("16:01"))
    assert heated_through_verdict(rules, late, (HOT, good)).answer == "fail"
    again = Again("poultry", at("16:00"), begun_anew=True)
    assert heated_through_verdict(rules, again, (HOT, good)).answer == "fail"
    assert heated_through_verdict(rules, WINGS, (good,)).answer == "unproven", "no start of its cooling"
    assert heated_through_verdict(rules, WINGS, (HOT,)).answer == "unproven", "no reading of the heat"
    half = Again("poultry", at("16:00"), piece="half bird")
    assert heated_through_verdict(rules, half, (HOT, good)).answer == "unproven", "one part of two"


@EACH_US
def test_a_method_of_cooling_is_on_record(name):
    """3-501.15."""
    rules = rule_set(name)
    for one in ("shallow pans", "smaller portions", "rapid equipment", "ice bath stirred",
                "conductive containers", "ice as ingredient", "other effective"):  # fmt: skip
        assert method_verdict(rules, Method((one,), True, "loose")).passes
        assert method_verdict(rules, Method((one,), True, "uncovered and protected")).passes
        assert method_verdict(rules, Method((one,), False, "loose")).answer == "fail"
        assert method_verdict(rules, Method((one,), True, "tight")).answer == "fail"
        assert method_verdict(rules, Method((one,), True, "uncovered")).answer == "fail"
    assert method_verdict(rules, Method(("left out",), True, "loose")).answer == "fail"
    assert method_verdict(rules, None).answer == "unproven"


def test_a_pack_is_cooked_as_its_maker_says():
    """3-401.15, of the 2022 edition."""
    rules = rule_set("us-fda-2022")
    said = Instructions("To 165 °F in the middle", Line(Limit(F=Decimal(165))), True)
    assert instructed_verdict(rules, said, (read("165F", "18:00"),)).passes
    assert instructed_verdict(rules, said, (read("164.9F", "18:00"),)).answer == "fail"
    assert instructed_verdict(rules, said, ()).answer == "unproven"
    no = Instructions("To 165 °F in the middle", said.line, False)
    assert instructed_verdict(rules, no, (read("165F", "18:00"),)).answer == "fail"
    minutes = Instructions("Bake for 20 minutes", None, True)
    assert instructed_verdict(rules, minutes, (read("165F", "18:00"),)).answer == "unproven"
    ready = Instructions("Ready to eat", None, False, may_be_eaten_uncooked=True)
    assert instructed_verdict(rules, ready, ()).answer == "not applicable"
    for name in (*US[1:], *OTHERS):
        assert instructed_verdict(rule_set(name), said, (read("165F", "18:00"),)).answer == "unproven"


def test_a_whole_bird_in_ontario():
    """Ontario's cooking table: whole poultry 82 °C for 15 s; in pieces 74 °C."""
    rules = rule_set("canada-ontario")

    def bird(piece, C, held_s=15):
        parts = tuple(read(f"{C}C", "18:00", held_s=held_s, place=place) for place in ("thigh", "breast"))
        return cook_verdict(rules, "poultry", parts, piece).answer

    assert (bird("whole bird", "82"), bird("whole bird", "81.9"), bird("whole bird", "82", 14)) == (
        "pass", "fail", "fail",
    )  # fmt: skip
    assert (bird("half bird", "74"), bird("half bird", "73.9")) == ("pass", "fail")


@pytest.mark.parametrize("name", rule_set_names())
@pytest.mark.parametrize("piece", FOUND)
def test_one_part_of_a_bird_is_not_enough(name, piece):
    """Thickest breast and thigh, off the bone (common practice, no source)."""
    rules = rule_set(name)
    thigh = read("90C", "18:00", held_s=600, place="inner thigh")
    breast = read("90C", "18:00", held_s=600, place="thick breast")
    leg = read("90C", "18:00", held_s=600, place="leg")
    both = read("90C", "18:00", held_s=600, place="Thigh and breast")
    nameless = read("90C", "18:00", held_s=600)
    states_a_number = cook_verdict(rules, "poultry", (thigh,)).passes
    for one in (thigh, breast, nameless, both):
        assert cook_verdict(rules, "poultry", (one,), piece).answer == "unproven"
    if states_a_number:
        assert cook_verdict(rules, "poultry", (thigh, breast), piece).passes
        assert cook_verdict(rules, "poultry", (leg, breast), piece).answer == "unproven"
        assert cook_verdict(rules, "poultry", (both, breast), piece).passes
        found = cook_verdict(rules, "poultry", (thigh,), piece)
        assert "breast" in found.words and "common practice, no source" in found.section
    else:
        assert name in ("codex", "france"), "these leave cooking to the house"
    assert cook_verdict(rules, "poultry", (thigh,), "pieces").passes == states_a_number


@pytest.mark.parametrize("name", US)
def test_a_half_bird_is_re_heated_in_both_its_parts(name):
    lot = ToReheat("poultry", True, PASSED, PASSED, at("17:00"), "half bird")
    thigh = read("165F", "18:00", held_s=15, place="thigh")
    breast = read("165F", "18:00", held_s=15, place="breast")
    assert reheat_verdict(rule_set(name), "hold", lot, (thigh,)).answer == "unproven"
    assert reheat_verdict(rule_set(name), "hold", lot, (thigh, breast)).passes


@pytest.mark.parametrize("name", OTHERS)
def test_what_a_set_does_not_speak_of_never_passes_by_it(name):
    rules, hot = rule_set(name), (*in_two("95C", "9:02"), *OVEN_HOT)
    fish = FrozenFish(at("8:00"), at("8:00") + timedelta(days=7))
    asked = Ordered(True, True, True, False)
    for found in (
        roast_verdict(rules, ROAST, hot),
        microwave_verdict(rules, "cook", Microwaved(True, True, at("9:00")), hot),
        packed_reheat_verdict(rules, True, at("8:00"), hot),
        frozen_verdict(rules, fish, freezer("-40C", 168)),
        undercooked_verdict(rules, "intact meat", asked, ()),
        heated_through_verdict(rules, WINGS, (HOT, read("74C", "16:40", held_s=15))),
        method_verdict(rules, Method(("shallow pans",), True, "loose")),
    ):
        assert not found.passes
        assert found.section
