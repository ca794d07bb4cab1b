"""`hearthtide heat --answer` left, fuel and where: what is there, and what it took; and figures in words."""

from __future__ import annotations

from dataclasses import asdict

import numpy as np
from rich.markup import escape

from hearthtide.cli import heat_pictures as pictures
from hearthtide.cli.heat_asked import LEFT_AT, OUT_AT, RUN_H, Case, Told, bad, hours_after
from hearthtide.cli.heat_fed import Spent, fed_body, spent_lines, spent_of
from hearthtide.house.oven_design import METERED_J_m3
from hearthtide.oven.advance import as_fire
from hearthtide.oven.answers import EVERY_S, Course, Left, course, flame_m, left_at
from hearthtide.oven.design import FlameLevel
from hearthtide.oven.feeding import FIRST_S, shut_air_share
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.model import Oven
from hearthtide.oven.program import fire_at
from hearthtide.oven.readings import fuel_of, where_between
from hearthtide.printing.curves import elapsed
from hearthtide.ranges import Array
from hearthtide.safety.cautions import HOUSE_CAUTIONS

PRIORS = (
    "From the lower to the higher figure: with air and radiance of the flame, or films and the door's gap, "
    "as far off as we choose to allow. What the walls are made of may be further off."
)


def tell_left(case: Case) -> Told:
    oven, asked = case.oven, case.asked
    out_at = asked.out_at or OUT_AT
    hours, clocks = hours_after(out_at, asked.at or LEFT_AT)
    doors = {"on": (True,), "off": (False,)}.get(asked.door or "both", (False, True))
    found = [_left(case, shut, hours) for shut in doors if oven.design.mouth.door or not shut]
    lines = [f"[bold]What is left[/], {_out_words(case, out_at)}; {case.begun}:"]
    rows: list[dict[str, object]] = []
    for left, bounds in found:
        door = "on" if left.shut else "off"
        lines.append(f"  door {door}:")
        for i, clock in enumerate(clocks):
            low_C, high_C = (left.course.at_s(3600 * hours[i], bound) for bound in bounds)
            lines.append(
                f"    {clock}  stone {left.stone_C[i]:4.0f} °C ({low_C:.0f} to {high_C:.0f}), "
                f"half way down {left.inner_C[i]:4.0f}, dome {left.dome_C[i]:4.0f}"
            )
            rows.append({"door": door, "clock": clock, "hours": hours[i], **_figures(left, i, low_C, high_C)})
    choked = _choked(case) if True in doors and oven.design.mouth.door else None
    if choked is not None and choked < 1.0:
        lines.append(
            f"  The shut door's gap lets in air for {choked:.0%} of that fire as it stands at {out_at}: the "
            "rest smoulders on for longer, and the figures behind the door are too high."
        )
    cautions = [text for text in HOUSE_CAUTIONS if text.startswith(("Carbon monoxide", "Embers"))]
    lines += [PRIORS, *(f"[bold]{escape(text)}[/]" for text in cautions)]
    body: dict[str, object] = {"begun": case.begun, **_fed(case, 1.0), "rows": rows, "cautions": cautions}
    if choked is not None:
        body["door_air_share"] = round(choked, 3)
    return Told(body, lines, lambda: pictures.falling(found))


def _left(case: Case, shut: bool, hours: tuple[float, ...]) -> tuple[Left, tuple[Array, Array]]:
    span_s = max(3600 * hours[-1], EVERY_S)
    fire = 0.0 if case.fed is None else case.fed.program(span_s)
    left = left_at(case.oven, case.state, shut, hours, case.tell, fire)

    def falling_C(oven: Oven) -> Array:
        return course(oven, case.state, fire, span_s, shut=shut).stone_C

    return left, case.spread(falling_C, burning=False)


def _choked(case: Case) -> float | None:
    """Share of the wood left on the hearth that a shut door leaves air for; None where a flame went out."""
    if case.fed is None:
        return None
    fire = fire_at(case.fed.program(FIRST_S), 0.0)
    return shut_air_share(case.oven, case.state, as_fire(case.oven, fire))


def _figures(left: Left, i: int, low_C: float, high_C: float) -> dict[str, float]:
    return {
        "stone_C": round(float(left.stone_C[i]), 1),
        "low_C": round(low_C, 1),
        "high_C": round(high_C, 1),
        "inner_C": round(float(left.inner_C[i]), 1),
        "dome_C": round(float(left.dome_C[i]), 1),
        "given_up_J": round(float(left.given_up_J[i])),
    }


