"""An oven that cannot stand is told why, one that just can is read. Expected lengths are summed by hand."""

import pytest

JUST = [
    ("box", ("crown: barrel", "crown: dome")),
    # 20 cm + 5 cm · √(1 - 0.5²) = 24.3 cm at the mouth's corners
    ("box", ("crown_rise: 30 cm", "crown_rise: 5 cm"), ("mouth_height: 30 cm", "mouth_height: 24 cm")),
    ("box", ("crown_rise: 30 cm", "crown_rise: 50 cm")),  # half the width
    ("box", ("mouth_height: 30 cm", "mouth_height: 45 cm")),  # 20 cm + 30 cm · √(1 - 0.5²) = 46.0 cm
    (
        "box",
        ("length: 60 cm", "length: 138 cm"),
    ),  # from the side's middle 52 cm forward, then 17 cm, each way
    ("box", ("mouth_width: 50 cm", "mouth_width: 80 cm"), ("mouth_height: 30 cm", "mouth_height: 35 cm")),
    ("pot", ("crown: flat\nwall_height: 40 cm", "crown: dome\ncrown_rise: 120 cm")),  # the diameter
    ("pot", ("crown: flat\nwall_height: 40 cm", "wall_height: 35 cm\ncrown_rise: 5 cm")),  # 0.9 · 40 cm
    ("pot", ("wall_height: 40 cm", "wall_height: 40 cm\ncrown_rise: 0 cm")),
    ("pot", ("standoff: 20 cm", "standoff: 60 cm")),  # in the middle
    ("pot", ("standoff: 20 cm", "standoff: 15 cm")),  # against the wall
]


@pytest.mark.parametrize(
    ("name", "changes"),
    [pytest.param(name, changes, id=f"{name}: {changes[0][1]}") for name, *changes in JUST],
)
def test_what_just_stands_is_not_refused(findings, name, changes):
    assert findings(name, *changes) == ()


