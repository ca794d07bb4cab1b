"""prep.yaml and supplies.yaml: what is read, and every mistake told where it stands."""

import pytest

from hearthtide.errors import InputError
from hearthtide.house.files import read_house
from hearthtide.house.pars_file import read_pars
from hearthtide.house.prep_file import LINE_UP, in_a_circle, read_prep
from hearthtide.house.supplies_file import kg_by_dish, read_supplies

PARS = "made:\n  dough: {name: Dough, uses: {pizza: 2}, days: 3, cost: 0.9, price: 13}\n"
PREP = """\
line_up: 16:30
machines:
  mixer: {name: Mixer}
  bench: {name: Bench, count: 2, apart: true, wash: 8 min}
tasks:
  mix:
    name: Mix dough
    makes: dough
    batch: 24
    steps:
      - {hands: 5 min, each: 10 s, at: {mixer: 1}}
      - {rest: 1 h, at_each: {bench: 12}}
    due: line-up
  ball: {name: Ball it, after: [mix], steps: [{hands: 5 min, at: {bench: 1}}], due: 15:30}
opening: {from: 09:00, by: 10:00, of: [cold_units, flue]}
evening: {from: 17:00, covers: [4, 8]}
dough: {made: dough, tray: 6}
taken:
  - {what: Lunch, person: Ana, from: 12:30, until: 13:00}
  - {what: A tray, machine: bench, from: 12:30, until: 13:00}
"""
SUPPLIES = """\
supplies:
  flour: {name: Flour, uses: {dough: 165 g}, pack: 25 kg, on_hand: 40 kg, lead: 2, delivered: [tuesday]}
  cheese: {name: Cheese, uses: {pizza: 3 oz}, pack: 10 lb, on_hand: 0 kg, lead: 1, delivered: [friday],
    level: 98 %}
"""


def read(folder, name, text, reader, *more):
    (folder / "pars.yaml").write_text(PARS, encoding="utf-8")
    (folder / name).write_text(text, encoding="utf-8")
    house = read_house(folder)
    return reader(house, read_pars(house), *more)


def test_prep_is_read(folder):
    file = read(folder, "prep.yaml", PREP, read_prep, frozenset({"Ana"}))
    assert file.tasks["mix"].due == LINE_UP and file.tasks["ball"].due == 15.5 * 3600
    assert file.tasks["mix"].steps[1].at_each == {"bench": 12}
    assert file.machines["bench"].washed_by == ("prep",)
    assert file.taken[0].person == "Ana"


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("makes: dough", "makes: doug", "Did you mean `dough`"),
        ("after: [mix]", "after: [mixx]", "a task here"),
        ("at: {mixer: 1}", "at: {mixr: 1}", "Did you mean `mixer`"),
        ("at: {mixer: 1}", "at: {mixer: 3}", "at most 1"),
        ("at_each: {bench: 12}", "at_each: {shelf: 12}", "a machine here"),
        ("due: line-up", "due: soon", "`line-up`, or a time of day"),
        ("due: line-up", "due: line-up\n    after: [ball]", "do not wait for themselves"),
        ("rest: 1 h,", "rest: 1 h, hands: 5 min,", "either hands or rest"),
        ("rest: 1 h,", "rest: 1 h, each: 5 s,", "with hands alone"),
        ("    makes: dough\n    batch: 24\n", "    batch: 24\n", "with batch, each and at_each"),
        ("by: 10:00", "by: 08:00", "later than from"),
        ("of: [cold_units, flue]", "of: [cold_units, flu]", "Did you mean `flue`"),
        ("of: [cold_units, flue]", "of: [flue, flue]", "each check once"),
        ("covers: [4, 8]", "covers: [0, 0]", "somebody to come"),
        ("evening: {from: 17:00, covers: [4, 8]}\n", "", "`evening:` beside it"),
        ("made: dough, tray", "made: bread, tray", "a thing that pars.yaml makes"),
        ("person: Ana", "person: Anna", "somebody of rota.yaml"),
        ("machine: bench", "machine: benk", "Did you mean `bench`"),
        ("machine: bench", "machine: bench, person: Ana", "either machine or person"),
        ("from: 12:30, until: 13:00}\n  -", "from: 13:30, until: 13:00}\n  -", "later than from"),
        ("hands: 5 min, each", "hands: 5, each", "Add the unit"),
        ("line_up: 16:30", "line_up: 4.30pm", "a time of day"),
    ],
)
def test_what_cannot_be_meant_is_told(folder, old, new, told):
    assert old in PREP
    with pytest.raises(InputError, match=r"prep\.yaml") as refused:
        read(folder, "prep.yaml", PREP.replace(old, new, 1), read_prep, frozenset({"Ana"}))
    assert told in str(refused.value)


def test_all_mistakes_are_told_at_once(folder):
    text = PREP.replace("makes: dough", "makes: doug").replace("machine: bench", "machine: benk")
    with pytest.raises(InputError) as refused:
        read(folder, "prep.yaml", text, read_prep)
    assert len(refused.value.findings) == 2
    assert [one.line for one in refused.value.findings] == [8, 20]


def test_a_circle_is_found_however_long():
    assert in_a_circle({str(n): (str((n + 1) % 9),) for n in range(9)}) is not None
    assert in_a_circle({str(n): (str(n + 1),) for n in range(9)}) is None


def test_supplies_are_read_and_counted_by_dish(folder):
    file = read(folder, "supplies.yaml", SUPPLIES, read_supplies)
    pars = read_pars(read_house(folder))
    assert kg_by_dish(file.supplies["flour"], pars) == pytest.approx({"pizza": 0.33})
    assert kg_by_dish(file.supplies["cheese"], pars) == pytest.approx({"pizza": 0.08505}, rel=1e-4)
    assert file.supplies["cheese"].level == pytest.approx(0.98)
    assert file.supplies["cheese"].coming == 0


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("{dough: 165 g}", "{dogh: 165 g}", "a thing of pars.yaml or a dish"),
        ("{dough: 165 g}", "{dough: 165}", "Add the unit"),
        ("lead: 2", "lead: 40", "at most 10"),
        ("delivered: [tuesday]", "delivered: []", "at least 1"),
        ("delivered: [tuesday]", "delivered: [tusday]", "Did you mean `tuesday`"),
        ("level: 98 %", "level: 100 %", "at most"),
        ("on_hand: 40 kg", "on_hand: -4 kg", "at least"),
    ],
)
def test_supplies_that_cannot_be_meant_are_told(folder, old, new, told):
    assert old in SUPPLIES
    with pytest.raises(InputError, match=r"supplies\.yaml") as refused:
        read(folder, "supplies.yaml", SUPPLIES.replace(old, new, 1), read_supplies)
    assert told in str(refused.value)


@pytest.mark.parametrize(("name", "reader"), [("prep.yaml", read_prep), ("supplies.yaml", read_supplies)])
def test_a_house_without_the_file_is_told_how(folder, name, reader):
    (folder / "pars.yaml").write_text(PARS, encoding="utf-8")
    house = read_house(folder)
    with pytest.raises(InputError, match=r"docs/day-prep\.md"):
        reader(house, read_pars(house))
