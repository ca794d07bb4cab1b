"""`fuel`: what a day burns and for what, fuel for the days to come, what to order; with the sum."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.day_shared import day_asked, day_words
from hearthtide.cli.shared import out, print_json
from hearthtide.day.fuel import Burn, DayFuel, Order, fed, flamed, open_days, order_of, weighed
from hearthtide.errors import Finding, InputError
from hearthtide.heat.combustion import fuel
from hearthtide.house.files import oven_design, read_house
from hearthtide.house.fuel_file import BurnFile, FuelFile, read_fuel
from hearthtide.house.models import House
from hearthtide.house.oven_design import METERED_J_m3
from hearthtide.house.pars_file import WEEKDAYS
from hearthtide.oven.design import OvenDesign
from hearthtide.quantities.parse import parse_mass_kg
from hearthtide.safety.cautions import GAS_CAUTION, HOUSE_CAUTIONS

# One large city's fire code, as read in an extract: one day's wood in the room, 0.9 m clear of the oven,
# 1.8 m from its loading door, a hose in reach.
WOOD_STORE = (
    "In the room no more than one day's wood, {kg:.0f} kg, 0.9 m clear of the oven and 1.8 m from its "
    "loading door, a hose in reach (one large city's fire code; yours decides)."
)
GROSS = "Counted on the net calorific value; a bill may count on the gross one, about a tenth more kWh."
WEIGH = "Weigh one week's wood: what is written in fuel.yaml is then no guess."
METER = "Read the meter before and after a week: what is written in fuel.yaml is then no guess."


def run_fuel(
    folder: Path, days: int, begins: str | None, in_store: str | None, covers: int | None, json: bool
) -> None:
    """Prints the fuel of a day and of `days` from `begins` (today without) on."""
    from_day = date.today() if begins is None else day_asked(begins)
    house = read_house(folder)
    file = read_fuel(house)
    day = day_fuel(oven_design(house), file)
    lit = open_days(from_day, days, (WEEKDAYS.index(one) for one in file.days))
    wood = house.oven.fuel == "wood"
    there_kg = _store_kg(in_store, wood) if in_store is not None else file.in_store or 0.0
    order = order_of(day, lit, there_kg)
    guests = covers if covers is not None else file.covers
    if json:
        print_json("fuel", _body(house, file, day, order, from_day, days, guests))
    else:
        _print(house, file, day, order, from_day, days, guests)


def day_fuel(design: OvenDesign, file: FuelFile) -> DayFuel:
    """An open day's fire as the house wrote it."""
    burnt = fuel("wood", design.moisture) if design.fuel == "wood" else fuel(design.fuel)

    def burn(one: BurnFile) -> Burn:
        if one.weighed is not None:
            return weighed(burnt, one.weighed)
        if one.wood is not None:
            return fed(burnt, one.wood, one.lasts or 0.0)
        level = design.level(one.flame or "")
        return flamed(level.name, level.power_W, one.lasts or 0.0)

    metered = METERED_J_m3.get(design.fuel)
    return DayFuel(burnt, metered, tuple(map(burn, file.heat_up)), tuple(map(burn, file.service)))


def _store_kg(text: str, wood: bool) -> float:
    wrong, expected = "", "wood that is there, such as 120 kg"
    if not wood:
        wrong, expected = "Leave it out.", "no store: gas comes by a pipe or in bottles of its own"
    else:
        try:
            kg = parse_mass_kg(text)
            if 0 <= kg <= 20_000:
                return kg
            wrong = "Correct it."
        except ValueError:
            wrong = "Write it so."
    raise InputError((Finding("the command", 0, "--in-store", text, expected, wrong),))


def _units(house: House) -> tuple[str, ...]:
    """What a fuel is told in, its usual one first."""
    return ("kg", "kWh") if house.oven.fuel == "wood" else ("kWh", "m3")


