"""The label of a lot from its records: its state, its days by the chosen rules and the house, its allergens.

Whatever is not known is said to be not known. What may no longer be used bears nothing but that.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from hearthtide.house.models import DishFile, House
from hearthtide.house.pars_file import MadeFile
from hearthtide.printing.labels import Label
from hearthtide.safety.dates import Kept, last_day
from hearthtide.safety.readings import local_date
from hearthtide.safety.rules import DateMark
from hearthtide.safety.states import READY_TO_EAT, State
from hearthtide.service.records.course import DONE, Course, course
from hearthtide.service.records.entries import LotMade, Pulled
from hearthtide.service.records.ledger import Ledger
from hearthtide.service.records.standing import standing

# What a state is called on a label, and what it means for whoever takes it out.
STATE_WORDS: dict[State, tuple[str, str]] = {
    "raw": ("RAW", "cook through"),
    "par-cooked": ("PAR-COOKED", "raw in law: cook through"),
    "cooked": ("PRE-COOKED", "still hot: serve, hold or chill"),
    "cooling": ("COOLING", "not chilled yet: probe it"),
    "chilled": ("PRE-COOKED", "chilled, ready to eat in law"),
    "held hot": ("PRE-COOKED", "held hot, probe it"),
    "re-heated and held": ("RE-HEATED", "held hot, not chilled again"),
    "time-controlled": ("ON TIME ALONE", "its hours run"),
}
NOT_WRITTEN = "Allergens not written down: ask"


@dataclass(frozen=True)
class Days:
    """The last days a lot may be used on, local dates: by the rules, by the house's quality, by its mark."""

    day_one: date
    rules: date | None
    quality: date | None
    marked: date | None

    @property
    def last(self) -> date | None:
        """The earliest of them; None where nobody says any."""
        return min((one for one in (self.rules, self.quality, self.marked) if one is not None), default=None)


def item_of(dish: str, made: Mapping[str, MadeFile], house: House) -> str | None:
    """What pars.yaml calls what a lot is of, by its dish's key or name; None where not exactly one fits."""
    named = [key for key, one in made.items() if dish.lower() in (key.lower(), one.name.lower())]
    if named:
        return named[0] if len(named) == 1 else None
    key = dish_key(dish, house)
    using = [item for item, one in made.items() if key in one.uses]
    return using[0] if len(using) == 1 else None


def dish_key(dish: str, house: House) -> str | None:
    """The key of a dish that is written down by its key or its name."""
    if dish in house.dishes:
        return dish
    return next((key for key, one in house.dishes.items() if one.name.lower() == dish.lower()), None)


def days_of(ledger: Ledger, of: Course, house: House, made: Mapping[str, MadeFile]) -> Days:
    """A lot's days. The rules' are for ready-to-eat food alone; what was pulled has those of its lot."""
    kept = _kept(ledger, of.of or of.lot)
    item = item_of(of.dish, made, house)
    rules = house.file.chosen_rules
    rule = None if rules is None else next(iter(rules.of(DateMark)), None)
    counted = rule is not None and of.state in READY_TO_EAT
    quality = None if item is None else kept.day_one + timedelta(days=made[item].days - 1)
    parent = course(ledger, of.of) if of.of else None
    marks = [one for one in (of.marked, None if parent is None else parent.marked) if one is not None]
    by_rules = last_day(rule, kept) if rule is not None and counted else None
    return Days(kept.day_one, by_rules, quality, min(marks, default=None))


def _kept(ledger: Ledger, lot: str) -> Kept:
    """When a lot was made, and everything that went into it."""
    made = {one.body.lot: (one, one.body) for one in ledger.records if isinstance(one.body, LotMade)}
    into: list[str] = [lot]
    for name in into:
        if name in made:
            into += [one for one in made[name][1].made_of if one not in into]
    days = [local_date(made[name][0].at, made[name][0].offset_min) for name in into if name in made]
    return Kept(days[0], tuple(days[1:]))


