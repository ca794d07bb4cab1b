"""`orders`: what dry goods to order by when, with the sum it comes from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.day_shared import Kept, day_asked, day_words, read_kept
from hearthtide.cli.pars_command import as_changed
from hearthtide.cli.shared import out, print_json
from hearthtide.day.demand import FURTHEST_DAYS, Covers, covers_ahead
from hearthtide.day.dishes import Share, share_of
from hearthtide.day.orders import Ordered, Supply, Use, orders, use_of
from hearthtide.house.pars_file import WEEKDAYS, ParsFile, read_pars
from hearthtide.house.supplies_file import SuppliesFile, SupplyFile, kg_by_dish, read_supplies

AHEAD_DAYS = 21  # looked at: a week's delivery, the one after it and the longest lead; own choice
LIKELY = 0.2  # a chance of running out from which it is said aloud; own choice
CAUTION = "Count before you order: what is there, and on its way, is as the file has it."


@dataclass(frozen=True, eq=False)
class Told:
    """One supply: what its days use, and its orders; None where too little is known of a dish."""

    supply: Supply
    uses: tuple[Use, ...]
    orders: tuple[Ordered, ...] | None


def run_orders(folder: Path, asked: str, json: bool) -> bool:
    """Prints the orders; True when each supply could be reckoned."""
    day = day_asked(asked)
    kept = read_kept(folder, day, None)
    pars = read_pars(kept.house)
    file = read_supplies(kept.house, pars)
    known = [one.day for one in kept.history.before(day).open_days][-1]
    ahead = min(AHEAD_DAYS, FURTHEST_DAYS - (day - known).days + 1)
    covers = as_changed(
        covers_ahead(kept.history, tuple(day + timedelta(days=n) for n in range(ahead))), kept.changes
    )
    told = _all(kept, pars, file, day, covers)
    if json:
        print_json("orders", _body(kept, day, told))
    else:
        _print(kept, day, told)
    return all(one.orders is not None for one in told)


def _all(
    kept: Kept, pars: ParsFile, file: SuppliesFile, day: date, covers: Sequence[Covers]
) -> tuple[Told, ...]:
    each = {key: kg_by_dish(supply, pars) for key, supply in file.supplies.items()}
    dishes = {dish for kg in each.values() for dish in kg}
    past = kept.history.before(day)
    shares = [{dish: share_of(past, {dish: 1}, one.day) for dish in dishes} for one in covers]
    return tuple(_told(key, supply, each[key], day, covers, shares) for key, supply in file.supplies.items())


def _told(
    key: str,
    file: SupplyFile,
    each: Mapping[str, float],
    day: date,
    covers: Sequence[Covers],
    shares: Sequence[Mapping[str, Share | None]],
) -> Told:
    delivered = frozenset(WEEKDAYS.index(one) for one in file.delivered)
    supply = Supply(key, file.name, file.pack, file.on_hand, file.lead, delivered, file.level, file.coming)
    uses = []
    for one, by_dish in zip(covers, shares, strict=True):
        known = {dish: share for dish in each if (share := by_dish[dish]) is not None}
        if len(known) < len(each) or one.counts is None:
            return Told(supply, (), None)
        uses.append(use_of(each, known, one.counts))
    return Told(supply, tuple(uses), orders(supply, day, uses))


def _print(kept: Kept, day: date, told: Sequence[Told]) -> None:
    out.print(f"[bold]{escape(kept.house.file.name)}, dry orders as of {day_words(day)}[/]")
    for one in told:
        name = escape(one.supply.name)
        if one.orders is None:
            out.print(f"  [bold]{name}[/]: too few nights tell its dishes: no sum")
            continue
        week = sum(use.mean for use in one.uses[:7])
        there = f"{_kg(one.supply.on_hand)} there, some {_kg(week)} used in the week to come"
        if not one.orders:
            out.print(f"  [bold]{name}[/]: nothing to order; {there}")
            continue
        out.print(f"  [bold]{name}[/]: {there}")
        for order in one.orders[:2]:
            _print_order(one.supply, order, day)
    out.print(f"[dim]  {CAUTION}[/]")


def _print_order(supply: Supply, order: Ordered, day: date) -> None:
    by = "today" if order.by == day else day_words(order.by)
    packs = "1 pack" if order.packs == 1 else f"{order.packs} packs"
    out.print(
        f"      order {packs} of {_kg(supply.pack)} by {by}, comes {day_words(order.arrives)}, "
        f"lasts to {day_words(order.until)}"
    )
    out.print(
        f"      {_kg(order.mean)} wanted until then, give or take {_kg(order.sd)}; up to {_kg(order.up_to)} "
        f"to last {100 * supply.level:.0f} times in 100, less {_kg(order.there)} there or ordered; "
        f"runs out before that comes: {_chance(order.short)}"
    )
    if order.short > LIKELY:
        out.print("      [bold]What is there will not last: fetch some sooner, or sell less of it.[/]")


def _chance(share: float) -> str:
    """A chance as it is said.

    >>> _chance(0.004), _chance(0.11), _chance(0.6), _chance(0.99)
    ('hardly ever', 'one time in 9', '6 times in ten', 'almost surely')
    """
    if share < 0.02:
        return "hardly ever"
    if share > 0.95:
        return "almost surely"
    return f"one time in {1 / share:.0f}" if share < 0.4 else f"{10 * share:.0f} times in ten"


def _kg(kg: float) -> str:
    """Weights as they are weighed out.

    >>> _kg(12.34), _kg(0.34)
    ('12 kg', '340 g')
    """
    return f"{kg:.0f} kg" if kg >= 10 else f"{kg:.1f} kg" if kg >= 1 else f"{1000 * kg:.0f} g"


def _body(kept: Kept, day: date, told: Sequence[Told]) -> dict[str, object]:
    return {
        "house": kept.house.file.name,
        "day": day.isoformat(),
        "supplies": [
            {
                "supply": one.supply.key,
                "name": one.supply.name,
                "on_hand_kg": one.supply.on_hand,
                "coming_kg": one.supply.coming,
                "pack_kg": one.supply.pack,
                "level": one.supply.level,
                "uses_kg": [round(use.mean, 3) for use in one.uses],
                "sds_kg": [round(use.sd, 3) for use in one.uses],
                "orders": None if one.orders is None else [_order(order) for order in one.orders],
            }
            for one in told
        ],
        "cautions": [CAUTION],
    }


def _order(order: Ordered) -> dict[str, object]:
    return {
        "by": order.by.isoformat(),
        "arrives": order.arrives.isoformat(),
        "lasts_to": order.until.isoformat(),
        "packs": order.packs,
        "wanted_kg": round(order.mean, 3),
        "sd_kg": round(order.sd, 3),
        "up_to_kg": round(order.up_to, 3),
        "there_kg": round(order.there, 3),
        "short_before": round(order.short, 4),
    }
