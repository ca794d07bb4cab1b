"""`claim`: whether words about gluten may be printed by a house, and what is printed in their place."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.shared import out, print_json
from hearthtide.house.files import read_house
from hearthtide.safety.claims import claim, stone_contact
from hearthtide.safety.rule_sets import chosen_words
from hearthtide.safety.separation import DEFER, all_meant, left_on_stone


def run_claim(folder: Path, words: str, json: bool) -> bool:
    """Prints what may be printed; True when it is the words themselves."""
    house = read_house(folder)
    said = claim(words, house.file.gluten, date.today())
    stone = stone_contact(all_meant(house.file.stone_has_met), left_on_stone(tuple(house.dishes.values())))
    cautions = [DEFER, chosen_words(house.file.chosen_rules)]
    if json:
        body = {"allowed": said.allowed, "words": said.words, "section": said.section, "asked": words}
        print_json("claim", body | {"stone_has_met": sorted(stone), "cautions": cautions})
        return said.allowed
    if not said.allowed:
        out.print(f"Refused: {escape(words)}")
        out.print("[dim]It takes a written procedure and a test, entered under `gluten:` in house.yaml.[/]")
    out.print(f"Printed: {escape(said.words)}")
    if stone:
        out.print(
            f"Bare stone here has met {', '.join(sorted(stone))}; heat and brushing take nothing off it."
        )
    if said.section:
        out.print(f"[dim]{escape(said.section)}[/]")
    for caution in cautions:
        out.print(f"[dim]{escape(caution)}[/]")
    return said.allowed
