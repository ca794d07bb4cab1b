"""The types of all that passes between board and screens, written as TypeScript from the program's own.

`python -m hearthtide.board.wire_types web/src/wire.ts` writes them; a test fails while that file differs.
"""

from __future__ import annotations

import dataclasses
import json
import sys
import types
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Any, Literal, Union, cast, get_args, get_origin, get_type_hints

from pydantic import BaseModel

from hearthtide.board import said, said_records
from hearthtide.board.access import Role
from hearthtide.board.after_api import ClosingNow
from hearthtide.board.plan_api import Quoted
from hearthtide.board.records_api import Found, StandsOpen
from hearthtide.board.said_records import Noted
from hearthtide.house.models import Act
from hearthtide.safety.rules import FoodClass, Piece
from hearthtide.safety.states import State
from hearthtide.service import shown
from hearthtide.service.commands import Event, What
from hearthtide.service.day_kept import DayNow
from hearthtide.service.day_kept import Kind as DayKind
from hearthtide.service.facts import Facts
from hearthtide.service.records.told import ToldLots
from hearthtide.service.replay import Replay

ROOTS: tuple[type, ...] = (
    shown.ShownHouse,
    shown.Shown,
    Facts,
    Event,
    said.Answered,
    said.Happened,
    said.Events,
    said.StateNow,
    said.Token,
    said.Person,
    said.Code,
    said.SaidCommand,
    said.SaidDevice,
    said.SaidWho,
    said.SaidPerson,
    said.Trouble,
    ClosingNow,
    Quoted,
    Replay,
    ToldLots,
    said_records.SaidRecord,
    said_records.SaidCorrection,
    Found,
    StandsOpen,
    DayNow,
)
NAMED: dict[str, Any] = {
    "Act": Act,
    "Hazard": shown.Hazard,
    "Shape": shown.Shape,
    "Role": Role,
    "What": What,
    "Noted": Noted,
    "LotState": State,
    "FoodClass": FoodClass,
    "Piece": Piece,
    "DayKind": DayKind,
}
# What the API's models leave open, because the service has made and judged it already.
KNOWN: dict[tuple[type, str], Any] = {(said.Happened, "event"): Event, (said.StateNow, "facts"): Facts}
PLAIN: dict[Any, str] = {
    float: "number",
    int: "number",
    str: "string",
    bool: "boolean",
    type(None): "null",
    Any: "unknown",
    date: "string",
    Decimal: "string",
}
HEAD = """// Written by `python -m hearthtide.board.wire_types`: what board and screens tell each other.
// Times in seconds from the night's first midnight, lengths in metres, temperatures in degrees Celsius.
"""


# Modules whose dataclasses screens send: fields with a default may be left out.
SENT = ("hearthtide.service.commands", "hearthtide.service.tickets", "hearthtide.board.said_records")


class Writer:
    """Collects declarations as they are met, each once."""

    def __init__(self) -> None:
        self.declared: dict[str, str] = {}

    def type_text(self, hint: Any) -> str:
        """A type as TypeScript writes it. Raises TypeError for one that JSON does not have."""
        if get_origin(hint) is Annotated:
            return self.type_text(get_args(hint)[0])
        for name, alias in NAMED.items():
            if hint == alias:
                self._declare_alias(name, alias)
                return name
        return self._bare(hint)

    def _bare(self, hint: Any) -> str:
        origin, args = get_origin(hint), get_args(hint)
        if hint in PLAIN:
            return PLAIN[hint]
        if origin is Literal:
            return " | ".join(json.dumps(one) for one in args)
        if origin in (Union, types.UnionType):
            return " | ".join(self.type_text(one) for one in args)
        if origin is tuple and args[-1] is Ellipsis:
            inner = self.type_text(args[0])
            return f"readonly ({inner})[]" if " " in inner else f"readonly {inner}[]"
        if origin is tuple:
            return f"readonly [{', '.join(map(self.type_text, args))}]"
        if isinstance(hint, type) and (dataclasses.is_dataclass(hint) or issubclass(hint, BaseModel)):
            self._declare(hint)
            return hint.__name__
        raise TypeError(f"{hint} has no type on the wire")

    def _declare_alias(self, name: str, alias: Any) -> None:
        if name not in self.declared:
            self.declared[name] = ""  # its place in the file, before what it leads to
            self.declared[name] = f"export type {name} = {self._bare(alias)};\n"

    def _declare(self, one: type) -> None:
        if one.__name__ in self.declared:
            return
        self.declared[one.__name__] = ""
        hints = get_type_hints(one, include_extras=True)
        lines = [f"/** {(one.__doc__ or '').splitlines()[0]} */", f"export interface {one.__name__} {{"]
        for name, may_lack in _fields(one):
            text = self.type_text(KNOWN.get((one, name), hints[name]))
            lines.append(f"  readonly {name}{'?' if may_lack else ''}: {text};")
        self.declared[one.__name__] = "\n".join([*lines, "}\n"])


def _fields(one: type) -> list[tuple[str, bool]]:
    """Names of a type's fields, and whether a screen that sends it may leave the field out."""
    if issubclass(one, BaseModel):
        return [
            (name, issubclass(one, said.Said) and not f.is_required()) for name, f in one.model_fields.items()
        ]
    sent = one.__module__ in SENT and one is not Event
    return [
        (field.name, sent and field.name != "kind" and field.default is not dataclasses.MISSING)
        for field in dataclasses.fields(cast(Any, one))
    ]


def wire_types() -> str:
    """The whole file."""
    writer = Writer()
    for root in ROOTS:
        writer.type_text(root)
    return HEAD + "\n" + "\n".join(writer.declared.values())


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(wire_types(), encoding="utf-8")
