"""What dishes may have touched grows with what lies on the stone; words about gluten are refused."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from hearthtide.errors import InputError
from hearthtide.house.files import read_house
from hearthtide.safety.cautions import allergen_words

GOOD = Path(__file__).parent / "good_house"
EVIDENCE = """
gluten: {procedure: GP-1, test_reference: lab 7, tested_on: 2026-05-01, below_mg_kg: 5}
"""


@pytest.fixture
def folder(tmp_path):
    return Path(shutil.copytree(GOOD, tmp_path / "house"))


def rewritten(path, old, new):
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_bare_dough_makes_the_stone_wheat_contact_for_every_dish(folder):
    """Own choice of the reference: stone, peel, brush and ash are wheat contact for good (its section 8)."""
    rewritten(folder / "dishes" / "vegetables.yaml", "allergens: {may_contact: [wheat]}", "allergens: {}")
    dishes = read_house(folder).dishes
    assert "wheat" in dishes["vegetables"].allergens.may_contact
    assert "May have touched wheat" in " ".join(allergen_words(dishes["vegetables"]))
    for key, dish in dishes.items():
        known = {*dish.allergens.contains, *dish.allergens.may_contact}
        assert "wheat" in known, key


def test_what_ever_lay_on_the_stone_stays_and_reaches_bare_food_alone_unless_it_is_flour(folder):
    before = read_house(folder).dishes
    with (folder / "house.yaml").open("a", encoding="utf-8") as house:
        house.write("\nstone_has_met: [sesame, rye]\n")
    after = read_house(folder).dishes
    for key, dish in after.items():
        assert set(dish.allergens.may_contact) >= set(before[key].allergens.may_contact), "it only grows"
        assert "rye" in dish.allergens.may_contact
        if dish.vessel.kind == "stone" and "sesame" not in dish.allergens.contains:
            assert "sesame" in dish.allergens.may_contact
    assert "sesame" not in after["vegetables"].allergens.may_contact


@pytest.mark.parametrize("field", ["name", "words"])
def test_a_dish_is_not_named_gluten_free_without_a_procedure(folder, field):
    """21 CFR 101.91."""
    path = folder / "dishes" / "vegetables.yaml"
    lines = [one for one in path.read_text(encoding="utf-8").splitlines() if not one.startswith(f"{field}:")]
    path.write_text("\n".join([*lines, f"{field}: Gluten-free roots"]) + "\n", encoding="utf-8")
    with pytest.raises(InputError) as wrong:
        read_house(folder)
    said = str(wrong.value.findings[0])
    assert "21 CFR 101.91" in said and "baked in an oven shared with wheat flour" in said
    with (folder / "house.yaml").open("a", encoding="utf-8") as house:
        house.write(EVIDENCE)
    assert getattr(read_house(folder).dishes["vegetables"], field) == "Gluten-free roots"


def test_nor_is_a_stage_of_it(folder):
    path = folder / "dishes" / "vegetables.yaml"
    rewritten(path, "- name: roast", "- name: gluten-free roast")
    with pytest.raises(InputError, match="101"):
        read_house(folder)
