"""The trays a day wants from its heat-up window, in the order and sizes that a house cooks them."""

from __future__ import annotations

import math
from collections.abc import Mapping

from hearthtide.day.load import Tray
from hearthtide.house.ahead_file import Ahead, BatchFile
from hearthtide.house.models import DishFile
from hearthtide.planning.build import handles_of, stage_masks
from hearthtide.planning.places import Places


def trays_of(ahead: Ahead, wanted: Mapping[str, int], places: Places, stations: int) -> tuple[Tray, ...]:
    """Trays for so many portions of each batch, the last one part full. KeyError for an unknown batch.

    They stand at the `stations` (bits) where their dish may, anywhere it may where none of those is for it.
    """
    return tuple(
        _tray(
            ahead,
            kind,
            batch,
            number,
            min(batch.portions, portions - number * batch.portions),
            _masks(ahead.house.dishes[batch.dish], places, stations),
        )
        for kind, portions in wanted.items()
        for batch in (ahead.file.batches[kind],)
        for number in range(math.ceil(portions / batch.portions))
    )


def _masks(dish: DishFile, places: Places, stations: int) -> tuple[int, ...]:
    wishes = stage_masks(dish, 0, places)
    return tuple(m & stations for m in wishes if m & stations) or tuple(m for m in wishes if m)


def _tray(
    ahead: Ahead, kind: str, batch: BatchFile, number: int, portions: int, masks: tuple[int, ...]
) -> Tray:
    dish = ahead.house.dishes[batch.dish]
    return Tray(
        key=f"{kind} {number + 1}",
        kind=kind,
        dish=batch.dish,
        portions=portions,
        mass_kg=portions * batch.mass,
        masks=masks,
        turns=tuple(handle.fraction for handle in handles_of(dish, 0)),
        rest_s=round(dish.rest),
        of_kind=batch.trays,
        stone_from_C=batch.stone_from,
        stone_to_C=batch.stone_to,
        raw=dish.raw,
        ready_to_eat=dish.ready_to_eat,
    )
