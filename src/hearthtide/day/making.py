"""From a house's history, its lots and what it makes ahead to the par of a day, with the rule beside it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from hearthtide.day.counts import NONE, Counts
from hearthtide.day.demand import Covers
from hearthtide.day.dishes import Share, portions_of, share_of, wanted
from hearthtide.day.history import DAY_NAMES, last_same_weekdays
from hearthtide.day.pars import Ahead, Costs, Sum, best, rule_of_thumb, sum_of, to_par
from hearthtide.house.sold import History, Lot


@dataclass(frozen=True)
class Made:
    """Something made ahead. `key`: as pars.yaml names it. `uses`: portions for a plate of each dish.

    `days` it may be used on, the first the day it is made. `made_on`: weekdays (Monday 0) it is made on;
    empty for all that are open.
    """

    key: str
    name: str
    uses: Mapping[str, int]
    days: int
    costs: Costs
    batch: int = 1
    made_on: frozenset[int] = frozenset()

    def last_day(self, made: date) -> date:
        return made + timedelta(days=self.days - 1)


@dataclass(frozen=True)
class Par:
    """The par of one thing on one day. `ours` is what the sum says; `rule` the par as it is taught, None
    where no same weekday is known; `past`: lots whose days are over, which are counted nowhere."""

    made: Made
    day: date
    ahead: Ahead
    share: Share
    ours: Sum
    rule: Sum | None
    last: tuple[tuple[date, float], ...]
    lots: tuple[Lot, ...]
    past: tuple[Lot, ...]
    remarks: tuple[str, ...]

    def at(self, par: int) -> Sum:
        """The same sum at another par: a chef's own."""
        return sum_of(self.ahead, to_par(self.ahead, par))


def days_needed(items: Sequence[Made], day: date) -> tuple[date, ...]:
    """The days whose covers the pars of `day` are reckoned from."""
    return tuple(day + timedelta(days=n) for n in range(max((one.days for one in items), default=1)))


def par_of(
    history: History, made: Made, day: date, covers: Sequence[Covers], lots: Sequence[Lot]
) -> Par | None:
    """The par of a day; `covers` of it and the days after. None where one of them or the share is unknown."""
    share = share_of(history, made.uses, day)
    if share is None or any(told.counts is None for told in covers[: made.days]):
        return None
    days = [day + timedelta(days=n) for n in range(made.days)]
    demand = tuple(
        _wanted(history, made, one, told.counts, day) for one, told in zip(days, covers, strict=False)
    )
    good = tuple(lot for lot in lots if day <= made.last_day(lot.made))
    stock = [0] * made.days
    for lot in good:
        stock[(made.last_day(lot.made) - day).days] += lot.portions
    until, remarks = _until_next(history, made, day)
    ahead = Ahead(demand, made.costs, tuple(stock), until, made.batch)
    making = _is_made(history, made, day)
    if not making:
        remarks = (f"not made on {DAY_NAMES[day.weekday()]}s, or the house is shut", *remarks)
    last = last_same_weekdays(history, day, covers[0].known, portions_of(made.uses))
    rule = sum_of(ahead, to_par(ahead, rule_of_thumb([n for _, n in last]))) if last and making else None
    past = tuple(lot for lot in lots if lot not in good)
    ours = best(ahead) if making else sum_of(ahead, 0)
    return Par(made, day, ahead, share, ours, rule, last, good, past, remarks)


def _wanted(history: History, made: Made, one: date, covers: Counts | None, told: date) -> Counts:
    """What one day wants; nothing is known of it beyond the morning of `told`."""
    share = share_of(history.before(told), made.uses, one)
    return NONE if covers is None or share is None else wanted(share, covers)


def _is_made(history: History, made: Made, day: date) -> bool:
    return history.is_open(day) and (not made.made_on or day.weekday() in made.made_on)


def _until_next(history: History, made: Made, day: date) -> tuple[int, tuple[str, ...]]:
    """Days until it is made again, today counted, at most as long as it lives."""
    for days in range(1, made.days + 1):
        if _is_made(history, made, day + timedelta(days=days)):
            return days, ()
    return made.days, (f"not made again within its {made.days} days",)
