"""The same pictures on A4 pages, as PDF, and one alone as PNG."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from hearthtide.printing.picture import (
    FAINT,
    HALF,
    INKS,
    WASH,
    WIDE,
    Area,
    Disc,
    Dots,
    Line,
    Mark,
    Picture,
    Words,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes

A4_IN = (8.27, 11.69)
MARGIN_IN = 0.47  # 12 mm
GUTTER = WIDE - 2 * HALF
GAP = 26.0  # between two rows of pictures
INCH = WIDE / (A4_IN[0] - 2 * MARGIN_IN)  # units of a picture per inch of paper
PAGE = (A4_IN[1] - 2 * MARGIN_IN) * INCH  # units from top margin to bottom margin
TYPE = 72.0 / INCH  # points of type per unit
Placed = tuple[Picture, float, float]


def write_pdf(pictures: Sequence[Picture], path: Path) -> None:
    """All pictures in order on A4 pages: halves side by side, a new page where the next does not fit."""
    from matplotlib import rc_context
    from matplotlib.backends.backend_pdf import PdfPages
    from matplotlib.figure import Figure

    with rc_context({"pdf.fonttype": 42}), PdfPages(path, metadata={"CreationDate": None}) as pages:
        for placed in laid_out(pictures):
            figure = Figure(figsize=A4_IN)
            side, foot = MARGIN_IN / A4_IN[0], MARGIN_IN / A4_IN[1]
            axes = figure.add_axes((side, foot, 1 - 2 * side, 1 - 2 * foot))
            axes.set_axis_off()
            axes.set_xlim(0, WIDE)
            axes.set_ylim(PAGE, 0)
            for order, (picture, x, y) in enumerate(placed):
                for depth, mark in enumerate(picture.marks):
                    _draw(axes, mark, x, y, 1 + order + depth / (1 + len(picture.marks)))
            pages.savefig(figure)


def write_png(picture: Picture, path: Path) -> None:
    """One picture as a PNG file, as on paper by day, two dots to a unit."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(picture.width / INCH, picture.height / INCH), facecolor=INKS["paper"])
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_axis_off()
    axes.set_xlim(0, picture.width)
    axes.set_ylim(picture.height, 0)
    for depth, mark in enumerate(picture.marks):
        _draw(axes, mark, 0.0, 0.0, 1 + depth / (1 + len(picture.marks)))
    figure.savefig(path, dpi=2 * INCH, format="png")


def laid_out(pictures: Sequence[Picture]) -> list[list[Placed]]:
    """Pages of (picture, left, top): halves in pairs, nothing cut by a page's end."""
    pages: list[list[Placed]] = [[]]
    y = 0.0
    for row in _rows(pictures):
        height = max(picture.height for picture in row)
        if pages[-1] and y + height > PAGE:
            pages.append([])
            y = 0.0
        pages[-1] += [(picture, i * (HALF + GUTTER), y) for i, picture in enumerate(row)]
        y += height + GAP
    return pages


def _rows(pictures: Sequence[Picture]) -> list[list[Picture]]:
    rows: list[list[Picture]] = []
    for picture in pictures:
        half = picture.width <= HALF
        if half and rows and len(rows[-1]) == 1 and rows[-1][0].width <= HALF:
            rows[-1].append(picture)
        else:
            rows.append([picture])
    return rows


def _draw(axes: Axes, mark: Mark, x: float, y: float, order: float) -> None:
    match mark:
        case Line():
            _line(axes, mark, x, y, order)
        case Area():
            _area(axes, mark, x, y, order)
        case Disc():
            _disc(axes, mark, x, y, order)
        case Dots():
            _dots(axes, mark, x, y, order)
        case Words():
            _words(axes, mark, x, y, order)


def _colour(ink: str | None, share: float = 1.0) -> tuple[str, float] | str:
    if ink is None:
        return "none"
    return (INKS["ink"], FAINT) if ink == "faint" else (INKS[ink], share)


def _line(axes: Axes, mark: Line, x: float, y: float, order: float) -> None:
    from matplotlib.lines import Line2D

    across, down = zip(*mark.points, strict=True)
    line = Line2D([x + p for p in across], [y + p for p in down], lw=mark.width * TYPE, zorder=order)
    line.set_color(_colour(mark.ink))
    line.set_solid_joinstyle("round")
    line.set_solid_capstyle("butt")
    if mark.dash:
        line.set_dashes([length / mark.width for length in mark.dash])
        line.set_dash_capstyle("butt")
    axes.add_line(line)


def _area(axes: Axes, mark: Area, x: float, y: float, order: float) -> None:
    from matplotlib.patches import Polygon

    outline = Polygon([(x + px, y + py) for px, py in mark.points], closed=True, zorder=order)
    outline.set_facecolor(_colour(mark.fill, WASH if mark.wash else mark.shade))
    outline.set_edgecolor(_colour(mark.ink))
    outline.set_linewidth(mark.width * TYPE)
    axes.add_patch(outline)


def _disc(axes: Axes, mark: Disc, x: float, y: float, order: float) -> None:
    from matplotlib.patches import Circle

    disc = Circle((x + mark.at[0], y + mark.at[1]), mark.radius, zorder=order)
    disc.set_facecolor(_colour(mark.fill, mark.shade))
    disc.set_edgecolor(_colour(mark.ink))
    disc.set_linewidth(mark.width * TYPE)
    axes.add_patch(disc)


def _dots(axes: Axes, mark: Dots, x: float, y: float, order: float) -> None:
    from matplotlib.collections import EllipseCollection

    sizes = [size for _, _, size in mark.dots]
    dots = EllipseCollection(
        sizes,
        sizes,
        [0.0] * len(sizes),
        units="xy",
        offsets=[(x + px, y + py) for px, py, _ in mark.dots],
        offset_transform=axes.transData,
        facecolors=INKS[mark.ink],
        linewidths=0.0,
        zorder=order,
    )
    axes.add_collection(dots, autolim=False)


def _words(axes: Axes, mark: Words, x: float, y: float, order: float) -> None:
    from matplotlib.patheffects import withStroke

    text = axes.text(
        x + mark.at[0],
        y + mark.at[1],
        mark.text,
        fontsize=mark.size * TYPE,
        fontweight="bold" if mark.bold else "normal",
        ha={"start": "left", "middle": "center", "end": "right"}[mark.anchor],
        va="baseline",
        color=INKS["ink"],
        zorder=order,
        parse_math=False,
    )
    if mark.halo:
        text.set_path_effects([withStroke(linewidth=4 * TYPE, foreground=INKS["paper"])])
