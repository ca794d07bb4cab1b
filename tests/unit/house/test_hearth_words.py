"""Preheats, bands, raw and ready to eat in a dish; hands, weights and splash in a house."""

import pytest

from hearthtide.errors import InputError
from hearthtide.house.files import portion, read_house

PREHEAT = """\
  - name: preheat
    preheat: true
    places: [near]
    minutes: 8:00
    hot: 260 C
"""


@pytest.fixture
def change(folder):
    """The house after (file, old, new), or the findings."""

    def read(*changes):
        for file, old, new in changes:
            path = folder / file
            text = path.read_text(encoding="utf-8")
            assert old in text, f"{old!r} is not in {file}"
            path.write_text(text.replace(old, new, 1), encoding="utf-8")
        try:
            return read_house(folder)
        except InputError as err:
            return err.findings

    return read


def steak(stage=PREHEAT, vessel=", from_bank: true"):
    file = "dishes/strip_steak.yaml"
    return (file, "stages:\n", f"stages:\n{stage}"), (file, vessel, "")


def loads(house_file="house.yaml"):
    return (house_file, "acts: [dress, launch,", "acts: [dress, launch, load,")


def test_a_platter_preheats_on_the_stone_and_the_food_meets_it_hot(change):
    house = change(*steak(), loads())
    dish = house.dishes["strip_steak"]
    assert dish.stages[0].preheat and dish.preheated_C == 260
    assert portion(house, "strip_steak").platter.start_C == 260
    assert house.dishes["pizza"].preheated_C is None


@pytest.mark.parametrize(
    ("stage", "vessel", "field", "expected"),
    [
        (
            PREHEAT.replace("    hot: 260 C\n", ""),
            ", from_bank: true",
            "stages[1].preheat",
            "how hot the vessel",
        ),
        (PREHEAT.replace("    minutes: 8:00\n", ""), ", from_bank: true", "stages[1].preheat", "minutes"),
        (PREHEAT + "    flips: [50 %]\n", ", from_bank: true", "stages[1].preheat", "no food is there yet"),
        (
            PREHEAT.replace("[near]", "[mid]"),
            ", from_bank: true",
            "stages[1].places",
            "of the stage after it",
        ),
        (PREHEAT, ", mass: 9 kg", "stages[1].preheat", "does not come hot from the bank"),
        (PREHEAT + "    band: {early: -5 s}\n", ", from_bank: true", "stages[1].band.early", "at least 0 s"),
    ],
)
def test_a_preheat_that_cannot_be(change, stage, vessel, field, expected):
    if vessel == ", mass: 9 kg":
        found = change(("dishes/strip_steak.yaml", "stages:\n", f"stages:\n{stage}"), loads())
    else:
        found = change(*steak(stage, vessel), loads())
    (line,) = [f for f in found if f.field == field]
    assert expected in line.expected and line.file == "dishes/strip_steak.yaml"


def test_somebody_must_load_it(change):
    (line,) = change(*steak())
    assert line.expected == "somebody who can load"


def test_a_stage_that_cooks_needs_what_must_be_true(change):
    (line,) = change(("dishes/pizza.yaml", "    until: {core: 85 C, colour: golden}\n", ""))
    assert line.field == "stages[1].until" and "at least one of core, colour, bubbling" in line.expected


def test_a_kind_of_raw_food_stands_beside_raw_alone(change):
    (line,) = change(("dishes/pizza.yaml", "allergens:", "raw_of: beef\nallergens:"))
    assert line.field == "raw_of" and "raw: true" in line.expected


def test_raw_is_not_ready_to_eat(change):
    words = "raw: yes\nready_to_eat: yes\nallergens:"
    (line,) = change(("dishes/shrimp.yaml", "allergens:", words))
    assert line.field == "ready_to_eat"


def test_a_house_writes_its_hands_its_weights_and_its_splash(change):
    more = (
        "plating: 45 s\nsplash: 20 cm\none_handed: [turn]\n"
        "weights: {late: 2, guest_minute_costs: 0.4, fuel_costs: 0.11, currency: crowns}"
    )
    house = change(
        ("house.yaml", "plating: 45 s", more),
        ("house.yaml", "    acts: [dress", "    act_seconds: {turn: 9 s}\n    acts: [dress"),
    )
    file = house.file
    assert file.splash == pytest.approx(0.2) and file.one_handed == ("turn",)
    assert file.cooks[0].act_seconds.turn == 9 and file.cooks[0].act_seconds.cut is None
    assert (file.weights.late, file.weights.early, file.weights.currency) == (2, None, "crowns")


@pytest.mark.parametrize(
    ("words", "field"),
    [
        ("weights: {late: -1}", "weights.late"),
        ("weights: {lateness: 1}", "weights.lateness"),
        ("one_handed: [juggle]", "one_handed[1]"),
        ("splash: 15", "splash"),
    ],
)
def test_a_bad_word_of_the_house_has_its_line(change, words, field):
    (line,) = change(("house.yaml", "plating: 45 s", f"plating: 45 s\n{words}"))
    assert line.field == field and line.remedy
