"""A lot's label from its records: state, days, what it contains, what goes first, what may not be used."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import count

import pytest

from hearthtide.house.pars_file import MadeFile
from hearthtide.printing.lot_labels import (
    NOT_WRITTEN,
    STATE_WORDS,
    contains_words,
    days_of,
    first_of,
    item_of,
    label_of,
    left_of,
    short,
)
from hearthtide.safety.states import SERVED, State
from hearthtide.service.records.book import Book
from hearthtide.service.records.course import course
from hearthtide.service.records.entries import Body, FreezerMoved, LotMade, LotMarked, Pulled, Record
from hearthtide.service.records.ledger import Ledger
from kept_lots import Lots, house_by
from read_by_hand import DAY

DAY_ONE = DAY.date()
MADE = {
    "chicken": MadeFile(name="Half chickens roasted", uses={"half_chicken": 1}, days=3, cost=6.5, price=24)
}


def ledger_of(lots: Lots) -> Ledger:
    return Book(lots.log, None).about(lambda _: True)


def label(lots: Lots, lot: str = "chicken", days: int = 0, rules: str | None = "us-fda-2022", made=MADE):
    ledger = ledger_of(lots)
    return label_of(ledger, lot, house_by(rules), made, lots.now + timedelta(days=days), False)


def goes_first(lots: Lots, names: list[str], days: int = 0) -> frozenset[str]:
    return first_of(ledger_of(lots), names, house_by(), MADE, lots.now + timedelta(days=days))


def test_chilled_food_is_ready_to_eat_in_law_and_par_cooked_is_raw() -> None:
    lots = Lots()
    lots.chilled()
    told = label(lots)
    assert (told.state, told.state_words) == ("PRE-COOKED", "chilled, ready to eat in law")
    assert STATE_WORDS["par-cooked"] == ("PAR-COOKED", "raw in law: cook through")


def test_every_state_that_is_still_there_has_its_words() -> None:
    from typing import get_args

    assert set(STATE_WORDS) == set(get_args(State)) - SERVED - {"discarded"}


def test_day_one_is_the_day_it_was_made_and_the_seventh_the_last_by_the_us_code() -> None:
    # FDA Food Code 2022 3-501.17(A): at 41 °F at most 7 days, the day of preparation counted as day 1.
    lots = Lots()
    lots.chilled()
    ledger = ledger_of(lots)
    of = course(ledger, "chicken")
    assert of is not None
    days = days_of(ledger, of, house_by(), {})
    assert (days.day_one, days.rules, days.last) == (DAY_ONE, DAY_ONE + timedelta(6), DAY_ONE + timedelta(6))
    assert label(lots, made={}).last == f"Last day {short(DAY_ONE + timedelta(6))}"
    assert label(lots, made={}).made.startswith(f"Day 1 {short(DAY_ONE)}")


def test_the_earliest_of_rules_quality_and_mark_is_the_last_day() -> None:
    lots = Lots()
    lots.chilled()
    assert label(lots).last == f"Last day {short(DAY_ONE + timedelta(2))}"
    assert label(lots).why == f"this house's quality; rules {short(DAY_ONE + timedelta(6))}"
    lots.write(LotMarked("chicken", DAY_ONE + timedelta(1)), "20:00")
    assert label(lots).last == f"Last day {short(DAY_ONE + timedelta(1))}"
    assert label(lots).why.startswith("as marked")


def test_combined_food_has_the_days_of_its_oldest_part() -> None:
    # FDA Food Code 2022 3-501.17(D): combined food keeps the date of its earliest-prepared ingredient.
    lots = Lots()
    lots.write(LotMade("stock", "stock", "4 l"), "08:00")
    lots.now += timedelta(days=2)
    later = lots.now
    soup = LotMade("soup", "soup", "8", made_of=("stock",), food="poultry")
    lots.keeping.write(Record("soup-1", "Ben", "tablet", later, later, -240, soup))
    ledger = ledger_of(lots)
    of = course(ledger, "soup")
    assert of is not None and days_of(ledger, of, house_by(), {}).day_one == DAY_ONE


def test_without_rules_and_days_the_label_asks_for_a_mark() -> None:
    lots = Lots(rules=None)
    lots.made()
    assert label(lots, rules=None, made={}).last == "No last day: mark it"


def test_past_its_last_day_it_bears_nothing_but_that() -> None:
    lots = Lots()
    lots.chilled()
    assert label(lots, days=2).warning == ""
    assert label(lots, days=3).warning == f"DO NOT USE: last day was {short(DAY_ONE + timedelta(2))}"


def test_what_was_proved_and_is_no_longer_is_not_to_be_used() -> None:
    lots = Lots()
    lots.chilled()
    lots.read("52F", "23:30", "warmest")
    assert label(lots).warning.startswith("DO NOT USE.")


def test_what_was_served_or_thrown_away_has_no_label() -> None:
    lots = Lots()
    lots.made()
    lots.became("discarded", "13:00")
    with pytest.raises(ValueError, match="chicken is not there"):
        label(lots)
    with pytest.raises(ValueError, match="nothing is not there"):
        label(lots, "nothing")


def test_portions_are_those_made_less_those_pulled() -> None:
    lots = Lots()
    lots.chilled()
    ledger = ledger_of(lots)
    assert left_of(ledger, "chicken") == 12
    lots.pulled("20:00")
    lots.write(Pulled("chicken/2", "chicken", "2 halves"), "20:01")
    assert left_of(ledger_of(lots), "chicken") == 9
    assert left_of(ledger_of(lots), "chicken/1") == 1
    assert label(lots).quantity == "9 portions"
    assert label(lots, "chicken/1").quantity == "1 portion"
    lots.write(LotMade("dip", "cheese_dip", "6 kg"), "21:00")
    assert left_of(ledger_of(lots), "dip") is None
    assert label(lots, "dip").quantity == "6 kg"


def test_the_older_lot_goes_first_and_a_lone_one_is_not_called_so() -> None:
    lots = Lots()
    lots.made()
    assert goes_first(lots, ["chicken"]) == frozenset()
    lots.made("14:00", "chicken 2")
    lots.write(LotMade("wings", "wings", "20"), "14:01")
    assert goes_first(lots, ["chicken", "chicken 2", "wings"]) == {"chicken"}
    lots.write(LotMarked("chicken 2", DAY_ONE), "15:00")
    assert goes_first(lots, ["chicken", "chicken 2", "wings"]) == {"chicken 2"}


def test_what_may_not_be_used_is_never_first_and_the_good_lot_beside_it_is() -> None:
    lots = Lots()
    lots.made()
    lots.made("14:00", "chicken 2")
    lots.write(LotMarked("chicken", DAY_ONE - timedelta(1)), "15:00")
    both = ["chicken", "chicken 2"]
    assert goes_first(lots, both) == {"chicken 2"}
    bad = label_of(ledger_of(lots), "chicken", house_by(), MADE, lots.now, True)
    assert bad.warning and not bad.use_first
    assert goes_first(lots, both, days=30) == frozenset()


def test_a_good_lot_beside_one_that_was_kept_too_warm_goes_first() -> None:
    lots = Lots()
    lots.chilled()
    lots.read("55F", "21:00", "warmest")
    lots.write(LotMade("other", "half_chicken", "4"), "21:01")
    assert goes_first(lots, ["chicken", "other"]) == frozenset()
    lots.made("21:02", "third")
    assert goes_first(lots, ["chicken", "other", "third"]) == {"other"}


@pytest.mark.parametrize(
    "quantity", ["14 kilos", "500 grams", "2 pounds", "3 boxes", "6 litres", "2 trays", "²", "٣", "1.5", ""]
)
def test_what_is_no_number_of_pieces_is_not_told_in_portions(quantity: str) -> None:
    lots = Lots()
    lots.write(LotMade("dip", "half_chicken", quantity or "some"), "12:00")
    assert left_of(ledger_of(lots), "dip") is None
    assert label(lots, "dip").quantity == (quantity or "some")


@pytest.mark.parametrize("quantity", ["12", "12 halves", "12 Portions", "12  pieces", "12 servings"])
def test_a_bare_number_and_words_for_pieces_are_portions(quantity: str) -> None:
    lots = Lots()
    lots.write(LotMade("dip", "half_chicken", quantity), "12:00")
    assert left_of(ledger_of(lots), "dip") == 12


def frozen(*moves: tuple[int, str], marked: bool = True) -> Lots:
    """Chilled on day one at 19:01, marked, and moved into and out of the freezer on days after it."""
    lots, ids = Lots(), count(1)
    lots.chilled()

    def later(days: int, body: Body) -> None:
        lots.now = at = DAY + timedelta(days=days, hours=20)
        lots.keeping.write(Record(f"later-{next(ids)}", "Ben", "tablet", at, at, -240, body))

    if marked:
        later(0, LotMarked("chicken", DAY_ONE + timedelta(6)))
    for days, way in moves:
        later(days, FreezerMoved("chicken", "in" if way == "in" else "out"))
    return lots


def two_chilled(into_freezer: str = "") -> Lots:
    """Two lots of a day by the US code's pace, one of them in the freezer."""
    lots = Lots()
    lots.chilled()
    lots.made("19:02", "chicken 2")
    lots.read("166F", "19:50", lot="chicken 2", place="thigh")
    lots.became("cooked", "19:52", "chicken 2")
    lots.became("cooling", "19:53", "chicken 2")
    for value, when in (("135F", "20:00"), ("70F", "21:30"), ("41F", "23:00")):
        lots.read(value, when, "warmest", "chicken 2")
    lots.became("chilled", "23:01", "chicken 2")
    if into_freezer:
        lots.write(FreezerMoved(into_freezer, "in"), "23:05")
    return lots


