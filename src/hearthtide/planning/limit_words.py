"""What binds, by how much, who slips and the ways out, in a cook's words."""

from __future__ import annotations

from collections.abc import Iterator

from hearthtide.planning.plan import SEARCH, Late, Limit, Need, WayOut
from hearthtide.quantities.show import clock_text, duration_text

LIFTED = {
    "hands": "With up to four more pairs of hands",
    "stone": "With stone without end, rules and closed spots lifted too",
    "platters": "With hot platters without end",
    "floor": "With a floor at the top of its band that needs no rest",
    "closed stone": "With no part of the stone shut",
    "rule": "With nothing kept apart, which no way out does",
    "minutes": "With nobody in the way, by the dishes' own minutes alone",
}
NAMED = 4  # of those who slip; the others are counted


def limit_lines(limit: Limit) -> Iterator[str]:
    """Everything a plan says of its limit, ways out left out.

    >>> late = Late("P1", "P1", 70_800, 725)
    >>> one = Limit("hands", 725, 8700.0, {"hands": 0.0}, (late,), (), (), 3)
    >>> for line in limit_lines(one):
    ...     print(line)
    All landings together come 12:05 late as planned: 145 guest-minutes.
    With up to four more pairs of hands: 0 guest-minutes.
    Late: P1 by 12:05 (wanted 19:40).
    """
    late_s = duration_text(limit.late_total_s)
    yield f"All landings together come {late_s} late as planned: {_guests(limit.late_guest_s)}."
    for name, left_s in sorted(limit.without.items(), key=lambda pair: pair[1]):
        yield f"{LIFTED[name]}: {_guests(left_s)}."
    for need in limit.needs:
        yield need_words(need)
    yield f"Late: {late_words(limit.late)}."


def ways_note(limit: Limit) -> str:
    """What the ways out were chosen from, or that none is worth it."""
    if limit.binds == SEARCH:
        return "Nothing binds: searched for longer, all land in time. Plan it again with another --seed."
    if not limit.ways_out:
        return f"None of {limit.tried} ways that were planned takes a twentieth away and is worth its price."
    return f"{limit.tried} ways were planned, on the minutes of this plan; the models have verified none."


def need_words(need: Need) -> str:
    """What is needed of one limit, in a line."""
    of = f"{_figure(need.needed)} of {_figure(need.there)} {need.unit}"
    when = f"at {clock_text(need.from_s)}"
    if need.limit != "platters":
        when, of = f"in the half hour from {clock_text(need.from_s)}", f"{of} of {need.limit}"
    if need.dishes:
        of += f" where {', '.join(need.dishes)} may stand"
    return f"To land all as wanted takes {of} ({100 * need.share:.0f} %) {when}."


def _figure(much: float) -> str:
    return f"{much:.0f}" if much >= 10 or much == round(much) else f"{much:.1f}"


def late_words(late: tuple[Late, ...]) -> str:
    """Who slips by how much."""
    if not late:
        return "nobody"
    named = [
        f"{one.course} by {duration_text(one.late_s)} (wanted {clock_text(one.wanted_s)})" for one in late
    ]
    more = f" and {len(late) - NAMED} more" if len(late) > NAMED else ""
    return ", ".join(named[:NAMED]) + more


def way_words(way: WayOut) -> str:
    """One way out with its figures."""
    money = "" if way.saved_money is None else f", {way.saved_money:.2f} {way.currency}"
    return (
        f"{way.words[:1].upper()}{way.words[1:]}. Takes {_guests(way.taken_guest_s)} of lateness away, "
        f"{_guests(way.late_guest_s)} stay. Price: {way.price}. "
        f"Worth {_guests(way.net_s)}{money} by the house's weights. Late then: {late_words(way.still)}."
    )


def _guests(seconds: float) -> str:
    return f"{seconds / 60:.0f} guest-minutes"
