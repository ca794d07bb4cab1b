"""The tables of the report: what each plate came out as, both ways, promises, figures."""

from __future__ import annotations

from collections.abc import Sequence

from hearthtide.house.models import House
from hearthtide.planning.plan import OWN_MINUTES, Check, Comparison, ItemReport, Plan
from hearthtide.printing.cores import asked_core_C
from hearthtide.printing.html import element, section, table
from hearthtide.printing.shown import clock, colour_word, degrees, percent, stretch
from hearthtide.quantities.show import clock_text

BURN_HORIZON_S = 240.0  # the food models look this far ahead for burning, see food.outcome.burn_margin_s


def plates_tables(plan: Plan, house: House) -> str:
    """One table per dish with a row per plate."""
    head = (
        "plate", "in", "minutes", "core at pull", "at landing", "colour", "below", "to burnt", "weight lost"
    )  # fmt: skip
    parts = []
    for key in dict.fromkeys(item.dish for item in plan.items):
        plates = [item for item in plan.items if item.dish == key]
        dish = house.dishes[key]
        asked = asked_core_C(dish)
        words = "No core is asked." if asked is None else f"Core asked at the pull: {degrees(asked)} °C."
        if dish.core_at_landing is not None:
            words += f" At the landing: {degrees(dish.core_at_landing)} °C."
        sources = " and ".join(sorted({plate.minutes_from for plate in plates}))
        words += f" Minutes from the {sources}."
        rows = [_plate(plate) for plate in plates]
        parts += [element("h3", dish.name), element("p", words, css="lead"), table(head, rows, "figures")]
    return "".join(parts)


def _plate(plate: ItemReport) -> tuple[str, ...]:
    start = plate.stays[0].start_s
    return (
        plate.item,
        clock(start),
        stretch(plate.stays[-1].end_s - start),
        f"{degrees(plate.core_C_at_pull)} °C",
        f"{degrees(plate.core_C_at_landing)} °C",
        _spread(plate),
        colour_word(plate.bottom_colour),
        burn_words(plate.burn_margin_s),
        percent(plate.weight_loss),
    )


def _spread(plate: ItemReport) -> str:
    """The colour of the top, from its palest side to its darkest."""
    least, most = colour_word(plate.colour_least), colour_word(plate.colour_most)
    return least if least == most else f"{least} to {most}"


def burn_words(margin_s: float) -> str:
    """How long a plate could have stayed before its worst face is past dark.

    >>> burn_words(0), burn_words(4.3), burn_words(43), burn_words(240)
    ('past dark', 'under 0:15', '0:45', 'over 4:00')
    """
    if margin_s <= 0:
        return "past dark"
    if margin_s >= BURN_HORIZON_S:
        return f"over {stretch(BURN_HORIZON_S)}"
    return "under 0:15" if margin_s < 15 else stretch(margin_s)


def chosen_comparison(comparisons: Sequence[Comparison], beside: str | None) -> Comparison | None:
    """The ticket asked for, else the one whose landing differs most; one the models never land ranks last.

    None when no ticket was planned both ways, or the one asked for was not.
    """
    if beside is not None:
        return next((c for c in comparisons if c.ticket == beside), None)
    return max(comparisons, key=_difference_s, default=None)


def _difference_s(comparison: Comparison) -> float:
    if comparison.models_landing_s is None:
        return -1.0
    return abs(comparison.models_landing_s - comparison.house_landing_s)


