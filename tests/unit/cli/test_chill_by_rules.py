"""`chill` takes the limits of a house's rule set; the codes' numbers are written here by hand."""

from __future__ import annotations

import json
import shutil
from math import inf
from pathlib import Path

import pytest

from at_the_prompt import typed
from hearthtide.cli.chill_asked import Asked, case_of
from hearthtide.cli.chill_rules import limits_by
from hearthtide.food.chilling import ChillLimits
from hearthtide.safety.rule_sets import rule_set, rule_set_names

BRINDLECOTE = Path(__file__).parents[3] / "examples" / "brindlecote"
H = 3600
STATED = {
    **dict.fromkeys(("us-fda-2022", "us-fda-2017", "us-fda-2013"), ChillLimits(57, 21, 5, 2 * H, 6 * H)),
    **dict.fromkeys(("australia", "new-zealand"), ChillLimits(60, 21, 5, 2 * H, inf, 4 * H)),
    "canada-ontario": ChillLimits(60, 20, 4, 2 * H, inf, 4 * H),
    "france": ChillLimits(63, 21, 10, inf, 2 * H),
    "codex": ChillLimits(60, 21, 10, inf, 2 * H),
}


@pytest.mark.parametrize("name", rule_set_names())
def test_each_set_s_own_stages(name):
    assert limits_by(rule_set(name)) == STATED.get(name)
    assert name in STATED or name in ("england-wales-ni", "scotland")


@pytest.fixture
def house(tmp_path):
    def goes_by(name):
        folder = Path(shutil.copytree(BRINDLECOTE, tmp_path / name))
        with (folder / "house.yaml").open("a", encoding="utf-8") as file:
            file.write(f"\nrules: {{set: {name}}}\n")
        return folder

    return goes_by


def test_a_house_is_judged_by_its_own_set_and_limits_handed_in_come_first(house):
    asked = Asked("half_chicken", house("france"), start="75C")
    assert (case_of(asked).limits, case_of(asked).judged) == (STATED["france"], True)
    own = Asked("half_chicken", asked.house, start="75C", limits="57C,21C@2:00,5C@6:00")
    assert (case_of(own).limits, case_of(own).handed_in) == (STATED["us-fda-2022"], True)
    silent = case_of(Asked("half_chicken", house("scotland"), start="75C"))
    assert silent.judged is False and silent.rules is not None


def test_what_is_printed_names_the_set_its_section_and_what_is_unverified(house, tmp_path):
    words = ("half_chicken", "--from", "75C", "--thickest", "25mm", "--picture", tmp_path / "fall.svg")
    done = typed("chill", *words, "--house", house("codex"))
    assert "Limits, Codex" in done.stdout and "unverified" in done.stdout
    assert "10 °C within 2:00 of 60 °C" in done.stdout
    assert "No rule set is chosen" not in done.stdout and "This house goes by Codex" in done.stdout
    assert (tmp_path / "fall.svg").read_text(encoding="utf-8").startswith("<")
    body = json.loads(typed("chill", *words[:5], "--house", house("us-fda-2022"), "--json").stdout)
    assert "3-501.14(A)(1)" in body["limits_of"] and body["limits_handed_in"] is False
    assert body["limits"]["end_within_s"] == 6 * H
    none = typed("chill", *words[:5], "--house", house("scotland")).stdout
    assert "states no times for cooling: nothing is judged" in none
