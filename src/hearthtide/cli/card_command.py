"""`hearthtide card`: a dish's card for the station, from its course in the settled oven."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import cast, get_args

from rich.markup import escape

from hearthtide.cli.dish_asked import bad, named_dish
from hearthtide.cli.dish_tried import Case, follow
from hearthtide.cli.labels_command import check_file, write_pages
from hearthtide.cli.shared import out, print_json, progress
from hearthtide.house.files import oven_design, read_house
from hearthtide.planning.build import house_outlines
from hearthtide.planning.places import enumerate_places
from hearthtide.planning.settled import settled
from hearthtide.printing.card import TEMPLATE, Paper, card_data, card_of


def run_card(folder: Path, key: str, size: str, made: Path, json: bool) -> bool:
    """Writes the card; True when every stage is done where it stands."""
    if size.upper() not in get_args(Paper):
        raise bad("--size", size, f"one of {', '.join(get_args(Paper))}", "Write it so.")
    check_file(made)
    house = read_house(folder)
    named_dish(house, key)
    design = oven_design(house)
    places = enumerate_places(design, house.file.zones, house_outlines(house))
    with progress() as tell:
        oven, moment = settled(house, lambda share: tell("oven", share))
        tell("response", 0.0)
        ran = follow(Case(house, oven, moment, key, places))
        if ran is None:
            raise bad("DISH", key, "a place on this hearth for every stage", "Change its places in its file.")
        tell("page", 0.0)
        card = card_of(house, key, ran.course, moment.power_W)
        data = card_data(card, design, ran.course, cast(Paper, size.upper()))
        write_pages(made, TEMPLATE, data, f"{card.dish}, {card.house}")
    if json:
        print_json("card", asdict(card))
    else:
        for act in card.acts:
            out.print(f"  {act.at:>5}  {escape(act.words)}{f' ({act.within})' if act.within else ''}")
        out.print(f"Card written: {escape(str(made))}")
    return ran.course.done
