"""`capacity`: does the house want a second oven, or something cheaper first; in an owner's words."""

from __future__ import annotations

from dataclasses import asdict
from math import isfinite
from pathlib import Path

from rich.markup import escape

from hearthtide.capacity.second_oven import Case, Flip, flips, hour_flips, payback_range, verdict
from hearthtide.capacity.supply import (
    PIES_H_CUT_ELSEWHERE,
    PIES_H_ONE,
    Freed,
    Hour,
    Step,
    TRADE_USES_m2min,
    stepped,
)
from hearthtide.cli.shared import out, print_json
from hearthtide.house.capacity_file import NAME, CapacityFile, read_capacity
from hearthtide.house.files import read_house

SHOWN_FLIPS = 5
WORDS = {
    "turned_away": ("covers turned away a night", "{:.0f}"),
    "nights": ("such nights a year", "{:.0f}"),
    "margin": ("money a cover", "{:.0f}"),
    "recovered": ("share of them served", "{:.0%}"),
    "price": ("for the oven", ""),
    "cook_h": ("the cook an hour", "{:.0f}"),
    "fuel_h": ("its fuel an hour", "{:.0f}"),
    "hours": ("hours a night", "{:.1f}"),
}
VERDICTS = {
    "steps first": "Do the steps first and measure again for six weeks: with them the hour fits your stone.",
    "second oven": "The steps do not make the hour fit, and a second oven is back in the years you give it.",
    "neither": "The steps do not make the hour fit, and a second oven is not back in the years you give it.",
}
BEFORE_BUYING = (
    "Before an oven is bought: flue, extraction, fire separation, the gas or fuel line and the floor's load "
    "are for licensed people and your local code; none of it is in these sums."
)


def run_capacity(path: Path, json: bool) -> None:
    """Prints the answer for a house's folder or a file of an owner's figures."""
    house = read_house(path) if path.is_dir() else None
    file = read_capacity(path / NAME if house is not None else path, house, TRADE_USES_m2min)
    hour = Hour(file.usable_area, file.covers, file.per_100_covers, file.uses)
    nights = file.turned_away.nights
    freed = stepped(hour, tuple(_step(file, i) for i in range(len(file.steps))), nights)
    case = case_of(file)
    if json:
        print_json("capacity", _body(file, hour, freed, case))
    else:
        _print(file, hour, freed, case)


def case_of(file: CapacityFile) -> Case:
    oven, away = file.second_oven, file.turned_away
    return Case(
        away.covers, away.nights, away.margin, oven.price, oven.cook, oven.fuel, oven.hours, oven.recovers
    )


def _step(file: CapacityFile, i: int) -> Step:
    one = file.steps[i]
    return Step(one.name, one.off, dict(one.uses), one.peak_less, one.costs, one.costs_night)


def note(amount: float, currency: str) -> str:
    """Money as an owner says it: to the nearest hundred from a thousand up, else to the nearest five.

    >>> note(25536.0, "€"), note(94.5, "€"), note(9072.0, "€")
    ('€25,500', '€95', '€9,100')
    """
    step = 100 if abs(amount) >= 1000 else 5
    return f"{currency}{round(amount / step) * step:,}"


def half_years(years: float) -> str:
    """To the half year.

    >>> half_years(3.008), half_years(2.31), half_years(float("inf"))
    ('3 years', '2.5 years', 'never')
    """
    return f"{round(2 * years) / 2:g} years" if isfinite(years) else "never"


def _print(file: CapacityFile, hour: Hour, freed: tuple[Freed, ...], case: Case) -> None:
    money, oven = file.currency, file.second_oven
    after = freed[-1].so_far if freed else hour
    out.print(
        f"[bold]{escape(file.name)}: a second oven?[/] {VERDICTS[verdict(after, case, oven.pays_within)]}"
    )
    out.print(
        f"  The peak hour wants {hour.wanted_m2min:.0f} m²·min for {hour.covers:.0f} covers; "
        f"{hour.usable_m2:.2f} m² of stone give {hour.comfortable_m2min:.0f} in comfort, "
        f"{hour.limit_m2min:.0f} at most: "
        f"[bold]{hour.of_limit:.0%} of the limit[/]"
    )
    parts = hour.parts_m2min.items()
    out.print(f"      {', '.join(f'{escape(dish)} {part:.1f}' for dish, part in parts)}")
    for line in _hands(hour):
        out.print(f"      {line}")
    if freed:
        out.print("  [bold]First, the cheapest for what it frees:[/]")
    for one in freed:
        out.print(f"      {escape(_step_words(one, money))}")
    if after.of_limit < 1 and freed:
        out.print(f"      {_room_words(hour, after)}")
    for line in _oven_lines(file, case):
        out.print(line)
    for line in _flip_lines(file, hour, after, case):
        out.print(line)
    out.print(f"[bold]  {BEFORE_BUYING}[/]")


def _hands(hour: Hour) -> list[str]:
    """What the hour's pies say of hands: often the nearer limit."""
    pies = hour.covers / 100 * hour.per_100.get("pizza", 0.0)
    if pies <= PIES_H_ONE:
        return []
    more = "more than that too" if pies > PIES_H_CUT_ELSEWHERE else "which is enough"
    return [
        f"{pies:.0f} pies in it: one pair of hands makes about {PIES_H_ONE}, about {PIES_H_CUT_ELSEWHERE} "
        f"with the cutting done elsewhere, {more}; clock yours, no stone mends it"
    ]


