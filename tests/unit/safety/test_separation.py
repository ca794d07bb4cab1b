"""Rules of separation: what spits, what guards, and verdicts that never call a plate clear of anything."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field

import pytest

from hearthtide.safety import separation as apart
from hearthtide.safety.rule_sets import rule_set
from hearthtide.safety.rules import RawKind
from hearthtide.safety.separation import (
    DEFER,
    RULES,
    act_words,
    allergy_verdicts,
    guards,
    known_words,
    left_on_stone,
    may_share_reach,
    meant,
    spits,
)


@dataclass(frozen=True)
class Vessel:
    kind: str = "pan"


@dataclass(frozen=True)
class Allergens:
    contains: tuple[str, ...] = ()
    may_contact: tuple[str, ...] = ()


@dataclass(frozen=True)
class Dish:
    name: str = "Dish"
    vessel: Vessel = field(default_factory=Vessel)
    allergens: Allergens = field(default_factory=Allergens)
    raw: bool = False
    raw_of: RawKind | None = None
    ready_to_eat: bool = False


SHRIMP = Dish("Shrimp in butter", allergens=Allergens(("crustacean", "milk"), ("wheat",)), raw=True)
PIZZA = Dish("Pizza", Vessel("stone"), Allergens(("wheat", "milk")))
FLATBREAD = Dish("Flatbread", Vessel("stone"), Allergens(("wheat", "sesame")))
CHICKEN = Dish("Half chicken", ready_to_eat=True, allergens=Allergens((), ("wheat",)))


@pytest.mark.parametrize(
    ("word", "stands_for"),
    [
        ("shellfish", {"crustacean", "mollusc"}),
        ("Gluten", {"wheat", "rye", "barley", "oats"}),
        ("DAIRY", {"milk"}),
        ("tree-nut", {"tree nut"}),
        ("prawns", {"crustacean"}),
        ("dragon scale", {"dragon scale"}),
    ],
)
def test_a_cooks_word_stands_for_its_allergens(word: str, stands_for: set[str]) -> None:
    assert meant(word) == stands_for


def test_the_fourteen_of_the_eu_list_are_known_by_their_own_words() -> None:
    # Regulation (EU) No 1169/2011, annex II; its cereals are four of our words.
    listed = {"wheat", "crustacean", "egg", "fish", "peanut", "soy", "milk", "celery", "mustard", "sesame"}
    listed |= {"sulphite", "lupin", "mollusc", "tree nut", "rye", "barley", "oats"}
    assert known_words() >= listed


def test_every_known_allergen_spits_or_lies() -> None:
    assert set(apart.WORDS) == apart.SPITS | apart.LIES


def test_a_pan_spits_its_butter_and_bare_dough_leaves_its_flour() -> None:
    assert spits(SHRIMP) == {"crustacean", "milk", "raw"}
    assert spits(PIZZA) == {"wheat", "milk"}
    in_a_pan = Dish("Pan pizza", Vessel("pan"), PIZZA.allergens)
    assert spits(in_a_pan) == {"milk"}
    assert left_on_stone((PIZZA, FLATBREAD, SHRIMP)) == {"wheat", "milk", "sesame"}


def test_a_word_nobody_knows_is_taken_to_spit_and_to_lie() -> None:
    odd = Dish("Odd", Vessel("stone"), Allergens(("saffron",)))
    assert "saffron" in spits(odd) and "saffron" in left_on_stone((odd,))


@pytest.mark.parametrize(
    ("one", "other"), list(itertools.permutations(("beef", "fish", "lamb", "pork", "poultry"), 2))
)
def test_raw_kinds_the_code_names_stand_apart_by_a_set_that_says_so(one: RawKind, other: RawKind) -> None:
    """FDA Food Code 3-302.11(A)(2): "such as beef, fish, lamb, pork, and poultry"."""
    first, second = (Dish(kind, raw=True, raw_of=kind) for kind in (one, other))
    by = apart.kept_apart(rule_set("us-fda-2022"))
    found = may_share_reach(spits(first, by), guards(second, (), by))
    assert (found.answer, found.rule) == ("refused", apart.KINDS_APART)
    assert may_share_reach(spits(first, by), guards(first, (), by)).answer == "kept"
    assert may_share_reach(spits(first), guards(second)).answer == "kept", "no set: raw kinds may meet"
    unsaid = Dish("?", raw=True)
    assert may_share_reach(spits(first, by), guards(unsaid, (), by)).answer == "kept", "its kind is not said"


def test_raw_may_not_stand_in_reach_of_ready_to_eat_and_only_so() -> None:
    assert may_share_reach(spits(SHRIMP), guards(CHICKEN)).answer == "refused"
    assert may_share_reach(spits(SHRIMP), guards(CHICKEN)).rule == apart.APART
    assert may_share_reach(spits(CHICKEN), guards(SHRIMP)).answer == "kept"
    assert may_share_reach(spits(SHRIMP), guards(PIZZA)).answer == "kept"
    assert may_share_reach(spits(PIZZA), guards(PIZZA, ["milk"])).rule == apart.OUT_OF_REACH


def test_a_dish_that_holds_the_allergen_is_refused_first() -> None:
    verdict = allergy_verdicts(SHRIMP, ["shellfish"], frozenset())[0]
    assert (verdict.rule, verdict.answer) == (apart.HOLDS, "refused")
    assert "crustacean" in verdict.words


def test_bare_stone_where_it_lies_is_asked_about_and_a_pan_is_the_rule() -> None:
    on_stone = left_on_stone((PIZZA, FLATBREAD))
    found = {v.rule.key: v for v in allergy_verdicts(PIZZA, ["sesame"], on_stone)}
    assert found["own pan"].answer == "ask"
    assert {v.rule.key: v for v in allergy_verdicts(CHICKEN, ["sesame"], on_stone)}[
        "own pan"
    ].answer == "kept"


def test_what_may_have_touched_it_is_asked_about() -> None:
    found = {v.rule.key: v.answer for v in allergy_verdicts(CHICKEN, ["gluten"], frozenset())}
    assert found["may have touched"] == "ask"


def test_nobody_who_named_nothing_gets_verdicts_or_words() -> None:
    assert allergy_verdicts(SHRIMP, [], frozenset({"milk"})) == ()
    assert act_words("launch", [], "pan") == ()


def test_every_rule_has_its_source_and_the_code_is_named_for_raw_and_ready_to_eat() -> None:
    assert all(rule.source for rule in RULES)
    assert "3-302.11" in apart.APART.source
    assert all("Food Code" in rule.source or rule.source == apart.NO_SOURCE for rule in RULES)


def test_no_words_ever_call_a_plate_clear_of_an_allergen() -> None:
    dishes = (SHRIMP, PIZZA, FLATBREAD, CHICKEN)
    said = [rule.words for rule in RULES] + [DEFER]
    for dish, word in itertools.product(dishes, known_words()):
        said += [v.words for v in allergy_verdicts(dish, [word], left_on_stone(dishes))]
        said += [
            w for act in ("dress", "launch", "pull", "cut") for w in act_words(act, [word], dish.vessel.kind)
        ]
    for words in said:
        assert (
            "free from" not in words.lower() and "-free" not in words.lower() and "safe" not in words.lower()
        )
    assert any("cannot promise" in words for words in said)
