"""`hearthtide check`: read everything a house wrote down and say what is there."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import asdict
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.shared import out, print_json
from hearthtide.errors import Finding, InputError
from hearthtide.house import (
    ahead_file,
    chill_file,
    falling_file,
    fuel_file,
    prep_file,
    rota_file,
    supplies_file,
)
from hearthtide.house.files import oven_design, read_house, read_night
from hearthtide.house.history_file import has_history, take_history
from hearthtide.house.models import House, NightFile
from hearthtide.house.oven_design import hearth_of
from hearthtide.house.pars_file import NAME as PARS
from hearthtide.house.pars_file import ParsFile, read_pars
from hearthtide.planning.build import house_outlines, stage_masks
from hearthtide.planning.places import Places, enumerate_places


def run_check(folder: Path, json: bool) -> None:
    """Print what the house holds. Raises InputError with every finding of the house, or of all its nights."""
    house = read_house(folder)
    nights = _nights(house)
    days, made = _days(house)
    places = enumerate_places(oven_design(house), house.file.zones, house_outlines(house))
    dishes = {key: _spots(house, places, key) for key in house.dishes}
    if json:
        body = {
            "house": house.file.name,
            "dishes": [{"dish": key, "places": spots} for key, spots in dishes.items()],
            "foods": list(house.foods),
            "nights": [_night(name, night) for name, night in nights.items()],
            "days_sold": days,
            "made_ahead": made,
        }
        print_json("check", body)
        return
    count = f"{len(nights)} {'night' if len(nights) == 1 else 'nights'}"
    out.print(
        f"[bold]{escape(house.file.name)}[/]: {_hearth(house)}, "
        f"{len(house.file.cooks)} at it, {len(dishes)} dishes, {count}. Nothing wrong found."
    )
    for key, spots in dishes.items():
        stages = "; ".join(f"{name} {count} spots" for name, count in spots.items())
        out.print(f"  {escape(key)}: {escape(stages)}")
    for key in house.foods:
        out.print(f"  {escape(key)}: a food of the house's own")
    if house.file.colours is not None:
        words = asdict(house.file.colours.scale()).items()
        starts = ", ".join(f"{word.removesuffix('_dE')} {dE:.3g}" for word, dE in words)
        out.print(f"  colours begin at a difference from raw (dE) of {starts}")
    for name, night in nights.items():
        facts = _night(name, night)
        out.print(
            f"  night {escape(name)}: {facts['tickets']} tickets, {facts['covers']} covers, "
            f"{facts['items']} items"
        )
    if days:
        out.print(f"  sales of {days} days")
    if made:
        out.print(f"  made ahead: {escape(', '.join(made))}")


def _days(house: House) -> tuple[int, list[str]]:
    """How many days of sales there are and what is made ahead; or every finding in the files of the day."""
    findings: list[Finding] = []
    days, made = 0, []
    if has_history(house):
        try:
            taken = take_history(house)
            days, findings = len(taken.history.open_days), [*taken.wrong]
        except InputError as err:
            findings += err.findings
    pars = None
    if _there(house, PARS):
        try:
            pars = read_pars(house)
            made = list(pars.made)
        except InputError as err:
            findings += err.findings
    for name, read in _readers(house, pars):
        try:
            if _there(house, name):
                read()
        except InputError as err:
            findings += err.findings
    if findings:
        raise InputError(tuple(findings))
    return days, made


def _there(house: House, name: str) -> bool:
    return (Path(house.folder) / name).is_file()


def _readers(house: House, pars: ParsFile | None) -> Iterator[tuple[str, Callable[[], object]]]:
    """The files of the day around the night; what speaks of pars.yaml's things only where that is right."""
    made = None if pars is None else tuple(pars.made)
    yield rota_file.NAME, lambda: rota_file.read_rota(house)
    yield ahead_file.NAME, lambda: ahead_file.read_ahead(house, made)
    yield chill_file.NAME, lambda: chill_file.read_chill(house)
    yield falling_file.NAME, lambda: falling_file.read_falling(house)
    yield fuel_file.NAME, lambda: fuel_file.read_fuel(house)
    if pars is not None:
        yield prep_file.NAME, lambda: prep_file.read_prep(house, pars, _people(house))
        yield supplies_file.NAME, lambda: supplies_file.read_supplies(house, pars)


def _people(house: House) -> frozenset[str]:
    return frozenset(one.name for one in rota_file.read_rota(house).people)


def _nights(house: House) -> dict[str, NightFile]:
    """Every night of the house, or every finding in any of them."""
    nights: dict[str, NightFile] = {}
    findings: list[Finding] = []
    for path in sorted((Path(house.folder) / "nights").glob("*.yaml")):
        try:
            nights[path.stem] = read_night(house, path.stem)
        except InputError as err:
            findings += err.findings
    if findings:
        raise InputError(tuple(findings))
    return nights


def _spots(house: House, places: Places, key: str) -> dict[str, int]:
    dish = house.dishes[key]
    return {
        stage.name: sum(mask.bit_count() for mask in stage_masks(dish, i, places))
        for i, stage in enumerate(dish.stages)
    }


def _night(name: str, night: NightFile) -> dict[str, object]:
    return {
        "night": name,
        "tickets": len(night.tickets),
        "covers": sum(ticket.covers for ticket in night.tickets),
        "items": sum(len(ticket.dishes) for ticket in night.tickets),
    }


def _hearth(house: House) -> str:
    """The hearth in words."""
    hearth = hearth_of(house.oven)
    if house.oven.shape == "round":
        return f"round hearth {hearth.width_m * 100:.0f} cm"
    return f"rectangular hearth {hearth.width_m * 100:.0f} by {hearth.depth_m * 100:.0f} cm"