def _step_words(one: Freed, money: str) -> str:
    costs = [
        *([note(one.step.costs, money)] if one.step.costs else []),
        *([f"{note(one.step.costs_night, money)} a night"] if one.step.costs_night else []),
    ]
    price = " and ".join(costs) or "nothing"
    freed = f"frees {one.alone_m2min:.1f} m²·min" if one.alone_m2min > 0.05 else "frees nothing"
    return f"{one.step.name}: {freed}, costs {price}; then {one.so_far.of_limit:.0%} of the limit"


def _oven_lines(file: CapacityFile, case: Case) -> list[str]:
    money, oven = file.currency, file.second_oven
    soon, late = payback_range(case, oven.recovers_from, oven.recovers_to)
    return [
        f"  [bold]A second oven:[/] turned away {case.turned_away:g} x {case.nights:g} nights x "
        f"{money}{case.margin:g} = {note(case.lost_year, money)} a year",
        f"      it serves {case.recovered:.0%} of them, {note(case.recovered * case.lost_year, money)}; "
        f"cook and fuel ({case.cook_h:g} + {case.fuel_h:g}) x {case.hours:g} h x {case.nights:g} = "
        f"{note(case.running_year, money)}",
        f"      {note(case.price, money)} is back in [bold]about {half_years(case.payback_years)}[/] "
        f"({half_years(soon)} to {half_years(late)}, if it serves {oven.recovers_to:.0%} or "
        f"{oven.recovers_from:.0%})",
    ]


def _flip_lines(file: CapacityFile, hour: Hour, after: Hour, case: Case) -> list[str]:
    within = file.second_oven.pays_within
    lines = [
        "  [bold]What would flip the answer[/], one figure at a time:",
        _hour_words(hour, after),
    ]
    shown = [flip for flip in flips(case, within) if flip.at is not None][:SHOWN_FLIPS]
    paid = "; ".join(_flip_words(flip, file.currency) for flip in shown)
    lines.append(f"      the oven is back in {half_years(within)}: {paid}")
    return lines


def _room_words(hour: Hour, after: Hour) -> str:
    if after.wanted_m2min <= 0:
        return "nothing stands on the stone then: it is hands and hot dishes that end the hour"
    served = after.most_covers * hour.covers / after.covers - hour.covers
    return f"room for {served:.0f} covers more in the hour, by the stone alone"


def _hour_words(hour: Hour, after: Hour) -> str:
    told = hour_flips(hour, after)
    if not told:
        return "      with nothing on the stone no number of covers fills it: the steps do by the stone alone"
    covers, usable_m2, use = told.items()
    dish = use[0].removeprefix("use of ")
    return (
        f"      the steps no longer do from {covers[1]:.0f} covers in the hour (now {hour.covers:.0f}), "
        f"below {usable_m2[1]:.2f} m² of stone (now {hour.usable_m2:.2f}), or from {use[1]:.2f} m²·min a "
        f"plate of {escape(dish)} (now {after.uses_m2min[dish]:.2f})"
    )


def _flip_words(flip: Flip, money: str) -> str:
    words, shape = WORDS[flip.name]
    side = "from" if flip.pays_above else "up to"
    values = (0.0 if flip.at is None else flip.at, flip.now)
    at, now = (shape.format(value) if shape else note(value, money) for value in values)
    return f"{side} {at} {words} (now {now})"


def _body(file: CapacityFile, hour: Hour, freed: tuple[Freed, ...], case: Case) -> dict[str, object]:
    oven = file.second_oven
    after = freed[-1].so_far if freed else hour
    soon, late = payback_range(case, oven.recovers_from, oven.recovers_to)
    return {
        "house": file.name,
        "currency": file.currency,
        "verdict": verdict(after, case, oven.pays_within),
        "hour": {
            "covers": hour.covers,
            "wanted_m2min": round(hour.wanted_m2min, 2),
            "comfortable_m2min": round(hour.comfortable_m2min, 2),
            "limit_m2min": round(hour.limit_m2min, 2),
            "of_limit": round(hour.of_limit, 4),
            "parts_m2min": {dish: round(part, 3) for dish, part in hour.parts_m2min.items()},
            "pies": round(hour.covers / 100 * hour.per_100.get("pizza", 0.0), 1),
        },
        "steps": [
            {
                "name": one.step.name,
                "frees_m2min": round(one.alone_m2min, 2),
                "of_limit_then": round(one.so_far.of_limit, 4),
                "costs": one.step.costs,
                "costs_night": one.step.costs_night,
            }
            for one in freed
        ],
        "second_oven": {
            **{key: value for key, value in asdict(case).items()},
            "lost_year": round(case.lost_year),
            "running_year": round(case.running_year),
            "net_year": round(case.net_year),
            "payback_years": _years(case.payback_years),
            "payback_years_from": _years(soon),
            "payback_years_to": _years(late),
        },
        "flips_hour": {name: round(value, 3) for name, value in hour_flips(hour, after).items()},
        "flips_payback": [
            {**vars(flip), "at": None if flip.at is None else round(flip.at, 3)}
            for flip in flips(case, oven.pays_within)
        ],
        "cautions": [BEFORE_BUYING],
    }


def _years(years: float) -> float | None:
    return round(years, 2) if isfinite(years) else None
