"""What `quote` and `replan` share: the night rolled up to a minute, moves and slips in words and in JSON."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.plan_command import tell_left_out
from hearthtide.cli.shared import out
from hearthtide.errors import Finding, NoPlan
from hearthtide.house.files import take_house, take_night
from hearthtide.house.models import House
from hearthtide.house.night_file import NightFile, TicketFile
from hearthtide.planning.engine.search import Unplaceable, search
from hearthtide.planning.live import Slip
from hearthtide.planning.night import Prepared, prepare_night
from hearthtide.planning.plan import Move
from hearthtide.planning.problem import Problem, Reality, Schedule
from hearthtide.planning.replan import Search
from hearthtide.planning.report import chores_of, moves_of
from hearthtide.planning.told import Running
from hearthtide.quantities.show import clock_text, duration_text
from hearthtide.safety.cautions import FLAME_CAUTION, cautions_for
from hearthtide.safety.separation import act_words

ROUNDS = 300  # of search for each thing that happens; the last is given ten times as many; own choice


@dataclass(frozen=True)
class Tonight:
    """A house, its night, and the night made ready; lines on what was set aside or is off."""

    house: House
    night: NightFile
    ready: Prepared
    wrong: tuple[Finding, ...]
    gone: tuple[Finding, ...]


def tonight(folder: Path, night_name: str, tell: Callable[[str, float], None]) -> Tonight:
    """Read and make ready. What is left out is told on standard error."""
    house, bad_dishes = take_house(folder)
    taken = take_night(house, night_name)
    wrong = (*bad_dishes, *taken.wrong)
    tell_left_out(wrong, taken.gone)
    return Tonight(house, taken.night, prepare_night(house, taken.night, tell), wrong, taken.gone)


def searching(seed: int, rounds: int) -> Search:
    """The search as a re-plan asks for it; NoPlan, in words, for what fits nowhere."""

    def ask(problem: Problem, reality: Reality, told: Schedule) -> Schedule:
        try:
            return search(problem, reality, told, seed=seed, rounds=rounds)
        except Unplaceable as err:
            raise NoPlan(
                f"{err.order.items[0].dish} for {err.order.ticket}",
                "no minute in four hours has room for it",
                "Take it off the ticket, or look at its places and minutes and at who does its acts.",
            ) from err

    return ask


def moves_ahead(tonight: Tonight, running: Running, until_s: int) -> list[Move]:
    """The acts from now to `until_s`, the flame and other chores among them, in order of time."""
    problem, schedule = running.problem, running.schedule
    chores = chores_of(tonight.house, problem, schedule)
    found = [*moves_of(tonight.house, problem.places, schedule), *chores]
    ahead = (move for move in found if running.now_s <= move.start_s < until_s)
    return sorted(ahead, key=lambda move: (move.start_s, move.item))


def cautions_at(tonight: Tonight, tickets: Sequence[TicketFile], move: Move) -> tuple[str, ...]:
    """The cautions that belong to one act, of an allergy order first."""
    if move.act == "flame":
        return (FLAME_CAUTION,)
    dish = tonight.house.dishes.get(move.dish)
    if dish is None:
        return ()
    allergy = _allergy(tickets, move)
    return (
        *act_words(move.act, allergy, dish.vessel.kind),
        *cautions_for(move.act, dish, tonight.house.own_fatty),
    )


def _allergy(tickets: Sequence[TicketFile], move: Move) -> tuple[str, ...]:
    ticket = next((t for t in tickets if t.table == move.ticket), None)
    if ticket is None:
        return ()
    plates = [plate for part in ticket.parts for plate in part.plates]
    number = int(move.item.rstrip("+").rpartition("-")[2]) - 1
    return ticket.allergy_of(plates[number])


def print_moves(tonight: Tonight, tickets: Sequence[TicketFile], moves: Sequence[Move]) -> None:
    """One line for each act; its cautions under it, each the first time it is due."""
    several, said = len({move.cook for move in moves}) > 1, set[str]()
    for move in moves:
        cook = f"  {escape(move.cook)}" if several else ""
        out.print(f"  {clock_text(move.start_s):>8}  {escape(move.words)}{cook}")
        for caution in cautions_at(tonight, tickets, move):
            if caution not in said:
                said.add(caution)
                out.print(f"            [dim]{escape(caution)}[/]")


def moves_json(
    tonight: Tonight, tickets: Sequence[TicketFile], moves: Sequence[Move]
) -> list[dict[str, object]]:
    return [asdict(move) | {"cautions": cautions_at(tonight, tickets, move)} for move in moves]


def slip_words(slip: Slip) -> str:
    """One table that waits longer, in a line."""
    course = slip.course.partition(".")[2]
    name = f"{slip.ticket} course {course}" if course else slip.ticket
    return f"{name} slips {duration_text(slip.by_s)}: {clock_text(slip.was_s)} -> {clock_text(slip.is_s)}"


def slips_json(slips: Sequence[Slip]) -> list[dict[str, object]]:
    return [asdict(slip) | {"by_s": slip.by_s} for slip in slips]