def _per(house: House, file: FuelFile, day: DayFuel, covers: int | None) -> dict[str, float]:
    """Of the usual unit, a cover's and a portion's of each dish, were all the day's fire for that alone."""
    amount = day.amount(_units(house)[0])
    found = {f"portion of {dish}": amount / count for dish, count in file.portions.items()}
    return found | ({} if covers is None else {"cover": amount / covers})


def _print(
    house: House,
    file: FuelFile,
    day: DayFuel,
    order: Order,
    from_day: date,
    days: int,
    covers: int | None,
) -> None:
    unit, other = _units(house)
    out.print(f"[bold]{escape(house.file.name)}, fuel of an open day[/]: {_text(day.amount(unit), unit)}")
    for name, burns, heat_J in (
        ("until the doors", day.heat_up, day.heat_up_J),
        ("in service", day.service, day.heat_J - day.heat_up_J),
    ):
        sums = " + ".join(escape(burn.words) for burn in burns)
        out.print(f"  {name}: {sums}   {heat_J / day.heat_J:.0%}")
    out.print(f"  That is {_text(day.amount(other), other)}.")
    for what, amount in _per(house, file, day, covers).items():
        out.print(f"  a {escape(what)}: {amount:.2f} {unit}")
    lit = len(order.open_days)
    out.print(f"[bold]{days} days from {day_words(from_day)}[/], lit on {lit} of them:")
    total = lit * day.amount(unit)
    out.print(f"  {_text(day.amount(unit), unit)} x {lit} = {_text(total, unit)}{_cost(file, day, lit)}")
    if house.oven.fuel == "wood":
        out.print(
            f"  {order.wanted_kg:.0f} kg less {order.there_kg:.0f} kg there: "
            f"[bold]order {order.order_kg} kg[/], dry (20 % of water or less)"
        )
    for words in _cautions(house, day):
        out.print(f"[bold]  {escape(words)}[/]")
    out.print(f"[dim]  {WEIGH if house.oven.fuel == 'wood' else f'{METER} {GROSS}'}[/]")


def _text(amount: float, unit: str) -> str:
    return f"{amount:.0f} {'m³' if unit == 'm3' else unit}"


def _cost(file: FuelFile, day: DayFuel, lit: int) -> str:
    money = _money(file, day, lit)
    if money is None or file.price is None:
        return ""
    return f", at {file.price.amount:g} per {file.price.per}: {file.currency}{money:.0f}"


def _money(file: FuelFile, day: DayFuel, lit: int) -> float | None:
    return None if file.price is None else lit * day.amount(file.price.per) * file.price.amount


def _cautions(house: House, day: DayFuel) -> tuple[str, ...]:
    if house.oven.fuel == "wood":
        embers = next(text for text in HOUSE_CAUTIONS if text.startswith("Embers"))
        return (WOOD_STORE.format(kg=day.amount("kg")), embers)
    return (GAS_CAUTION,)


def _body(
    house: House,
    file: FuelFile,
    day: DayFuel,
    order: Order,
    from_day: date,
    days: int,
    covers: int | None,
) -> dict[str, object]:
    wood = house.oven.fuel == "wood"
    unit = _units(house)[0]
    lit = len(order.open_days)
    money = _money(file, day, lit)
    return {
        "house": house.file.name,
        "fuel": house.oven.fuel,
        "day_kg": round(day.amount("kg"), 2),
        "day_kWh": round(day.amount("kWh"), 2),
        "day_m3": None if wood else round(day.amount("m3"), 2),
        "heat_up_share": round(day.heat_up_share, 4),
        "heat_up": [burn.words for burn in day.heat_up],
        "service": [burn.words for burn in day.service],
        f"{unit}_for_each": {k: round(v, 4) for k, v in _per(house, file, day, covers).items()},
        "from": from_day.isoformat(),
        "days": days,
        "lit_on": [one.isoformat() for one in order.open_days],
        "wanted_kg": round(order.wanted_kg, 1),
        "there_kg": round(order.there_kg, 1) if wood else None,
        "order_kg": order.order_kg if wood else None,
        "cost": None if money is None else round(money, 2),
        "currency": file.currency,
        "cautions": list(_cautions(house, day)),
    }
