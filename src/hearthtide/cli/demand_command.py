"""`demand`: covers and dishes of a day with bands, beside the last four same weekdays and the last miss."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from datetime import date, timedelta
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.day_shared import (
    Kept,
    day_asked,
    day_words,
    judged_words,
    kept_changes,
    mine_asked,
    off_words,
    read_kept,
)
from hearthtide.cli.shared import out, print_json
from hearthtide.day.changes import COVERS, Judged, judged
from hearthtide.day.counts import BAND, Counts
from hearthtide.day.demand import Covers, Miss, covers_of, last_miss, score_of
from hearthtide.day.dishes import Share, portions_of, share_of, wanted
from hearthtide.day.history import last_same_weekdays, mean
from hearthtide.house.sold import Change, History

NO_BETTER = "Weather and what nobody wrote down are not in it: keep to the band, not to the number."


@dataclass(frozen=True, eq=False)
class Figure:
    """One line: what is wanted of a dish (or covers), the plain rule, what was said and came last time."""

    name: str
    counts: Counts
    last: tuple[tuple[date, float], ...]
    share: Share | None
    said: int | None
    came: float | None

    @property
    def rule(self) -> float | None:
        return mean([count for _, count in self.last])


def run_demand(
    folder: Path, asked: str, booked: int | None, said: tuple[str, ...], why: str, person: str, json: bool
) -> bool:
    """Prints the day's demand; True when more than the plain rule could be said."""
    day = day_asked(asked)
    kept = read_kept(folder, day, booked)
    told = covers_of(kept.history, day)
    dishes = sorted({key for one in kept.history.days for key in one.dishes or {}})
    mine = mine_asked(said, why, person, (COVERS, *dishes))
    miss = last_miss(kept.history, told)
    figures = _figures(kept.history, told, miss, dishes)
    ours = {one.name: one.counts.middle for one in figures}
    if told.counts is None:
        ours = {COVERS: round(told.rule or 0)}
    changes = kept_changes(kept, day, mine, ours)
    figures = _with_changes(figures, changes)
    checked = _judged(kept, (COVERS, *dishes))
    if json:
        print_json("demand", _body(kept, told, miss, figures, ours, changes, checked))
    else:
        _print(kept, told, miss, figures, changes, checked)
    return told.counts is not None


def _figures(history: History, told: Covers, miss: Miss | None, dishes: list[str]) -> tuple[Figure, ...]:
    if told.counts is None:
        return ()
    before = miss.said.counts if miss is not None else None
    covers = Figure(
        COVERS,
        told.counts,
        told.last,
        None,
        None if before is None else before.middle,
        None if miss is None else miss.came,
    )
    return (covers, *(one for key in dishes if (one := _dish(history, told, miss, key, told.counts))))


def _dish(history: History, told: Covers, miss: Miss | None, key: str, covers: Counts) -> Figure | None:
    """None where too few nights tell the dish."""
    uses = {key: 1}
    share = share_of(history, uses, told.day)
    if share is None:
        return None
    said, came = None, None
    if miss is not None and miss.said.counts is not None:
        then = history.before(miss.said.known + timedelta(days=1))
        share_then = share_of(then, uses, miss.said.day)
        said = None if share_then is None else wanted(share_then, miss.said.counts).middle
        came = portions_of(uses)(history.by_date[miss.said.day])
    last = last_same_weekdays(history, told.day, told.known, portions_of(uses))
    return Figure(key, wanted(share, covers), last, share, said, came)


def _with_changes(figures: tuple[Figure, ...], changes: Mapping[str, Change]) -> tuple[Figure, ...]:
    """A chef's number in place of ours; from changed covers the dishes follow."""
    if not figures:
        return figures
    covers = figures[0].counts
    if COVERS in changes:
        covers = covers.moved_to(changes[COVERS].yours)
    made = [replace(figures[0], counts=covers)]
    for one in figures[1:]:
        counts = one.counts if one.share is None else wanted(one.share, covers)
        if one.name in changes:
            counts = counts.moved_to(changes[one.name].yours)
        made.append(replace(one, counts=counts))
    return tuple(made)


def _judged(kept: Kept, figures: tuple[str, ...]) -> dict[str, Judged]:
    def came(figure: str, day: date) -> float | None:
        one = kept.history.by_date.get(day)
        if one is None or one.covers is None:
            return None
        return one.covers if figure == COVERS else portions_of({figure: 1})(one)

    found = {figure: judged(kept.changes, came, figure) for figure in figures}
    return {figure: one for figure, one in found.items() if one is not None}


