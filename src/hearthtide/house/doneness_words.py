"""Words for doneness in a dish's file, turned into degrees by the scale its house has chosen.

A word is the core as served, after the rest. So `until: {core: medium rare}` ends its stage at the scale's
pull temperature, and the dish promises the served one at the landing unless it says otherwise.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from hearthtide.errors import Finding
from hearthtide.food.doneness import Degree, DonenessScale, doneness_scale, scale_names
from hearthtide.food.library import Foodstuff
from hearthtide.house.models import DishFile
from hearthtide.house.validate import close_to
from hearthtide.house.yaml_lines import Document, KeyPath, Plain
from hearthtide.quantities import duration_text

_WORD = re.compile(r"[A-Za-z][A-Za-z _-]{1,39}")


@dataclass(frozen=True)
class Said:
    """A word that stands in a dish's file: where, and what it means."""

    path: KeyPath
    degree: Degree


def any_scale(word: str) -> Degree | None:
    """The word on whichever scale has it first: to go on reading when the house cannot be read."""
    degrees = (doneness_scale(name).degrees.get(word) for name in scale_names())
    return next((degree for degree in degrees if degree is not None), None)


def with_degrees(
    document: Document, scale: DonenessScale | None, chosen: bool
) -> tuple[Document, tuple[Said, ...], tuple[Finding, ...]]:
    """The dish's document with degrees in place of words, the words that were there, and what is wrong.

    Texts and lines stay as written. `chosen` says whether it is known what the house chose, if only nothing:
    if not, no word is blamed for it.
    """
    data = copy.deepcopy(document.data)
    said: list[Said] = []
    findings: list[Finding] = []
    for path in _places(data):
        text = document.texts.get(path, "").strip()
        if not _WORD.fullmatch(text):
            continue
        word = " ".join(text.lower().replace("-", " ").replace("_", " ").split())
        degree = scale.degrees.get(word) if scale else None if chosen else any_scale(word)
        if degree is None:
            findings.append(_unknown(document, path, word, scale))
            degree = Degree(word, 60.0, 60.0, 0.0, frozenset())  # any core: the word is refused already
        else:
            said.append(Said(path, degree))
        _write(data, path, degree)
    return replace(document, data=data), tuple(said), tuple(findings)


def _untils(data: object) -> Iterator[tuple[int, dict[str, object]]]:
    """Each stage's `until` that names a core, as far as the document is what it should be."""
    stages = data.get("stages") if isinstance(data, dict) else None
    for i, stage in enumerate(stages if isinstance(stages, list) else []):
        until = stage.get("until") if isinstance(stage, dict) else None
        if isinstance(until, dict) and "core" in until:
            yield i, until


def _places(data: object) -> Iterator[KeyPath]:
    """Where a core stands, the landing's last."""
    for i, _ in _untils(data):
        yield "stages", i, "until", "core"
    if isinstance(data, dict) and "core_at_landing" in data:
        yield ("core_at_landing",)


def _write(data: dict[str, Plain], path: KeyPath, degree: Degree) -> None:
    if path == ("core_at_landing",):
        data["core_at_landing"] = f"{degree.serve_C} C"
        return
    untils = dict(_untils(data))
    untils[int(path[1])]["core"] = f"{degree.pull_C} C"
    if path[1] == max(untils):
        data.setdefault("core_at_landing", f"{degree.serve_C} C")


def _unknown(document: Document, path: KeyPath, word: str, scale: DonenessScale | None) -> Finding:
    if scale is None:
        return document.finding(
            path,
            "degrees such as `52 C`, as this house has chosen no scale for words",
            f"Write degrees, or `doneness:` in house.yaml; known: {', '.join(scale_names())}.",
        )
    words = tuple(scale.degrees)
    return document.finding(
        path, f"degrees, or a word of {scale.name}: {', '.join(words)}", close_to(word, words)
    )


def check_said(
    dish: DishFile, document: Document, said: tuple[Said, ...], foods: tuple[Foodstuff, ...]
) -> Iterator[Finding]:
    """Each word said of food it is meant for, and the rest that goes with it kept."""
    names = {food.name for food in foods}
    flesh = {food.name for food in foods if food.raw_muscle}
    for one in said:
        meant = one.degree.foods
        if meant and not (flesh <= meant and names & meant):
            yield document.finding(
                one.path,
                f"a word that is meant for {', '.join(sorted(flesh - meant) or sorted(names))}",
                f"Write degrees: this word is said of {', '.join(sorted(meant))}.",
            )
        if dish.rest < one.degree.rest_s:
            yield document.finding(
                ("rest",),
                f"at least {duration_text(one.degree.rest_s)}, which goes with `{one.degree.word}`",
                "Lengthen the rest.",
            )
