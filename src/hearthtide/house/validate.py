"""From a document to a model, with every mistake told in the cook's words."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from typing import TypeVar, get_args

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from hearthtide.errors import Finding
from hearthtide.house.yaml_lines import Document, KeyPath
from hearthtide.quantities import written_like

Model = TypeVar("Model", bound=BaseModel)

_BOUND_WORDS = {
    "greater_than_equal": ("ge", "at least", "Raise it, or check its unit."),
    "greater_than": ("gt", "more than", "Raise it, or check its unit."),
    "less_than_equal": ("le", "at most", "Lower it, or check its unit."),
    "less_than": ("lt", "less than", "Lower it, or check its unit."),
}
_KIND_WORDS = {
    "string_type": ("a word", "Write text here."),
    "tuple_type": ("a list", "Write `- ` before each entry, or `[a, b]`."),
    "model_type": ("`key: value` lines", "Write the keys below this one, indented."),
    "int_type": ("a whole number", "Write a number such as `12`."),
    "int_parsing": ("a whole number", "Write a number such as `12`."),
    "int_parsing_size": ("a whole number", "Write a number such as `12`."),
    "int_from_float": ("a whole number", "Write a number such as `12`."),
    "float_type": ("a number", "Write a number such as `0.05`, without a unit."),
    "float_parsing": ("a number", "Write a number such as `0.05`, without a unit."),
    "bool_type": ("`true` or `false`", "Write one of the two."),
    "bool_parsing": ("`true` or `false`", "Write one of the two."),
    "string_pattern_mismatch": (
        "letters and digits first, then also spaces and _ . - ' & in names",
        "Shorten it to 40 characters (a table's code 12) and leave other signs out.",
    ),
}


def close_to(word: str, known: Iterable[str]) -> str:
    """A remedy that names the nearest known words, or all of them when none is near.

    >>> close_to("piza", ["pizza", "wings"])
    'Did you mean `pizza`?'
    """
    names = sorted(known)
    near = difflib.get_close_matches(word.lower(), names, n=2, cutoff=0.6)
    if near:
        return f"Did you mean {' or '.join(f'`{name}`' for name in near)}?"
    return f"Known: {', '.join(names)}." if names else "None is known yet."


def validated(model: type[Model], document: Document) -> Model | tuple[Finding, ...]:
    """The model a document describes, or all that keeps it from being one."""
    try:
        return model.model_validate(document.data)
    except ValidationError as error:
        details = error.errors(include_url=False)
        return tuple(_finding(model, document, detail) for detail in details if not _echo(detail, details))


def _echo(detail: ErrorDetails, others: list[ErrorDetails]) -> bool:
    """Whether a list is called too short only because an entry that was written is itself refused."""
    path = detail["loc"]
    inside = (other["loc"] for other in others if len(other["loc"]) > len(path))
    return detail["type"] == "too_short" and any(loc[: len(path)] == path for loc in inside)


def _finding(model: type[BaseModel], document: Document, detail: ErrorDetails) -> Finding:
    path: KeyPath = tuple(detail["loc"])
    kind, context = detail["type"], detail.get("ctx", {})
    if kind == "value_error":
        named, expected = _own_words(str(context["error"]))
        remedy = "Change it, or what it goes with." if named else _remedy_for(document, path)
        return document.finding(path + named, expected, remedy)
    if kind == "missing":
        return document.finding(path, "a value", f"Add `{path[-1]}:` {_meaning(model, path)}".rstrip() + ".")
    if kind == "extra_forbidden":
        owner = _model_at(model, path[:-1])
        known = _keys(owner) if owner else ()
        return document.finding(path, "a known key", close_to(str(path[-1]), known))
    if kind == "literal_error":
        choices = [choice.strip(" '") for choice in context["expected"].replace(" or ", ", ").split(",")]
        written = document.texts.get(path, "")
        return document.finding(path, f"one of {', '.join(choices)}", close_to(written, choices))
    if kind in _BOUND_WORDS:
        key, words, remedy = _BOUND_WORDS[kind]
        bound = written_like(float(context[key]), document.texts.get(path, ""))
        return document.finding(path, f"{words} {bound}", remedy)
    if kind in ("too_short", "too_long"):
        short = kind == "too_short"
        limit = context["min_length" if short else "max_length"]
        expected = f"{'at least' if short else 'at most'} {limit} in this list"
        return document.finding(path, expected, "Add to the list." if short else "Take some out of the list.")
    if kind in _KIND_WORDS:
        return document.finding(path, *_KIND_WORDS[kind])
    return document.finding(path, detail["msg"].lower(), "Correct it.")


def _own_words(message: str) -> tuple[KeyPath, str]:
    """Split `field: expected X` or `expected X`, as the models raise them."""
    before, found, after = message.partition("expected ")
    field = before.strip(" :")
    return ((field,) if field else (), after if found else message)


def _remedy_for(document: Document, path: KeyPath) -> str:
    text = document.texts.get(path)
    if text is None:
        return "Correct it here."
    if text.strip().lstrip("+-").replace(".", "", 1).isdigit():
        return "Add the unit."
    return "Write it that way." if text.strip() else "Write a value."


def _meaning(model: type[BaseModel], path: KeyPath) -> str:
    owner = _model_at(model, path[:-1])
    field = _keys(owner).get(str(path[-1])) if owner else None
    return f"({field.description})" if field and field.description else ""


def _model_at(model: type[BaseModel], path: KeyPath) -> type[BaseModel] | None:
    """The model that stands at a key path, where one does."""
    current: type[BaseModel] | None = model
    for step in path:
        if isinstance(step, int) or current is None:
            continue
        field = _keys(current).get(step)
        current = _model_in(field.annotation) if field else None
    return current


def _keys(model: type[BaseModel]) -> dict[str, FieldInfo]:
    """A model's fields by the key they have in a file."""
    return {field.alias or name: field for name, field in model.model_fields.items()}


def _model_in(annotation: object) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    inner = (_model_in(argument) for argument in get_args(annotation))
    return next((found for found in inner if found), None)
