"""A house folder, read and checked whole: every mistake in every file is told at once."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from hearthtide.errors import Finding, InputError
from hearthtide.food.colour import STANDARD
from hearthtide.food.cooking import slowest
from hearthtide.food.doneness import DonenessScale, doneness_scale, scale_names
from hearthtide.food.grid import layers_density_kg_m3
from hearthtide.food.library import Foodstuff, foodstuff
from hearthtide.food.spec import FoodLayer, Platter, Portion
from hearthtide.house import checks, set_aside
from hearthtide.house.contacts import check_claims, with_contacts
from hearthtide.house.dish_checks import check_hearth_words
from hearthtide.house.doneness_words import Said, check_said, with_degrees
from hearthtide.house.foods_file import FoodsFile, OwnFoodFile, check_foods
from hearthtide.house.library import known_names
from hearthtide.house.models import DishFile, House, HouseFile, NightFile, PartFile
from hearthtide.house.oven_checks import check_oven
from hearthtide.house.oven_design import design_of
from hearthtide.house.oven_file import OvenFile
from hearthtide.house.places import Outline
from hearthtide.house.set_aside import Taken
from hearthtide.house.validate import Model, close_to, validated
from hearthtide.house.yaml_lines import MAX_BYTES, Document, read_yaml, shown
from hearthtide.oven.design import OvenDesign

MOST_DISHES = 200  # our own choice: far more than one hearth can carry
_KEY = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,39}")


def read_house(folder: Path) -> House:
    """The house in `folder`: house.yaml, oven.yaml, dishes/*.yaml, and foods.yaml where there is one.

    Raises
    ------
    InputError
        With every finding over all files: each with file, line, field, value, what was expected
        and what to do.
    """
    house, wrong = take_house(folder)
    if wrong:
        raise InputError(wrong)
    return house


def take_house(folder: Path) -> tuple[House, tuple[Finding, ...]]:
    """The house without the dishes whose files cannot be used, and all that is wrong with those.

    Raises
    ------
    InputError
        With every finding, when one of them concerns more than a dish or no dish is left.
    """
    if not folder.is_dir():
        raise InputError((_no_house(folder),))
    findings: list[Finding] = []
    house = _read(folder, "house.yaml", HouseFile, findings)
    oven = _read(folder, "oven.yaml", OvenFile, findings)
    foods = _own_foods(folder, findings)
    scale, chosen = _scale(house)
    dishes: dict[str, Dish] = {}
    for key, file in _dish_files(folder, findings):
        dish = _read_dish(folder, file, scale, chosen, findings)
        if dish:
            dishes[key] = dish
    findings += _cross_checks(house, oven, dishes, foods)
    aside = {finding.file for finding in findings if finding.file.startswith("dishes/")}
    good = {key: dish.file for key, dish in dishes.items() if dish.document.file not in aside}
    if any(f.file not in aside for f in findings) or house is None or oven is None or not good:
        raise InputError(tuple(findings))
    names = frozenset(Path(file).stem for file in aside)
    grown = with_contacts(good, house[0])
    made = House(
        folder=str(folder), file=house[0], oven=oven[0], dishes=grown, foods=foods or {}, set_aside=names
    )
    return made, tuple(findings)


def dishes_in(house: House, where: str) -> dict[str, DishFile]:
    """Dishes kept in another of the house's folders, such as the trays cooked ahead: checked as its own are.

    Raises
    ------
    InputError
        With every finding.
    """
    folder, findings = Path(house.folder), list[Finding]()
    read_file = _read(folder, "house.yaml", HouseFile, findings)
    oven = _read(folder, "oven.yaml", OvenFile, findings)
    scale, chosen = _scale(read_file)
    found = {
        key: _read_dish(folder, file, scale, chosen, findings)
        for key, file in _dish_files(folder, findings, where)
    }
    dishes = {key: dish for key, dish in found.items() if dish is not None}
    findings += _cross_checks(read_file, oven, dishes, dict(house.foods))
    if findings:
        raise InputError(tuple(findings))
    return with_contacts({key: dish.file for key, dish in dishes.items()}, house.file)


@dataclass(frozen=True)
class Dish:
    """A dish as read, the document it was read from, and the words for doneness that stood there."""

    file: DishFile
    document: Document
    said: tuple[Said, ...]


def _own_foods(folder: Path, findings: list[Finding]) -> dict[str, OwnFoodFile] | None:
    """The house's own foods by name; empty where it has no foods.yaml, None where that cannot be read."""
    if "foods.yaml" not in _names_in(folder):
        return {}
    found = _read(folder, "foods.yaml", FoodsFile, findings)
    if found is None:
        return None
    findings += check_foods(*found)
    return {food.name: food for food in found[0].foods}


def _scale(house: tuple[HouseFile, Document] | None) -> tuple[DonenessScale | None, bool]:
    """The house's scale for words, and whether what it chose (if only none) could be read."""
    if house is None:
        return None, False
    named = house[0].doneness
    return (doneness_scale(named), True) if named in scale_names() else (None, named is None)


def _read_dish(
    folder: Path, file: str, scale: DonenessScale | None, chosen: bool, findings: list[Finding]
) -> Dish | None:
    document = _document_in(folder, file, findings)
    if document is None:
        return None
    document, said, unknown = with_degrees(document, scale, chosen)
    findings += unknown
    found = _model(document, DishFile, findings)
    return Dish(found[0], document, said) if found else None


def _no_house(folder: Path) -> Finding:
    return Finding(
        file=str(folder),
        line=0,
        field="the house",
        value="",
        expected="a folder with house.yaml, oven.yaml and dishes",
        remedy="Name the house's folder.",
    )


def read_night(house: House, night: str) -> NightFile:
    """A night of the house, by its name in nights/ or by the path of an existing .yaml file.

    A name holds letters, digits, `_` and `-` only, so that it cannot lead out of the folder. Plates of
    dishes that are off (86) are not in it.

    Raises
    ------
    InputError
        The night does not exist (the finding names those that do), or with all that is wrong in it.
    """
    found = take_night(house, night)
    if found.wrong:
        raise InputError(found.wrong)
    return found.night


def take_night(house: House, night: str) -> Taken:
    """The same night as far as it can be planned, with what had to be set aside and why.

    Raises
    ------
    InputError
        The night does not exist, something is wrong with the whole of it, or nothing is left of it.
    """
    findings: list[Finding] = []
    if _KEY.fullmatch(night):
        file = f"nights/{night}.yaml"
        document = _document_in(Path(house.folder), file, findings, _night_names(house))
    elif night.endswith(".yaml") and _is_file(Path(night)):
        document = _document(Path(night), Path(night).name, findings)
    else:
        raise InputError((_missing_night(house, night),))
    if document is None:
        raise InputError(tuple(findings))
    return set_aside.take_night(document, house)


def read_document(path: Path) -> Document:
    """A YAML file by its path, as written. Raises InputError when it cannot be read."""
    findings: list[Finding] = []
    document = _document(path, path.name, findings)
    if document is None:
        raise InputError(tuple(findings))
    return document


def oven_design(house: House) -> OvenDesign:
    """The house's oven as the model takes it."""
    return design_of(house.oven)


def portion(house: House, dish_key: str, stage: int = 0) -> Portion:
    """One portion of a dish as the food model takes it, covered as in the given stage.

    Of a piece in parts the slowest counts. A vessel from the bank is as hot as the bank, one that preheats as
    hot as its dish says; any other starts as cold as the food on it.
    KeyError, naming the dishes there are, for an unknown dish.
    """
    if dish_key not in house.dishes:
        raise KeyError(f"{dish_key}: expected one of {', '.join(sorted(house.dishes))}")
    dish = house.dishes[dish_key]
    one = portion_of(house, dish, dish, stage)
    others = tuple(portion_of(house, dish, part, stage) for part in dish.also)
    return slowest((one, *others), dish.slow_core_C) if others else one


def portion_of(house: House, dish: DishFile, part: DishFile | PartFile, stage: int = 0) -> Portion:
    """One part of a dish's piece, as if the whole of it were so."""
    area_m2 = Outline.of(dish.vessel).area_m2
    platter = None
    if dish.vessel.metal is not None and dish.vessel.mass is not None:
        bank = house.file.platters if dish.vessel.from_bank else None
        start_C = bank.hot if bank else dish.preheated_C or dish.start
        platter = Platter(dish.vessel.metal, dish.vessel.mass, area_m2, start_C)
    layers = tuple(FoodLayer(food_of(house.foods, layer.food), layer.thickness) for layer in part.layers)
    shape, thickness_m = part.shape, sum(layer.thickness_m for layer in layers)
    density = layers_density_kg_m3(layers)
    shaped_m2 = None if shape is None else min(area_m2, shape.area_m2(thickness_m, density))
    return Portion(
        name=dish.name,
        layers=layers,
        area_m2=dish.food_area or shaped_m2 or area_m2,
        start_C=dish.start,
        platter=platter,
        sugar=dish.browning,
        rim_thickness_m=dish.rim or 0.0,
        cover=dish.stages[stage].covered,
        body=None if shape is None else shape.body(thickness_m, density),
        colours=house.file.colours.scale() if house.file.colours else STANDARD,
    )


def food_of(own: Mapping[str, OwnFoodFile], name: str) -> Foodstuff:
    """A food by its name: the house's own, else the library's; KeyError when neither has it."""
    return own[name].foodstuff() if name in own else foodstuff(name)


def _cross_checks(
    house: tuple[HouseFile, Document] | None,
    oven: tuple[OvenFile, Document] | None,
    dishes: dict[str, Dish],
    foods: dict[str, OwnFoodFile] | None,
) -> Iterator[Finding]:
    """All checks whose files could be read."""
    oven_findings = list(check_oven(*oven)) if oven else []
    house_findings = list(checks.check_house(*house)) if house else []
    yield from oven_findings
    yield from house_findings
    placeable = oven is not None and house is not None and not oven_findings and not house_findings
    design = design_of(oven[0]) if oven and placeable else None
    known = known_names("foods").union(foods or ())
    for dish in dishes.values():
        yield from checks.check_dish(dish.file, dish.document, foods)
        yield from check_hearth_words(dish.file, dish.document)
        made_of = [_layers_of(part, foods or {}, known) for part in dish.file.parts]
        yield from checks.check_shapes(dish.file, dish.document, tuple(map(_density_kg_m3, made_of)))
        stuffs = tuple(layer.stuff for layers in made_of for layer in layers)
        if all(made_of):
            yield from check_said(dish.file, dish.document, dish.said, stuffs)
        if house:
            yield from check_claims(dish.file, dish.document, house[0], date.today())
            yield from checks.check_dish_in_house(dish.file, dish.document, house[0])
        if house and design:
            yield from checks.check_dish_on_oven(dish.file, dish.document, design, house[0])


def _layers_of(
    part: DishFile | PartFile, foods: Mapping[str, OwnFoodFile], known: Collection[str]
) -> tuple[FoodLayer, ...]:
    """A part's layers as the food model takes them; none where a food of it is not known."""
    if any(layer.food not in known for layer in part.layers):
        return ()
    return tuple(FoodLayer(food_of(foods, layer.food), layer.thickness) for layer in part.layers)


def _density_kg_m3(layers: tuple[FoodLayer, ...]) -> float | None:
    return layers_density_kg_m3(layers) if layers else None


def _dish_files(folder: Path, findings: list[Finding], where: str = "dishes") -> Iterator[tuple[str, str]]:
    """Key and file of every dish in a folder of the house; a file that cannot be one is a finding."""
    names = _names_in(folder / where)
    good = [name for name in names if name.endswith(".yaml") and _KEY.fullmatch(name[:-5])]
    for name in names:
        if name.endswith((".yaml", ".yml")) and name not in good:
            expected = "a name such as `half_chicken.yaml`"
            findings.append(Finding(shown(f"{where}/{name}"), 0, "the file", "", expected, "Rename it."))
    if not good:
        remedy = f"Add a file for each dish, such as {where}/pizza.yaml."
        findings.append(Finding(where, 0, "the folder", "", "at least one dish", remedy))
    if len(good) > MOST_DISHES:
        expected = f"at most {MOST_DISHES} dishes"
        findings.append(Finding(where, 0, "the folder", str(len(good)), expected, "Move some files away."))
    yield from ((name[:-5], f"{where}/{name}") for name in good[:MOST_DISHES])


def _is_file(path: Path) -> bool:
    """Whether a file is there; a name that no file system takes has none."""
    try:
        return path.is_file()
    except OSError:
        return False


def _names_in(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir()) if folder.is_dir() else []


def _night_names(house: House) -> tuple[str, ...]:
    names = _names_in(Path(house.folder) / "nights")
    return tuple(name[:-5] for name in names if name.endswith(".yaml") and _KEY.fullmatch(name[:-5]))


def _missing_night(house: House, night: str) -> Finding:
    names = _night_names(house)
    return Finding("nights", 0, "night", shown(night), "the name of a night", close_to(night, names))


def _read(
    folder: Path,
    file: str,
    model: type[Model],
    findings: list[Finding],
    siblings: Iterable[str] | None = None,
) -> tuple[Model, Document] | None:
    """The model in a file of the folder; what is wrong goes to `findings`."""
    return _model(_document_in(folder, file, findings, siblings), model, findings)


def _document_in(
    folder: Path, file: str, findings: list[Finding], siblings: Iterable[str] | None = None
) -> Document | None:
    """A file of the folder as written; a file that is not there or leads out of it is a finding."""
    path = folder / file
    if not _is_file(path):
        remedy = "Add the file." if siblings is None else close_to(path.stem, siblings)
        findings.append(Finding(file, 0, "the file", "", "a file in the house's folder", remedy))
        return None
    if not path.resolve().is_relative_to(folder.resolve()):
        remedy = "Put the file itself there instead of a link."
        findings.append(Finding(file, 0, "the file", "", "a file inside the house's folder", remedy))
        return None
    return _document(path, file, findings)


def _document(path: Path, file: str, findings: list[Finding]) -> Document | None:
    try:
        with path.open("rb") as stream:
            content = stream.read(MAX_BYTES + 1)
        return read_yaml(content, file)
    except OSError as error:
        reason = shown(error.strerror or type(error).__name__)
        findings.append(
            Finding(file, 0, "the file", "", "a file that can be read", f"It cannot be: {reason}.")
        )
    except InputError as error:
        findings += error.findings
    return None


def _model(
    document: Document | None, model: type[Model], findings: list[Finding]
) -> tuple[Model, Document] | None:
    if document is None:
        return None
    result = validated(model, document)
    if isinstance(result, tuple):
        findings += result
        return None
    return result, document
