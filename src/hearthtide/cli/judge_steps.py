"""What `judge --as` knows: each step's verdicts of one lot, from its readings and what is written of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal, cast

from hearthtide.house.lots_file import LotFacts, NotWritten, Weighed
from hearthtide.safety.cooling import cooled
from hearthtide.safety.cooling_acts import Again, Cover, Method, heated_through_verdict, method_verdict
from hearthtide.safety.dates import Convention, Frozen, Kept, date_verdict
from hearthtide.safety.packed import (
    Instructions,
    Microwaved,
    instructed_verdict,
    microwave_verdict,
    packed_reheat_verdict,
)
from hearthtide.safety.par_cook import Procedure, first_heat_verdict
from hearthtide.safety.readings import Limit, Reading
from hearthtide.safety.roasts import Roasted, roast_hold_verdict, roast_verdict
from hearthtide.safety.rules import FoodClass, Handling, Line, Opened, Oven, Piece, RuleSet
from hearthtide.safety.time_control import Out, may_return, time_rules, time_verdict
from hearthtide.safety.undercooked import FrozenFish, Ordered, frozen_verdict, undercooked_verdict
from hearthtide.safety.verdicts import (
    Steak,
    ToReheat,
    Verdict,
    cook_verdict,
    gravest,
    hold_verdict,
    reheat_verdict,
    steak_verdict,
)


@dataclass(frozen=True)
class Case:
    """One lot to be judged: by which rules, on which readings, with what is written, as of when."""

    rules: RuleSet
    readings: tuple[Reading, ...]
    facts: LotFacts
    now: datetime
    today: date
    procedure: Procedure | None

    @property
    def food(self) -> FoodClass:
        return cast(FoodClass, self.facts.get("food", str))

    @property
    def piece(self) -> Piece | None:
        """A bird is said to be half, whole or in pieces; other food need not be."""
        if self.facts.maybe("food", str) == "poultry":
            return cast(Piece, self.facts.get("piece", str))
        return cast(Piece | None, self.facts.maybe("piece", str))


def _cooked(case: Case) -> tuple[Verdict, ...]:
    return (cook_verdict(case.rules, case.food, case.readings, case.piece),)


def _handled(case: Case) -> tuple[Handling, ...]:
    return cast(tuple[Handling, ...], case.facts.maybe("handled", tuple) or ())


def _steak(case: Case) -> tuple[Verdict, ...]:
    said = case.facts
    steak = Steak(
        said.get("document", bool), said.get("coloured", bool), said.get("susceptible", bool), _handled(case)
    )
    return (steak_verdict(case.rules, steak, case.readings),)


def _roasted(case: Case) -> Roasted:
    weighed = case.facts.get("weight", Weighed)
    return Roasted(
        cast(Oven, case.facts.get("oven", str)),
        weighed.value,
        cast(Literal["lb", "kg"], weighed.unit),
        case.facts.get("into", datetime),
        case.facts.get("out", datetime),
    )


def _roast(case: Case) -> tuple[Verdict, ...]:
    return (roast_verdict(case.rules, _roasted(case), case.readings),)


def _roast_kept(case: Case) -> tuple[Verdict, ...]:
    """Cooked up to `kept_from`, kept hot from there on."""
    since = case.facts.get("kept_from", datetime)
    before = tuple(one for one in case.readings if one.at < since)
    after = tuple(one for one in case.readings if one.at >= since)
    cooked = roast_verdict(case.rules, _roasted(case), before)
    return cooked, roast_hold_verdict(case.rules, cooked, after)


def _frozen(case: Case) -> tuple[Verdict, ...]:
    said = case.facts
    fish = FrozenFish(
        said.maybe("solid", datetime),
        said.maybe("frozen_out", datetime),
        said.maybe("statement", str) or "",
        said.maybe("exempt", str) or "",
        said.maybe("served", date),
        said.maybe("kept_until", date),
    )
    in_freezer = tuple(one for one in case.readings if one.point in ("air", "warmest"))
    return (frozen_verdict(case.rules, fish, in_freezer),)


def _undercooked(case: Case) -> tuple[Verdict, ...]:
    said = case.facts
    ordered = Ordered(
        said.get("asked", bool),
        said.get("disclosed", bool),
        said.get("reminded", bool),
        said.get("susceptible", bool),
        said.get("children", bool),
        said.get("par_cooked", bool),
        said.maybe("variance", str) or "",
    )
    frozen = _frozen(case)[0] if case.food == "fish" else None
    return (undercooked_verdict(case.rules, case.food, ordered, case.readings, frozen),)


def _microwaved(purpose: Literal["cook", "hold"]) -> Step:
    def judged(case: Case) -> tuple[Verdict, ...]:
        said = case.facts
        heated = Microwaved(
            said.get("covered", bool),
            said.get("turned", bool),
            said.get("stopped", datetime),
            said.maybe("left_cold", datetime),
        )
        return (microwave_verdict(case.rules, purpose, heated, case.readings),)

    return judged


def _instructed(case: Case) -> tuple[Verdict, ...]:
    said, limit = case.facts, case.facts.maybe("says_line", Limit)
    line = None if limit is None else Line(limit)
    pack = Instructions(
        said.get("says", str), line, said.get("followed", bool), said.maybe("uncooked", bool) or False
    )
    return (instructed_verdict(case.rules, pack, case.readings),)


def _packed(case: Case) -> tuple[Verdict, ...]:
    intact = case.facts.get("intact_pack", bool)
    left = case.facts.maybe("left_cold", datetime)
    return (packed_reheat_verdict(case.rules, intact, left, case.readings),)


def _cooled(starts: Literal["hot", "room"]) -> Step:
    def judged(case: Case) -> tuple[Verdict, ...]:
        left = case.facts.maybe("left_heat", datetime)
        return cooled(case.rules, case.readings, left, case.now, starts).stages

    return judged


def _method(case: Case) -> tuple[Verdict, ...]:
    methods = case.facts.maybe("methods", tuple)
    if methods is None:
        return (method_verdict(case.rules, None),)
    cover = cast(Cover, case.facts.get("cover", str))
    return (method_verdict(case.rules, Method(methods, case.facts.get("spaced", bool), cover)),)


def _heated_through(case: Case) -> tuple[Verdict, ...]:
    again = Again(
        case.food,
        case.facts.get("back_on_heat", datetime),
        case.facts.maybe("left_heat", datetime),
        case.piece,
        case.facts.get("begun_anew", bool),
    )
    return (heated_through_verdict(case.rules, again, case.readings),)


def _kept(side: Literal["hot", "cold"]) -> Step:
    return lambda case: (hold_verdict(case.rules, side, case.readings),)


def _dated(case: Case) -> tuple[Verdict, ...]:
    said = case.facts
    kept = Kept(
        said.get("made", date),
        said.maybe("ingredients", tuple) or (),
        cast(tuple[Frozen, ...], said.maybe("frozen", tuple) or ()),
        said.maybe("marked", date),
        said.maybe("opened", bool) or False,
        said.maybe("use_by", date),
    )
    convention = cast(Convention, said.maybe("convention", str) or "every thawed date")
    return (date_verdict(case.rules, kept, case.today, convention),)


def _re_heated(purpose: Literal["one order", "hold"]) -> Step:
    """Its cooking, its cooling up to where it left the cold, its date, then its heat: from one lot's lines.

    What was never cooked through is raw, however it was chilled: nothing of its second heat counts then.
    """

    def judged(case: Case) -> tuple[Verdict, ...]:
        left = case.facts.get("left_cold", datetime)
        before = tuple(one for one in case.readings if one.at < left)
        done = cook_verdict(case.rules, case.food, before, case.piece)
        if not done.passes:
            return (done,)
        chilled = cooled(case.rules, before, case.facts.maybe("left_heat", datetime), left).stages
        worst = next(one for one in chilled if one.answer == gravest(chilled))
        lot = ToReheat(case.food, True, worst, _dated(case)[0], left, case.piece)
        return done, reheat_verdict(case.rules, purpose, lot, case.readings)

    return judged


def _out(case: Case) -> Out:
    said = case.facts
    return Out(
        said.get("left", datetime),
        said.maybe("marked_time", datetime),
        said.maybe("before", tuple) or (),
        said.get("chilled_again", bool),
        said.maybe("procedure", bool) or False,
        cast(Opened | None, said.maybe("opened_as", str)),
    )


def _on_time(case: Case) -> tuple[Verdict, ...]:
    """By any one of the set's ways; where none passes, what each lacks."""
    found = [time_verdict(rule, _out(case), case.readings, case.now) for rule in time_rules(case.rules)]
    passing = tuple(one for one in found if one.passes)
    if not found:
        return (_silent(case, "time alone"),)
    return passing or tuple(found)


