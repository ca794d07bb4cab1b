"""How sure a planned chilling is, quickly: one slow run and one quick run in place of many drawn ones.

Each doubt of `chill_band` is moved alone; the slow side moves them all together, each in the share it has in
the spread, so that by first order a tenth of likely cases are worse (a first-order reliability estimate:
Hasofer and Lind 1974, from memory, not re-read). `chill_band` draws the same doubts many times over.
"""

from __future__ import annotations

import functools
import math

import numpy as np

from hearthtide.food.chill_band import EDGE, ChillDoubt, ChillMember
from hearthtide.food.chill_methods import ChillMethod
from hearthtide.food.chilling import ChillLimits, ToChill, chill, limits_used
from hearthtide.food.column import Floats

STEP_S = 60.0  # as the rooms are run; own choice
NEVER = 20.0  # the share of a limit's time that stands for "not in 24 h"; own choice
# Towards slow: thicker, conducting worse, hotter, softer film, warmer air, softer film after the move.
SLOW = (1.0, -1.0, 1.0, -1.0, 1.0, -1.0)


def moved(draw: Floats, doubt: ChillDoubt) -> ChillMember:
    """A member `draw` (6,) standard deviations from the middle, in the order of the doubts."""
    thickness, conducts, start, film, air, then = (float(one) for one in draw)
    return ChillMember(
        thickness=math.exp(doubt.thickness * thickness),
        conducts=math.exp(doubt.conductivity * conducts),
        start_K=doubt.start_K * start,
        film=math.exp(doubt.film * film),
        air_K=doubt.air_K * air,
        film_then=math.exp(doubt.film * then),
    )


@functools.lru_cache(maxsize=2048)
def sides(
    what: ToChill, core_C: float, method: ChillMethod, limits: ChillLimits, doubt: ChillDoubt
) -> tuple[ChillMember, ChillMember]:
    """The slow and the quick side for a food in a method whose air stays as it is.

    A film after a move is taken to be off as the first one is: it is the same kitchen's guess.
    """
    base = _cost(what, core_C, method, limits, doubt, np.zeros(6))
    shares = np.zeros(6)
    for n in range(5):
        draw = np.zeros(6)
        draw[n] = EDGE * SLOW[n]
        shares[n] = max(0.0, _cost(what, core_C, method, limits, doubt, draw) - base)
    length = float(np.linalg.norm(shares))
    along = shares / length if length > 0 else np.full(6, 1 / math.sqrt(5.0))
    along[5] = along[3]
    slow = EDGE * along * np.array(SLOW)
    return moved(slow, doubt), moved(-slow, doubt)


def _cost(
    what: ToChill, core_C: float, method: ChillMethod, limits: ChillLimits, doubt: ChillDoubt, draw: Floats
) -> float:
    """Logarithm of the largest share of a limit's time that this draw takes."""
    member = moved(draw, doubt)
    run = chill(member.food(what), member.start(core_C), member.meets(method), limits, step_s=STEP_S)
    used = limits_used(run, limits)
    if not 0 < used < math.inf:  # no limit has a time, or one is never reached: the time to the middle mark
        used = min(NEVER, (run.reached_middle_s or NEVER * 7200.0) / 7200.0)
    return math.log(max(used, 1e-6))
