"""What one file alone cannot know: names, hands, places and promises checked across a house.

Each check yields findings; none stops at the first.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Iterator

from hearthtide.errors import Finding
from hearthtide.food.doneness import scale_names
from hearthtide.food.spec import FLATNESS
from hearthtide.house.colours_file import check_colours
from hearthtide.house.library import Kind, known_names
from hearthtide.house.models import COLOUR_STEP, Act, DishFile, HouseFile, PartFile, Place
from hearthtide.house.places import Outline, farthest_gap_m
from hearthtide.house.shape_file import OUTLINES
from hearthtide.house.validate import close_to
from hearthtide.house.yaml_lines import Document, KeyPath
from hearthtide.oven.design import OvenDesign
from hearthtide.oven.hearth import RoundHearth
from hearthtide.quantities import length_text, temperature_text

CORE_MOST_C = 98.0  # trade teaching: hearth bread is done at a core of 93-98 °C; wet food cannot pass boiling
CARRY_OVER_MOST_C = 7.0  # trade teaching: a thick steak rises 4-7 °C in its rest
ALWAYS_ACTS: tuple[Act, ...] = ("launch", "pull")


def check_house(house: HouseFile, document: Document) -> Iterator[Finding]:
    """Zones in order, each cook once, somebody to launch and to pull, and scales that can be used."""
    zones = house.zones
    bounds = (("near_from", zones.near_from), ("mid_from", zones.mid_from), ("edge_from", zones.edge_from))
    for (low_name, low), (high_name, high) in itertools.pairwise(bounds):
        if high <= low:
            yield document.finding(
                ("zones", high_name), f"more than {low_name}, {length_text(low)}", "Put the zones in order."
            )
    names = [cook.name for cook in house.cooks]
    for i, name in enumerate(names):
        if name in names[:i]:
            yield document.finding(("cooks", i, "name"), "each cook once", "Give this one another name.")
    for act in ALWAYS_ACTS:
        if not _hands(house, act):
            yield document.finding(("cooks",), f"somebody who can {act}", f"Add `{act}` to a cook's acts.")
    if house.colours is not None:
        yield from check_colours(house.colours, document)
    if house.doneness is not None and house.doneness not in scale_names():
        yield document.finding(("doneness",), "a scale of words", close_to(house.doneness, scale_names()))


def check_dish(
    dish: DishFile, document: Document, own_foods: Collection[str] | None = ()
) -> Iterator[Finding]:
    """What can be said of a dish alone, with the names of the house's own foods (None: nobody knows)."""
    for path, part in _parts(dish):
        for i, layer in enumerate(part.layers):
            if own_foods is not None and layer.food not in own_foods:
                at = (*path, "layers", i, "food")
                yield from known_name("foods", layer.food, document, at, own_foods)
    if dish.vessel.metal is not None:
        yield from known_name("metals", dish.vessel.metal, document, ("vessel", "metal"))
    if dish.vessel.from_bank and dish.vessel.kind != "platter":
        yield document.finding(("vessel", "from_bank"), "a platter", "Only platters wait hot in the bank.")
    area = Outline.of(dish.vessel).area_m2
    if dish.food_area is not None and dish.food_area > area:
        yield document.finding(
            ("food_area",), f"at most what it stands on, {area:.3g} m2", "Lower it, or enlarge the vessel."
        )
    names = [stage.name for stage in dish.stages]
    for i, name in enumerate(names):
        if name in names[:i]:
            yield document.finding(("stages", i, "name"), "each stage's name once", "Give it another name.")
    yield from _check_promises(dish, document)
    for kind, words in (("contains", dish.allergens.contains), ("may_contact", dish.allergens.may_contact)):
        for i, word in enumerate(words):
            if "free" in word.lower() or "without" in word.lower() or word.lower().startswith("no "):
                yield document.finding(
                    ("allergens", kind, i),
                    "what it contains or may touch",
                    "Name the allergen alone; no dish from a shared hearth is declared clear of one.",
                )


def _parts(dish: DishFile) -> Iterator[tuple[KeyPath, DishFile | PartFile]]:
    """All parts of a dish's piece and where they stand in its file."""
    yield (), dish
    for i, part in enumerate(dish.also):
        yield ("also", i), part


def check_shapes(
    dish: DishFile, document: Document, densities_kg_m3: tuple[float | None, ...]
) -> Iterator[Finding]:
    """Pieces that the food model takes, and no rim on one that is round.

    `densities_kg_m3` of all parts, the dish's own layers first, as the model has them; None where a food is
    not known: such a part, measured by its weight, is not checked.
    """
    if dish.shape is not None and dish.rim is not None:
        yield document.finding(("rim",), "no rim on a piece with a shape", "Leave one of the two out.")
    for (path, part), density in zip(_parts(dish), densities_kg_m3, strict=True):
        shape, thickness = part.shape, sum(layer.thickness for layer in part.layers)
        if shape is None or (density is None and shape.weight is not None):
            continue
        low, high = FLATNESS[OUTLINES[shape.kind]]
        width, length = sorted(shape.sides_m(thickness, math.nan if density is None else density))
        if not low <= thickness / width <= high:
            yield document.finding(
                (*path, "shape"),
                f"{low:g} to {high:g} times as thick as wide, not {length_text(thickness)} on "
                f"{length_text(width)}",
                "Measure the thickest part and the width again, or leave the shape out for a flat piece.",
            )
        elif not (0.005 <= width <= 0.5 and length <= 1.0):
            yield document.finding(
                (*path, "shape"),
                f"5 mm to 50 cm wide and up to 1 m long, not {length_text(width)} by {length_text(length)}",
                "Check weight, thickness and length.",
            )