# oven, what stood there, what stands there now, field, expected, remedy
MISTAKES = [
    # keys that a shape, a kind or a flame needs or cannot use
    ("box", "width: 1.0 m\n", "", "width", "a value", "Add `width:` (of a rectangular hearth"),
    ("box", "depth: 1.2 m\n", "diameter: 1.2 m\n", "depth", "a value", "Add `depth:`"),
    ("box", "depth: 1.2 m", "depth: 1.2 m\ndiameter: 1.2 m", "diameter", "no diameter for a rect", "Leave"),
    ("pot", "diameter: 1.2 m\n", "", "diameter", "a value", "Add `diameter:`"),
    (
        "pot",
        "diameter: 1.2 m",
        "diameter: 1.2 m\nwidth: 1 m",
        "width",
        "no width for a round",
        "Leave it out.",
    ),
    ("box", "length: 60 cm, ", "", "burners[1].length", "a value", "Add `length:` (along the wall"),
    ("box", "bearing: -90 deg, ", "", "burners[1].bearing", "a value", "Add `bearing:`"),
    (
        "box",
        "length: 60 cm",
        "diameter: 60 cm",
        "burners[1].diameter",
        "no diameter for ribbon",
        "Leave it out.",
    ),
    ("box", "under, share: 40 %", "under", "burners[3].share", "a value", "Add `share:`"),
    (
        "box",
        "share: 40 %",
        "share: 40 %, length: 1 m",
        "burners[3].length",
        "no length for under",
        "Leave it out.",
    ),
    ("pot", "diameter: 30 cm}", "length: 30 cm}", "burners[1].diameter", "a value", "Add `diameter:`"),
    ("pot", "bed,", "bad,", "burners[1].kind", "one of ribbon, cluster, bed, under", "Did you mean `bed`?"),
    ("box", "low, power: 7 kW", "low", "flames[1]", "exactly one of power, height, wood, meter", "Add one"),
    ("box", "7 kW", "7 kW, height: 20 cm", "flames[1]", "exactly one of power", "Keep one of them."),
    ("box", "power: 7 kW", "wood: 2 kg/h", "flames[1].wood", "a flame of propane", "a meter"),
    (
        "pot",
        "power: 7 kW",
        "meter: {gas: 1 m3, over: 1 h}",
        "flames[1].meter",
        "a flame of wood",
        "wood: 3 kg/h",
    ),
    (
        "box",
        "fuel: propane",
        "fuel: propane\nmoisture: 18 %",
        "moisture",
        "no moisture for propane",
        "Leave it out.",
    ),
    (
        "pot",
        "fuel: wood\nmoisture: 20 %",
        "fuel: propane",
        "burners[1].kind",
        "no bed, where propane",
        "cluster",
    ),
    ("box", "fuel: propane", "fuel: wood", "burners[1].kind", "bed, where wood burns", "Write `kind: bed`"),
    # quantities of the new keys
    ("pot", "moisture: 20 %", "moisture: 60 %", "moisture", "at most 50 %", "Lower it"),
    ("box", "gap: 3 %", "gap: 60 %", "door.gap", "at most 50 %", "Lower it"),
    (
        "box",
        "steel, thickness: 2 mm",
        "steel, thickness: 0 mm",
        "door.layers[1].thickness",
        "at least 1 mm",
        "Raise",
    ),
    ("box", "height: 3 m", "height: 30 m", "flue.height", "at most 20 m", "Lower it"),
    ("box", "inside", "outside", "flue.place", "one of mouth, inside", "Did you mean `inside`?"),
    ("box", "share: 40 %", "share: 140 %", "burners[3].share", "at most 100 %", "Lower it"),
    ("box", "share: 40 %", "share: 0 %", "burners[3].share", "more than 0 %", "Raise it"),
    ("box", "power: 7 kW", "power: -7 kW", "flames[1].power", "more than 0 kW", "Raise it"),
    ("box", "26 kW", "260 kW", "flames[2].power", "at most 120 kW", "Lower it"),
    ("pot", "power: 7 kW", "wood: 2", "flames[1].wood", "wood fed such as `3 kg/h`", "Add the unit."),
    (
        "box",
        "power: 7 kW",
        "meter: {gas: 4, over: 1 min}",
        "flames[1].meter.gas",
        "such as `0.45 m3`",
        "Add the",
    ),
    # names
    ("box", "material: steel", "material: steal", "door.layers[1].material", "a name from mat", "`steel`"),
    ("box", "name: high", "name: low", "flames[2].name", "each name once", "another name"),
    # the crown
    ("pot", "wall_height: 40 cm\n", "", "wall_height", "a wall under a flat crown", "Add `wall_height:`"),
    (
        "pot",
        "wall_height: 40 cm",
        "wall_height: 40 cm\ncrown_rise: 9 cm",
        "crown_rise",
        "no rise for",
        "Leave it",
    ),
    (
        "pot",
        "crown: flat",
        "crown: barrel\ncrown_rise: 20 cm",
        "crown",
        "dome or flat on a round",
        "rectangular",
    ),
    ("pot", "crown: flat\n", "", "crown_rise", "a value", "or write `crown: flat`"),
    ("box", "crown_rise: 30 cm\n", "", "crown_rise", "a value", "Add `crown_rise:`"),
    ("box", "crown_rise: 30 cm", "crown_rise: 4 cm", "crown_rise", "at least 5 cm", "crown: flat"),
    ("box", "crown_rise: 30 cm", "crown_rise: 51 cm", "crown_rise", "half the width, 50 cm", "Lower it."),
    (
        "box",
        "barrel\nwall_height: 20 cm\ncrown_rise: 30 cm",
        "dome\ncrown_rise: 101 cm",
        "crown_rise",
        "100 cm",
        "Low",
    ),
    ("pot", "crown: flat", "crown_rise: 121 cm", "crown_rise", "at most the hearth's narrower", "Lower it."),
    # the mouth: 20 cm + 30 cm · √(1 - 0.5²) = 46.0 cm at the corners under the barrel
    (
        "box",
        "mouth_height: 30 cm",
        "mouth_height: 47 cm",
        "mouth_height",
        "mouth's corners, 46 cm",
        "Lower it.",
    ),
    (
        "pot",
        "mouth_height: 30 cm",
        "mouth_height: 40 cm",
        "mouth_height",
        "mouth's corners, 40 cm",
        "Lower it.",
    ),
    (
        "box",
        "barrel\nwall_height: 20 cm",
        "dome",
        "mouth_height",
        "0.9 of wall_height and crown_rise, 27 cm",
        "Lower",
    ),
    ("box", "mouth_width: 50 cm", "mouth_width: 81 cm", "mouth_width", "0.8 of the width, 80 cm", "narrower"),
    (
        "pot",
        "mouth_width: 50 cm",
        "mouth_width: 97 cm",
        "mouth_width",
        "0.8 of the diameter, 96 cm",
        "narrower",
    ),
    # the burners: half the box's width is 50 cm
    (
        "box",
        "standoff: 8 cm",
        "standoff: 50 cm",
        "burners[1].standoff",
        "to the middle, 50 cm",
        "Shorten it.",
    ),
    (
        "box",
        "standoff: 8 cm",
        "standoff: 1 cm",
        "burners[1].standoff",
        "half the breadth, 2 cm",
        "off the wall",
    ),
    (
        "box",
        "length: 60 cm",
        "length: 139 cm",
        "burners[1].length",
        "at most 138 cm at this",
        "Shorten the ribbon",
    ),
    ("pot", "standoff: 20 cm", "standoff: 61 cm", "burners[1].standoff", "at most the way to", "Shorten it."),
    (
        "pot",
        "standoff: 20 cm",
        "standoff: 14 cm",
        "burners[1].diameter",
        "wholly on the hearth",
        "half its diam",
    ),
    (
        "pot",
        "bearing: 90",
        "bearing: 180",
        "burners[1].diameter",
        "wholly on the hearth",
        "clear of the mouth",
    ),
    ("box", "bearing: 90", "bearing: -90", "burners[2]", "a place of its own", "Move it off"),
    # the shares
    (
        "box",
        "8 cm, breadth",
        "8 cm, share: 60 %, breadth",
        "burners",
        "shares below 100 % together",
        "Lower the",
    ),
    # the flames
    (
        "box",
        "26 kW",
        "6 kW",
        "flames[2].power",
        "powers that rise from one flame to the next: more than 7 kW",
        "low to",
    ),
    ("box", "26 kW", "7 kW", "flames[2].power", "powers that rise", "from low to high"),
    (
        "box",
        "power: 26 kW",
        "meter: {gas: 2 m3, over: 10 min}",  # about 90 MJ/m³, so some 300 kW
        "flames[2].meter",
        "at most 120 kW, and this is 29",
        "check its unit",
    ),
]


