"""Windows of open dishes to plan: generated, and cut from the example nights. Invented, the same for ever.

Places are those of the example houses' true hearths. Stages take the minutes that Brindlecote's dishes
state at places of the first wish; elsewhere longer or shorter by the zone's heat. No oven is asked. A window
is a line of JSON; what is known of it (the least cost found, a proven bound, and by whom) stands beside it.

`python benchmarks/windows.py` writes `benchmarks/windows/*.json` anew and keeps what is known.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from hearthtide.house.files import oven_design, read_house, read_night
from hearthtide.house.models import Act, CookFile, House, NightFile, Place
from hearthtide.house.places import Outline
from hearthtide.planning.build import StageChoices, build_problem, house_outlines
from hearthtide.planning.places import Places, enumerate_places
from hearthtide.planning.problem import Choice, Order, Problem, split

EXAMPLES = Path(__file__).parents[1] / "examples"
FOLDER = Path(__file__).parent / "windows"

# How much longer a stage takes there than by the flame, by how many seconds it may end sooner and later, and
# what a second off costs. Own choice, after the trade: a few seconds by the flame, a minute at the edge.
ZONES: dict[Place, tuple[float, int, int, float]] = {
    "near": (1.00, 6, 6, 1.0),
    "mid": (1.15, 12, 15, 0.3),
    "edge": (1.35, 30, 45, 0.1),
    "mouth": (1.50, 45, 75, 0.05),
}
# Stages for which Brindlecote states no minutes [s]; own choice.
MINUTES = {("flatbread", 0): 150, ("chicken_on_the_bone", 0): 1800, ("chicken_on_the_bone", 1): 240}
# Dishes per 100 covers (the trade's plain menu; common practice, no source).
MENU = {
    "pizza": 62,
    "strip_steak": 10,
    "shrimp": 8,
    "half_chicken": 9,
    "wings": 9,
    "cheese_dip": 11,
    "vegetables": 14,
    "flatbread": 12,
}
PARTY = {1: 10, 2: 30, 3: 20, 4: 25, 5: 10, 6: 5}  # tickets in a hundred by their dishes; own choice
NUMBERS, SEEDS = (5, 10, 20, 40), range(1, 11)
PER_HOUR = {"light": 30, "congested": 70}  # dishes wanted an hour; one pair of hands does some 50; own choice
OPEN_S, FIRST_S = (
    19 * 3600,
    15 * 60,
)  # all is called at 19:00, the first is wanted a quarter later; own choice
DROPS_FROM = 7  # a ticket of so many plates is landed in two drops; own choice


@dataclass(frozen=True)
class Ticket:
    """One table: called and wanted [s of the day], dishes by key."""

    table: str
    called_s: int
    wanted_s: int
    dishes: tuple[str, ...]


@dataclass(frozen=True)
class Window:
    """Tickets open together on one house's hearth; `load` is light, congested or the night it is cut from."""

    name: str
    house: str
    load: str
    seed: int
    tickets: tuple[Ticket, ...]

    @property
    def dishes(self) -> int:
        return sum(len(t.dishes) for t in self.tickets)

    def problem(self, crew: dict[str, tuple[Act, ...]] | None = None) -> Problem:
        """The window as the search sees it; with the house's own people, or these."""
        return problem_of(self.house, self.tickets, crew)


def window_of(told: dict[str, Any]) -> Window:
    """A window from its JSON."""
    tickets = tuple(Ticket(**{**t, "dishes": tuple(t["dishes"])}) for t in told["tickets"])
    return Window(told["name"], told["house"], told["load"], told["seed"], tickets)


def problem_of(
    house: str, tickets: tuple[Ticket, ...], crew: dict[str, tuple[Act, ...]] | None = None
) -> Problem:
    """Those tickets on that house's hearth, each one order, or two drops from seven plates on."""
    read, places = hearth(house)
    if crew is not None:
        read = crewed(read, crew)
    problem = build_problem(read, night_of(tickets), places, choices(read, places))
    by_ticket: dict[str, Order] = {}
    for order in problem.orders:
        whole = by_ticket.get(order.ticket)
        items = order.items if whole is None else whole.items + order.items
        in_order = tuple(sorted(items, key=lambda i: int(i.key.rpartition("-")[2])))
        by_ticket[order.ticket] = replace(order, key=order.ticket, drop=1, items=in_order)
    orders = tuple(
        drop for whole in by_ticket.values() for drop in split(whole, 1 + (len(whole.items) >= DROPS_FROM))
    )
    return replace(problem, orders=orders)


@cache
def hearth(house: str) -> tuple[House, Places]:
    read = read_house(EXAMPLES / house)
    return read, enumerate_places(oven_design(read), read.file.zones, house_outlines(read))


def crewed(house: House, crew: dict[str, tuple[Act, ...]]) -> House:
    """The house with other people at its hearth."""
    people = tuple(CookFile(name=name, acts=acts) for name, acts in crew.items())
    return house.model_copy(update={"file": house.file.model_copy(update={"cooks": people})})


def choices(house: House, places: Places) -> StageChoices:
    """Seconds and band of every stage at every zone it is wished at, the same all night."""
    return {
        (key, n): (tuple(_stage(house, places, key, n)),)
        for key, dish in house.dishes.items()
        for n in range(len(dish.stages))
    }


