"""What a house's dishes may have touched on its one hearth; words about gluten that it may not print."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from hearthtide.errors import Finding
from hearthtide.house.models import AllergensFile, DishFile, HouseFile
from hearthtide.house.yaml_lines import Document, KeyPath
from hearthtide.safety.claims import SAID_INSTEAD, claim, may_have_touched, stone_contact
from hearthtide.safety.separation import all_meant, left_on_stone


def with_contacts(dishes: Mapping[str, DishFile], house: HouseFile) -> dict[str, DishFile]:
    """The dishes with all that they may have touched: the stone keeps what was ever laid on it."""
    stone = stone_contact(all_meant(house.stone_has_met), left_on_stone(tuple(dishes.values())))
    return {key: _grown(dish, may_have_touched(dish, stone)) for key, dish in dishes.items()}


def _grown(dish: DishFile, touched: tuple[str, ...]) -> DishFile:
    if touched == dish.allergens.may_contact:
        return dish
    allergens = AllergensFile(contains=dish.allergens.contains, may_contact=touched)
    return dish.model_copy(update={"allergens": allergens})


def check_claims(dish: DishFile, document: Document, house: HouseFile, today: date) -> Iterator[Finding]:
    """Words of a dish that claim something of gluten, without the procedure and the test that it takes."""
    for path, words in _printed(dish):
        said = claim(words, house.gluten, today)
        if not said.allowed:
            expected = f"no words about gluten without a written procedure and its test ({said.section})"
            yield document.finding(path, expected, f"Say: {SAID_INSTEAD}; or enter `gluten:`.")


def _printed(dish: DishFile) -> Iterator[tuple[KeyPath, str]]:
    """All words of a dish's file that a page or a screen may show, and where they stand."""
    yield ("name",), dish.name
    yield ("words",), dish.words
    for i, part in enumerate(dish.also):
        yield ("also", i, "name"), part.name
    for i, stage in enumerate(dish.stages):
        yield ("stages", i, "name"), stage.name
