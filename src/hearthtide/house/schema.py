"""JSON Schemas of the house's files, for editors: `python -m hearthtide.house.schema FOLDER`."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

from annotated_types import Ge, Gt, Le, Lt
from pydantic import BaseModel
from pydantic.fields import FieldInfo
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core.core_schema import WithDefaultSchema

from hearthtide.house.ahead_file import AheadFile
from hearthtide.house.capacity_file import CapacityFile
from hearthtide.house.chill_file import ChillFile
from hearthtide.house.events_file import EventsFile
from hearthtide.house.falling_file import FallingFile
from hearthtide.house.foods_file import FoodsFile
from hearthtide.house.fuel_file import FuelFile
from hearthtide.house.history_file import HistoryFile
from hearthtide.house.models import DishFile, HouseFile, NightFile
from hearthtide.house.oven_file import OvenFile
from hearthtide.house.pars_file import ParsFile
from hearthtide.house.prep_file import PrepFile
from hearthtide.house.rota_file import RotaFile
from hearthtide.house.supplies_file import SuppliesFile
from hearthtide.house.upsets_file import UpsetsFile
from hearthtide.quantities import written_like

FILES: dict[str, type[BaseModel]] = {
    "house": HouseFile,
    "oven": OvenFile,
    "dish": DishFile,
    "night": NightFile,
    "foods": FoodsFile,
    "events": EventsFile,
    "upsets": UpsetsFile,
    "history": HistoryFile,
    "pars": ParsFile,
    "rota": RotaFile,
    "ahead": AheadFile,
    "chill": ChillFile,
    "prep": PrepFile,
    "supplies": SuppliesFile,
    "falling": FallingFile,
    "fuel": FuelFile,
    "capacity": CapacityFile,
}


class _AsWritten(GenerateJsonSchema):
    """Shows a default the way a cook would write it, not as the SI number it becomes."""

    def default_schema(self, schema: WithDefaultSchema) -> JsonSchemaValue:
        shown = super().default_schema(schema)
        default = shown.get("default")
        if isinstance(default, dict):
            del shown["default"]  # a whole part left out: its own keys show their defaults
        elif isinstance(default, float) and shown.get("examples"):
            shown["default"] = written_like(default, shown["examples"][0])
        return shown


def _limits(annotation: object) -> list[object]:
    """Every Ge, Gt, Le and Lt attached to a field's type, however deep."""
    args = get_args(annotation)
    found: list[object] = [x for x in args if isinstance(x, (Ge, Gt, Le, Lt))]
    for arg in args:
        found += arg.metadata if isinstance(arg, FieldInfo) else _limits(arg)
    return found


def _range_words(limits: list[object], example: str) -> str:
    """Limits in the unit of the example; empty when there are none."""
    words = []
    for limit in limits:
        if isinstance(limit, Ge):
            words.append(f"from {written_like(_number(limit.ge), example)}")
        elif isinstance(limit, Gt):
            words.append(f"above {written_like(_number(limit.gt), example)}")
        elif isinstance(limit, Le):
            words.append(f"to {written_like(_number(limit.le), example)}")
        elif isinstance(limit, Lt):
            words.append(f"below {written_like(_number(limit.lt), example)}")
    return " ".join(words)


def _number(bound: object) -> float:
    return float(str(bound))


def _add_ranges(model: type[BaseModel], schema: dict[str, Any]) -> None:
    """Say each quantity's range in its description: bounds act on SI numbers, the text is in any unit."""
    for name, field in model.model_fields.items():
        shown = schema["properties"][field.alias or name]
        parts = [shown, shown.get("items", {}), *shown.get("anyOf", [])]
        examples = next((part["examples"] for part in parts if part.get("examples")), None)
        words = _range_words([*field.metadata, *_limits(field.annotation)], examples[0]) if examples else ""
        if words:
            shown["description"] = "; ".join(filter(None, (field.description, words)))


def _models_in(annotation: object) -> Iterator[type[BaseModel]]:
    """The models a type is made of, and theirs in turn."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
        for field in annotation.model_fields.values():
            yield from _models_in(field.annotation)
    for argument in get_args(annotation):
        yield from _models_in(argument)


def schema_of(kind: str) -> dict[str, Any]:
    """The JSON Schema of one kind of file, a key of FILES; KeyError for another."""
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    schema = FILES[kind].model_json_schema(schema_generator=_AsWritten)
    parts: dict[str, Any] = schema.get("$defs", {})
    for model in set(_models_in(FILES[kind])):
        _add_ranges(model, parts.get(model.__name__, schema))
    return head | schema


def schema_text(kind: str) -> str:
    """The schema as it is written to a file."""
    return json.dumps(schema_of(kind), indent=2, ensure_ascii=False) + "\n"


def write_schemas(folder: Path) -> tuple[Path, ...]:
    """Write one `KIND.json` for each kind of file; returns the paths written."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = tuple(folder / f"{kind}.json" for kind in FILES)
    for path in paths:
        path.write_text(schema_text(path.stem), encoding="utf-8")
    return paths


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: python -m hearthtide.house.schema FOLDER")
    for written in write_schemas(Path(sys.argv[1])):
        print(written)
