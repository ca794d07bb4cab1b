"""Whether an oven as written can exist: its keys, its shape, its burners and its flames, all at once."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

import numpy as np

from hearthtide.errors import Finding, PhysicalRangeError
from hearthtide.house.checks import known_name
from hearthtide.house.oven_design import burner_of, burners_of, crown_of, hearth_of, power_W
from hearthtide.house.oven_file import MOST_POWER_W, BurnerFile, LayerFile, OvenFile
from hearthtide.house.yaml_lines import Document, KeyPath
from hearthtide.oven.design import Burner
from hearthtide.oven.hearth import Hearth, RoundHearth
from hearthtide.quantities import length_text
from hearthtide.ranges import Array

# Own choices, as are the bounds in `oven_file`.
LEAST_RISE_M = 0.05  # flatter than this a crown is flat
MOUTH_OF_WIDTH, MOUTH_OF_DOME = 0.8, 0.9  # a mouth leaves some wall beside it, and some dome above it

SHAPE_KEYS = {"round": ("diameter",), "rectangular": ("width", "depth")}
BURNER_KEYS = {
    "ribbon": ("bearing", "standoff", "length"),
    "cluster": ("bearing", "standoff", "diameter"),
    "bed": ("bearing", "standoff", "diameter"),
    "under": ("share",),
}
MAY_KEYS = {"ribbon": ("breadth", "share"), "cluster": ("share",), "bed": ("share",), "under": ()}
FLAME_KEYS = ("power", "height", "wood", "meter")
SAME_M = 1e-9  # lengths closer than this are equal: what adding them up in floats can lose


def check_oven(oven: OvenFile, document: Document) -> Iterator[Finding]:
    """Every reason why this oven cannot be; a part is looked at once the keys it needs are there."""
    yield from _materials(oven, document)
    shape = list(_shape_keys(oven, document))
    burners = [list(_burner_keys(oven, i, document)) for i in range(len(oven.burners))]
    flames = list(_flame_keys(oven, document))
    yield from itertools.chain(shape, *burners, flames, _fuel(oven, document))
    shares = [] if any(burners) else list(_shares(oven, document))
    yield from shares
    yield from _flame_names(oven, document)
    if not shape:
        hearth = hearth_of(oven)
        crown = list(_crown(oven, hearth, document))
        width = list(_mouth_width(oven, hearth, document))
        yield from itertools.chain(crown, width)
        if not crown and not width:
            yield from _mouth_height(oven, hearth, document)
        if not width:
            whole = [i for i, found in enumerate(burners) if not found]
            yield from _burner_places(oven, hearth, whole, document)
    if not any(burners) and not flames and not shares:
        yield from _powers(oven, document)


def _materials(oven: OvenFile, document: Document) -> Iterator[Finding]:
    parts: list[tuple[KeyPath, tuple[LayerFile, ...]]] = [(("floor",), oven.floor), (("dome",), oven.dome)]
    if oven.door:
        parts.append((("door", "layers"), oven.door.layers))
    for path, layers in parts:
        for i, layer in enumerate(layers):
            yield from known_name("materials", layer.material, document, (*path, i, "material"))


def _keys(
    part: OvenFile | BurnerFile,
    what: str,
    needed: tuple[str, ...],
    refused: tuple[str, ...],
    document: Document,
    path: KeyPath,
) -> Iterator[Finding]:
    """Keys that this kind needs and has not, and those it has and cannot use."""
    for key in needed:
        if getattr(part, key) is None:
            described = type(part).model_fields[key].description
            yield document.finding((*path, key), "a value", f"Add `{key}:` ({described}).")
    for key in refused:
        if getattr(part, key) is not None:
            yield document.finding((*path, key), f"no {key} for {what}", "Leave it out.")


def _shape_keys(oven: OvenFile, document: Document) -> Iterator[Finding]:
    needed = SHAPE_KEYS[oven.shape]
    others = tuple(key for keys in SHAPE_KEYS.values() for key in keys if key not in needed)
    yield from _keys(oven, f"a {oven.shape} hearth", needed, others, document, ())


def _burner_keys(oven: OvenFile, i: int, document: Document) -> Iterator[Finding]:
    burner = oven.burners[i]
    needed = BURNER_KEYS[burner.kind]
    others = tuple(
        key for key in BurnerFile.model_fields if key not in ("kind", *needed, *MAY_KEYS[burner.kind])
    )
    yield from _keys(burner, f"{burner.kind} burners", needed, others, document, ("burners", i))


def _flame_keys(oven: OvenFile, document: Document) -> Iterator[Finding]:
    """Each flame with one measure, and one that its fuel and burners know."""
    on_hearth = any(burner.kind != "under" for burner in oven.burners)
    for i, flame in enumerate(oven.flames):
        given = [key for key in FLAME_KEYS if getattr(flame, key) is not None]
        if len(given) != 1:
            remedy = "Keep one of them." if given else "Add one, such as `power: 14 kW`."
            yield document.finding(("flames", i), f"exactly one of {', '.join(FLAME_KEYS)}", remedy)
        if "wood" in given and oven.fuel != "wood":
            yield document.finding(
                ("flames", i, "wood"), f"a flame of {oven.fuel}", "Give its power, its height or a meter."
            )
        if "meter" in given and oven.fuel == "wood":
            yield document.finding(
                ("flames", i, "meter"), "a flame of wood", "Give the wood fed, such as `wood: 3 kg/h`."
            )
        if "height" in given and not on_hearth:
            yield document.finding(("flames", i, "height"), "a burner on the hearth", "Give its power.")


def _flame_names(oven: OvenFile, document: Document) -> Iterator[Finding]:
    names = [flame.name for flame in oven.flames]
    for i, name in enumerate(names):
        if name in names[:i]:
            yield document.finding(("flames", i, "name"), "each name once", "Give this one another name.")


def _fuel(oven: OvenFile, document: Document) -> Iterator[Finding]:
    """Wood burns on beds and nothing else does; only wood is moist and fed in splits."""
    for key in ("moisture", "split"):
        if getattr(oven, key) is not None and oven.fuel != "wood":
            yield document.finding((key,), f"no {key} for {oven.fuel}", "Leave it out.")
    for i, burner in enumerate(oven.burners):
        if oven.fuel == "wood" and burner.kind != "bed":
            remedy = "Write `kind: bed`, or another fuel."
            yield document.finding(("burners", i, "kind"), "bed, where wood burns", remedy)
        if oven.fuel != "wood" and burner.kind == "bed":
            remedy = "Write `kind: cluster`, or `fuel: wood`."
            yield document.finding(("burners", i, "kind"), f"no bed, where {oven.fuel} burns", remedy)


def _shares(oven: OvenFile, document: Document) -> Iterator[Finding]:
    given = [burner.share for burner in oven.burners if burner.share is not None]
    if len(given) == len(oven.burners):
        if abs(sum(given) - 1.0) > 1e-6:
            yield document.finding(
                ("burners",), "shares that add up to 100 %", "Correct them, or leave one of them out."
            )
    elif sum(given) > 1.0 - 1e-6:
        yield document.finding(
            ("burners",),
            "shares below 100 % together, so that some is left for burners without one",
            "Lower the shares.",
        )


def _crown(oven: OvenFile, hearth: Hearth, document: Document) -> Iterator[Finding]:
    rise = oven.crown_rise or 0.0
    if oven.crown == "flat":
        if rise > 0:
            yield document.finding(("crown_rise",), "no rise for a flat crown", "Leave it out.")
        if oven.wall_height == 0:
            yield document.finding(
                ("wall_height",), "a wall under a flat crown", "Add `wall_height:`, such as `40 cm`."
            )
        return
    if oven.crown == "barrel" and oven.shape == "round":
        yield document.finding(
            ("crown",), "dome or flat on a round hearth", "A barrel needs `shape: rectangular`."
        )
        return
    most = hearth.width_m / 2 if oven.crown == "barrel" else _least_side_m(hearth)
    if oven.crown_rise is None:
        remedy = f"Add `crown_rise:`, or write `crown: flat` for none (a {oven.crown} has one)."
        yield document.finding(("crown_rise",), "a value", remedy)
    elif rise < LEAST_RISE_M:
        yield document.finding(
            ("crown_rise",), f"at least {length_text(LEAST_RISE_M)}", "Raise it, or write `crown: flat`."
        )
    elif rise > most + SAME_M:
        of = "half the width" if oven.crown == "barrel" else "the hearth's narrower side or diameter"
        yield document.finding(("crown_rise",), f"at most {of}, {length_text(most)}", "Lower it.")


def _least_side_m(hearth: Hearth) -> float:
    return hearth.diameter_m if isinstance(hearth, RoundHearth) else min(hearth.width_m, hearth.depth_m)


def _mouth_width(oven: OvenFile, hearth: Hearth, document: Document) -> Iterator[Finding]:
    most = MOUTH_OF_WIDTH * hearth.width_m
    if oven.mouth_width > most + SAME_M:
        of = "diameter" if oven.shape == "round" else "width"
        yield document.finding(
            ("mouth_width",),
            f"at most {MOUTH_OF_WIDTH} of the {of}, {length_text(most)}",
            "Make it narrower.",
        )


def _mouth_height(oven: OvenFile, hearth: Hearth, document: Document) -> Iterator[Finding]:
    """Below the crown where the mouth's upper corners meet it; a dome's own height stands for that."""
    crown = crown_of(oven)
    if oven.crown == "dome":
        top, where = MOUTH_OF_DOME * crown.height_m, f"{MOUTH_OF_DOME} of wall_height and crown_rise"
        if oven.mouth_height > top + SAME_M:
            yield document.finding(("mouth_height",), f"at most {where}, {length_text(top)}", "Lower it.")
        return
    top = crown.wall_m + crown.rise_m * math.sqrt(1 - (oven.mouth_width / hearth.width_m) ** 2)
    if oven.mouth_height > top - SAME_M:
        yield document.finding(
            ("mouth_height",), f"below the crown at the mouth's corners, {length_text(top)}", "Lower it."
        )


def _burner_places(oven: OvenFile, hearth: Hearth, whole: list[int], document: Document) -> Iterator[Finding]:
    """Every burner on the hearth, and none in another's place."""
    placed: list[Burner] = []
    for i in whole:
        burner = burner_of(oven.burners[i])
        if burner.kind == "under":
            continue
        found = list(_burner_place(burner, hearth, oven.mouth_width, i, document))
        yield from found
        if found:
            continue
        if any(_apart_m(hearth, burner, other) < -SAME_M for other in placed):
            yield document.finding(("burners", i), "a place of its own", "Move it off the other burner.")
        placed.append(burner)


