"""What the verifier's run means: promises kept or broken, and by how much a stage must be re-timed."""

from __future__ import annotations

from collections.abc import Mapping

from hearthtide.house.models import COLOUR_STEP, DishFile, House
from hearthtide.planning.build import Retimed
from hearthtide.planning.plan import OWN_MINUTES, Check
from hearthtide.planning.problem import Booked, Placed, Schedule
from hearthtide.planning.response import with_margin
from hearthtide.planning.verify import ItemSeen, Seen
from hearthtide.quantities.show import clock_text, duration_text

SHORT_GIVE_S = 2  # an end missed by less than this is within what the hands can keep
LONGER_THAN_NEEDED = 0.15  # a stage this share (and 20 s) over its need is shortened
FLOOR_GIVE_C = 15.0  # as closely as a stone is read and held at all (common practice, no source)
CORE_GIVE_C = 0.5  # less than a probe shows; own choice
COLOUR_GIVE = 0.25  # a quarter of a step: nobody sees less; own choice
MOST_LONGER_S = 120.0  # by which a stage is lengthened at once for the core at the landing; own choice


def house_timed(dish: DishFile) -> bool:
    """Does the house state minutes for every stage of the dish?"""
    return all(stage.minutes is not None for stage in dish.stages)


def corrections(house: House, schedule: Schedule, seen: Seen, only_short: bool = False) -> dict[str, Retimed]:
    """The items whose model-timed stages were too short or (not `only_short`) much too long, re-timed."""
    changed = {}
    for booked in schedule.booked:
        for placed in booked.placed:
            dish, went = house.dishes[placed.item.dish], seen.items[placed.item.key]
            pace = _corrected(dish, placed, went, only_short)
            if pace != placed.item.pace:
                changed[placed.item.key] = Retimed(pace, tuple(s.place for s in placed.stays))
    return changed


def _corrected(dish: DishFile, placed: Placed, seen: ItemSeen, only_short: bool) -> tuple[float, ...]:
    pace, asked = list(placed.item.pace), [stay.asked_s for stay in placed.stays]
    for i, (stage, went) in enumerate(zip(dish.stages, seen.stages, strict=True)):
        if stage.minutes is not None or went.met_s is None:
            continue
        over = went.planned_s - went.met_s
        long = not only_short and over > max(20.0, LONGER_THAN_NEEDED * went.planned_s)
        if over < -SHORT_GIVE_S or long:
            pace[i] *= with_margin(went.met_s) / asked[i]
    last = dish.stages[-1]
    short_C = (dish.core_at_landing or 0.0) - seen.core_C_at_landing
    if last.minutes is None and short_C > CORE_GIVE_C and tuple(pace) == placed.item.pace:
        longer_s = min(MOST_LONGER_S, short_C / _core_rate_C_s(seen, placed.leave_s))
        pace[-1] *= 1 + longer_s / asked[-1]
    return tuple(pace)


def _core_rate_C_s(seen: ItemSeen, leave_s: int) -> float:
    """How fast the core rose over the last minute on the stone, at least 1 °C a minute."""
    now = [c for t, c in zip(seen.times_s, seen.cores_C, strict=True) if t <= leave_s]
    before = [c for t, c in zip(seen.times_s, seen.cores_C, strict=True) if t <= leave_s - 60]
    return max(1 / 60, (now[-1] - before[-1]) / 60 if before else 0.0)


def untouched(schedule: Schedule, changed: Mapping[str, Retimed]) -> tuple[Booked, ...]:
    """The bookings of tickets none of whose items changed."""
    touched = {p.item.ticket for b in schedule.booked for p in b.placed if p.item.key in changed}
    return tuple(b for b in schedule.booked if b.order.ticket not in touched)


def model_checks(house: House, schedule: Schedule, seen: Seen, doors_s: int) -> tuple[Check, ...]:
    """The promises only the models can speak to; dishes on the house's own minutes are only commented on."""
    by_key = {p.item.key: p for b in schedule.booked for p in b.placed}
    timed = [
        (house.dishes[by_key[key].item.dish], item)
        for key, item in seen.items.items()
        if not house_timed(house.dishes[by_key[key].item.dish])
    ]
    of = f"{len(timed)} items timed by the models"
    return (
        _verdict("core", [fault for dish, item in timed for fault in _core_faults(dish, item)], of),
        _verdict("colour", [fault for dish, item in timed for fault in _colour_faults(dish, item)], of),
        _verdict("not burnt", [f"{i.key} past dark" for _, i in timed if i.burn_margin_s <= 0], of),
        floor_check(house, seen, doors_s),
        _own_minutes(house, by_key, seen),
        _books(seen),
    )


def _verdict(name: str, faults: list[str], judged: str) -> Check:
    more = f" (and {len(faults) - 4} more)" if len(faults) > 4 else ""
    return Check(name, not faults, "; ".join(faults[:4]) + more or judged)


def _core_faults(dish: DishFile, item: ItemSeen) -> list[str]:
    faults = []
    for stage, went in zip(dish.stages, item.stages, strict=True):
        wanted = stage.until.core
        if wanted is not None and went.core_C < wanted - CORE_GIVE_C:
            faults.append(f"{item.key} {went.core_C:.0f} °C after {stage.name}, {wanted:.0f} wanted")
    wanted = dish.core_at_landing
    if wanted is not None and item.core_C_at_landing < wanted - CORE_GIVE_C:
        faults.append(f"{item.key} lands at {item.core_C_at_landing:.0f} °C, {wanted:.0f} wanted")
    return faults