def _back(case: Case) -> tuple[Verdict, ...]:
    found = tuple(may_return(rule, _out(case), case.now) for rule in time_rules(case.rules))
    return found or (_silent(case, "a way back from time alone"),)


def _par_cooked(case: Case) -> tuple[Verdict, ...]:
    into, out = case.facts.get("into", datetime), case.facts.get("out", datetime)
    return (first_heat_verdict(case.rules, case.procedure, into, out, case.today),)


def _silent(case: Case, what: str) -> Verdict:
    return Verdict("unproven", "", case.rules.named, f"{what}: the set has no rule for it")


Step = Callable[[Case], tuple[Verdict, ...]]
STEPS: dict[str, Step] = {
    "cooked": _cooked,
    "cooled": _cooled("hot"),
    "cooled-from-room": _cooled("room"),
    "kept-hot": _kept("hot"),
    "kept-cold": _kept("cold"),
    "steak": _steak,
    "roast": _roast,
    "roast-kept-hot": _roast_kept,
    "undercooked": _undercooked,
    "fish-frozen": _frozen,
    "microwaved": _microwaved("cook"),
    "microwaved-to-hold": _microwaved("hold"),
    "by-instructions": _instructed,
    "packed-to-hold": _packed,
    "cooling-method": _method,
    "heated-through": _heated_through,
    "re-heated-for-one": _re_heated("one order"),
    "re-heated-to-hold": _re_heated("hold"),
    "on-time-alone": _on_time,
    "back-to-cold": _back,
    "date-mark": _dated,
    "par-cook": _par_cooked,
}
# What needs no reading at all: its lots are those of the table of lots alone.
UNREAD = frozenset({"cooling-method", "date-mark", "par-cook", "back-to-cold"})


def judged(step: str, case: Case) -> tuple[Verdict, ...]:
    """A lot's verdicts; unproven where something that they need is not written down."""
    try:
        return STEPS[step](case)
    except NotWritten as lacks:
        words = f"{lacks}: write it into the table of lots"
        return (Verdict("unproven", "", case.rules.named, words),)
    except ValueError as odd:
        return (Verdict("unproven", "", case.rules.named, f"{odd}: correct it"),)


def named(steps: Sequence[str] = tuple(STEPS)) -> str:
    """The steps in words."""
    return ", ".join(steps)
