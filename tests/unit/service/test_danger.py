"""In danger nothing is planned but the way out, and screens say it in the words of the rules."""

import re
from dataclasses import replace
from itertools import product
from pathlib import Path
from types import SimpleNamespace

import pytest

from hearthtide.safety.fire_states import Told, way_out
from hearthtide.service.dangers import told_of
from hearthtide.service.facts import Facts, Since
from hearthtide.service.show import left_to_do

WORDS = Path(__file__).parents[3] / "web" / "src" / "words" / "danger.ts"
STANDS = ("carbon monoxide", "fire", "coals behind a door", "extraction off")
MOVES = tuple(SimpleNamespace(act=act) for act in ("dress", "launch", "turn", "pull", "cut", "flame"))


def facts(*dangers, **more):
    return replace(Facts(), dangers=tuple(Since(one, 100.0, "Ana") for one in dangers), **more)


@pytest.mark.parametrize(
    ("dangers", "acts"),
    [
        ((), ["dress", "launch", "turn", "pull", "cut", "flame"]),
        (("extraction off",), ["pull", "cut"]),
        (("coals behind a door",), []),
        (("fire",), []),
        (("extraction off", "carbon monoxide"), []),
    ],
)
def test_what_is_left_to_do(dangers, acts):
    assert [move.act for move in left_to_do(facts(*dangers), MOVES)] == acts


def test_a_wood_fire_that_is_out_waits_for_no_gas():
    out = facts(flame_out=Since("the flame", 50.0, "Ana"))
    assert told_of(out, burns_gas=True).flame_out_s == 50.0
    assert told_of(out, burns_gas=False).flame_out_s is None


def english(key):
    found = re.search(
        rf"'{re.escape(key)}': \{{\s*en: '((?:[^'\\]|\\.)*)'", WORDS.read_text(encoding="utf-8")
    )
    assert found is not None, key
    return found[1].replace("\\'", "'")


@pytest.mark.parametrize(("danger", "gas", "fan_off"), list(product(STANDS, (False, True), (False, True))))
def test_the_screens_say_the_words_of_the_rules(danger, gas, fan_off):
    seconds = {f"{danger.replace(' ', '_').replace('_a_door', '_door')}_s": 1.0}
    if fan_off or danger == "extraction off":
        seconds["extraction_off_s"] = 1.0
    if gas:
        seconds["flame_out_s"] = 0.5
    told = Told(**seconds)
    shown = english(f"out.{danger.replace(' ', '_')}")
    for name, text in (
        ("first", english("out.first")),
        ("gas", english("out.gas") if gas else ""),
        ("fan", "" if fan_off else english("out.fan")),
    ):
        shown = shown.replace(f"{{{name}}}", text)
    assert shown == way_out(told, 2.0).words
