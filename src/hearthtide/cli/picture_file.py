"""The file that a command draws its picture into."""

from __future__ import annotations

from pathlib import Path

from hearthtide.errors import Finding, InputError
from hearthtide.printing.picture import Picture, svg
from hearthtide.printing.together import with_margin


def check_picture(path: Path | None, command: str) -> None:
    """Find out before a run, not after it, that the picture has no place. Raises InputError."""
    if path is None:
        return
    if path.suffix != ".svg":
        raise _bad(path, command, "a name that ends in .svg", "Rename it.")
    if not path.parent.is_dir() or path.is_dir():
        raise _bad(path, command, "a file in a folder that is there", "Name another.")


def write_picture(picture: Picture, path: Path, command: str) -> None:
    """Write an SVG file of its own. Raises InputError where it cannot be written."""
    try:
        path.write_text(svg(with_margin(picture), alone=True), encoding="utf-8")
    except OSError as broken:
        why = broken.strerror or str(broken)
        raise _bad(path, command, f"a file that can be written ({why})", "Name another.") from broken


def _bad(path: Path, command: str, expected: str, remedy: str) -> InputError:
    return InputError((Finding(command, 0, "--picture", str(path), expected, remedy),))
