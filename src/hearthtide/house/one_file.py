"""One of the files that a house may write or leave out: read, or told where its like is shown."""

from __future__ import annotations

from pathlib import Path

from hearthtide.errors import Finding, InputError
from hearthtide.house.files import read_document
from hearthtide.house.models import House
from hearthtide.house.validate import Model, validated
from hearthtide.house.yaml_lines import Document


def read_one(house: House, name: str, model: type[Model], holds: str, docs: str) -> tuple[Model, Document]:
    """The file of that name in the house's folder, and as it was written. `holds`: what is expected in it.

    Raises InputError with every finding; one that is not there names the page of docs that shows it.
    """
    path = Path(house.folder) / name
    if not path.is_file():
        raise InputError((Finding(name, 0, "the file", "", holds, f"Write it: docs/{docs} shows one."),))
    document = read_document(path)
    file = validated(model, document)
    if isinstance(file, tuple):
        raise InputError(file)
    return file, document
