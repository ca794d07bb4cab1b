"""The rule set a house writes down, its own rules in place, and what is printed of it."""

from datetime import date

import pytest
from pydantic import ValidationError

from hearthtide.house.rules_file import RulesFile
from hearthtide.safety.rule_sets import chosen_words
from hearthtide.safety.rules import Hold

OWN = {
    "id": "HH1H", "what": "hold", "section": "city code 81.09", "severity": "block", "known": "seen",
    "words": "Kept hot at 140 °F or above.", "side": "hot", "limit": {"F": 140, "C": 60},
    "override": {"who": "Ana", "on": "2026-05-01", "why": "the city's adoption"},
}  # fmt: skip


def test_a_house_s_own_rule_stands_in_place_of_the_set_s_and_says_whose_it_is():
    rules = RulesFile.model_validate({"set": "us-fda-2022", "own": [OWN]}).chosen
    (hot,) = (rule for rule in rules.of(Hold) if rule.side == "hot")
    assert hot.limit is not None and hot.limit.in_unit("F") == 140
    assert "as entered by Ana on 2026-05-01" in hot.cited
    assert len(rules.rules) == len(RulesFile.model_validate({"set": "us-fda-2022"}).chosen.rules)


def test_without_a_name_and_a_date_no_rule_is_the_house_s_own():
    nobody = {key: value for key, value in OWN.items() if key != "override"}
    with pytest.raises(ValidationError, match="who entered it"):
        RulesFile.model_validate({"set": "us-fda-2022", "own": [nobody]})


def test_sets_are_never_blended():
    with pytest.raises(ValidationError, match="expected one of australia"):
        RulesFile.model_validate({"set": "us-fda-2022 and scotland"})


def test_a_procedure_for_par_cooking_is_whole_or_not_there():
    written = {"reference": "PC-7", "authority": "county", "approved_on": "2026-03-01"}
    house = RulesFile.model_validate({"set": "us-fda-2022", "par_cook": written})
    assert house.par_cook is not None and house.par_cook.approved_on == date(2026, 3, 1)
    with pytest.raises(ValidationError):
        RulesFile.model_validate({"set": "us-fda-2022", "par_cook": {**written, "authority": ""}})


@pytest.mark.parametrize("name", ["us-fda-2022", "scotland", None])
def test_what_is_printed_never_says_that_anything_is_safe(name):
    rules = None if name is None else RulesFile.model_validate({"set": name}).chosen
    words = chosen_words(rules).lower()
    assert "safe " not in words and "compliant" not in words
    assert ("nothing here is judged" in words) == (name is None)
