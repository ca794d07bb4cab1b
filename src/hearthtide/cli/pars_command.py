"""`pars`: how much of what is made ahead to have ready, with the sum; the rule of thumb, the chef's own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.day_shared import (
    Kept,
    day_asked,
    day_words,
    judged_words,
    kept_changes,
    mine_asked,
    one_in,
    read_kept,
)
from hearthtide.cli.shared import err, out, print_json
from hearthtide.day.changes import COVERS, PAR, Judged, judged, standing
from hearthtide.day.demand import Covers, covers_ahead
from hearthtide.day.dishes import portions_of
from hearthtide.day.history import last_same_weekdays
from hearthtide.day.making import Made, Par, days_needed, par_of
from hearthtide.day.pars import Costs, Sum
from hearthtide.errors import Finding
from hearthtide.house.pars_file import WEEKDAYS, MadeFile, ParsFile, read_pars
from hearthtide.house.sold import Change, Lot
from hearthtide.house.stock_file import NAME as STOCK
from hearthtide.house.stock_file import take_stock
from hearthtide.safety.rules import DateMark, RuleSet

LOOKED_BACK = 8  # same weekdays that a par is held against; own choice
CAUTION = (
    "Days are the house's, for quality. Your food code, the date mark and a probe decide what may be used, "
    "whatever is said here."
)


def run_pars(
    folder: Path, asked: str, stock: Path | None, said: tuple[str, ...], why: str, person: str, json: bool
) -> bool:
    """Prints the pars of a day; True when each could be reckoned."""
    day = day_asked(asked)
    kept = read_kept(folder, day, None)
    file = read_pars(kept.house)
    items = [made_of(key, one) for key, one in file.made.items()]
    mine = mine_asked(said, why, person, tuple(file.made))
    lots, wrong, counted = counted_lots(folder, stock, file, day)
    covers, found = reckoned(kept, items, day, lots)
    pars = {key: one for key, one in found.items() if one is not None}
    refused = [key for key in mine.said if key not in pars]
    known = replace(mine, said={key: n for key, n in mine.said.items() if key not in refused})
    changes = kept_changes(kept, day, known, {key: one.ours.par for key, one in pars.items()}, PAR)
    checked = _judged(kept, items)
    lacking = [key for key in found if key not in pars]
    if json:
        left_out = [*kept.left_out, *wrong]
        print_json("pars", _body(kept, file, covers[0], pars, changes, checked, lacking, left_out, counted))
    else:
        _print(kept, file, covers[0], pars, changes, checked, lacking, counted)
    return not lacking


def made_of(key: str, file: MadeFile) -> Made:
    """What a house wrote as the sums take it."""
    return Made(
        key,
        file.name,
        dict(file.uses),
        file.days,
        Costs(file.short_costs, file.cost, file.older),
        file.batch,
        frozenset(WEEKDAYS.index(one) for one in file.made_on),
    )


def reckoned(
    kept: Kept, items: Sequence[Made], day: date, lots: Sequence[Lot]
) -> tuple[tuple[Covers, ...], dict[str, Par | None]]:
    """Covers of the days the pars have to do for, and each thing's par; None where too few nights tell it."""
    covers = as_changed(covers_ahead(kept.history, days_needed(items, day)), kept.changes)
    return covers, {
        one.key: par_of(kept.history, one, day, covers, [lot for lot in lots if lot.key == one.key])
        for one in items
    }


def counted_lots(
    folder: Path, stock: Path | None, file: ParsFile, day: date
) -> tuple[tuple[Lot, ...], tuple[Finding, ...], bool]:
    """The lots, what is wrong with rows of theirs, and whether anything was counted at all."""
    path = stock or folder / STOCK
    if stock is None and not path.is_file():
        return (), (), False
    lots, wrong = take_stock(path, file.made, day)
    for finding in wrong:
        err.print(f"Set aside: {escape(str(finding))}", soft_wrap=True)
    return lots, wrong, True


