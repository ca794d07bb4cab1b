"""`danger`: what people told of fire, gas and air; nothing but the way out is printed, and no plan."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from rich.markup import escape

from hearthtide.cli.shared import out, print_json
from hearthtide.errors import Finding, InputError
from hearthtide.house.validate import close_to
from hearthtide.quantities.parse import parse_clock_s, parse_duration_s
from hearthtide.quantities.show import clock_text
from hearthtide.safety.fire_states import LEAST_WAIT_S, Told, may_light, way_out

# What may be told, and where it is kept.
WORDS = {
    "carbon monoxide": "carbon_monoxide_s",
    "extraction off": "extraction_off_s",
    "flame out": "flame_out_s",
    "gas shut": "gas_shut_s",
    "coals behind a door": "coals_behind_door_s",
    "fire": "fire_s",
}
NOTHING = (
    "Nothing of that was told. This program measures no gas and no air: go by the alarms, the oven's own "
    "instructions and what you see."
)


def run_danger(told: Iterable[str], now: str, wait: str | None, light: bool, json: bool) -> bool:
    """Prints the way out; True when nothing was told that needs one and a flame may be said to burn."""
    known, now_s = _told(told, wait), _clock("--now", now, now)
    found = way_out(known, now_s)
    why_not = may_light(known, now_s) if light else ""
    if json:
        body: dict[str, object] = {"danger": None, "words": NOTHING, "plans": "the night", "until_s": None}
        if found is not None:
            body = {
                "danger": found.danger,
                "words": found.words,
                "plans": found.plans,
                "until_s": found.until_s,
            }
        print_json("danger", body | ({"may_not_light": why_not or None} if light else {}))
        return found is None and not why_not
    out.print(escape(NOTHING if found is None else found.words))
    if found is not None and found.until_s is not None:
        out.print(f"The wait ends at {clock_text(found.until_s)}.")
    if why_not:
        out.print(f"Not to be lit: {escape(why_not)}")
    return found is None and not why_not


def _told(words: Iterable[str], wait: str | None) -> Told:
    told = Told(wait_s=_wait_s(wait))
    for one in words:
        what, _, at = one.partition("@")
        field = WORDS.get(what.strip())
        if field is None:
            raise _bad("--told", one, f"one of {', '.join(WORDS)}, @ and a time", close_to(what, WORDS))
        told = replace(told, **{field: _clock("--told", at, one)})
    return told


def _wait_s(text: str | None) -> float:
    if text is None:
        return LEAST_WAIT_S
    try:
        seconds = parse_duration_s(text)
    except ValueError as err:
        raise _bad(
            "--wait", text, str(err).removeprefix("expected "), "Take it from the oven's book."
        ) from err
    if seconds < LEAST_WAIT_S:
        expected = f"{LEAST_WAIT_S / 60:.0f} min or longer"
        raise _bad("--wait", text, expected, "It is never shorter; the oven's book may say longer.")
    return seconds


def _clock(field: str, text: str, whole: str) -> float:
    try:
        return parse_clock_s(text.strip())
    except ValueError as err:
        expected = str(err).removeprefix("expected ")
        raise _bad(field, whole, expected, "Such as `flame out@19:12`, --now 19:20.") from err


def _bad(field: str, value: str, expected: str, remedy: str) -> InputError:
    return InputError((Finding("danger", 0, field, value, expected, remedy),))