def _print(
    kept: Kept,
    told: Covers,
    miss: Miss | None,
    figures: tuple[Figure, ...],
    changes: Mapping[str, Change],
    checked: Mapping[str, Judged],
) -> None:
    out.print(
        f"[bold]{escape(kept.house.file.name)}, {day_words(told.day)}[/], told from its own sales up to "
        f"{day_words(told.known)}"
    )
    if told.counts is None:
        rule = (
            "no same weekday is known" if told.rule is None else f"last four same weekdays: {told.rule:.0f}"
        )
        out.print(f"  {rule}")
    weekday = day_words(told.day).split()[0]
    if figures:
        out.print(f"  {'':14}{'wanted':>7}  {'8 nights in ten':16}{f'last {weekday}s':16}last time")
    for one in figures:
        low, high = one.counts.band()
        last = "" if one.rule is None else f"{one.rule:.0f}"
        before = ""
        if one.said is not None and one.came is not None:
            before = f"said {one.said}, {one.came:.0f} came: {off_words(one.said, one.came)}"
        mark = " *" if one.name in changes else ""
        out.print(
            f"  {escape(one.name):14}{one.counts.middle:>7}  {f'{low} to {high}':16}{last:16}{before}{mark}"
        )
    for figure, change in changes.items():
        out.print(
            f"  * {escape(figure)}: yours {change.yours}, ours {change.ours} "
            f"({escape(change.person)}: {escape(change.why)})"
        )
    _print_reasons(kept, told, miss, checked)


def _print_reasons(kept: Kept, told: Covers, miss: Miss | None, checked: Mapping[str, Judged]) -> None:
    for remark in told.remarks:
        out.print(f"  {escape(remark)}")
    if told.counts is not None and "shut" not in told.remarks:
        learned = ", ".join(("level", "weekday", *told.learned))
        out.print(
            f"[dim]  Learned: {learned}. The number is {100 * told.weight:.0f} % the model's, the rest the "
            f"rule's, by their misses. Last time: {day_words(miss.said.day) if miss else 'none known'}.[/]"
        )
        score = score_of(kept.history, told)
        if score is not None:
            out.print(
                f"[dim]  {score.days} days of the last eight weeks, told as far ahead: missed by "
                f"{score.ours:.0f} covers ({100 * score.ours / score.mean:.0f} %), the last four by "
                f"{score.rule:.0f}, the same day a week before by {score.week_before:.0f}; "
                f"{round(score.held * score.days)} of {score.days} in the band.[/]"
            )
    for figure, one in checked.items():
        out.print(f"  {escape(judged_words(figure, one))}")
    out.print(f"[dim]  {NO_BETTER}[/]")


def _body(
    kept: Kept,
    told: Covers,
    miss: Miss | None,
    figures: tuple[Figure, ...],
    ours: Mapping[str, int],
    changes: Mapping[str, Change],
    checked: Mapping[str, Judged],
) -> dict[str, object]:
    score = score_of(kept.history, told) if told.counts is not None and "shut" not in told.remarks else None
    return {
        "house": kept.house.file.name,
        "day": told.day.isoformat(),
        "told_from": told.known.isoformat(),
        "ahead_days": told.ahead_days,
        "band_share": BAND,
        "model_share": told.weight,
        "learned": ["level", "weekday", *told.learned],
        "remarks": list(told.remarks),
        "rule_covers": told.rule,
        "figures": [_figure(one, ours, changes) for one in figures],
        "last_time": None if miss is None else miss.said.day.isoformat(),
        "score_eight_weeks": None if score is None else asdict(score),
        "changes_judged": {figure: asdict(one) for figure, one in checked.items()},
        "left_out": [str(one) for one in kept.left_out],
        "no_row": [str(one) for one in kept.lacks],
        "cautions": [NO_BETTER],
    }


def _figure(one: Figure, ours: Mapping[str, int], changes: Mapping[str, Change]) -> dict[str, object]:
    low, high = one.counts.band()
    change = changes.get(one.name)
    return {
        "figure": one.name,
        "wanted": one.counts.middle,
        "mean": round(one.counts.mean, 2),
        "sd": round(one.counts.sd, 2),
        "low": low,
        "high": high,
        "ours": ours[one.name],
        "yours": None if change is None else change.yours,
        "why": None if change is None else change.why,
        "person": None if change is None else change.person,
        "rule": one.rule,
        "last_same_weekdays": {day.isoformat(): count for day, count in one.last},
        "portions_a_guest": None if one.share is None else round(one.share.each, 4),
        "last_time_said": one.said,
        "last_time_came": one.came,
    }