def test_a_frozen_lot_says_so_and_has_no_last_day_however_long_it_is_there() -> None:
    # FDA Food Code 2022 3-501.18(A)(1): time that the product is frozen is left out.
    lots = frozen((0, "in"))
    for days in (0, 3, 20):
        told = label(lots, days=days)
        assert (told.state, told.state_words) == ("FROZEN", "its days stand still")
        assert (told.last, told.why, told.warning) == ("No last day until thawed: mark it then", "", "")
    assert "named person" in label(frozen((0, "in"), marked=False)).why
    assert goes_first(two_chilled(), ["chicken", "chicken 2"]) == {"chicken"}
    one_frozen = two_chilled("chicken")
    assert goes_first(one_frozen, ["chicken", "chicken 2"]) == {"chicken 2"}
    one_frozen.write(FreezerMoved("chicken 2", "in"), "23:06")
    assert goes_first(one_frozen, ["chicken", "chicken 2"]) == frozenset()


def test_days_go_on_from_where_a_lot_is_thawed() -> None:
    # 3-501.18(A)(1), by hand: frozen on day 1, thawed 10 days after; days 2 to 7 are that date and five more.
    lots = frozen((0, "in"), (10, "out"))
    of = course(ledger_of(lots), "chicken")
    assert of is not None
    days = days_of(ledger_of(lots), of, house_by(), MADE)
    assert (days.rules, days.quality) == (DAY_ONE + timedelta(15), DAY_ONE + timedelta(11))
    assert label(lots).state == "PRE-COOKED"


