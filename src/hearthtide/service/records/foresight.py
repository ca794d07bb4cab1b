"""How a lot that cools is foreseen to go on, by the food models from its last reading. It proves nothing.

Each curve starts evenly at what the warmest part last read and takes the piece as a slab, both on the slow
side: it warns too soon rather than too late.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import datetime

from hearthtide.food.chill_methods import PAN_WAYS, PIECE_WAYS, ChillMethod
from hearthtide.food.chilling import START_C, ChillLimits, ToChill, chill
from hearthtide.food.library import Foodstuff
from hearthtide.house.models import House
from hearthtide.house.thickest import thickest_part
from hearthtide.safety.cooling import Foreseen, warnings
from hearthtide.safety.readings import Reading, in_order
from hearthtide.safety.rules import Cool, RuleSet
from hearthtide.service.records.entries import ChilledBy
from hearthtide.service.records.ledger import Ledger
from hearthtide.service.records.standing import Standing
from hearthtide.service.records.told import Place, ToldForesight

STEP_S = 30.0  # of the solver: within 0.8 % of the time by 5 s (chill_band)
MOST_POINTS = 60  # of a drawn curve; own choice
DEEP_C = 0.5  # so far beyond the last limit the curve goes on; own choice

Curve = tuple[tuple[float, float], ...]


@dataclass
class Foresight:
    """Curves by what they were worked out from: one that was drawn is not worked out again."""

    house: House
    _curves: dict[tuple[str, str, int, float], Curve] = field(default_factory=dict)

    def of(
        self, judged: Standing, rules: RuleSet, ledger: Ledger, place: Place, now: datetime
    ) -> ToldForesight | str:
        """A lot's curve with its warnings, or why there is none; empty where nothing is to be said."""
        course, cooled = judged.course, judged.cooled
        if course.state != "cooling" or cooled is None or cooled.start is None:
            return ""
        if course.chilled_by is None or not isinstance(course.chilled_by.body, ChilledBy):
            return "Say how it is chilled, and it is foreseen when it is cold."
        by = course.chilled_by.body
        dish = self.house.dishes.get(course.dish)
        method = None if dish is None else ways_of(thickest_part(self.house, dish)[1]).get(by.way)
        if dish is None or method is None:
            return "Nothing is foreseen: the models do not know this dish, or this way for it. Probe it."
        taken = [one for one in in_order(ledger.readings(course.lot)) if one.point == "warmest"]
        taken = [one for one in taken if one.at >= cooled.start]
        if not taken or not START_C[0] < celsius(taken[-1]) <= START_C[1]:
            return "Probe the warmest part: what is foreseen starts from a reading."
        last = taken[-1]
        curve = self._curve(thickest_part(self.house, dish)[1], by, method, celsius(last), _end_C(rules))
        since_s = (last.at - cooled.start).total_seconds()
        seen = [((one.at - cooled.start).total_seconds(), celsius(one)) for one in taken[:-1]]
        whole = [*seen, *((since_s + at_s, warmest_C) for at_s, warmest_C in curve)]
        foreseen = Foreseen([at_s for at_s, _ in whole], [warmest_C for _, warmest_C in whole])
        found = warnings(rules, foreseen, (now - cooled.start).total_seconds())
        begun_s = place.seconds(last.at)
        return ToldForesight(
            way=method.name,
            points=tuple((begun_s + at_s, warmest_C) for at_s, warmest_C in curve),
            warnings=tuple(one.words for one in found),
        )

    def _curve(
        self, food: Foodstuff, by: ChilledBy, method: ChillMethod, start_C: float, end_C: float
    ) -> Curve:
        key = (food.name, by.way, by.thickness_mm, start_C)
        found = self._curves.get(key)
        if found is None:
            limits = ChillLimits(START_C[1] + 1, START_C[1], end_C, math.inf, math.inf)
            what = ToChill(food, by.thickness_mm / 1000)
            run = chill(what, start_C, method, limits, step_s=STEP_S)
            each = max(1, math.ceil(len(run.times_s) / MOST_POINTS))
            points = [(float(t), float(c)) for t, c in zip(run.times_s, run.core_C, strict=True)]
            found = self._curves[key] = tuple((*points[:-1:each], points[-1]))
        return found


def ways_of(food: Foodstuff) -> dict[str, ChillMethod]:
    """The ways a food can be chilled, by their words."""
    return PAN_WAYS if food.fluid else PIECE_WAYS


def celsius(one: Reading) -> float:
    return float(one.value) if one.unit == "C" else (float(one.value) - 32) / 1.8


def _end_C(rules: RuleSet) -> float:
    """Just beyond the last limit of the set's cooling."""
    ends = [float(rule.to.in_unit("C")) for rule in rules.of(Cool) if rule.starts == "hot"]
    return min(ends, default=5.0) - DEEP_C