def _check_promises(dish: DishFile, document: Document) -> Iterator[Finding]:
    """Cores that rise and can be reached, colours that agree, a landing core within carry-over."""
    before = dish.start
    for i, stage in enumerate(dish.stages):
        core, colour = stage.until.core, stage.until.colour
        path: KeyPath = ("stages", i, "until")
        if core is not None:
            if core > CORE_MOST_C:
                yield document.finding(
                    (*path, "core"),
                    f"at most {temperature_text(CORE_MOST_C)}",
                    "Wet food stays below boiling inside.",
                )
            if core < before or (i == 0 and core == before):
                yield document.finding(
                    (*path, "core"),
                    f"above what it starts with, {temperature_text(before)}",
                    "Raise it, or leave it out of this stage.",
                )
            before = max(before, core)
        if colour is not None and COLOUR_STEP[colour] > COLOUR_STEP[dish.colour_at_most]:
            yield document.finding(
                (*path, "colour"),
                f"no darker than colour_at_most, {dish.colour_at_most}",
                "Change one of the two.",
            )
    landing = dish.core_at_landing
    cores = [stage.until.core for stage in dish.stages if stage.until.core is not None]
    if landing is not None and not cores:
        yield document.finding(
            ("core_at_landing",), "a stage with `until: core`", "Add the core to the last stage."
        )
    elif landing is not None and landing > max(cores) + CARRY_OVER_MOST_C:
        most = temperature_text(max(cores) + CARRY_OVER_MOST_C)
        yield document.finding(
            ("core_at_landing",),
            f"at most {most}, the core it is pulled at and its carry-over",
            "Raise the stage's core.",
        )


def check_dish_in_house(dish: DishFile, document: Document, house: HouseFile) -> Iterator[Finding]:
    """Hands for every act the dish asks for, and a bank for a platter from the bank."""
    if dish.vessel.from_bank and (house.platters is None or house.platters.count == 0):
        yield document.finding(
            ("vessel", "from_bank"), "a house with a bank of platters", "Write `platters:` in house.yaml."
        )
    for act, path in _acts_asked(dish):
        if not _hands(house, act):
            yield document.finding(
                path,
                f"somebody who can {act}",
                f"Add `{act}` to a cook's acts in house.yaml, or leave it out here.",
            )


def _acts_asked(dish: DishFile) -> Iterator[tuple[Act, KeyPath]]:
    if dish.dressed:
        yield "dress", ("dressed",)
    if dish.cut:
        yield "cut", ("cut",)
    for i in range(1, len(dish.stages)):
        yield "load" if dish.stages[i - 1].preheat else "move", ("stages", i)
    for i, stage in enumerate(dish.stages):
        if stage.flips:
            yield "flip", ("stages", i, "flips")
        if stage.turns:
            yield "turn", ("stages", i, "turns")
        if stage.spins:
            yield "spin", ("stages", i, "spins")


def check_dish_on_oven(
    dish: DishFile, document: Document, design: OvenDesign, house: HouseFile
) -> Iterator[Finding]:
    """Through the mouth, on the hearth, and every stage with a place that exists for it."""
    outline, mouth = Outline.of(dish.vessel), design.mouth
    if outline.least_width_m > mouth.width_m:
        yield document.finding(
            ("vessel",), f"narrower than the mouth, {length_text(mouth.width_m)}", "Make it smaller."
        )
    for path, part in _parts(dish):
        if sum(layer.thickness for layer in part.layers) > mouth.height_m:
            yield document.finding(
                (*path, "layers"), f"lower than the mouth, {length_text(mouth.height_m)}", "Make it flatter."
            )
    gaps = farthest_gap_m(design, outline, house.zones)
    if not gaps:
        yield document.finding(
            ("vessel",),
            f"something that fits a hearth of {_size_words(design)} clear of the flame",
            "Make it smaller.",
        )
        return
    usable = {place for place, gap in gaps.items() if gap >= dish.clear_of_flame}
    for i, stage in enumerate(dish.stages if usable else dish.stages[:1]):
        if not usable.intersection(stage.places):
            yield document.finding(
                ("stages", i, "places"),
                _usable_words(dish, usable),
                "Change the places, or lower clear_of_flame.",
            )


def _size_words(design: OvenDesign) -> str:
    hearth = design.hearth
    if isinstance(hearth, RoundHearth):
        return length_text(hearth.diameter_m)
    return f"{length_text(hearth.width_m)} by {length_text(hearth.depth_m)}"


def _usable_words(dish: DishFile, usable: set[Place]) -> str:
    clear = f" at least {length_text(dish.clear_of_flame)} from the flame" if dish.clear_of_flame else ""
    known = ", ".join(sorted(usable))
    return f"a place on this oven{clear}: {known}" if known else f"a place on this oven{clear}; there is none"


def _hands(house: HouseFile, act: Act) -> bool:
    return any(act in cook.acts for cook in house.cooks)


def known_name(
    kind: Kind, name: str, document: Document, path: KeyPath, also: Collection[str] = ()
) -> Iterator[Finding]:
    """A finding unless the library of that kind holds the name; `also` are near words to think of."""
    names = known_names(kind)
    if name not in names:
        yield document.finding(path, f"a name from {kind}.yaml", close_to(name, names.union(also)))