def left_of(ledger: Ledger, lot: str) -> int | None:
    """Portions that should be there of a lot: as made, less what was pulled; None if not told in portions."""
    of = course(ledger, lot)
    if of is None or not of.quantity.split(" ")[0].isdigit() or not _counts(of.quantity):
        return None
    if of.state in DONE:
        return 0
    pulled = (one.body for one in ledger.records if isinstance(one.body, Pulled))
    gone = [one.quantity for one in pulled if one.of == lot]
    if not all(map(_counts, gone)):
        return None
    return int(of.quantity.split(" ")[0]) - sum(int(one.split(" ")[0]) for one in gone)


def _counts(quantity: str) -> bool:
    """Whether a quantity is a number of portions: `12`, `12 halves`, but not `14 kg`."""
    number, _, unit = quantity.partition(" ")
    return number.isdigit() and unit.strip().lower() not in (
        "kg",
        "g",
        "l",
        "ml",
        "lb",
        "oz",
        "trays",
        "pans",
    )


def label_of(
    ledger: Ledger, lot: str, house: House, made: Mapping[str, MadeFile], now: datetime, first: bool
) -> Label:
    """A lot's label as things stand at `now`. ValueError where nobody wrote down that it was made."""
    of = course(ledger, lot)
    if of is None or of.state in DONE:
        raise ValueError(f"{lot} is not there")
    days, rules = days_of(ledger, of, house, made), house.file.chosen_rules
    key = dish_key(of.dish, house)
    state, words = STATE_WORDS[of.state]
    local = of.made + timedelta(minutes=of.offset_min)
    begun = days.day_one if days.day_one != local.date() else None
    today = local_date(now, of.offset_min)
    judged = None if rules is None else standing(ledger, rules, lot, now)
    against = () if judged is None else tuple(dict.fromkeys(w for ws in judged.fallen.values() for w in ws))
    return Label(
        lot=lot,
        name=of.dish if key is None else house.dishes[key].name,
        state=state,
        state_words=words,
        made=f"Day 1 {short(days.day_one)}"
        + (f", made {short(local.date())}" if begun else "")
        + f" {local:%H:%M}",
        last="No last day: mark it" if days.last is None else f"Last day {short(days.last)}",
        why=_why(days),
        quantity=_portions(left_of(ledger, lot), of.quantity),
        contains=contains_words(None if key is None else house.dishes[key]),
        use_first=first,
        warning=_warning(days.last, today, against),
    )


def _why(days: Days) -> str:
    """By whose word the last day is, and the rules' own where another comes first."""
    if days.last is None:
        return ""
    by = {days.marked: "as marked", days.quality: "this house's quality", days.rules: "by the rules"}
    later = days.rules is not None and days.rules > days.last
    return by[days.last] + (f"; rules {short(days.rules)}" if later and days.rules else "")


def _warning(last: date | None, today: date, against: Sequence[str]) -> str:
    if against:
        return "DO NOT USE. " + " ".join(against) + " A named person decides."
    return f"DO NOT USE: last day was {short(last)}" if last is not None and today > last else ""


def _portions(left: int | None, quantity: str) -> str:
    if left is None:
        return quantity
    return "1 portion" if left == 1 else f"{left} portions"


def contains_words(dish: DishFile | None) -> str:
    """What a dish contains; a label never says that anything is not in it."""
    if dish is None:
        return NOT_WRITTEN
    if not dish.allergens.contains:
        return "Contains: none is written down; ask"
    return f"Contains {', '.join(dish.allergens.contains)}; may hold more: ask"


def first_of(
    ledger: Ledger, lots: Sequence[str], house: House, made: Mapping[str, MadeFile]
) -> frozenset[str]:
    """The lots to use before others of the same dish: those of the earliest last day, then made first."""
    by_dish: dict[tuple[str, bool], list[tuple[date, datetime, str]]] = {}
    for lot in lots:
        of = course(ledger, lot)
        if of is None or of.state in DONE or of.of:
            continue
        last = days_of(ledger, of, house, made).last or date.max
        by_dish.setdefault((of.dish, of.state in READY_TO_EAT), []).append((last, of.made, lot))
    return frozenset(min(alike)[2] for alike in by_dish.values() if len(alike) > 1)


def short(day: date) -> str:
    """A day as a label has it.

    >>> short(date(2026, 6, 2))
    'Tue 2 Jun'
    """
    return f"{day:%a} {day.day} {day:%b}"
