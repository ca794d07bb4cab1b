"""Whatever was told: every plate is counted once, and the steps of a late course add up to its lateness."""

from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.service import commands as told
from hearthtide.service.closing import closing
from hearthtide.service.history import history
from hearthtide.service.lateness import PlanThen, late_courses
from hearthtide.service.tickets import Plate
from told_night import AT_S, Told, called, kitchen

TABLES, DISHES = ("B4", "B5", "C-1"), ("pizza", "shrimp", "strip_steak")
tables, dishes = st.sampled_from(TABLES), st.sampled_from(DISHES)
items = st.builds("{}-{}{}".format, tables, st.integers(1, 4), st.sampled_from(["", "", "+"]))
names = st.sampled_from(["Ana", "Ben"])

anything = st.one_of(
    st.builds(
        lambda table, own, later: called(table, " ".join(own), later=later),
        tables,
        st.lists(dishes, min_size=1, max_size=4),
        st.sampled_from(["", "pizza"]),
    ),
    st.builds(told.Amended, tables, take_off=st.lists(items, min_size=1, max_size=2).map(tuple)),
    st.builds(told.DishesAdded, tables, st.builds(Plate, dishes).map(lambda plate: (plate,))),
    st.builds(told.EightySix, dishes),
    st.builds(told.BackOn, dishes),
    st.builds(told.Refire, items),
    st.builds(told.MoveDone, items, st.sampled_from(["launch", "pull"]), assumed=st.booleans()),
    st.builds(told.Landed, tables, st.integers(1, 2)),
    st.builds(told.Waste, dishes, st.integers(-2, 3)),
    st.builds(told.CookOut, st.sampled_from(["Oven cook", "Pass"])),
    st.builds(told.CookIn, st.sampled_from(["Oven cook", "Pass"])),
    st.just(told.FlameOut()),
    st.builds(told.Reading, st.floats(200, 460), st.just("floor"), st.just("gun"), place=st.just("centre")),
)
steps = st.lists(st.tuples(anything, st.integers(0, 240), names, st.booleans()), max_size=40)
replans = st.lists(st.integers(-300, 600), min_size=40, max_size=40)


def run(said):
    """A night told; undone at once where the last part of a step says so."""
    night = Told()
    for what, seconds, by, undone in said:
        night.now_s += seconds
        answer = night.say(what, by=by)
        if answer.taken and undone:
            night.taken(told.Undo(answer.id))
    return night


@settings(deadline=None)
@given(steps)
def test_every_plate_is_counted_once_and_waste_is_what_was_told(said):
    night = run(said)
    log = history(night.log.read()).told
    page = closing(night.facts, log, kitchen().house.dishes, AT_S)
    plates = [plate for ticket in night.facts.tickets for plate in ticket.plates]
    assert sum(one.called for one in page.dishes) == len(plates)
    for one in page.dishes:
        assert one.called == one.made + one.refired + one.taken_off + one.ran_out + one.unfinished
        assert one.called == sum(plate.dish == one.dish for plate in plates)
        counted = [
            t.command.what.count
            for t in log
            if isinstance(t.command.what, told.Waste) and t.command.what.dish == one.dish
        ]
        assert one.wasted_in_all == sum(counted) >= 0
    assert page.courses_landed + page.courses_open == sum(len(t.courses) for t in night.facts.tickets)
    assert {s.name for s in page.gone if s.until_s is None} == {g.name for g in night.facts.gone}
    assert {s.name for s in page.cooks_out if s.until_s is None} == {c.name for c in night.facts.cooks_out}
    assert all(s.until_s is None or s.until_s >= s.from_s for s in page.gone)
    assert len(page.flame) == sum(isinstance(t.command.what, told.FlameOut) for t in log)


@settings(deadline=None)
@given(steps, replans, st.sampled_from([-1e6, 0.0, 120.0]))
def test_the_steps_of_a_late_course_add_up_to_its_lateness(said, minutes, late_after_s):
    night = run(said)
    entries = night.log.read()
    log = history(entries).told
    plans, lands_s = [], {}
    for one, added_s in zip(log, minutes, strict=False):
        for table in TABLES:
            key = (table, 1)
            lands_s = lands_s | {key: lands_s.get(key, AT_S + 1320.0) + added_s}
        plans.append(PlanThen(one.command.at_s, one.seq, lands_s, {}))
    for late in late_courses(night.facts, log, plans, late_after_s):
        assert sum(step.added_s for step in late.steps) == late.late_s > late_after_s
        added = [step.added_s for step in late.steps]
        assert added == sorted(added, reverse=True) and 0 not in added
        assert sum(step.after_plan for step in late.steps) <= 1
        told_at = [cause.at_s for step in late.steps for cause in step.causes]
        assert all(at_s <= late.landed_s for at_s in told_at)