def comparison_section(plan: Plan, house: House, beside: str | None) -> str:
    """One ticket on the house's own minutes and on the models'."""
    chosen = chosen_comparison(plan.comparison, beside)
    if chosen is None:
        which = "No ticket was" if beside is None else f"{beside} was not"
        why = f"{which} planned both ways: only dishes with the house's own minutes can be."
        return section("Both ways", element("p", why))
    landing = f"On the house's minutes {chosen.ticket} lands at {clock(chosen.house_landing_s)}. "
    if chosen.models_landing_s is None:
        landing += (
            "On the models' minutes it was not planned: they see a plate whose target never comes true, "
        )
        landing += "or the stone and the hands leave no room."
    else:
        landing += f"On the models' minutes it would land at {clock(chosen.models_landing_s)}."
    head = ("plate", "house", "models", "in, house", "in, models", "why")
    rows = [
        (
            f"{row.item} {house.dishes[row.dish].name.lower()}",
            stretch(row.house_s),
            "none" if row.models_s is None else stretch(row.models_s),
            clock(row.house_in_s),
            "none" if row.models_in_s is None else clock(row.models_in_s),
            row.why,
        )
        for row in chosen.rows
    ]
    return section(f"Both ways: {chosen.ticket}", element("p", landing), table(head, rows, "both"))


def _kept(check: Check) -> str:
    if check.name == OWN_MINUTES:
        return "○ noted"
    return "● kept" if check.ok else "△ broken"


def checks_section(checks: Sequence[Check]) -> str:
    """Every promise: kept with a full round, broken with an open triangle, and the word."""
    rows = [(check.name, _kept(check), check.detail) for check in checks]
    lead = "Judged by a check that shares nothing with the search, and by the models run over the whole plan."
    return section(
        "The promises", element("p", lead, css="lead"), table(("promise", "", "what decides"), rows, "facts")
    )


FIGURES: dict[str, tuple[str, str, str]] = {
    "covers": ("covers", "", "guests of all tickets added up"),
    "tickets": ("tickets", "", "tables of the night file"),
    "items": ("plates", "", "dishes of all tickets added up"),
    "places": ("places", "", "places on the stone where an outline of this house fits, both ways round"),
    "cost_s": ("cost of the schedule", "s", "what the search makes small: late, early and apart, weighed"),
    "tries": ("schedules tried", "", "schedules the search made and compared"),
    "late_max_s": ("latest landing", "m", "the largest of: planned minute less wanted minute"),
    "late_total_s": ("lateness together", "m", "planned less wanted minute, added over all that land late"),
    "floor_low_C": ("coolest working stone", "°C", "least mean of the free working zone from doors on"),
    "floor_high_C": ("hottest working stone", "°C", "greatest mean of the free working zone from doors on"),
    "floor_ready_s": ("stone ready", "clock", "first minute with the working stone in the house's band"),
    "fuel_MJ": ("fuel", "MJ", "power of the flame times the time it is held, from lighting to the last pull"),
    "oven_steps": ("steps of the oven model", "", "time steps from lighting to the last pull"),
    "solve_s": ("search", "s", "computing time spent on the search"),
    "verify_s": ("models over the plan", "s", "computing time spent running oven and food over the plan"),
    "field_s": ("oven and minutes", "s", "computing time spent on the oven, the flame and the minutes"),
    "rounds": ("times verified", "", "runs of the models over the whole night"),
    "seed": ("seed", "", "the number the search's chance starts from: the same seed gives the same plan"),
}  # fmt: skip


def figures_section(plan: Plan) -> str:
    """The plan's figures with unit, meaning and, where it is short, the sum."""
    rows = []
    for key, value in plan.figures.items():
        name, unit, meaning = FIGURES.get(key, (key.replace("_", " "), "", ""))
        rows.append((name, _figure(value, unit), meaning))
    fuel, covers = plan.figures.get("fuel_MJ"), plan.figures.get("covers")
    if fuel is not None and covers:
        total = f"{fuel:.0f} MJ over {covers:.0f} covers"
        rows.append(("fuel a cover", f"{fuel / covers:.1f} MJ", f"{total}; 3.6 MJ are 1 kWh"))
    return section("The figures", table(("figure", "", "what it is"), rows, "facts"))


def _figure(value: float, unit: str) -> str:
    if unit == "clock":
        return clock_text(value) if value else "never"
    if unit == "m":
        return stretch(value)
    shown = f"{value:.0f}" if abs(value) >= 10 or value == round(value) else f"{value:.1f}"
    return f"{shown} {unit}".rstrip()
