"""The house as screens draw it: the stone's edge, its flames, its dishes; the same all night."""

from __future__ import annotations

from hearthtide.house.models import DishFile, House
from hearthtide.house.night_file import NightFile
from hearthtide.house.oven_design import design_of
from hearthtide.house.places import Outline
from hearthtide.oven.design import OvenDesign
from hearthtide.oven.grid import QUICK
from hearthtide.oven.stone import lattice
from hearthtide.ranges import Array
from hearthtide.service.shown import ShownDish, ShownFlame, ShownHouse


def shown_house(house: House, books: NightFile | None, night: str) -> ShownHouse:
    """What every screen needs to know of a house once. Without `books` nothing is planned."""
    design = design_of(house.oven)
    cells = lattice(design.hearth, QUICK)
    side_m = cells.sides_m[0]
    return ShownHouse(
        name=house.file.name,
        night=night,
        doors_s=17 * 3600.0 if books is None else float(books.doors),
        outline_m=_points(design.hearth.outline_m()),
        mouth_m=design.mouth.width_m,
        flames=_flames(design),
        cells_m=_points(cells.cells_m),
        cell_side_m=side_m,
        band_C=(house.oven.floor_band.low, house.oven.floor_band.high),
        levels=tuple(level.name for level in design.levels),
        cooks=tuple(cook.name for cook in house.file.cooks),
        platters=0 if house.file.platters is None else house.file.platters.count,
        dishes=tuple(_dish(key, dish) for key, dish in house.dishes.items()),
        together_s=house.file.together,
        late_after_s=house.file.late_after,
        plans=books is not None,
        gas=house.oven.fuel != "wood",
    )


def _points(xy_m: Array) -> tuple[tuple[float, float], ...]:
    return tuple((round(float(x), 4), round(float(y), 4)) for x, y in xy_m)


def _flames(design: OvenDesign) -> tuple[ShownFlame, ...]:
    return tuple(ShownFlame(_points(design.flame_path_m(fire, 9)), fire.breadth_m) for fire in design.fires)


def _dish(key: str, dish: DishFile) -> ShownDish:
    outline = Outline.of(dish.vessel)
    across = 2 * outline.radius_m if outline.is_disc else outline.width_m
    deep = 2 * outline.radius_m if outline.is_disc else outline.depth_m
    return ShownDish(
        key=key,
        name=dish.name,
        vessel=dish.vessel.kind,
        shape="disc" if outline.is_disc else "box",
        width_m=across,
        depth_m=deep,
        from_bank=dish.vessel.from_bank,
        core_C=dish.stages[-1].until.core,
        contains=dish.allergens.contains,
    )
