"""The falling heat in a cook's words, as JSON and as a picture."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from rich.markup import escape

from hearthtide.cli.day_shared import day_words
from hearthtide.cli.shared import out
from hearthtide.day.falling import Falling, Told
from hearthtide.day.falling_curve import Slowing
from hearthtide.day.falling_hot import hot_limit_C, hot_words
from hearthtide.day.falling_things import Fall, Night, Stay, Way
from hearthtide.printing.curves import Band, Curve, Moment, curves_picture
from hearthtide.printing.picture import Picture
from hearthtide.safety.cautions import BURNS_CAUTION, GAS_CAUTION, HOUSE_CAUTIONS
from hearthtide.safety.rule_sets import chosen_words
from hearthtide.safety.rules import RuleSet

LOOKED_S, LONGER_S, SOON = 7200.0, 14_400.0, 5  # between the temperatures that are printed
NOT_COUNTED = "Counted without the heat that the things themselves drink, or that an opened door lets out."
SHUT_ONLY = {
    "wood": "The door goes on only once no live coal is in the oven: coals behind a shut door with the "
    "extraction off have poisoned people. That is never planned otherwise.",
    "gas": "The door goes on only once the gas is shut. That is never planned otherwise.",
}


def print_told(name: str, found: Falling, fit: Slowing | None, rules: RuleSet | None) -> None:
    """All of it, one thing after another."""
    night = found.night
    out.print(f"[bold]{escape(name)}, the falling heat of {day_words(night.day)}[/], {_fires(night)}")
    for line in _heat_lines(night, fit):
        out.print(f"  {escape(line)}")
    for one in found.told:
        for line in _thing_lines(night, one, rules):
            out.print(line)
    for words in found.broken:
        out.print(f"  [bold]Broken:[/] {escape(words)}")
    for words in cautions(night):
        out.print(f"[bold]  {escape(words)}[/]")
    out.print(f"[dim]  {NOT_COUNTED} {escape(chosen_words(rules))}[/]")


def cautions(night: Night) -> tuple[str, ...]:
    """What must be said of coals, gas and a shut oven."""
    wood = night.fires.fuel == "wood"
    kept = [text for text in HOUSE_CAUTIONS if text.startswith(("Carbon monoxide", "Embers"))]
    if not wood:
        kept = [*kept[:1], GAS_CAUTION]
    opened = (
        "An oven that was shut: stand to the side, open it slowly, face back; stone, pans and steam burn."
    )
    return (SHUT_ONLY["wood" if wood else "gas"], *kept, opened, BURNS_CAUTION)


def _fires(night: Night) -> str:
    fires = night.fires
    what = "coals out" if fires.fuel == "wood" else "gas shut"
    door = "no door" if fires.door_on_s is None else f"door on {night.when(fires.door_on_s)}"
    return f"{what} {night.when(fires.out_s)}, {door}, lit again {night.when(night.end_s)}"


def _heat_lines(night: Night, fit: Slowing | None) -> Iterator[str]:
    fall = night.falls["stone"]
    yield f"The stone by {fall.source}: {', '.join(_clocks(night, fall))} °C"
    if fit is None:
        yield "The model's priors leave the open bounds; two readings of your own after the door are better."
        return
    yield (
        f"It loses {fit.share_h:.1%} of what it has over the room ({fit.room_C:.0f} °C) an hour at "
        f"{night.when(fit.from_s)}, {fit.share_at_h(fit.last_s):.1%} at {night.when(fit.last_s)}."
    )
    if fit.misses_K:
        misses = ", ".join(f"{abs(miss_K):.0f}" for miss_K in fit.misses_K)
        yield (
            f"Each reading told from the others was missed by {misses} °C: no better than {fit.off_K:.0f} °C."
        )
    else:
        yield "Two readings only: an even share, and nothing to check it by."
    if night.end_s > fit.last_s:
        yield (
            f"After {night.when(fit.last_s)} nothing was read: carried on at the last {fit.last_share_h:.1%} "
            "an hour, and later than told if it goes on slowing."
        )


def _clocks(night: Night, fall: Fall) -> Iterator[str]:
    """Times and temperatures, a weekday only where it is another."""
    weekday = ""
    for at in _looks(night):
        *day, clock = night.when(at).split()
        new = "".join(day)
        yield f"{new + ' ' if new != weekday else ''}{clock} {float(fall.at_C(at)):.0f}"
        weekday = new


def _looks(night: Night) -> list[float]:
    """Every two hours for ten hours, then every four."""
    found = [night.fires.ready_s]
    while found[-1] + LONGER_S <= night.end_s:
        found.append(found[-1] + (LOOKED_S if len(found) <= SOON else LONGER_S))
    return found


def _thing_lines(night: Night, one: Told, rules: RuleSet | None) -> Iterator[str]:
    thing = one.thing
    head = f"  [bold]{escape(thing.name)}[/], {thing.portions} at {thing.low_C:.0f} to {thing.high_C:.0f} °C"
    if one.stays:
        yield f"{head}: {_stays(night, one.stays)}"
        for line in _details(night, one, rules):
            yield f"      {escape(line)}"
        return
    yield f"{head}: [bold]not as it is.[/] {escape(one.why[:1].upper() + one.why[1:])}."
    if not one.ways:
        yield "      No way out was found: another day, or a manner of it under instead in falling.yaml."
    for number, way in enumerate(one.ways, 1):
        yield f"      {number}. {escape(way.words)}: {_stays(way.night, way.stays)}"
        yield f"         {escape('; '.join(way.sums))}"
        for stay in way.stays[:1]:
            if not stay.sure:
                yield f"         [bold]not sure:[/] the {way.thing.place} may be out of its band: read it."


def _stays(night: Night, stays: Sequence[Stay]) -> str:
    return "; ".join(
        f"{stay.portions} in {night.when(stay.in_s)}, out {night.when(stay.out_s)}" for stay in stays
    )


def _details(night: Night, one: Told, rules: RuleSet | None) -> Iterator[str]:
    place = night.falls[one.thing.place]
    for stay in one.stays:
        low_C, high_C = (float(np.interp(stay.in_s, place.times_s, v)) for v in (place.low_C, place.high_C))
        sure = "" if stay.sure else "; not sure to be in its band then: read it"
        yield (
            f"{one.thing.place} {float(place.at_C(stay.in_s)):.0f} °C ({low_C:.0f} to {high_C:.0f}) when it "
            f"goes in, {float(place.at_C(stay.out_s)):.0f} when it comes out{sure}"
        )
    spans = ", ".join(f"{night.when(w.from_s)} to {night.when(w.until_s)}" for w in one.windows)
    yield f"may go in {spans}"
    if one.thing.hot:
        yield from hot_words(rules, night, one.stays[0])


def body_of(name: str, found: Falling, fit: Slowing | None, rules: RuleSet | None) -> dict[str, object]:
    """The same for a program; times in seconds of the evening's clock."""
    night, fall = found.night, found.night.falls["stone"]
    fires = night.fires
    return {
        "house": name,
        "day": night.day.isoformat(),
        "fuel": fires.fuel,
        "fire_out_s": fires.out_s,
        "door_on_s": fires.door_on_s,
        "lit_again_s": night.end_s,
        "curve": {
            "source": fall.source,
            "known_until_s": fall.known_until_s,
            "misses_K": None if fit is None else [round(k, 1) for k in fit.misses_K],
            "off_K": None if fit is None else round(fit.off_K, 1),
            "share_first_h": None if fit is None else round(fit.share_h, 4),
            "share_last_h": None if fit is None else round(fit.last_share_h, 4),
            "stone": [_point(fall, at) for at in _looks(night)],
        },
        "hot_limit_C": hot_limit_C(rules),
        "things": [_thing(night, one, rules) for one in found.told],
        "broken": list(found.broken),
        "not_counted": NOT_COUNTED,
        "rules": chosen_words(rules),
        "cautions": list(cautions(night)),
    }