def as_changed(covers: Sequence[Covers], changes: Sequence[Change]) -> tuple[Covers, ...]:
    """Covers as a chef changed them with `demand`, in place of ours."""
    made = []
    for one in covers:
        change = standing(changes, one.day).get(COVERS)
        moved = one.counts.moved_to(change.yours) if change is not None and one.counts is not None else None
        made.append(one if moved is None else replace(one, counts=moved))
    return tuple(made)


def _judged(kept: Kept, items: Sequence[Made]) -> dict[str, Judged]:
    uses = {PAR + one.key: one.uses for one in items}

    def came(figure: str, day: date) -> float | None:
        one = kept.history.by_date.get(day)
        return None if one is None or one.covers is None else portions_of(uses[figure])(one)

    found = {one.key: judged(kept.changes, came, PAR + one.key) for one in items}
    return {key: one for key, one in found.items() if one is not None}


def _print(
    kept: Kept,
    file: ParsFile,
    covers: Covers,
    pars: Mapping[str, Par],
    changes: Mapping[str, Change],
    checked: Mapping[str, Judged],
    lacking: Sequence[str],
    counted: bool,
) -> None:
    out.print(f"[bold]{escape(kept.house.file.name)}, pars for {day_words(covers.day)}[/], {_covers(covers)}")
    if not counted:
        out.print(f"  No {STOCK}: nothing is taken to be there.")
    for key, par in pars.items():
        _print_par(kept, file.currency, par, changes.get(key))
        if key in checked:
            one = checked[key]
            out.print(f"      {escape(judged_words('pars', one))}")
            out.print(
                f"      yours short {one.yours_short:.0f}, left {one.yours_left:.0f}; ours short "
                f"{one.ours_short:.0f}, left {one.ours_left:.0f}"
            )
    for key in lacking:
        out.print(f"  [bold]{escape(key)}[/]: too few nights tell it: no par")
    for words in _cautions(kept.house.file.chosen_rules, pars):
        out.print(f"[dim]  {escape(words)}[/]")


def _covers(covers: Covers) -> str:
    if covers.counts is None:
        return "too few days are known to say how many come"
    low, high = covers.counts.band()
    return f"{covers.counts.middle} covers ({low} to {high})"


def _print_par(kept: Kept, currency: str, par: Par, change: Change | None) -> None:
    ours, wanted = par.ours, par.ahead.demand[0]
    low, high = wanted.band()
    out.print(
        f"  [bold]{escape(par.made.name)}: par {ours.par}[/] = {ours.on_hand} there + "
        f"[bold]make {ours.make}[/]   for {wanted.middle} wanted ({low} to {high})"
    )
    out.print(f"      {escape(sum_words(ours, currency))}; runs out {one_in(ours.runs_out)}")
    if par.rule is not None:
        last = ", ".join(f"{count:.0f}" for _, count in par.last)
        out.print(
            f"      last {len(par.last)}: {last}, and a fifth: par {par.rule.par} comes to "
            f"{money(par.rule.money, currency)}; runs out {one_in(par.rule.runs_out)}"
        )
    before = _before(kept, par)
    if before:
        short = sum(count > ours.par for count in before)
        out.print(f"      of the last {len(before)} such nights {short} wanted more than {ours.par}")
    if change is not None:
        own = par.at(change.yours)
        out.print(
            f"      * yours {own.par} ({escape(change.person)}: {escape(change.why)}) comes to "
            f"{money(own.money, currency)}; runs out {one_in(own.runs_out)}"
        )
    if ours.old_binned >= 0.5:
        out.print(
            f"      of what is there {ours.old_binned:.0f} will hardly be wanted in its days: use it first"
        )
    for lot in par.past:
        out.print(
            f"      {lot.portions} of {lot.made.isoformat()} are past their days: not counted, bin them"
        )
    for remark in par.remarks:
        out.print(f"      {escape(remark)}")