def tell_fuel(case: Case) -> Told:
    oven, hours = case.oven, case.asked.hours or RUN_H
    run = case.burn(oven, 3600 * hours, on_progress=case.tell)
    used, ledger = fuel_of(run.ledger, oven.fuel, METERED_J_m3.get(oven.design.fuel), case.price), run.ledger
    spent = spent_on(case, 3600 * hours, ledger)
    volume = "" if used.volume_m3 is None else f", {used.volume_m3:.2f} m³ by the meter"
    cost = "" if used.cost is None else f"; at {case.asked.price} that costs {used.cost:.2f}"
    took = [
        f"  {used.energy_kWh:.1f} kWh, {used.mass_kg:.2f} kg of {oven.design.fuel.replace('_', ' ')}"
        f"{volume}{cost}."
    ]
    shares = {
        "stone": ledger.floor_J,
        "dome": ledger.dome_J,
        "gas out": ledger.flue_J,
        "mouth": ledger.mouth_J,
        "shell": ledger.shell_J,
    }
    lines = [
        f"[bold]Fuel[/] for {hours:g} h, {fire_text(case)}, {case.begun}:",
        *(took if spent is None else spent_lines(spent, case.asked.price)),
        "  Of that: "
        + ", ".join(f"{name} {joules / ledger.fuel_J:.0%}" for name, joules in shares.items())
        + ".",
    ]
    if oven.design.fuel != "wood":
        lines.append(
            "  Counted on the net calorific value; a bill may count on the gross one, about a tenth more kWh."
        )
    body = {
        "flame": None if case.fed else case.flame.name,
        "begun": case.begun,
        "hours": hours,
        **asdict(used),
        **({} if spent is None else asdict(spent)),
        **_fed(case, 3600 * hours),
        "price": case.asked.price,
        "ledger": asdict(ledger),
    }
    title = f"Where the heat of {hours:g} h went, {fire_name(case)}"
    return Told(body, lines, lambda: pictures.ledger(ledger, title))


def tell_where(case: Case) -> Told:
    oven, band, asked = case.oven, case.house.oven.floor_band, case.asked
    low_C = band.low if asked.low_C is None else asked.low_C
    high_C = band.high if asked.high_C is None else asked.high_C
    if low_C >= high_C:
        raise bad("low_C", f"{low_C:g}", f"less than {high_C:g} °C", "Give the lower one first.")
    found = where_between(oven, case.state, low_C, high_C)
    lines = [
        f"[bold]From {low_C:.0f} to {high_C:.0f} °C[/] {case.begun}:",
        f"  {found.share:.0%} of the stone, drawn # (seen from the mouth, mouth at the bottom).",
        f"  All of it: {found.least_C:.0f} to {found.most_C:.0f} °C, half of it above {found.median_C:.0f}.",
        *pictures.cell_map(oven, found.inside),
    ]
    cells = [
        {"x_m": round(float(x), 3), "y_m": round(float(y), 3), "stone_C": round(float(c), 1)}
        for (x, y), c in zip(oven.cells_m[found.inside], case.state.floor_C[found.inside], strict=True)
    ]
    body = {
        "begun": case.begun,
        "low_C": low_C,
        "high_C": high_C,
        "share": round(found.share, 4),
        "least_C": round(found.least_C, 1),
        "median_C": round(found.median_C, 1),
        "most_C": round(found.most_C, 1),
        "cell_sides_m": list(oven.stone.sides_m),
        "cells": cells,
    }
    return Told(body, lines, lambda: pictures.floor_map(oven, case.state, (low_C, high_C)))


def rows_of(run: Course, bounds: tuple[Array, Array]) -> list[dict[str, float | None]]:
    def figure(value: float) -> float | None:
        return round(float(value), 1) if np.isfinite(value) else None

    return [
        {
            "time_s": float(run.times_s[i]),
            "stone_C": figure(run.stone_C[i]),
            "low_C": figure(bounds[0][i]),
            "high_C": figure(bounds[1][i]),
            "near_C": figure(run.near_C[i]),
            "inner_C": figure(run.inner_C[i]),
            "dome_C": figure(run.dome_C[i]),
        }
        for i in range(len(run.times_s))
    ]


def fire_text(case: Case) -> str:
    """The fire of a question: its flame with power and height, or the wood as fed and what burnt before."""
    return flame_text(case.oven, case.flame) if case.fed is None else case.fed.words + case.fed.hearth


def fire_name(case: Case) -> str:
    """The fire in few words, for a picture."""
    return f"flame {case.flame.name}" if case.fed is None else case.fed.words


def fire_body(case: Case, until_s: float) -> dict[str, object]:
    """The fire as JSON carries it; a fed one has no one power."""
    if case.fed is None:
        return {"flame": case.flame.name, "power_W": case.flame.power_W}
    return {"flame": None, "power_W": None, **_fed(case, until_s)}


def spent_on(case: Case, until_s: float, ledger: Ledger) -> Spent | None:
    """The wood that a run to `until_s` took; None for a flame."""
    if case.fed is None:
        return None
    return spent_of(case.fed, until_s, ledger, case.oven.fuel, case.price)


def _fed(case: Case, until_s: float) -> dict[str, object]:
    return {} if case.fed is None else {"fed": fed_body(case.fed, until_s)}


def _out_words(case: Case, out_at: str) -> str:
    if case.fed is None:
        return f"flame out at {out_at}"
    return f"{case.fed.words} until {out_at}, its embers left on the hearth"


def flame_text(oven: Oven, level: FlameLevel) -> str:
    """A named flame with its power and height."""
    length = length_text(flame_m(oven, level.power_W))
    return f"flame {escape(level.name)}, {level.power_W / 1000:.1f} kW{length}"


def length_text(flame_m: float | None) -> str:
    """A flame's height behind a comma; nothing for none."""
    return f", about {flame_m * 100:.0f} cm of flame" if flame_m else ""


def minutes_text(time_s: float) -> str:
    """Minutes up to two hours, then h:mm.

    >>> minutes_text(1800.0), minutes_text(7260.0)
    ('30 min', '2:01 h')
    """
    return f"{time_s / 60:.0f} min" if time_s < 7200 else f"{elapsed(time_s)} h"