def test_freezing_saves_nothing_that_was_over_before() -> None:
    assert label(frozen((8, "in"))).warning == f"DO NOT USE: last day was {short(DAY_ONE + timedelta(2))}"


def test_what_went_into_the_freezer_unmarked_is_not_used_once_thawed() -> None:
    assert label(frozen((0, "in"), (1, "out"), marked=False)).warning == (
        "DO NOT USE: it went into the freezer unmarked. A named person decides."
    )


def test_allergens_are_said_as_contained_and_never_as_absent() -> None:
    house = house_by()
    for dish in house.dishes.values():
        words = contains_words(dish)
        assert all(one in words for one in dish.allergens.contains)
        assert words.endswith("ask") and "free" not in words
    assert contains_words(None) == NOT_WRITTEN


def test_a_lot_is_of_what_pars_makes_by_key_name_or_dish_and_never_guessed() -> None:
    house = house_by()
    twice = {**MADE, "other": MADE["chicken"].model_copy(update={"name": "Other"})}
    assert item_of("chicken", MADE, house) == "chicken"
    assert item_of("Half chickens roasted", MADE, house) == "chicken"
    assert item_of("half_chicken", MADE, house) == "chicken"
    assert item_of("half_chicken", twice, house) is None
    assert item_of("ice cream", MADE, house) is None
    assert short(date(2026, 6, 2)) == "Tue 2 Jun"
