"""What every command prints with: consoles, progress, JSON with its schema version."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

SCHEMA_VERSION = 1
TEMP_IT = "The models' figures, not readings: temp it."

out = Console(highlight=False, soft_wrap=True)
err = Console(stderr=True, highlight=False)

WORDS = {
    "flame": "choosing flames",
    "response": "asking the food models",
    "map": "trying every place",
    "search": "finding moves",
    "verify": "running oven and food on the plan",
    "pictures": "drawing",
    "page": "writing the page",
    "pdf": "writing pictures.pdf",
    "oven": "running the oven",
    "chill": "chilling it every way",
    "night": "running the night",
    "run by the models": "running oven and trays on the plan",
    "prep": "ordering the prep",
    "limits": "trying what would mend it",
    "reheat": "heating it from every start",
}


def print_json(kind: str, body: Mapping[str, object]) -> None:
    """One JSON document on standard output: its kind, the version of its layout, then the body."""
    document = {"document": f"hearthtide {kind}", "schema_version": SCHEMA_VERSION, **body}
    print(json.dumps(document, ensure_ascii=False, allow_nan=False, indent=1))


@contextmanager
def progress() -> Iterator[Callable[[str, float], None]]:
    """A line of progress on standard error: a moving bar on a terminal, a line per kind of work elsewhere."""
    if not err.is_terminal:
        seen: list[str] = []

        def tell(what: str, _share: float) -> None:
            if not seen or seen[-1] != what:
                seen.append(what)
                err.print(f"… {WORDS[what]}")

        yield tell
        return
    columns = (TextColumn("{task.description}"), BarColumn(30), TimeElapsedColumn())
    with Progress(*columns, console=err, transient=True) as bar:
        task = bar.add_task("…", total=1.0)
        yield lambda what, share: bar.update(task, description=WORDS[what], completed=share)
