"""Keeping food apart on one hearth: raw from ready-to-eat, and a stated allergy from what it must not meet.

Rules in plain words, each with its source. They inform a plan and its verdicts; they certify nothing. A
hearth that is shared cannot promise that a plate is clear of anything, and no words here say so: the
person in charge and the local code decide.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Literal, Protocol, get_args

from hearthtide.safety.rules import Apart, Apartness, RawKind, RuleSet

NO_SOURCE = "common practice, no source"
# Read as Washington State adopts it, WAC 246-215-03306 (key fda-food-code-3-302-11 in data/sources-food.bib).
FOOD_CODE = "US FDA Food Code 3-302.11(A)(1)"
FOOD_CODE_KINDS = (
    "US FDA Food Code 3-302.11(A)(2) for storage, preparation, holding and display; on the hearth own choice"
)
FOOD_CODE_EQUIPMENT = "US FDA Food Code 3-302.11(A)(2) for types of raw animal food; here by analogy"
RAW = "raw"
RAW_KINDS: tuple[RawKind, ...] = get_args(RawKind)
SHELLFISH = "shellfish"  # a vessel of it: its butter, its steam
RAW_APART: Apartness = "raw kinds"
ALWAYS: frozenset[Apartness] = frozenset({"raw and ready to eat"})  # kept apart whatever a house goes by

# The fourteen of Regulation (EU) No 1169/2011, annex II (key eu-1169-2011); cereals are named one by one
# there. Beside each, other words a cook says for it.
WORDS: dict[str, tuple[str, ...]] = {
    "wheat": ("spelt", "semolina", "flour", "kamut"),
    "rye": (),
    "barley": ("malt",),
    "oats": ("oat",),
    "crustacean": ("crustaceans", "shrimp", "prawn", "prawns", "crab", "lobster", "langoustine"),
    "egg": ("eggs",),
    "fish": (),
    "peanut": ("peanuts", "groundnut"),
    "soy": ("soya", "soybean", "soybeans"),
    "milk": ("dairy", "lactose", "butter", "cheese", "cream"),
    "tree nut": ("tree nuts", "nut", "nuts", "almond", "hazelnut", "walnut", "cashew", "pecan", "pistachio"),
    "celery": ("celeriac",),
    "mustard": (),
    "sesame": ("tahini",),
    "sulphite": ("sulphites", "sulfite", "sulfites"),
    "lupin": (),
    "mollusc": ("molluscs", "mollusk", "mussel", "mussels", "clam", "clams", "oyster", "squid", "octopus"),
}
GROUPS: dict[str, frozenset[str]] = {
    "gluten": frozenset({"wheat", "rye", "barley", "oats"}),
    "shellfish": frozenset({"crustacean", "mollusc"}),
    "seafood": frozenset({"crustacean", "mollusc", "fish"}),
}

# What a hearth does with each: it spits (fat, juice or butter carries it through the air), or it lies (flour
# and crumbs stay on the stone). Common practice, no source. A word that is not known here spits and lies.
SPITS = frozenset(
    {"crustacean", "mollusc", "fish", "milk", "egg", "soy", "mustard", "celery", "sulphite", "peanut"}
)
LIES = frozenset({"wheat", "rye", "barley", "oats", "sesame", "tree nut", "peanut", "lupin", "milk", "egg"})


class Vessel(Protocol):
    @property
    def kind(self) -> str: ...


class Allergens(Protocol):
    @property
    def contains(self) -> Sequence[str]: ...
    @property
    def may_contact(self) -> Sequence[str]: ...


class Dish(Protocol):
    """A dish as far as keeping it apart needs it."""

    @property
    def name(self) -> str: ...
    @property
    def vessel(self) -> Vessel: ...
    @property
    def allergens(self) -> Allergens: ...
    @property
    def raw(self) -> bool: ...
    @property
    def raw_of(self) -> RawKind | None: ...
    @property
    def ready_to_eat(self) -> bool: ...


@dataclass(frozen=True)
class Rule:
    """One rule: a short name, its words for a cook, and where it comes from."""

    key: str
    words: str
    source: str


APART = Rule(
    "raw apart",
    "Nothing that goes in raw stands where its juices reach food that is ready to eat.",
    FOOD_CODE,
)
KINDS_APART = Rule(
    "raw kinds apart",
    "Raw food of one kind of animal stands out of splash reach of raw food of another.",
    FOOD_CODE_KINDS,
)
HOLDS = Rule("holds it", "A dish that holds the allergen does not go to the guest who named it.", NO_SOURCE)
OUT_OF_REACH = Rule(
    "out of reach",
    "An allergy order stands out of splash reach of what spits the allergen.",
    NO_SOURCE,
)
OWN_PAN = Rule(
    "own pan",
    "An allergy order cooks in a clean pan of its own, never on bare stone where the allergen has lain.",
    FOOD_CODE_EQUIPMENT,
)
TOUCHED = Rule(
    "may have touched",
    "A dish the house says may have touched the allergen goes out only if the person in charge says so.",
    NO_SOURCE,
)
RULES = (APART, KINDS_APART, HOLDS, OUT_OF_REACH, OWN_PAN, TOUCHED)


@dataclass(frozen=True)
class Verdict:
    """What a rule says here: `kept`, `ask` the person in charge, or `refused`; and the facts in words."""

    rule: Rule
    answer: Literal["kept", "ask", "refused"]
    words: str


DEFER = (
    "Your local code and the person in charge decide. A shared hearth, its tools and its air cannot promise "
    "a plate clear of an allergen."
)


def meant(word: str) -> frozenset[str]:
    """The allergens a word stands for; a word that is not known stands for itself.

    >>> sorted(meant("Shellfish")), sorted(meant("prawns")), sorted(meant("saffron"))
    (['crustacean', 'mollusc'], ['crustacean'], ['saffron'])
    """
    said = " ".join(word.lower().replace("_", " ").replace("-", " ").split())
    if said in GROUPS:
        return GROUPS[said]
    found = next((key for key, others in WORDS.items() if said == key or said in others), said)
    return frozenset({found})


def known_words() -> frozenset[str]:
    """Every word `meant` has a meaning for."""
    return frozenset(GROUPS) | frozenset(WORDS) | frozenset(w for others in WORDS.values() for w in others)


def all_meant(words: Collection[str]) -> frozenset[str]:
    """The allergens of several words together."""
    return frozenset(found for word in words for found in meant(word))


def kept_apart(rules: RuleSet | None) -> frozenset[Apartness]:
    """What a plan keeps apart by a house's rules: raw from ready-to-eat always, more where the set blocks it.

    >>> sorted(kept_apart(None))
    ['raw and ready to eat']
    """
    if rules is None:
        return ALWAYS
    return ALWAYS | {rule.of for rule in rules.of(Apart) if rule.severity == "block"}


def spits(dish: Dish, apart: frozenset[Apartness] = ALWAYS) -> frozenset[str]:
    """What a dish throws or leaves about itself on the hearth, in words that `guards` may name.

    Raw juices, allergens that fat or juice carries, and on bare stone those that stay lying there; a vessel
    of shellfish as such and the kind of raw food, where the house's rules keep them apart.
    """
    vessel = SHELLFISH in apart and dish.vessel.kind != "stone" and _is_shellfish(dish)
    carrying = SPITS | LIES if dish.vessel.kind == "stone" else SPITS
    holds = all_meant(dish.allergens.contains)
    carried = frozenset(word for word in holds if word in carrying or word not in WORDS)
    raw = frozenset({RAW} if dish.raw else ())
    kind = frozenset(_raw(one) for one in (dish.raw_of,) if one is not None and RAW_APART in apart)
    return carried | raw | kind | ({SHELLFISH} if vessel else frozenset())


def guards(dish: Dish, allergy: Collection[str] = (), apart: frozenset[Apartness] = ALWAYS) -> frozenset[str]:
    """What must not reach a dish: raw juices if it is ready to eat, and what its guest may not have.

    Shellfish too where the house's rules keep it apart and the dish holds none; and from a raw dish raw food
    of other kinds, where its file says which kind it is.
    """
    other = SHELLFISH in apart and not _is_shellfish(dish)
    named = all_meant(allergy) | ({RAW} if dish.ready_to_eat else frozenset())
    kinds = RAW_KINDS if RAW_APART in apart and dish.raw_of is not None else ()
    named |= {_raw(kind) for kind in kinds if kind != dish.raw_of}
    return named | ({SHELLFISH} if other else frozenset())


def _raw(kind: RawKind) -> str:
    return f"{RAW} {kind}"


def _is_shellfish(dish: Dish) -> bool:
    return bool(GROUPS["shellfish"] & all_meant(dish.allergens.contains))


def left_on_stone(dishes: Collection[Dish]) -> frozenset[str]:
    """The allergens that dishes without a vessel leave on the bare stone."""
    bare = [dish for dish in dishes if dish.vessel.kind == "stone"]
    holds = all_meant([word for dish in bare for word in dish.allergens.contains])
    return frozenset(word for word in holds if word in LIES or word not in WORDS)


def may_share_reach(spitting: frozenset[str], guarding: frozenset[str]) -> Verdict:
    """Whether two items may stand within splash reach of each other, by what one spits and one guards.

    >>> may_share_reach(frozenset({"raw"}), frozenset({"raw"})).answer
    'refused'
    """
    both = spitting & guarding
    kinds = any(_raw(kind) in both for kind in RAW_KINDS)
    rule = APART if RAW in both else KINDS_APART if kinds else OUT_OF_REACH
    if not both:
        return Verdict(rule, "kept", "Neither carries what the other must not meet.")
    return Verdict(rule, "refused", f"One spits {', '.join(sorted(both))}; the other must not meet it.")


def allergy_verdicts(dish: Dish, allergy: Collection[str], on_stone: frozenset[str]) -> tuple[Verdict, ...]:
    """What the rules say of one dish for a guest with this allergy, the gravest first.

    `on_stone` is what lies on the house's bare stone (`left_on_stone`). No allergy: no verdicts. The words
    never say that the plate is clear of anything.
    """
    named = all_meant(allergy)
    if not named:
        return ()
    said = ", ".join(sorted(named))
    found = []
    if held := named & all_meant(dish.allergens.contains):
        found.append(Verdict(HOLDS, "refused", f"{dish.name} contains {', '.join(sorted(held))}."))
    if dish.vessel.kind == "stone" and (lies := named & on_stone):
        words = (
            f"{dish.name} lies on bare stone, and this house lays {', '.join(sorted(lies))} there: planned "
            "only where none has lain tonight; a clean pan of its own is the rule."
        )
        found.append(Verdict(OWN_PAN, "ask", words))
    elif dish.vessel.kind != "stone":
        found.append(
            Verdict(OWN_PAN, "kept", f"{dish.name} has a {dish.vessel.kind} of its own: take a clean one.")
        )
    if touched := named & all_meant(dish.allergens.may_contact):
        words = f"{dish.name} may have touched {', '.join(sorted(touched))}."
        found.append(Verdict(TOUCHED, "ask", words))
    found.append(Verdict(OUT_OF_REACH, "kept", f"Planned out of splash reach of what spits {said}."))
    order = ("refused", "ask", "kept")
    return tuple(sorted(found, key=lambda verdict: order.index(verdict.answer)))


def act_words(act: str, allergy: Collection[str], vessel_kind: str) -> tuple[str, ...]:
    """The cautions of an allergy order, to stand at its acts; none for a guest who named nothing.

    >>> act_words("turn", ["milk"], "pan")
    ()
    """
    named = ", ".join(sorted(all_meant(allergy)))
    if not named or act not in ("dress", "launch", "load", "pull", "cut"):
        return ()
    clean = {
        "dress": "washed hands, clean board, fresh tools",
        "launch": f"a clean {'peel' if vessel_kind == 'stone' else vessel_kind}",
        "load": "clean tongs",
        "pull": "a clean gripper, straight to its own plate",
        "cut": "clean knife and board",
    }[act]
    return (f"Allergy {named}: {clean}. {DEFER}",)