def _burner_place(
    burner: Burner, hearth: Hearth, mouth_m: float, i: int, document: Document
) -> Iterator[Finding]:
    middle_m = _least_side_m(hearth) / 2
    ribbon = burner.kind == "ribbon"
    if burner.standoff_m > middle_m + SAME_M or (ribbon and burner.standoff_m > middle_m - SAME_M):
        yield document.finding(
            ("burners", i, "standoff"),
            f"{'less than' if ribbon else 'at most'} the way to the middle, {length_text(middle_m)}",
            "Shorten it.",
        )
    elif ribbon:
        if burner.standoff_m < burner.breadth_m / 2 - SAME_M:
            least = length_text(burner.breadth_m / 2)
            yield document.finding(
                ("burners", i, "standoff"), f"at least half the breadth, {least}", "Move it off the wall."
            )
        longest = max(0.0, longest_ribbon_m(hearth, burner.bearing_deg, burner.standoff_m, mouth_m))
        if burner.length_m > longest + SAME_M:
            yield document.finding(
                ("burners", i, "length"),
                f"at most {length_text(longest)} at this bearing, clear of the mouth",
                "Shorten the ribbon or turn its bearing towards the back (0 deg).",
            )
    elif hearth.room_m(_path_m(hearth, burner)[0]) < burner.breadth_m / 2 - SAME_M:
        yield document.finding(
            ("burners", i, "diameter"),
            "a burner wholly on the hearth: its middle lies at the standoff from the wall",
            "Make it smaller, or its standoff at least half its diameter, clear of the mouth.",
        )


