"""What a dish's file says of preheating, of raw and ready to eat: checked on the dish alone."""

from __future__ import annotations

from collections.abc import Iterator

from hearthtide.errors import Finding
from hearthtide.house.models import DishFile
from hearthtide.house.yaml_lines import Document
from hearthtide.quantities.show import duration_text


def check_hearth_words(dish: DishFile, document: Document) -> Iterator[Finding]:
    """A preheat comes first, of a vessel, where the stage after it may stand; raw is not ready to eat.

    No stage may end before it has begun.
    """
    for i, stage in enumerate(dish.stages):
        if stage.minutes is not None and (stage.band.early or 0.0) >= stage.minutes:
            expected = f"less than the stage's own minutes, {duration_text(stage.minutes)}"
            yield document.finding(("stages", i, "band", "early"), expected, "Lower it, or raise minutes.")
        if stage.preheat and i > 0:
            yield document.finding(("stages", i, "preheat"), "only the first stage", "Put it first.")
    if dish.stages[0].preheat:
        yield from _check_preheat(dish, document)
    if dish.raw and dish.ready_to_eat:
        yield document.finding(
            ("ready_to_eat",),
            "one of raw and ready_to_eat",
            "What goes in raw cannot be eaten as it goes in.",
        )
    if dish.raw_of is not None and not dish.raw:
        yield document.finding(("raw_of",), "raw: true beside it", "Add it, or take raw_of out.")


def _check_preheat(dish: DishFile, document: Document) -> Iterator[Finding]:
    at = ("stages", 0, "preheat")
    if len(dish.stages) == 1:
        yield document.finding(at, "a stage after it with the food on", "Add the stage that cooks.")
        return
    if dish.vessel.kind == "stone" or dish.vessel.from_bank:
        expected = "a platter, pan or crock that does not come hot from the bank"
        yield document.finding(at, expected, "Take the preheat out, or `from_bank`.")
    if set(dish.stages[0].places) - set(dish.stages[1].places):
        yield document.finding(
            ("stages", 0, "places"),
            "places of the stage after it: the vessel stays where it is",
            f"Choose from {', '.join(dish.stages[1].places)}.",
        )