def _point(fall: Fall, at_s: float) -> dict[str, float]:
    values = (fall.value_C, fall.low_C, fall.high_C)
    told = (round(float(np.interp(at_s, fall.times_s, v)), 1) for v in values)
    return {"at_s": at_s, **dict(zip(("stone_C", "low_C", "high_C"), told, strict=True))}


def _thing(night: Night, one: Told, rules: RuleSet | None) -> dict[str, object]:
    return {
        "thing": one.thing.key,
        "name": one.thing.name,
        "portions": one.thing.portions,
        "in_band_s": [list(pair) for pair in one.band_s],
        "windows_s": [[w.from_s, w.until_s] for w in one.windows],
        "stays": [vars(stay) for stay in one.stays],
        "why_not": one.why,
        "to_stay_hot": list(hot_words(rules, night, one.stays[0])) if one.thing.hot and one.stays else [],
        "ways_out": [_way(way) for way in one.ways],
    }


def _way(way: Way) -> dict[str, object]:
    return {
        "kind": way.kind,
        "words": way.words,
        "sums": list(way.sums),
        "stays": [vars(stay) for stay in way.stays],
        "fuel_kg": way.fuel_kg,
        "fuel_kWh": round(way.fuel_kWh, 1),
        "before_the_rota_s": way.early_s,
    }


def picture_of(name: str, found: Falling) -> Picture:
    """The stone as it falls, with what is known of it, what goes in and comes out, and the band of the first
    thing that does not fit.
    """
    night, fall = found.night, found.night.falls["stone"]
    from_s = night.fires.out_s
    shown = fall.times_s >= from_s
    times_s = fall.times_s[shown] - from_s
    curve = Curve("stone", fall.value_C[shown], fall.low_C[shown], fall.high_C[shown], ink="orange")
    moments = [
        Moment(at - from_s, f"{one.thing.name} {what}")
        for one in found.told
        for stay in one.stays
        for at, what in ((stay.in_s, "in"), (stay.out_s, "out"))
    ]
    title = f"{name}: hours after the fire's end at {night.when(from_s)}"
    missed = next((one.thing for one in found.told if not one.stays and one.thing.place == "stone"), None)
    band = None if missed is None else Band(missed.low_C, missed.high_C, missed.name)
    return curves_picture(title, times_s, (curve,), band, moments)