@pytest.mark.parametrize(
    ("name", "old", "new", "field", "expected", "remedy"),
    [pytest.param(*case, id=f"{case[0]}: {case[2] or case[1]}") for case in MISTAKES],
)
def test_one_mistake_is_found_where_it_stands(findings, name, old, new, field, expected, remedy):
    (at_field,) = [finding for finding in findings(name, (old, new)) if finding.field == field]
    assert expected in at_field.expected
    assert remedy in at_field.remedy
    assert at_field.line >= 1


def test_shares_that_leave_something_over_are_refused(findings):
    shares = [("8 cm}", "8 cm, share: 30 %}"), ("breadth: 6 cm", "breadth: 6 cm, share: 20 %")]
    (finding,) = findings("box", *shares)
    assert (finding.field, finding.expected) == ("burners", "shares that add up to 100 %")
    assert findings("box", *shares, ("share: 40 %", "share: 50 %")) == ()


def test_a_flame_has_no_height_where_all_burns_below(findings):
    left = "  - {kind: ribbon, bearing: -90 deg, length: 60 cm, standoff: 8 cm}\n"
    right = "  - {kind: ribbon, bearing: 90 deg, length: 30 cm, standoff: 8 cm, breadth: 6 cm}\n"
    below = [(left, ""), (right, ""), ("share: 40 %", "share: 100 %")]
    assert findings("box", *below) == ()
    (finding,) = findings("box", *below, ("power: 7 kW", "height: 30 cm"))
    assert (finding.field, finding.expected) == ("flames[1].height", "a burner on the hearth")


def test_all_that_is_wrong_with_an_oven_is_told_at_once(findings):
    found = findings(
        "box",
        ("material: steel", "material: steal"),
        ("crown_rise: 30 cm", "crown_rise: 60 cm"),
        ("mouth_width: 50 cm", "mouth_width: 90 cm"),
        ("fuel: propane", "fuel: propane\nmoisture: 10 %"),
        ("low, power: 7 kW", "low"),
        ("name: high", "name: low"),
        ("share: 40 %", "length: 1 m"),
    )
    assert sorted(finding.field for finding in found) == [
        "burners[3].length",
        "burners[3].share",
        "crown_rise",
        "door.layers[1].material",
        "flames[1]",
        "flames[2].name",
        "moisture",
        "mouth_width",
    ]
