"""The label of a lot from its records: its state, its days by the chosen rules and the house, its allergens.

Whatever is not known is said to be not known. What may no longer be used bears nothing but that.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from hearthtide.house.models import DishFile, House
from hearthtide.house.pars_file import NAME as PARS
from hearthtide.house.pars_file import MadeFile
from hearthtide.printing.labels import Label
from hearthtide.printing.lot_out import Hours, hours_of
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
FROZEN = ("FROZEN", "its days stand still")
OUT = "OUT OF THE COLD"
# What counts portions, in a quantity such as `12 halves`. Own choice; a bare number counts them too.
PORTIONS = frozenset({"portion", "portions", "piece", "pieces", "half", "halves", "serving", "servings"})
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
    """A lot's days. The rules' are for ready-to-eat food alone; what was pulled has those of its lot.

    Time in the freezer is left out; while it is there, only days that were over before it went in count.
    """
    whole = _whole(ledger, of)
    kept = _kept(ledger, whole)
    item = item_of(of.dish, made, house)
    rule = _date_rule(house)
    by_rules = last_day(rule, kept) if rule is not None and of.state in READY_TO_EAT else None
    quality = None if item is None else last_day(_quality(made[item].days), kept)
    marks = [one for one in (of.marked, whole.marked) if one is not None]
    if whole.is_frozen:
        marks = [one for one in marks if one < whole.freezings[-1].into]
    return Days(kept.day_one, by_rules, quality, min(marks, default=None))


def _whole(ledger: Ledger, of: Course) -> Course:
    """The lot that portions were pulled from; of a lot that is whole itself."""
    return (course(ledger, of.of) if of.of else None) or of


def _date_rule(house: House) -> DateMark | None:
    rules = house.file.chosen_rules
    return None if rules is None else next(iter(rules.of(DateMark)), None)


def _quality(days: int) -> DateMark:
    """The house's own days, counted as the rules' are."""
    return DateMark(id="quality", section=PARS, severity="notice", known="own", words="quality", days=days)


def _kept(ledger: Ledger, of: Course) -> Kept:
    """When a lot was made, and everything that went into it; its stays in the freezer."""
    made = {one.body.lot: (one, one.body) for one in ledger.records if isinstance(one.body, LotMade)}
    into: list[str] = [of.lot]
    for name in into:
        if name in made:
            into += [one for one in made[name][1].made_of if one not in into]
    days = [local_date(made[name][0].at, made[name][0].offset_min) for name in into if name in made]
    return Kept(days[0], tuple(days[1:]), of.freezings)


def left_of(ledger: Ledger, lot: str) -> int | None:
    """Portions that should be there of a lot: as made, less what was pulled; None if not told in portions."""
    of = course(ledger, lot)
    if of is None or not _counts(of.quantity):
        return None
    if of.state in DONE:
        return 0
    pulled = (one.body for one in ledger.records if isinstance(one.body, Pulled))
    gone = [one.quantity for one in pulled if one.of == lot]
    if not all(map(_counts, gone)):
        return None
    return int(of.quantity.split(" ")[0]) - sum(int(one.split(" ")[0]) for one in gone)


def _counts(quantity: str) -> bool:
    """Whether a quantity is a number of portions: `12`, `12 halves`, but not `14 kilos`."""
    number, _, unit = quantity.partition(" ")
    told = unit.strip().lower()
    return number.isascii() and number.isdecimal() and (not told or told in PORTIONS)


def label_of(
    ledger: Ledger, lot: str, house: House, made: Mapping[str, MadeFile], now: datetime, first: bool
) -> Label:
    """A lot's label as things stand at `now`; `first`: USE FIRST, unless it may not be used at all.

    ValueError where nobody wrote down that it was made.
    """
    of = course(ledger, lot)
    if of is None or of.state in DONE:
        raise ValueError(f"{lot} is not there")
    days, hours = days_of(ledger, of, house, made), hours_of(ledger, of, house.file.chosen_rules, now)
    key = dish_key(of.dish, house)
    state, words = _state(of, hours, now)
    last, why = _last(of, days) if hours is None else _last_hour(of, days, hours)
    local = _local(of.made, of)
    begun = days.day_one if days.day_one != local.date() else None
    warning = _warning(ledger, of, house, days, hours, now)
    return Label(
        lot=lot,
        name=of.dish if key is None else house.dishes[key].name,
        state=state,
        state_words=words,
        made=f"Day 1 {short(days.day_one)}"
        + (f", {'pulled' if of.of else 'made'} {short(local.date())}" if begun else "")
        + f" {local:%H:%M}",
        last=last,
        why=why,
        quantity=_portions(left_of(ledger, lot), of.quantity),
        contains=contains_words(None if key is None else house.dishes[key]),
        use_first=first and not warning,
        warning=warning,
    )


def do_not_use(ledger: Ledger, of: Course, house: House, made: Mapping[str, MadeFile], now: datetime) -> str:
    """Why a lot may not be used, as its label says it; nothing where nothing is known against it."""
    hours = hours_of(ledger, of, house.file.chosen_rules, now)
    return _warning(ledger, of, house, days_of(ledger, of, house, made), hours, now)


def _local(at: datetime, of: Course) -> datetime:
    return at + timedelta(minutes=of.offset_min)


def _state(of: Course, hours: Hours | None, now: datetime) -> tuple[str, str]:
    if hours is not None:
        return OUT if of.of else STATE_WORDS[of.state][0], f"since {_clock(of, hours.left, now)}"
    return FROZEN if of.is_frozen else STATE_WORDS[of.state]


def _clock(of: Course, at: datetime, now: datetime) -> str:
    """A clock of the place, with its day where that is not today's."""
    local = _local(at, of)
    return f"{local:%H:%M}" + ("" if local.date() == _local(now, of).date() else f" {short(local.date())}")