def _stage(house: House, places: Places, key: str, stage: int) -> Iterator[Choice]:
    dish = house.dishes[key]
    wishes = dish.stages[stage].places
    first_heat = ZONES[wishes[0]][0]
    for rank, zone in enumerate(wishes):
        heat, early, late, price = ZONES[zone]
        mask = places.mask(Outline.of(dish.vessel), (zone,), dish.clear_of_flame)
        if mask:
            yield Choice(round(_minutes_s(key, stage) * heat / first_heat), mask, rank, early, late, price)


def _minutes_s(key: str, stage: int) -> float:
    if (key, stage) in MINUTES:
        return MINUTES[key, stage]
    minutes = hearth("brindlecote")[0].dishes[key].stages[stage].minutes
    if minutes is None:
        raise ValueError(f"{key} stage {stage}: Brindlecote states no minutes. Give them in MINUTES.")
    return minutes


def night_of(tickets: tuple[Ticket, ...]) -> NightFile:
    rows = [
        {
            "table": t.table,
            "covers": max(1, len(t.dishes)),
            "called": _clock(t.called_s),
            "wanted": _clock(t.wanted_s),
            "dishes": t.dishes,
        }
        for t in tickets
    ]
    times = {"lit": "12:00", "doors": "16:00", "last_call": "23:30"}
    return NightFile.model_validate({"name": "Window", **times, "tickets": rows})


def _clock(time_s: int) -> str:
    return f"{time_s // 3600:02d}:{time_s // 60 % 60:02d}:{time_s % 60:02d}"


def tables() -> Iterator[str]:
    """Names for tables: A1, A2 ... Z9, and on with AA1."""
    for prefix in ("", *(chr(65 + n) for n in range(26))):
        yield from (f"{prefix}{chr(65 + n)}{k}" for n in range(26) for k in range(1, 10))


def drawn_party(rng: np.random.Generator, most: int) -> tuple[str, ...]:
    """The dishes of one ticket, `most` at the most, by the menu's shares."""
    sizes, dishes = np.array(list(PARTY.values()), float), np.array(list(MENU.values()), float)
    size = min(most, int(rng.choice(list(PARTY), p=sizes / sizes.sum())))
    return tuple(str(d) for d in rng.choice(list(MENU), size, p=dishes / dishes.sum()))


def generated(n: int, load: str, seed: int) -> Window:
    """`n` dishes all called at 19:00 at Brindlecote, wanted one after the other at the load's pace."""
    rng = np.random.default_rng([n, PER_HOUR[load], seed])
    tickets, wanted, left = [], float(OPEN_S + FIRST_S), n
    for table in tables():
        if not left:
            break
        dishes = drawn_party(rng, left)
        tickets.append(Ticket(table, OPEN_S, round(wanted), dishes))
        wanted += 3600 * len(dishes) / PER_HOUR[load] * float(rng.uniform(0.5, 1.5))
        left -= len(dishes)
    return Window(f"{load}-{n}-{seed}", "brindlecote", load, seed, tuple(tickets))


def cut(house: str, night: str, n: int, from_s: int) -> Window:
    """The tickets of an example night called from `from_s` on, until they are `n` dishes.

    What the last ticket has too many of is left out.
    """
    written = sorted(read_night(hearth(house)[0], night).tickets, key=lambda t: t.called)
    tickets, left = [], n
    for t in (t for t in written if t.called >= from_s):
        if left:
            dishes = t.dishes[:left]
            tickets.append(Ticket(t.table, round(t.called), round(t.wanted), tuple(dishes)))
            left -= len(dishes)
    if left:
        raise ValueError(f"{night} from {_clock(from_s)}: {n - left} dishes are called (expected {n})")
    name = f"{night}-{n}-{_clock(from_s)[:5].replace(':', '')}"
    return Window(name, house, night, 0, tuple(tickets))


def all_windows() -> dict[str, list[Window]]:
    """Every window by the file it stands in."""
    found = {
        f"{load}-{n}": [generated(n, load, seed) for seed in SEEDS] for load in PER_HOUR for n in NUMBERS
    }
    hours = {"tuesday": ("brindlecote", (18, 18.5, 19)), "friday": ("osmer-and-vane", (18, 18.75, 19.25))}
    for night, (house, starts) in hours.items():
        found[night] = [cut(house, night, n, round(3600 * h)) for n in NUMBERS for h in starts]
    return found


def read_windows(file: str) -> list[tuple[Window, dict[str, Any]]]:
    """The windows of one file, each with what is known of it (`cost`, `bound`, `by`; empty: nothing yet)."""
    told = json.loads((FOLDER / f"{file}.json").read_text(encoding="utf-8"))
    return [(window_of(w), w["known"]) for w in told]


def write_windows(file: str, windows: list[tuple[Window, dict[str, Any]]]) -> None:
    """One window a line, so that a change of what is known is a change of its line."""
    FOLDER.mkdir(exist_ok=True)
    lines = [json.dumps(asdict(w) | {"known": known}) for w, known in windows]
    (FOLDER / f"{file}.json").write_text("[\n" + ",\n".join(lines) + "\n]\n", encoding="utf-8")


def main() -> None:
    for file, windows in all_windows().items():
        had = FOLDER.joinpath(f"{file}.json").exists()
        known = {w: k for w, k in read_windows(file)} if had else {}
        write_windows(file, [(w, known.get(w, {})) for w in windows])
        sys.stdout.write(f"{file}: {len(windows)} windows\n")


if __name__ == "__main__":
    main()
