"""The thickest part of a dish's piece: what decides how long it takes to chill."""

from __future__ import annotations

from hearthtide.food.library import Foodstuff
from hearthtide.house.files import food_of
from hearthtide.house.models import DishFile, House


def thickest_part(house: House, dish: DishFile) -> tuple[str, Foodstuff, float]:
    """The thickest part of a dish's piece: its name, most of what it is made of, its thickness [m]."""
    part = max(dish.parts, key=lambda part: sum(layer.thickness for layer in part.layers))
    most = max(part.layers, key=lambda layer: layer.thickness)
    name = dish.name if part is dish else f"{dish.name}, {part.name}"
    return name, food_of(house.foods, most.food), sum(layer.thickness for layer in part.layers)