def longest_ribbon_m(hearth: Hearth, bearing_deg: float, standoff_m: float, mouth_m: float) -> float:
    """The longest ribbon about a bearing that ends where the mouth begins, along its line."""
    bearing = math.radians(abs(bearing_deg))
    if isinstance(hearth, RoundHearth):
        free = math.pi - math.asin(mouth_m / hearth.diameter_m)
        return 2 * (hearth.radius_m - standoff_m) * (free - bearing)
    a, b = hearth.width_m / 2 - standoff_m, hearth.depth_m / 2 - standoff_m
    corner = math.atan2(a, b)
    if bearing <= corner:
        from_back = b * math.tan(bearing)
    elif bearing < math.pi - corner:
        from_back = a + b - a / math.tan(bearing)
    else:
        from_back = 2 * a + 2 * b - b * math.tan(math.pi - bearing)
    return 2 * (a + 2 * b + max(0.0, a - mouth_m / 2) - from_back)


def _path_m(hearth: Hearth, burner: Burner) -> Array:
    half = burner.length_m / 2 if burner.kind == "ribbon" else 0.0
    return hearth.along_wall_m(burner.bearing_deg, burner.standoff_m, np.linspace(-half, half, 65))


def _apart_m(hearth: Hearth, first: Burner, second: Burner) -> float:
    """Gap between two burners; negative where one lies in the other."""
    between = _path_m(hearth, first)[:, None, :] - _path_m(hearth, second)[None, :, :]
    gap = float(np.linalg.norm(between, axis=2).min())
    return gap - (first.breadth_m + second.breadth_m) / 2


def _powers(oven: OvenFile, document: Document) -> Iterator[Finding]:
    """Flames that their burners can give, rising from one to the next."""
    burners = burners_of(oven)
    before = 0.0
    for i, flame in enumerate(oven.flames):
        key = next(key for key in FLAME_KEYS if getattr(flame, key) is not None)
        path: KeyPath = ("flames", i, key)
        try:
            power = power_W(flame, oven, burners)
        except PhysicalRangeError as error:
            yield document.finding(path, f"a flame of these burners: {error}", "Correct it.")
            continue
        if not 0 < power <= MOST_POWER_W:
            most = f"at most {MOST_POWER_W / 1000:.0f} kW, and this is {power / 1000:.3g} kW"
            yield document.finding(path, most if power > 0 else "some heat", "Correct it, or check its unit.")
        elif power <= before:
            yield document.finding(
                path,
                f"powers that rise from one flame to the next: more than {before / 1000:.3g} kW, and this is"
                f" {power / 1000:.3g} kW",
                "Write the flames from low to high.",
            )
        before = max(before, power)
