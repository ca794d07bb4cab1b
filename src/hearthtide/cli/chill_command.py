"""`hearthtide chill`: which ways of chilling make it, when, and until when a change still helps."""

from __future__ import annotations

from dataclasses import asdict
from math import isfinite

from rich.markup import escape

from hearthtide.cli.chill_asked import Asked, Case, case_of
from hearthtide.cli.chill_rules import limits_words
from hearthtide.cli.chill_tried import SURE, Change, Course, Times, Tried, Way, try_ways
from hearthtide.cli.picture_file import write_picture
from hearthtide.cli.shared import out, print_json, progress
from hearthtide.food.chilling import LONGEST_S
from hearthtide.printing.cooling import Falling, Read, Stair, Standing, cooling_picture
from hearthtide.printing.curves import elapsed
from hearthtide.printing.picture import Picture
from hearthtide.quantities.show import clock_text
from hearthtide.safety.cautions import CHILL_CAUTIONS
from hearthtide.safety.rule_sets import chosen_words

DAY_S = 24 * 3600

FREEZES_C = -1.0  # a face colder than this would freeze, which is not modelled
SHOWN = 1.35  # how far beyond the last limit the picture goes
BAND = (
    "In brackets: of the likely thicknesses, films of air or water, foods, starts and rooms a tenth "
    "lies beyond on either side. What the model itself has wrong is not in it."
)
PARTS = {
    "thickness": "thickness",
    "film": "air or water",
    "conductivity": "food",
    "start_K": "start",
    "air_K": "room",
}


def run_chill(json: bool, asked: Asked) -> bool:
    """Print the answer; True when a way keeps the limits (or none were given) and no reading contradicts."""
    case = case_of(asked)
    with progress() as tell:
        tried = try_ways(case, lambda share: tell("chill", share))
        if asked.picture is not None and tried.ways:
            tell("pictures", 1.0)
            write_picture(picture(case, tried), asked.picture, "chill")
    if json:
        print_json("chill", _body(case, tried))
    else:
        _print(case, tried)
    return tried.done and not tried.contradicted


def _body(case: Case, tried: Tried) -> dict[str, object]:
    limits = case.limits
    told = tried.told
    return {
        "name": case.name,
        "food": case.food.name,
        "thickness_m": case.thickness_m,
        "shape": case.shape,
        "contents": case.contents,
        "start_C": case.start_C,
        "out_s": case.out_s,
        "now": case.now,
        "limits_handed_in": case.handed_in,
        "limits_of": _limits_of(case),
        "limits": {
            "from_C": limits.from_C,
            "middle_C": limits.middle_C,
            "end_C": limits.end_C,
            "middle_within_s": _or_none(limits.middle_within_s),
            "end_within_s": _or_none(limits.end_within_s),
            "further_within_s": _or_none(limits.further_within_s),
        },
        "done": tried.done,
        "ways": [asdict(way) for way in tried.ways],
        "changes": [asdict(change) for change in tried.changes],
        "reading": None
        if told is None
        else {
            "effective_members": round(told.effective, 1),
            "rough": told.rough,
            "contradicted": told.contradicted,
            "off_K": round(told.off_K, 1),
        },
        "cautions": [*CHILL_CAUTIONS, chosen_words(case.rules)],
    }


def _or_none(value: float) -> float | None:
    return value if isfinite(value) else None


def _print(case: Case, tried: Tried) -> None:
    for line in _head(case):
        out.print(line)
    if tried.contradicted and tried.told is not None:
        way = "above" if tried.told.off_K > 0 else "below"
        out.print(
            f"\n[bold]The reading contradicts the models[/]: {abs(tried.told.off_K):.0f} °C {way} the "
            f"nearest they allow for {case.now}. Nothing is foretold. Probe the warmest part again, then "
            "look at thickness, start and the way; or the models are wrong for this food: go by the probe."
        )
    else:
        _print_ways(case, tried)
        _print_changes(case, tried)
        _print_bands(case, tried)
    for caution in (*CHILL_CAUTIONS, chosen_words(case.rules)):
        out.print(f"[dim]{escape(caution)}[/]")


