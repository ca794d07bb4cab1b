"""The report's page: one self-contained sheet, nothing fetched, nothing scripted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from hearthtide.house.models import House
from hearthtide.planning.limit_words import limit_lines, way_words, ways_note
from hearthtide.planning.plan import Plan
from hearthtide.printing.handling import moves_section
from hearthtide.printing.html import around, element, items, section
from hearthtide.printing.picture import Picture, svg
from hearthtide.printing.shown import clock
from hearthtide.printing.style import STYLE
from hearthtide.printing.tables import checks_section, comparison_section, figures_section, plates_tables

CLOSED = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"


@dataclass(frozen=True)
class Pictures:
    """Every picture of a report; `stone_note` says what is left out of the stone's, "" when nothing is."""

    stone: tuple[Picture, ...]
    legend: Picture
    stone_note: str
    landings: tuple[Picture, ...]
    fire: Picture
    cores: tuple[Picture, ...]

    def named(self) -> dict[str, Picture]:
        """File names without ending, in the order of the page."""
        found = {f"stone-{i}": picture for i, picture in enumerate(self.stone, 1)}
        found |= {f"landings-{i}": picture for i, picture in enumerate(self.landings, 1)}
        found["floor-and-flame"] = self.fire
        return found | {f"core-{i}": picture for i, picture in enumerate(self.cores, 1)}


def page(plan: Plan, house: House, pictures: Pictures, beside: str | None) -> str:
    """The whole page as HTML."""
    title = f"{plan.house}, {plan.night}"
    parts = (
        _head(plan),
        _stone(pictures),
        _landings(plan, house, pictures),
        around("div", section("Before you start", items(plan.cautions)), css="care"),
        moves_section(plan, house),
        section("Floor and flame", _wide([pictures.fire]), element("p", pictures.fire.says)),
        _plates(plan, house, pictures),
        comparison_section(plan, house, beside),
        checks_section(plan.checks),
        figures_section(plan),
    )
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{CLOSED}">'
        '<meta name="viewport" content="width=device-width,initial-scale=1">'
        f"<title>{escape(title)}</title><style>{STYLE}</style></head>"
        f"<body>{''.join(parts)}</body></html>\n"
    )


def said(plan: Plan) -> str:
    """The night in a sentence or two: how much, from when to when, and whether every promise is kept."""
    covers = {landing.ticket: landing.covers for landing in plan.landings}
    words = [f"{_many(sum(covers.values()), 'cover')} at {_many(len(covers), 'table')}"]
    words.append(_many(len(plan.items), "plate"))
    if plan.moves:
        words.append(f"first move {clock(min(m.start_s for m in plan.moves))}")
    if plan.landings:
        words.append(f"last landing {clock(max(x.planned_s for x in plan.landings))}")
    broken = sum(not check.ok for check in plan.checks)
    promise = "Every promise is kept." if not broken else f"{_many(broken, 'promise')} cannot be kept:"
    return f"{', '.join(words)}. {plan.past_dark} {promise}".replace(".  ", ". ")


def _many(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _head(plan: Plan) -> str:
    parts = [element("h1", f"{plan.house}, {plan.night}"), element("p", said(plan), css="say")]
    broken = [check for check in plan.checks if not check.ok]
    if broken:
        parts.append(
            items((f"△ {check.name}: {check.detail}".rstrip(": ") for check in broken), css="broken")
        )
    if plan.limit is not None:
        parts.append(_limit(plan))
    return around("header", "".join(parts))


def _limit(plan: Plan) -> str:
    limit = plan.limit
    if limit is None:
        return ""
    words = element("p", f"What binds: {limit.binds}.") + items(limit_lines(limit))
    ways = element("p", "Ways out, the cheapest first:") + items(map(way_words, limit.ways_out))
    return words + (ways if limit.ways_out else "") + element("p", ways_note(limit))


def _stone(pictures: Pictures) -> str:
    lead = "As you see it at the mouth, to scale: the fullest stone in each sixth of the night."
    note = element("p", pictures.stone_note) if pictures.stone_note else ""
    shown = around("div", "".join(map(_figure, pictures.stone)), css="half")
    return section(
        "The stone from the mouth",
        element("p", lead, css="lead"),
        note,
        "" if pictures.stone_note else around("div", svg(pictures.legend), css="wide key"),
        shown,
    )


def _figure(picture: Picture) -> str:
    return around("figure", svg(picture) + element("figcaption", picture.says))


def _landings(plan: Plan, house: House, pictures: Pictures) -> str:
    late = {x.ticket for x in plan.landings if x.late_s > house.file.late_after}
    lead = (
        "Each strand is a plate: it starts where the plate goes in, is thick on the stone, thin while it "
        "rests or is cut, dotted while it is plated, and meets the table's other plates in the knot. "
        "The dashed upright is the wanted minute. "
    )
    lead += (
        f"An open triangle for a knot is late; {_many(len(late), 'table')} so."
        if late
        else "No table is late."
    )
    return section("The landing lines", element("p", lead, css="lead"), _wide(pictures.landings))


def _plates(plan: Plan, house: House, pictures: Pictures) -> str:
    lead = (
        "From the models, never a reading: the core as a probe would meet it and the colour of the top, by "
        "minutes since launch. A dot where the plate leaves the stone; thin after that. Dashed: asked."
    )
    shown = around("div", "".join(map(_figure, pictures.cores)), css="half")
    return section(
        "Core and colour",
        element("p", lead, css="lead"),
        shown,
        around("div", plates_tables(plan, house), "wrap"),
        css="fresh",
    )


def _wide(pictures: Sequence[Picture]) -> str:
    return around("div", "".join(map(svg, pictures)), css="wide")
