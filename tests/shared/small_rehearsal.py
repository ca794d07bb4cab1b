"""The small house's night rehearsed without screens, plans made on the spot. Invented."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from hearthtide.house.night_file import NightFile
from hearthtide.house.upsets_file import UpsetsFile
from hearthtide.planning.engine.search import Unplaceable, search
from hearthtide.service.kitchen import Kitchen
from hearthtide.service.log import Log, MemoryLog
from hearthtide.service.night import Night
from hearthtide.service.planner_words import Answer, PlannerState, Refusal, Request
from hearthtide.service.playing import Came, Score
from hearthtide.service.rehearsal.headless import Headless
from hearthtide.service.shown_house import shown_house
from live_night import ROUNDS, PlannerHere, ready
from small_night import MIXED, small_house


class PlannerAtOnce(PlannerHere):
    """Tells its plan while it is asked."""

    def __init__(self, _clock: object, tell: Callable[[Came], None], _places: object) -> None:
        super().__init__()
        self._tell = tell

    def ask(self, request: Request) -> int:
        """Without a proof of each plan: the tests of a running night have those."""
        self.asked += 1
        number = next(self.numbers)
        try:
            found = search(request.problem, request.reality, request.running, seed=1, rounds=ROUNDS)
        except Unplaceable as err:
            self._tell(Refusal(number, f"{err.order.key} fits nowhere"))
            return number
        self.last = Answer(number, found, ROUNDS, True, False, 0.0)
        self._tell(self.last)
        return number

    def state(self) -> PlannerState:
        return replace(super().state(), pid=None)

    def close(self) -> None:
        pass


def small_rehearsal(
    file: UpsetsFile | None = None,
    books: NightFile = MIXED,
    seed: int = 1,
    cooks: int = 1,
    open_log: Callable[[], Log] | None = None,
) -> Headless:
    """The night from its first call on, ready to be run."""
    house = small_house(cooks)
    memory = MemoryLog()
    file = UpsetsFile.model_validate({"name": "Small night", "from": "17:58"}) if file is None else file
    drawn = shown_house(house, books, "small")
    log = open_log or (lambda: memory)

    def open_night(clock: Callable[[], float]) -> Night:
        return Night(log(), Kitchen(house), clock)

    score = Score(house, books, lambda: ready(cooks))
    return Headless(score, books, drawn, ready(cooks), file, open_night, seed, PlannerAtOnce)


def upsets(**written: object) -> UpsetsFile:
    """An upsets file as it would be written."""
    return UpsetsFile.model_validate({"name": "Small night", "from": "17:58", **written})