def _colour_faults(dish: DishFile, item: ItemSeen) -> list[str]:
    wanted = dish.stages[-1].until.colour
    faults = []
    if wanted is not None and item.colour.mean < COLOUR_STEP[wanted] - COLOUR_GIVE:
        faults.append(f"{item.key} colour {item.colour.mean:.1f}, {wanted} is {COLOUR_STEP[wanted]}")
    most = COLOUR_STEP[dish.colour_at_most]
    worst = max(item.colour.bottom, *item.colour.sectors)
    if worst >= most + 1:
        faults.append(f"{item.key} colour up to {worst:.1f}, {dish.colour_at_most} at most")
    return faults


def floor_check(house: House, seen: Seen, doors_s: int) -> Check:
    """The free working stone within the band, plus or minus what the tool claims, doors to last pull."""
    band = house.oven.floor_band
    served = [(t, c) for t, c in zip(seen.times_s, seen.zone_C, strict=True) if t >= doors_s]
    low, high = min(served, key=lambda p: p[1]), max(served, key=lambda p: p[1])
    words = (
        f"working stone {low[1]:.0f} °C at {clock_text(low[0])} "
        f"to {high[1]:.0f} °C at {clock_text(high[0])}; "
        f"band {band.low:.0f} to {band.high:.0f} ± {FLOOR_GIVE_C:.0f}"
    )
    return Check("floor", low[1] >= band.low - FLOOR_GIVE_C and high[1] <= band.high + FLOOR_GIVE_C, words)


def models_s(item: ItemSeen) -> int | None:
    """The stone time the models would give the item at its spots; None when a target stays out of reach."""
    met = [stage.met_s for stage in item.stages]
    return None if any(m is None for m in met) else round(sum(m for m in met if m is not None))


def _own_minutes(house: House, by_key: dict[str, Placed], seen: Seen) -> Check:
    """What the models say of dishes timed by the house: a comment, never a broken promise."""
    shorter = longer = never = burnt = 0
    timed = [key for key, p in by_key.items() if house_timed(house.dishes[p.item.dish])]
    for key in timed:
        own = sum(stage.planned_s for stage in seen.items[key].stages)
        theirs = models_s(seen.items[key])
        never += theirs is None
        longer += theirs is not None and theirs > 1.1 * own
        shorter += theirs is not None and theirs < 0.9 * own
        burnt += seen.items[key].burn_margin_s <= 0
    return Check(
        OWN_MINUTES,
        True,
        f"{len(timed)} items; the models would give {longer} more than a tenth longer, "
        f"{shorter} more than a tenth less; they see {never} not reach what the dish asks, {burnt} past dark",
    )


def _books(seen: Seen) -> Check:
    share = abs(seen.residual_J) / max(1.0, seen.fuel_J)
    return Check("heat accounted for", share < 1e-6, f"all but {share:.0e} of the fuel's heat")


def comment(house: House, dish: DishFile, item: ItemSeen) -> str:
    """One line on how the item's minutes compare with the models' own, and why."""
    own = sum(stage.planned_s for stage in item.stages)
    theirs = models_s(item)
    if not house_timed(dish):
        return f"timed by the models, {duration_text(own)} on the stone"
    if theirs is None:
        return f"house {duration_text(own)}, the models do not see it done at this spot. {_facts(dish, item)}"
    both = f"house {duration_text(own)}, models {duration_text(theirs)}"
    return f"{both}: {_cause(house, item)}. {_facts(dish, item)}"


def _cause(house: House, item: ItemSeen) -> str:
    """What, of the things the models know, sets their minutes apart from the house's."""
    own, theirs = sum(stage.planned_s for stage in item.stages), models_s(item) or 0
    stone_C, band = item.stages[0].stone_C_in, house.oven.floor_band
    if abs(theirs - own) <= 0.1 * own:
        return "they agree within a tenth"
    if theirs < own and stone_C > band.high:
        return f"its stone is at {stone_C:.0f} °C, over the band's {band.high:.0f}, so it is done sooner"
    if theirs > own and stone_C < band.low:
        return f"its stone is at {stone_C:.0f} °C, under the band's {band.low:.0f}, so it takes longer"
    sooner = "sooner" if theirs < own else "later"
    return f"in this heat what it asks comes true {sooner}; the house may want more than it wrote down"


def _facts(dish: DishFile, item: ItemSeen) -> str:
    wanted = dish.stages[-1].until
    facts = []
    if wanted.core is not None:
        facts.append(f"core {item.core_C_at_pull:.0f} °C at the pull, {wanted.core:.0f} asked")
    if wanted.colour is not None:
        facts.append(f"colour {item.colour.mean:.1f}, {wanted.colour} is {COLOUR_STEP[wanted.colour]}")
    if wanted.bubbling:
        facts.append("bubbling asked")
    if item.burn_margin_s <= 0:
        facts.append("the models see an edge past dark")
    stone = item.stages[-1]
    facts.append(f"stone {stone.stone_C_in:.0f} °C as it went in, {stone.stone_C_out:.0f} at the end")
    return ", ".join(facts)
