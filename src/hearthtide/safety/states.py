"""What a lot of food is, and what it may become: only these arrows, each with what must be proved first.

A par-cooked bird is raw in law until it is cooked through: no arrow leads from it to a guest. What was
discarded has no way back.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal, get_args

from hearthtide.errors import HearthtideError
from hearthtide.safety.verdicts import Verdict

State = Literal[
    "raw", "par-cooked", "cooked", "cooling", "chilled", "held hot", "re-heated and held", "time-controlled",
    "served", "re-heated and served", "discarded",
]  # fmt: skip
Proof = Literal[
    "cooked", "first heat", "first cooling", "cooling", "date", "re-heated for one", "re-heated to hold",
    "held", "in its time", "may return", "heated through in time",
]  # fmt: skip
SERVED: frozenset[State] = frozenset({"served", "re-heated and served"})
READY_TO_EAT: frozenset[State] = frozenset(get_args(State)) - {"raw", "par-cooked", "discarded"}

# From, to: what must pass. Anything may be discarded.
ARROWS: dict[tuple[State, State], tuple[Proof, ...]] = {
    ("raw", "par-cooked"): ("first heat",),
    ("raw", "cooked"): ("cooked",),
    ("par-cooked", "cooked"): ("first heat", "first cooling", "cooked"),
    ("cooked", "served"): (),
    ("cooked", "held hot"): (),
    ("cooked", "cooling"): (),
    ("cooked", "time-controlled"): ("in its time",),
    ("cooling", "chilled"): ("cooling",),
    ("cooling", "cooked"): ("heated through in time",),  # once, at or before two hours
    ("held hot", "served"): ("held",),
    ("held hot", "cooling"): ("held",),
    ("held hot", "time-controlled"): ("held", "in its time"),
    ("chilled", "served"): ("cooling", "date"),
    ("chilled", "re-heated and served"): ("cooling", "date", "re-heated for one"),
    ("chilled", "re-heated and held"): ("cooling", "date", "re-heated to hold"),
    ("chilled", "time-controlled"): ("cooling", "date", "in its time"),
    ("re-heated and held", "served"): ("held",),
    ("re-heated and held", "time-controlled"): ("held", "in its time"),
    ("time-controlled", "served"): ("in its time",),
    ("time-controlled", "chilled"): ("may return",),
}


class NotYet(HearthtideError):
    """A lot may not become that, or not before more is proved; the words say what."""


@dataclass(frozen=True)
class Lot:
    """A lot as the law sees it; `begun_anew` once it was heated through and its cooling started again."""

    name: str
    state: State = "raw"
    begun_anew: bool = False

    @property
    def is_raw(self) -> bool:
        """Whether it is kept, marked and served as raw food."""
        return self.state in ("raw", "par-cooked")


def missing(lot: Lot, to: State, proofs: Mapping[Proof, Verdict]) -> tuple[str, ...]:
    """What stands in the way of a lot's becoming that, in words; nothing when it may."""
    if to == "discarded" and lot.state != "discarded":
        return ()
    wanted = ARROWS.get((lot.state, to))
    if wanted is None:
        return (f"{lot.name} is {lot.state}: that cannot become {to}.",)
    if (lot.state, to) == ("cooling", "cooked") and lot.begun_anew:
        return (f"{lot.name} was begun anew once already: discard it.",)
    return tuple(_short_of(name, proofs.get(name)) for name in wanted if not _proves(name, proofs.get(name)))


def _proves(name: Proof, found: Verdict | None) -> bool:
    """A set that has no days leaves them to the house; nothing else may be left out."""
    return found is not None and (found.passes or (name == "date" and found.answer == "not applicable"))


def _short_of(name: Proof, found: Verdict | None) -> str:
    if found is None:
        return f"{name}: unproven, no verdict."
    return f"{name}: {found.answer}, {found.section}: {found.words.removesuffix('.')}."


def become(lot: Lot, to: State, proofs: Mapping[Proof, Verdict]) -> Lot:
    """The lot in its next state.

    Raises
    ------
    NotYet
        There is no such arrow, or something it needs is not proved.

    >>> become(Lot("half chickens"), "served", {})
    Traceback (most recent call last):
    hearthtide.safety.states.NotYet: half chickens is raw: that cannot become served.
    """
    short = missing(lot, to, proofs)
    if short:
        raise NotYet(" ".join(short))
    return replace(lot, state=to, begun_anew=lot.begun_anew or (lot.state, to) == ("cooling", "cooked"))
