import re
from dataclasses import dataclass
from typing import get_args

import pytest

from hearthtide import safety
from hearthtide.house.models import Act


@dataclass(frozen=True)
class Vessel:
    kind: str = "stone"
    from_bank: bool = False


@dataclass(frozen=True)
class Layer:
    food: str


@dataclass(frozen=True)
class Allergens:
    contains: tuple[str, ...] = ()
    may_contact: tuple[str, ...] = ()


@dataclass(frozen=True)
class Part:
    layers: tuple[Layer, ...]


@dataclass(frozen=True)
class Dish:
    vessel: Vessel = Vessel()
    layers: tuple[Layer, ...] = (Layer("pizza_dough"),)
    allergens: Allergens = Allergens()
    also: tuple[Part, ...] = ()


BUTTER_PAN = Dish(Vessel("pan"), (Layer("butter"), Layer("shrimp")), Allergens(("crustacean",), ("wheat",)))
PLATTER = Dish(Vessel("platter", from_bank=True), (Layer("beef_strip"),))
EVERY_DISH = [Dish(), BUTTER_PAN, PLATTER]
# words that would certify a plate, the air or the gas
CERTIFYING = re.compile(r"free from|[a-z]+-free|\bsafe\b|compliant|\bclear of\b|without [a-z]+ingredients")


def test_hot_metal_is_named_when_it_is_pulled():
    assert any("platter burns on touch" in words for words in safety.cautions_for("pull", PLATTER))
    assert any("from the bank" in words for words in safety.cautions_for("launch", PLATTER))
    assert not any("burns on touch" in words for words in safety.cautions_for("pull", Dish()))


def test_butter_in_a_pan_may_flare_and_gets_no_water():
    assert any("Never put water" in words for words in safety.cautions_for("move", BUTTER_PAN))
    assert not any("water" in words for words in safety.cautions_for("move", PLATTER))
    assert not any("water" in words for words in safety.cautions_for("cut", BUTTER_PAN))


def test_a_fatty_part_of_the_piece_counts():
    lean = Dish(Vessel("pan"), (Layer("chicken_breast_raw"),))
    both = Dish(Vessel("pan"), lean.layers, also=(Part((Layer("bone"), Layer("thigh_with_skin"))),))
    own = Dish(Vessel("pan"), lean.layers, also=(Part((Layer("house_lard"),)),))
    assert not any("Never put water" in words for words in safety.cautions_for("move", lean))
    assert any("Never put water" in words for words in safety.cautions_for("move", both))
    assert any("Never put water" in words for words in safety.cautions_for("move", own, {"house_lard"}))


def test_allergens_stand_where_plates_are_made_and_never_promise():
    for act in ("dress", "pull", "cut"):
        text = " ".join(safety.cautions_for(act, BUTTER_PAN))
        assert "Contains crustacean." in text
        assert "May have touched wheat" in text
        assert "ask the person in charge" in text
    assert "ask the person in charge" in " ".join(safety.allergen_words(Dish()))
    assert not any("Contains" in words for words in safety.cautions_for("spin", BUTTER_PAN))


@pytest.mark.parametrize("act", get_args(Act))
def test_every_act_of_the_house_has_words_and_none_certifies(act):
    for dish in EVERY_DISH:
        words = safety.cautions_for(act, dish)
        assert words
        assert not any(CERTIFYING.search(line.lower()) for line in words)


def test_house_cautions_name_the_three_dangers_and_defer():
    text = " ".join(safety.HOUSE_CAUTIONS)
    for word in ("Carbon monoxide", "Gas:", "Embers", "licensed", "local code"):
        assert word in text
    assert not any(CERTIFYING.search(line.lower()) for line in safety.HOUSE_CAUTIONS)


def test_without_a_rule_set_nothing_is_judged():
    assert "nothing here is judged" in safety.NO_RULES
    assert "local" in safety.NO_RULES


def test_an_unknown_act_is_refused():
    with pytest.raises(ValueError, match="expected an act"):
        safety.cautions_for("juggle", Dish())


def test_chilling_has_its_cautions_and_certifies_nothing():
    text = " ".join(safety.CHILL_CAUTIONS)
    for said in ("warmest part", "local code", "burn", "discard"):
        assert said in text
    assert not CERTIFYING.search(text)
