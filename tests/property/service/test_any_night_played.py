"""Whatever is told to a night that is planned: every plan proves, the told stays told, nobody is forgotten.

Each plan of the search is proved when it is made (`live_night`); here it is held against the facts.
"""

from math import hypot

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hearthtide.service import commands as told
from hearthtide.service.follow import nth_acts
from hearthtide.service.open_orders import is_out
from hearthtide.service.tickets import Course, Plate, Spot, Ticket
from live_night import LiveNight, clock

TABLES = ("A1", "B2", "C3")
DISHES = ("pizza", "steak", "shrimp", "chicken", "dip")
ACTS = ("launch", "turn", "flip", "pull", "cut", "dress")

tables, dishes, acts = st.sampled_from(TABLES), st.sampled_from(DISHES), st.sampled_from(ACTS)
items = st.builds("{}-{}{}".format, tables, st.integers(1, 4), st.sampled_from(["", "", "", "+"]))
minutes = st.integers(5, 40).map(lambda m: clock("18:00") + 60.0 * m)
plates = st.lists(st.builds(Plate, dishes), min_size=1, max_size=3).map(tuple)


@st.composite
def tickets(draw):
    courses = [Course(draw(minutes) + 600, draw(plates), draw(st.integers(1, 2)))]
    if draw(st.booleans()):
        courses.append(Course(courses[0].wanted_s + 900, draw(plates)))
    return told.TicketCalled(Ticket(draw(tables), 2, float(clock("18:00")), tuple(courses)), "tapped")


anything = st.one_of(
    tickets(),
    tickets(),
    st.builds(told.Amended, tables, wanted_s=minutes, take_off=st.lists(items, max_size=1).map(tuple)),
    st.builds(told.DishesAdded, tables, plates),
    st.builds(told.EightySix, dishes),
    st.builds(told.BackOn, dishes),
    st.builds(told.Hold, tables),
    st.builds(told.Fire, tables, minutes),
    st.builds(told.Drag, tables, st.integers(0, 900)),
    st.builds(told.Split, tables, st.integers(1, 3), st.integers(0, 300)),
    st.builds(told.Refire, items),
    st.builds(told.Landed, tables),
    st.builds(told.MoveDone, items, acts),
    st.builds(told.MoveDone, items, acts),
    st.builds(told.NotYet, items, acts, st.integers(1, 90)),
    st.builds(told.StageSeen, items, minutes),
    st.builds(told.Spill, st.sampled_from([-0.2, 0.0, 0.2]), st.just(0.5), st.just(0.1), minutes),
    st.builds(told.DeadPlatter, st.integers(1, 6)),
    st.builds(told.CookOut, st.sampled_from(["Cook 1", "Cook 2"])),
    st.builds(told.CookIn, st.sampled_from(["Cook 1", "Cook 2"])),
    st.just(told.FlameOut()),
    st.builds(told.FlameSet, st.just("half")),
    st.builds(told.Reading, st.floats(5, 80), st.just("core"), st.just("probe 2"), items),
)
steps = st.lists(st.tuples(anything, st.integers(0, 180)), min_size=1, max_size=14)


# The same stories every time: each takes seconds. More, and others, by hand when the service changes.
@settings(max_examples=10, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
@given(steps)
def test_any_night_played(story) -> None:
    night = LiveNight("18:00", cooks=2)
    for what, pause_s in story:
        night.tell(what)
        agrees(night)
        night.until(night.now_s + pause_s, step_s=20.0)
        agrees(night)


def agrees(night: LiveNight) -> None:
    """The plan has what is open, once, and what was done when it was done."""
    facts, running = night.night.state.facts, night.playing.live.running
    assert running.now_s == round(night.now_s)
    placed = [p for b in running.schedule.booked for p in b.placed]
    assert len({p.item.key for p in placed}) == len(placed)
    if not night.shown.planner.trouble:
        assert missing(night) == set()
    for one in placed:
        plate = facts.plate(one.item.key)
        assert plate is not None and not plate.off
        acts = {(act.act, nth): act for nth, act in nth_acts(one)}
        for done in plate.done:
            act = acts.get((done.act, done.nth))
            if act is not None:
                assert act.start_s <= night.now_s


def missing(night: LiveNight) -> set[str]:
    """Plates that should be made and are in no plan."""
    facts = night.night.state.facts
    placed = {p.item.key for b in night.playing.live.running.schedule.booked for p in b.placed}
    wanted = {
        plate.key
        for ticket in facts.tickets
        for plate in ticket.plates
        if not plate.off
        and not is_out(plate)
        and not ticket.courses[plate.course - 1].held
        and ticket.courses[plate.course - 1].landed_s is None
    }
    return wanted - placed


def test_a_spot_by_hand_is_kept() -> None:
    night = LiveNight("18:00")
    plate = Plate("shrimp", Spot(0.1, 0.3))
    night.tell(
        told.TicketCalled(Ticket("A1", 2, night.now_s, (Course(float(clock("18:20")), (plate,)),)), "tapped")
    )
    (stay,) = night.shown.stays
    assert hypot(stay.x_m - 0.1, stay.y_m - 0.3) < 0.15  # the nearest of the places its dish may stand at
