"""Rules and verdicts beside tables, worked examples and measurements that others published.

The tables were typed here from the sources beside them, not from the rules' own files. What the law says in
one number (165 °F) is held by tests/unit/safety; here stand tables, examples with dates, measured cooling.
"""

from __future__ import annotations

import math
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from hearthtide.safety.cooling import cooled
from hearthtide.safety.dates import Frozen, Kept, last_day
from hearthtide.safety.probe_check import boiling_C
from hearthtide.safety.readings import Reading, Unit
from hearthtide.safety.rule_sets import rule_set
from hearthtide.safety.rules import Cook, DateMark, Roast
from hearthtide.safety.verdicts import gravest

pytestmark = pytest.mark.subject("food safety")
FDA_SETS = ("us-fda-2022", "us-fda-2017", "us-fda-2013")
START = datetime(2026, 6, 2, 12, tzinfo=UTC)
BOILS = (
    (500, 211.1), (1000, 210.2), (2000, 208.4), (3000, 206.6), (4000, 204.8), (5000, 203.0),
    (6000, 201.1), (7000, 199.3), (8000, 197.4), (10000, 193.6),
)  # fmt: skip
ROAST_MIN = {130: 112, 131: 89, 133: 56, 135: 36, 136: 28, 138: 18, 140: 12, 142: 8, 144: 5, 145: 4}
ROAST_S = {147: 134, 149: 85, 151: 54, 153: 34, 155: 22, 157: 14, 158: 0}


@pytest.mark.parametrize("name", FDA_SETS)
def test_whole_roasts(published, name):
    lines = {int(one.limit.in_unit("F")): one.held_s for one in rule_set(name).of(Roast)[0].lines}
    wanted = {F: 60 * minutes for F, minutes in ROAST_MIN.items()} | ROAST_S
    assert lines.keys() == wanted.keys()
    for F, seconds in wanted.items():
        published(
            "seconds a whole roast is held at its core temperature",
            "FDA Food Code 3-401.11(B)(2), as adopted in WAC 246-215-03400",
            expected=seconds,
            computed=lines[F],
            absolute=0.5,
            unit="s",
            at=f"{F} °F, {name}",
        )


def test_beef_s_table_lies_on_one_straight_line_of_heat_resistance(published):
    """Its own z, between each row of minutes and the last: a slip of a digit in one row would leave it."""
    lines = {int(one.limit.in_unit("F")): one.held_s for one in rule_set("us-fda-2022").of(Roast)[0].lines}
    for F in (130, 133, 136, 140, 147, 151, 155):
        published(
            "z of the roasts' table",
            "10 °F: USDA FSIS, compliance guideline Appendix A, the rule it was made by (from memory)",
            expected=10.0,
            computed=(157 - F) / math.log10(lines[F] / lines[157]),
            relative=0.1,
            unit="°F",
            at=f"{F} °F to 157 °F",
        )


@pytest.mark.parametrize(("at_C", "seconds"), [(60, 2700), (65, 600), (70, 120), (75, 30), (80, 6)])
def test_times_equal_to_seventy_degrees_for_two_minutes(published, at_C, seconds):
    lines = {
        int(one.limit.in_unit("C")): one.held_s for one in rule_set("england-wales-ni").of(Cook)[0].lines
    }
    published(
        "seconds that count as 70 °C for two minutes",
        "Food Standards Agency, cooking safely in your business",
        expected=seconds,
        computed=lines[at_C],
        absolute=0.5,
        unit="s",
        at=f"{at_C} °C",
    )


def test_days_of_the_published_examples(published):
    (rule,) = rule_set("us-fda-2022").of(DateMark)
    frozen = (Frozen(date(2026, 10, 3), date(2026, 10, 10)),)
    free = last_day(rule, Kept(date(2026, 10, 1), frozen=frozen), "freezing date free")
    assert free is not None
    published(
        "last day of October of food cooked on the 1st, frozen on the 3rd, thawed on the 10th",
        "a state's worked example of 3-501.18(A)(1), in which the day of freezing is not counted",
        expected=14,
        computed=free.day,
        absolute=0.5,
        unit="of October",
    )
    combined = last_day(rule, Kept(date(2026, 6, 6), ingredients=(date(2026, 6, 3),)))
    assert combined is not None
    published(
        "last day of June of food combined on the 6th of what was made on the 3rd",
        "FDA Food Code 3-501.17(C): the date of the earliest part; seven days, its own day the first",
        expected=9,
        computed=combined.day,
        absolute=0.5,
        unit="of June",
    )


def reading(hours: float, value: float, unit: Unit) -> Reading:
    at = START + timedelta(hours=hours)
    return Reading(f"r{hours}", "lot", at, 0, Decimal(f"{value:.6f}"), unit, "warmest", "probe", "Ben")


@pytest.mark.parametrize(
    ("way", "first_h", "second_h"),
    [("quartered, 4 °C", 2.27, 6.33), ("blast chiller", 3.11, 6.33), ("whole, 4 °C", 6.22, 6.33),
     ("three to a bag, 4 °C", 8.71, 6.33)],
)  # fmt: skip
def test_measured_turkeys_none_of_which_met_the_code(published, way, first_h, second_h):
    """57 to 21 °C as measured; of 21 to 5 °C the shortest of the four alone is told."""
    taken = (reading(0, 57, "C"), reading(first_h, 21, "C"), reading(first_h + second_h, 5, "C"))
    found = cooled(rule_set("us-fda-2022"), taken, None, START + timedelta(hours=30))
    published(
        "of four ways to cool a whole turkey roast those that met the code",
        "Olds and others, J. Food Prot. 69 (2006) 1",
        expected=0,
        computed=sum(one.passes for one in found.stages),
        absolute=0.5,
        unit="stages",
        at=way,
    )


@pytest.mark.parametrize("air_F", [33, 35, 37, 38, 39])
def test_slowest_even_cooling_that_meets_both_stages(published, air_F):
    """By halving, on readings a minute apart, until the verdict turns; the closed form is the source's."""

    def passes(rate: float) -> bool:
        values = ((n / 60, air_F + (135 - air_F) * 10 ** (-rate * n / 60)) for n in range(0, 361))
        taken = tuple(reading(hours, F, "F") for hours, F in values)
        found = cooled(rule_set("us-fda-2022"), taken, None, START + timedelta(hours=6))
        return gravest(found.stages) == "pass"

    low, high = 0.1, 1.0
    for _ in range(16):
        middle = (low + high) / 2
        low, high = (low, middle) if passes(middle) else (middle, high)
    first, both = (math.log10((135 - air_F) / (to - air_F)) / h for to, h in ((70, 2), (41, 6)))
    published(
        "slowest cooling that meets 70 °F in 2 h and 41 °F in 6 h",
        "closed form, of even cooling as Igo, Hedeen and Schaffner (J. Food Prot.) put it",
        expected=max(first, both),
        computed=high,
        relative=0.005,
        unit="log10 of the excess per hour",
        at=f"air of {air_F} °F",
    )


@pytest.mark.parametrize(("feet", "F"), BOILS)
def test_where_a_thermometer_is_checked_in_boiling_water(published, feet, F):
    published(
        "where water boils, by height above the sea",
        "as agencies print it for kitchens",
        expected=F,
        computed=boiling_C(0.3048 * feet) * 1.8 + 32,
        absolute=0.2,
        unit="°F",
        at=f"{feet} ft",
    )
