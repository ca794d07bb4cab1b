"""The windows on disk are what the generator draws, and each can be planned on."""

from __future__ import annotations

import json
from dataclasses import asdict

import pytest
from windows import all_windows, generated, read_windows, window_of


@pytest.mark.parametrize("file", all_windows())
def test_on_disk_as_drawn(file: str):
    assert [w for w, _ in read_windows(file)] == all_windows()[file]


def test_a_window_is_its_json():
    window = generated(10, "congested", 3)
    assert window_of(json.loads(json.dumps(asdict(window)))) == window


@pytest.mark.parametrize("file", ["congested-40", "friday"])
def test_as_many_dishes_as_it_says(file: str):
    for window, _ in read_windows(file):
        problem = window.problem()
        assert sum(len(o.items) for o in problem.orders) == window.dishes == int(window.name.split("-")[1])
        assert all(s.choices[0] for o in problem.orders for i in o.items for s in i.stages)
