"""Plain words of caution, to stand where the act is. They inform; they judge nothing.

Sources: general practice in kitchens with live flame, written down from memory and not re-read,
except where a line names one. Local codes, the oven's own instructions and licensed people decide.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Protocol


class Vessel(Protocol):
    """What stands on the stone, as far as a caution needs it."""

    @property
    def kind(self) -> str: ...
    @property
    def from_bank(self) -> bool: ...


class Layer(Protocol):
    @property
    def food(self) -> str: ...


class Part(Protocol):
    """Another part of the same piece."""

    @property
    def layers(self) -> Sequence[Layer]: ...


class Allergens(Protocol):
    @property
    def contains(self) -> Sequence[str]: ...
    @property
    def may_contact(self) -> Sequence[str]: ...


class Dish(Protocol):
    """A dish as far as a caution needs it."""

    @property
    def vessel(self) -> Vessel: ...
    @property
    def layers(self) -> Sequence[Layer]: ...
    @property
    def also(self) -> Sequence[Part]: ...
    @property
    def allergens(self) -> Allergens: ...


AT_THE_MOUTH = frozenset({"launch", "load", "turn", "spin", "flip", "move", "pull"})
# parts of the names of foods that drip or spit
FATTY = ("butter", "oil", "dip", "cheese", "cream", "wing", "with_skin", "duck", "rib", "bacon", "sausage")

PROBE_IT = "The models' figures, not readings: probe it."  # under every picture of food

NO_RULES = (
    "No rule set is chosen: nothing here is judged, certified or approved. "
    "Planning aid only. Your local food, fire and mechanical codes, your inspector, the oven's own "
    "instructions and a licensed or qualified person decide. If they differ from this page, follow them."
)

GAS_CAUTION = (
    "Gas: if the flame goes out, shut the gas. Relight only by the oven's own instructions and the wait "
    "they state; if it will not light, or you smell gas, leave it shut and call a licensed fitter."
)

FAT_FIRE_CAUTION = (
    "Fat fire: flame down, no water, let it burn off or smother it by the house's own fire drill."
)

BURNS_CAUTION = (
    "Burns: cool under running water for 20 minutes and get medical help for anything large or deep."
)

EMBERS_CAUTION = (
    "Embers: live coals go into a lidded metal bin, outdoors. Never leave coals behind a shut door "
    "with the extraction off; they give off carbon monoxide until they are fully out."
)

HOUSE_CAUTIONS: tuple[str, ...] = (
    "Carbon monoxide: a fire or flame needs working extraction and a working alarm. "
    "If the alarm sounds, the fan stops or people feel ill: fuel off if it can be reached, everyone out, "
    "call the emergency number, and do not go back in.",
    GAS_CAUTION,
    EMBERS_CAUTION,
    FAT_FIRE_CAUTION,
    BURNS_CAUTION,
    "This program measures no gas and no temperature in the food. A probe in the coldest part and your "
    "local code decide what may be served.",
)

FLAME_CAUTION = (
    "Face back from the mouth as the flame changes. If it goes out: shut the gas, and relight only by the "
    "oven's own instructions."
)

CHILL_CAUTIONS: tuple[str, ...] = (
    "Probe the warmest part, the middle of the thickest piece in the warmest tray: at the start, after an "
    "hour, and before each limit. A model is no thermometer; the reading decides, and is written down.",
    "Late at a limit, or no reading to show for it: your local code says whether to re-heat or discard. "
    "Chilling on does not mend it.",
    "Trays, pans and steam burn: dry cloths or gloves, carry low, say hot; a deep pan of hot sauce or fat "
    "is portioned with a ladle, not tipped.",
    "Pieces that do not touch, lids off or ajar under cover from drips, room for air all round; nothing hot "
    "over or beside chilled food, and the cold room's own air stays cold.",
)


# What belongs to something told to a running night, by its kind.
TOLD_CAUTIONS: dict[str, tuple[str, ...]] = {
    "flame_out": (GAS_CAUTION,),
    "gas_shut": (GAS_CAUTION,),
    "danger": HOUSE_CAUTIONS[:1],
    "flame": (FLAME_CAUTION,),
    "spill": (FAT_FIRE_CAUTION, BURNS_CAUTION),
    "dead_platter": (BURNS_CAUTION,),
}


def told_cautions(kind: str) -> tuple[str, ...]:
    """The cautions that belong to what a cook has just told, by its kind; none for most."""
    return TOLD_CAUTIONS.get(kind, ())


def cautions_for(act: str, dish: Dish, own_fatty: Collection[str] = ()) -> tuple[str, ...]:
    """The cautions that belong to one act on one dish, the most urgent first.

    `own_fatty` names foods of the house's own that drip or spit.
    `act` is one of dress, launch, load, turn, spin, flip, move, pull, cut, flame; ValueError for another.
    """
    if act == "flame":
        return (FLAME_CAUTION,)
    if act not in AT_THE_MOUTH | {"dress", "cut"}:
        raise ValueError(f"expected an act at the hearth, found {act!r}")
    words = [*_burn_words(act, dish), *_flare_words(act, dish, own_fatty)]
    if act in ("dress", "pull", "cut"):
        words += allergen_words(dish)
    return tuple(words)


def _burn_words(act: str, dish: Dish) -> list[str]:
    words = []
    if dish.vessel.kind != "stone" and act in AT_THE_MOUTH - {"launch"}:
        words.append(
            f"The {dish.vessel.kind} burns on touch, long after it leaves the hearth: use the gripper."
        )
    if dish.vessel.from_bank and act == "launch":
        words.append("The platter comes hot from the bank and burns on touch: gripper, and set it down dry.")
    if dish.vessel.kind != "stone" and act == "pull":
        words.append("Say that it is hot when you hand it on, and to the guest.")
    if act in AT_THE_MOUTH:
        words.append("Heat and flame at the mouth: long tool, covered arms, face back.")
    return words


def _flare_words(act: str, dish: Dish, own_fatty: Collection[str]) -> list[str]:
    foods = [layer.food for layers in (dish.layers, *(part.layers for part in dish.also)) for layer in layers]
    fatty = any(part in food for food in foods for part in FATTY) or any(food in own_fatty for food in foods)
    if not fatty or dish.vessel.kind == "stone" or act not in AT_THE_MOUTH:
        return []
    return [f"Fat can spit or flare: keep the {dish.vessel.kind} level. Never put water on burning fat."]


def allergen_words(dish: Dish) -> tuple[str, ...]:
    """What a dish contains and may have touched, and that no more than that is known.

    The words never say that a dish is clear of an allergen: a shared hearth cannot promise it.
    """
    contains, touched = dish.allergens.contains, dish.allergens.may_contact
    words = [f"Contains {', '.join(contains)}."] if contains else []
    if touched:
        words.append(f"May have touched {', '.join(touched)} on the shared stone and tools.")
    return (*words, "For any stated allergy ask the person in charge; this list may not be complete.")
