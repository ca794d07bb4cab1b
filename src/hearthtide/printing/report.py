"""The report of a planned night: one page to read on a tablet or on paper, and its pictures as files."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from hearthtide.errors import HearthtideError
from hearthtide.house.files import oven_design
from hearthtide.house.models import House
from hearthtide.planning.plan import Plan
from hearthtide.printing.cores import core_picture
from hearthtide.printing.fire import fire_picture
from hearthtide.printing.moments import picture_times
from hearthtide.printing.page import Pictures, page
from hearthtide.printing.pdf import write_pdf
from hearthtide.printing.picture import svg
from hearthtide.printing.stone import legend, stone_picture
from hearthtide.printing.strands import strand_pictures

OURS = "<!-- a picture of a Hearthtide report -->\n"  # first line of every picture file we write

Progress = Callable[[str, float], None]


def silent(_what: str, _share: float) -> None:
    """Progress for those who do not want any."""


class ReportError(HearthtideError):
    """The report cannot be written; the message names the place and what the system says."""


def write_report(
    plan: Plan, house: House, folder: Path, beside: str | None = None, on_progress: Progress = silent
) -> Path:
    """Writes index.html, pictures/*.svg and pictures.pdf into `folder` and returns the page's path.

    Parameters
    ----------
    plan, house :
        The finished plan and the house it was made for.
    folder :
        Made when it does not exist. Files of an earlier report are replaced, pictures it had too
        many are removed; other files stay as they are.
    beside :
        The ticket to show on both kinds of minutes; None chooses the one whose landing differs most.
    on_progress :
        Told what is being done and how far the report is, 0 to 1.

    Raises
    ------
    ReportError
        The folder cannot be written to, or `beside` is no ticket of the plan.
    """
    tickets = dict.fromkeys(landing.ticket for landing in plan.landings)
    if beside is not None and beside not in tickets:
        raise ReportError(f"no ticket {beside} in {plan.night}; it has {', '.join(tickets)}")
    on_progress("pictures", 0.0)
    pictures = draw(plan, house)
    on_progress("page", 0.3)
    text = page(plan, house, pictures, beside)
    index = folder / "index.html"
    try:
        _write_pictures(pictures, folder / "pictures")
        index.write_text(text, encoding="utf-8")
        on_progress("pdf", 0.5)
        write_pdf([pictures.legend, *pictures.named().values()], folder / "pictures.pdf")
    except OSError as err:
        raise ReportError(f"the report cannot be written to {folder}: {err.strerror or err}") from err
    on_progress("pdf", 1.0)
    return index


def draw(plan: Plan, house: House) -> Pictures:
    """Every picture of the report.

    The stone is shown at the minutes of the plan's maps; a plan without maps shows where items
    stand at the minutes `picture_times` chooses, and says that temperatures are left out.
    """
    design = oven_design(house)
    maps = sorted(plan.oven.maps, key=lambda stone: stone.time_s)
    if maps:
        note = ""
        stone = tuple(stone_picture(plan, house, design, found, found.time_s) for found in maps)
    else:
        note = "No map of the stone was kept with this plan: temperatures are left out."
        times = picture_times((s.start_s, s.end_s) for item in plan.items for s in item.stays)
        stone = tuple(stone_picture(plan, house, design, None, at_s) for at_s in times)
    dishes = dict.fromkeys(item.dish for item in plan.items)
    cores = tuple(
        core_picture(house.dishes[key], [item for item in plan.items if item.dish == key]) for key in dishes
    )
    return Pictures(stone, legend(), note, strand_pictures(plan, house), fire_picture(plan, house), cores)


def _write_pictures(pictures: Pictures, folder: Path) -> None:
    """One file a picture; a picture of an earlier report that has no successor is taken away."""
    folder.mkdir(parents=True, exist_ok=True)
    named = pictures.named()
    for old in folder.glob("*.svg"):
        if old.stem not in named and _is_ours(old):
            old.unlink()
    for name, picture in named.items():
        (folder / f"{name}.svg").write_text(OURS + svg(picture, alone=True), encoding="utf-8")


def _is_ours(path: Path) -> bool:
    with path.open("rb") as file:
        return file.read(len(OURS)) == OURS.encode()