def _head(case: Case) -> list[str]:
    shape = case.shape if case.shape != "pan" else f"deep in a pan, {case.contents}"
    lines = [
        f"[bold]{escape(case.name)}[/], {1000 * case.thickness_m:.0f} mm {shape}, "
        f"from {case.start_C:.3g} °C ({case.began})."
    ]
    if case.judged:
        by = _limits_of(case) or "as handed in"
        lines.append(f"Limits, {escape(by)}: {_limits(case)}. What follows is foresight; a reading decides.")
    elif case.rules is not None:
        lines.append(f"{escape(case.rules.named)} states no times for cooling: nothing is judged here.")
    else:
        lines.append("No limits were handed in: nothing is judged. Take them from your code: --limits.")
    since = "Times are hours:minutes since it began to chill"
    if case.out_s is not None:
        since = f"Times are of the clock, +1 the day after; it began to chill at {_when(case, 0)}"
    return [*lines, f"{since}."]


def _limits_of(case: Case) -> str | None:
    """The rule set and sections the limits are of; None where they were handed in, or there are none."""
    if case.rules is None or case.handed_in or not case.judged:
        return None
    return limits_words(case.rules)


def _limits(case: Case) -> str:
    limits = case.limits
    if not isfinite(limits.middle_within_s):
        return f"{limits.end_C:.3g} °C within {elapsed(limits.end_within_s)} of {limits.from_C:.3g} °C"
    middle = f"{limits.middle_C:.3g} °C within {elapsed(limits.middle_within_s)} of {limits.from_C:.3g} °C"
    if isfinite(limits.further_within_s):
        return f"{middle}, {limits.end_C:.3g} °C within a further {elapsed(limits.further_within_s)}"
    return f"{middle}, {limits.end_C:.3g} °C within {elapsed(limits.end_within_s)}"


def _when(case: Case, seconds: float | None) -> str:
    """A time as asked for: of the clock, to the minute, or since the beginning."""
    if seconds is None:
        return "never"
    if case.out_s is None:
        return elapsed(seconds)
    days, of_day_s = divmod(60 * round((case.out_s + seconds) / 60), DAY_S)
    return clock_text(of_day_s) + (f"+{days}" if days else "")


def _times(case: Case, times: Times) -> str:
    if times.median is None:
        return "not in 24 h" if times.low is None else f"over 24 h ({_when(case, times.low)} on)"
    high = "over 24 h" if times.high is None else _when(case, times.high)
    return f"{_when(case, times.median)} ({_when(case, times.low)} to {high})"


def _verdict(share: float | None) -> str:
    if share is None:
        return ""
    if share >= SURE:
        return "makes it"
    return "misses" if share <= 1 - SURE else f"{int(10 * share)} in 10"


def _print_ways(case: Case, tried: Tried) -> None:
    limits = case.limits
    marks = (limits.from_C, limits.middle_C, limits.end_C)
    verdict = f"{'limits':<10}{'up to':<8}" if case.judged else ""
    titles = "".join(f"{f'{mark:.3g} °C':<29}" for mark in marks)
    out.print(f"\n  {'':<10}{titles}{verdict}a tenth thicker")
    for way in tried.ways:
        columns = "".join(f"{_times(case, t):<29}" for t in (way.from_s, way.middle_s, way.end_s))
        own = f"{_verdict(way.kept_share):<10}{_most(way, tried):<8}" if case.judged else ""
        thicker = "" if way.thicker is None else f"{100 * (way.thicker - 1):+.0f} %"
        out.print(f"  [bold]{way.word:<10}[/]{columns}{own}{thicker:<7}{escape(way.name)}{_ice(way)}")
    if any(case.ways[way.word].air_C >= limits.end_C for way in tried.ways):
        out.print(
            f"[bold]Air that is not below {limits.end_C:.3g} °C brings no core there[/], or only by drying "
            "it: cool the room first."
        )


def _most(way: Way, tried: Tried) -> str:
    if tried.told is not None:
        return ""
    return "none" if way.thickest_m is None else f"{1000 * way.thickest_m:.0f} mm"


def _ice(way: Way) -> str:
    return f"; its face would freeze ({way.coldest_C:.0f} °C)" if way.coldest_C < FREEZES_C else ""