def _last(of: Course, days: Days) -> tuple[str, str]:
    """The last day, and by whose word it is: the rules' own too where another comes first."""
    if days.last is None:
        if of.is_frozen:
            held = "went in unmarked: a named person decides" if of.unmarked_frozen else ""
            return "No last day until thawed: mark it then", held
        return "No last day: mark it", ""
    by = {days.marked: "as marked", days.quality: "this house's quality", days.rules: "by the rules"}
    later = days.rules is not None and days.rules > days.last
    why = by[days.last] + (f"; rules {short(days.rules)}" if later and days.rules else "")
    return f"Last day {short(days.last)}", why


def _last_hour(of: Course, days: Days, hours: Hours) -> tuple[str, str]:
    """The last hour of what is out of its temperature, never after its last day."""
    if hours.until is None:
        return "Do not use", hours.against
    until = _local(hours.until, of)
    if days.last is not None and days.last < until.date():
        return f"Use or bin by 24:00 {short(days.last)}", _last(of, days)[1]
    return f"Use or bin by {until:%H:%M} {short(until.date())}", hours.why


def _warning(ledger: Ledger, of: Course, house: House, days: Days, hours: Hours | None, now: datetime) -> str:
    rules = house.file.chosen_rules
    judged = None if rules is None else standing(ledger, rules, of.lot, now)
    against = () if judged is None else tuple(dict.fromkeys(w for ws in judged.fallen.values() for w in ws))
    if against:
        return "DO NOT USE. " + " ".join(against) + " A named person decides."
    if days.last is not None and _local(now, of).date() > days.last:
        return f"DO NOT USE: last day was {short(days.last)}"
    if hours is not None and hours.until is None:
        state, since = _state(of, hours, now)
        return f"DO NOT USE: {hours.against}. {state.capitalize()} {since}"
    if not of.is_frozen and _whole(ledger, of).unmarked_frozen and _date_rule(house) is not None:
        return "DO NOT USE: it went into the freezer unmarked. A named person decides."
    return ""


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
    ledger: Ledger, lots: Sequence[str], house: House, made: Mapping[str, MadeFile], now: datetime
) -> frozenset[str]:
    """The lots to use before others of the same dish: those of the earliest last day, then made first.

    Never one that may not be used or is frozen; the good one beside such a one goes first.
    """
    by_dish: dict[tuple[str, bool], list[tuple[date, datetime, str] | None]] = {}
    for lot in lots:
        of = course(ledger, lot)
        if of is None or of.state in DONE or of.of:
            continue
        usable = not of.is_frozen and not do_not_use(ledger, of, house, made, now)
        last = days_of(ledger, of, house, made).last or date.max
        alike = by_dish.setdefault((of.dish, of.state in READY_TO_EAT), [])
        alike.append((last, of.made, lot) if usable else None)
    good = ([one for one in alike if one is not None] for alike in by_dish.values() if len(alike) > 1)
    return frozenset(min(some)[2] for some in good if some)


def short(day: date) -> str:
    """A day as a label has it.

    >>> short(date(2026, 6, 2))
    'Tue 2 Jun'
    """
    return f"{day:%a} {day.day} {day:%b}"
