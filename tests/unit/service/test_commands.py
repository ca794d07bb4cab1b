"""Commands: their bounds, and their text in the log."""

import json
from typing import get_args

import pytest
from pydantic import ValidationError

from hearthtide.errors import StoreError
from hearthtide.safety.cautions import TOLD_CAUTIONS
from hearthtide.service import commands as told
from hearthtide.service.log import Entry
from hearthtide.service.words import words_of
from told_night import called

EVERY = [
    called(later="cheese_dip", allergy=("nuts",)),
    told.Amended("B4", covers=3, take_off=("B4-1",)),
    told.DishesAdded("B4", called().ticket.courses[0].plates),
    told.EightySix("shrimp"),
    told.BackOn("shrimp"),
    told.Hold("B4"),
    told.Fire("B4", 70_000),
    told.Drag("B4", 300),
    told.Split("B4", 2, 360),
    told.Refire("B4-1"),
    told.Landed("B4", 2),
    told.MoveDone("B4-1", "launch"),
    told.NotYet("B4-1", "turn", 30, nth=2),
    told.StageSeen("B4-1", 70_000),
    told.Undo("device-a-1"),
    told.Reading(61.5, "core", "probe 2", item="B4-1"),
    told.Spill(0.1, 0.5, 0.12, 70_000),
    told.DeadPlatter(),
    told.CookOut("Pass"),
    told.CookIn("Pass"),
    told.FlameOut(),
    told.GasShut(),
    told.DangerSeen("extraction off"),
    told.DangerOver("extraction off"),
    told.FlameSet("mid"),
    told.Waste("pizza", 2),
    told.Handover("Wood is low.\nThe left back cools first."),
]


def command(id="device-a-1", by="Ana", at_s=1.0):
    return told.Command(id=id, by=by, at_s=at_s, what=told.FlameOut())


def test_every_kind_of_command_is_looked_at_here():
    assert {type(what) for what in EVERY} == set(get_args(told.What))
    assert len({what.kind for what in EVERY}) == len(EVERY)


def test_every_caution_belongs_to_a_kind_of_command():
    assert set(TOLD_CAUTIONS) <= {what.kind for what in EVERY}


@pytest.mark.parametrize("what", EVERY, ids=lambda what: what.kind)
def test_an_event_comes_back_from_its_text_and_has_words(what):
    event = told.Event(told.Command("device-a-1", "Ana", 68_400, what), 68_401.25)
    body = told.text_of(event)
    assert told.event_of(Entry(1, "device-a-1", body)) == event
    assert body.isascii() and "\n" not in body
    assert json.loads(body)["command"]["what"]["kind"] == what.kind
    assert words_of(what)


@pytest.mark.parametrize(
    ("make", "field"),
    [
        (lambda: command(id="short"), "id"),
        (lambda: command(by="Ana\n"), "by"),
        (lambda: command(at_s=float("nan")), "at_s"),
        (lambda: command(at_s=30 * 3600 + 1.0), "at_s"),
        (lambda: told.MoveDone(item="B4", act="launch"), "item"),
        (lambda: told.MoveDone(item="B4-1", act="toss"), "act"),
        (lambda: told.NotYet(item="B4-1", act="launch", late_s=0), "late_s"),
        (lambda: told.Spill(x_m=0, y_m=0, radius_m=0, until_s=70_000), "radius_m"),
        (lambda: told.Waste(dish="pizza", count=201), "count"),
        (lambda: told.Handover(words="a" * 501), "words"),
        (lambda: told.Handover(words=" \n "), "words"),
        (lambda: told.Handover(words="a\x00b"), "words"),
    ],
)
def test_a_command_out_of_bounds_cannot_be_made(make, field):
    with pytest.raises(ValidationError) as wrong:
        make()
    assert [error["loc"] for error in wrong.value.errors()] == [(field,)]


def test_an_unknown_key_or_a_later_form_is_a_clear_error_and_names_the_entry():
    event = told.Event(told.Command("device-a-1", "Ana", 1.0, told.FlameOut()), 2.0)
    for changed in ({"form": 2}, {"colour": "blue"}):
        body = json.dumps(json.loads(told.text_of(event)) | changed)
        with pytest.raises(StoreError, match=r"entry 7 cannot be read: .*newer one"):
            told.event_of(Entry(7, "device-a-1", body))