def _print_changes(case: Case, tried: Tried) -> None:
    if case.now is None:
        for way in tried.ways:
            until = "" if way.change is None else _until(case, way, way.change)
            if until:
                out.print(f"  {way.word}: {until}")
        return
    begun = "at once" if not case.readings else f"at the reading, {_when(case, case.readings[-1].time_s)}"
    if tried.told is not None:
        rough = "; rough: few of the models' runs agree with it" if tried.told.rough else ""
        last = case.readings[-1]
        out.print(f"\n{last.value_C:.0f} °C at {_when(case, last.time_s)} is taken into account{rough}.")
    out.print(f"\nChanged from {case.now} {begun}:")
    now = next(way for way in tried.ways if way.word == case.now)
    for change in tried.changes:
        end, middle = _times(case, change.end_s), _times(case, change.middle_s)
        until = f"{_verdict(change.kept_share):<10}{_until(case, now, change)}" if case.judged else ""
        out.print(f"  [bold]{change.to:<10}[/]{'':<29}{middle:<29}{end:<29}{until}")


def _until(case: Case, way: Way, change: Change) -> str:
    """Until when a change from that way still helps; nothing where none is needed and this one would miss."""
    sure, even = change.until_sure_s, change.until_even_s
    if even is None:
        return f"too late for {change.to}" if change.at_s > 0 else ""  # from the first it never was in time
    if sure is None:
        if even >= LONGEST_S:  # an even chance without it, less with it
            return ""
        return f"change to {change.to} by {_when(case, even)}, an even chance, not more"
    if sure >= LONGEST_S:
        alone, after = way.kept_share or 0.0, change.kept_share or 0.0
        keeps = alone >= SURE and after >= SURE
        return f"{way.word} keeps them in {10 * SURE:.0f} of 10 without it" if keeps else ""
    later = "" if even >= LONGEST_S else f" ({_when(case, even)} is an even chance)"
    return f"change to {change.to} by {_when(case, sure)} at the latest{later}"


def _print_bands(case: Case, tried: Tried) -> None:
    out.print(f"\n{BAND}")
    out.print(f"Minutes that each alone puts on either side of the time to {case.limits.middle_C:.3g} °C:")
    for way in tried.ways:
        parts = sorted(way.parts_s.items(), key=lambda part: -(part[1] or 0.0))
        told = ", ".join(f"{PARTS[name]} {half / 60:.0f}" for name, half in parts if half is not None)
        out.print(f"  {way.word:<10}{told or 'not in 24 h'}")
    if case.judged:
        out.print(
            f"Makes it: in {10 * SURE:.0f} of 10 likely cases or more. Up to: as thick as that holds, in "
            "this shape; portion, flatten or fill shallower."
        )


def picture(case: Case, tried: Tried) -> Picture:
    """The ways' middle courses, the way it chills now with its band, the limits as a stair."""
    limits = case.limits
    title = f"{case.name}, {1000 * case.thickness_m:.0f} mm {case.shape}, from {case.start_C:.3g} °C"
    passes = case.judged and case.start_C > limits.from_C
    since = f"since the core passed {limits.from_C:.3g} °C" if passes else "since it began to chill"
    stairs = [Stair(mark, None) for mark in (limits.from_C, limits.middle_C, limits.end_C)]
    if case.judged:
        end_s = min(limits.end_within_s, limits.middle_within_s + limits.further_within_s)
        middle_s = limits.middle_within_s if isfinite(limits.middle_within_s) else None
        stairs = [Stair(limits.middle_C, middle_s), Stair(limits.end_C, end_s)]
    rows = {way.word: way for way in tried.ways}
    falling = [_falling(case, rows[course.word], course) for course in tried.courses]
    clock_s = next((c.clock_s for c in tried.courses if c.word == case.now), 0.0)
    read = [Read(reading.time_s - clock_s, reading.value_C) for reading in case.readings]
    longest_s = 12 * 3600.0 if not case.judged else max(3600.0, SHOWN * (stairs[-1].by_s or 0.0))
    return cooling_picture(f"How it chills: {title}", since, falling, stairs, read, longest_s)


def _falling(case: Case, way: Way, course: Course) -> Falling:
    def after(times: Times) -> str:
        return "not in 24 h" if times.median is None else elapsed(times.median - course.clock_s)

    limits, verdict = case.limits, _verdict(way.kept_share)
    reached = ((limits.middle_C, way.middle_s), (limits.end_C, way.end_s))
    words = f"{way.word}: {', '.join(f'{mark:.3g} °C {after(times)}' for mark, times in reached)}"
    standing: Standing = "told"
    if way.kept_share is not None:
        words += f", {verdict}"
        standing = "kept" if verdict == "makes it" else "missed" if verdict == "misses" else "even"
    known = way.word == case.now
    return Falling(
        words,
        course.times_s,
        course.core_C,
        standing,
        course.low_C if known else None,
        course.high_C if known else None,
    )