def _before(kept: Kept, par: Par) -> tuple[float, ...]:
    history = kept.history.before(par.day)
    known = history.open_days[-1].day
    last = last_same_weekdays(history, par.day, known, portions_of(par.made.uses), LOOKED_BACK)
    return tuple(count for _, count in last)


def sum_words(one: Sum, currency: str) -> str:
    """The sum as a chef can do it again: portions times money, each kind."""
    costs = one.costs
    parts = [
        f"short {one.short:.1f} x {currency}{costs.short:g}",
        f"binned {one.binned:.1f} x {currency}{costs.waste:g}",
    ]
    if costs.older:
        parts.append(f"carried {one.carried:.1f} x {currency}{costs.older:g}")
    return f"{' + '.join(parts)} = {money(one.money, currency)}"


def money(amount: float, currency: str) -> str:
    """To the nearest whole.

    >>> money(11.4, "€")
    '€11'
    """
    return f"{currency}{amount:.0f}"


def _cautions(rules: RuleSet | None, pars: Mapping[str, Par]) -> list[str]:
    """What has to be said of days; the house's own rule set is named where it gives fewer."""
    said = []
    rule = next(iter(rules.of(DateMark)), None) if rules is not None else None
    if rules is not None and rule is not None:
        most = rule.days if rule.making_is_day_one else rule.days + 1
        said = [
            f"{par.made.name}: {par.made.days} days here, {most} by {rules.named}: the fewer count"
            for par in pars.values()
            if par.made.days > most
        ]
    return [*said, CAUTION]


def _body(
    kept: Kept,
    file: ParsFile,
    covers: Covers,
    pars: Mapping[str, Par],
    changes: Mapping[str, Change],
    checked: Mapping[str, Judged],
    lacking: Sequence[str],
    left_out: Sequence[Finding],
    counted: bool,
) -> dict[str, object]:
    return {
        "house": kept.house.file.name,
        "day": covers.day.isoformat(),
        "currency": file.currency,
        "covers": None if covers.counts is None else covers.counts.middle,
        "stock_counted": counted,
        "pars": [_par(kept, one, changes.get(key), checked.get(key)) for key, one in pars.items()],
        "no_par": list(lacking),
        "left_out": [str(one) for one in left_out],
        "no_row": [str(one) for one in kept.lacks],
        "cautions": _cautions(kept.house.file.chosen_rules, pars),
    }


def _par(kept: Kept, par: Par, change: Change | None, checked: Judged | None) -> dict[str, object]:
    wanted = par.ahead.demand[0]
    low, high = wanted.band()
    before = _before(kept, par)
    return {
        "item": par.made.key,
        "name": par.made.name,
        "days": par.made.days,
        "until_next_days": par.ahead.until_next,
        "wanted": wanted.middle,
        "low": low,
        "high": high,
        "ours": _sum(par.ours),
        "rule": None if par.rule is None else _sum(par.rule),
        "yours": None if change is None else _sum(par.at(change.yours)),
        "why": None if change is None else change.why,
        "person": None if change is None else change.person,
        "last_same_weekdays": {day.isoformat(): count for day, count in par.last},
        "nights_looked_back": len(before),
        "nights_that_wanted_more": sum(count > par.ours.par for count in before),
        "lots": [{"made": lot.made.isoformat(), "portions": lot.portions} for lot in par.lots],
        "past_their_days": [{"made": lot.made.isoformat(), "portions": lot.portions} for lot in par.past],
        "remarks": list(par.remarks),
        "changes_judged": None if checked is None else vars(checked),
    }


def _sum(one: Sum) -> dict[str, float]:
    return {
        "par": one.par,
        "on_hand": one.on_hand,
        "make": one.make,
        "runs_out_chance": round(one.runs_out, 4),
        "short_portions": round(one.short, 3),
        "binned_portions": round(one.binned, 3),
        "carried_portions": round(one.carried, 3),
        "old_binned_portions": round(one.old_binned, 3),
        "short_money_each": one.costs.short,
        "waste_money_each": one.costs.waste,
        "older_money_each": one.costs.older,
        "money": round(one.money, 2),
    }
