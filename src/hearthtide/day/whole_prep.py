"""A day's prep around its heat-up: without what the window does, its hands and the hearth taken."""

from __future__ import annotations

from collections.abc import Sequence

from hearthtide.day.prep import Block
from hearthtide.day.whole import tends
from hearthtide.day.window import HeatUp
from hearthtide.house.ahead_file import Ahead
from hearthtide.house.prep_file import PrepFile, TaskFile
from hearthtide.house.rota_file import Hours

HEARTH = "hearth"  # the machine of prep.yaml that the heat-up window takes the place of
LIGHT_S = 300  # hands to light and to see that it burns; common practice, no source


def made_by(ahead: Ahead, kind: str) -> str:
    """The thing of pars.yaml that a batch makes."""
    return ahead.file.batches[kind].makes or kind


def cooked_by(ahead: Ahead, heat_up: HeatUp) -> dict[str, int]:
    """Portions the window cooks of everything that any batch makes; 0 of what was not laid."""
    cooked = {made_by(ahead, kind): 0 for kind in ahead.file.batches}
    for load in heat_up.loads:
        cooked[made_by(ahead, load.tray.kind)] += load.tray.portions
    return cooked


def around(file: PrepFile, ahead: Ahead, heat_up: HeatUp) -> PrepFile:
    """The prep without every hearth task for what a batch of ahead.yaml makes, laid or not.

    What comes before one is due as its first tray goes in; what waits for one begins once the last has
    rested.
    """
    makes = {made_by(ahead, kind) for kind in ahead.file.batches}
    first, last = dict[str, int](), dict[str, int]()
    for load in heat_up.loads:
        thing, rested_s = made_by(ahead, load.tray.kind), load.out_s + load.tray.rest_s
        first[thing] = min(load.in_s, first.get(thing, load.in_s))
        last[thing] = max(rested_s, last.get(thing, rested_s))
    done = {
        key: task.makes
        for key, task in file.tasks.items()
        if task.makes in makes and any(HEARTH in step.at or HEARTH in step.at_each for step in task.steps)
    }

    def left(key: str, task: TaskFile) -> TaskFile:
        due = [first[thing] for one, thing in done.items() if key in file.tasks[one].after and thing in first]
        out = [last[thing] for one in task.after if (thing := done.get(one)) in last]
        since = [*out, *(() if task.since is None else (task.since,))]
        return task.model_copy(
            update={
                "after": tuple(one for one in task.after if one not in done),
                **({"due": float(min(due))} if due else {}),
                **({"since": float(max(since))} if since else {}),
            }
        )

    tasks = {key: left(key, task) for key, task in file.tasks.items() if key not in done}
    return file.model_copy(update={"tasks": tasks})


def blocks_of(file: PrepFile, ahead: Ahead, heat_up: HeatUp, people: Sequence[Hours]) -> tuple[Block, ...]:
    """What the window takes: hands at trays, to light and to brush; the hearth from lighting to the brush."""
    lit_s, clean_s = heat_up.lit_s, heat_up.clean_by_s
    brush_s = clean_s - round(ahead.file.hands.brush)
    found = [
        Block(f"{hand.act} {load.tray.key}", hand.from_s, hand.until_s, person=hand.who)
        for load in heat_up.loads
        for hand in load.hands
    ]
    for what, from_s, until_s in (("light", lit_s, lit_s + LIGHT_S), ("brush the stone", brush_s, clean_s)):
        who = tends(people, from_s)
        if who and from_s < until_s:
            found.append(Block(what, from_s, until_s, person=who))
    if HEARTH in file.machines:
        count = file.machines[HEARTH].count
        found.append(Block("the heat-up window", lit_s, clean_s, machine=HEARTH, count=count))
    return tuple(found)
