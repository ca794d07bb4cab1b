"""Whatever is told in whatever order: once only, undone as if never told, the same state from every log."""

import shutil
import tempfile
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from hearthtide.service import commands as told
from hearthtide.service.commands import Command, event_of
from hearthtide.service.log import MemoryLog
from hearthtide.service.night import Night
from hearthtide.service.state import folded, snapshot_of, state_of
from hearthtide.service.tickets import Plate, Spot
from hearthtide.store.database import open_database
from told_night import AT_S, kitchen, ticket

TABLES = ("B4", "B5", "C-1")
DISHES = ("pizza", "shrimp", "strip_steak", "soup")
ACTS = ("dress", "launch", "turn", "pull", "flame")

tables, dishes, acts = st.sampled_from(TABLES), st.sampled_from(DISHES), st.sampled_from(ACTS)
items = st.builds("{}-{}{}".format, tables, st.integers(1, 4), st.sampled_from(["", "", "+"]))
minutes = st.integers(1, 60).map(lambda m: AT_S + 60.0 * m)
courses = st.integers(1, 2)
allergies = st.sampled_from([(), (), ("milk",), ("crustacean",), ("moonstone",)])
plates = st.lists(st.builds(Plate, dishes, st.sampled_from([None, Spot(0.0, 0.6)])), min_size=1, max_size=3)


@st.composite
def called(draw):
    own = " ".join(draw(st.lists(dishes, min_size=1, max_size=4)))
    later = " ".join(draw(st.lists(dishes, max_size=2)))
    one = ticket(draw(tables), own, draw(minutes), later=later, allergy=draw(allergies))
    return told.TicketCalled(one, draw(st.sampled_from(["tapped", "typed", "csv", "feed"])))


anything = st.one_of(
    called(),
    st.builds(
        told.Amended,
        tables,
        courses,
        wanted_s=st.none() | minutes,
        covers=st.none() | st.integers(1, 9),
        allergy=st.none() | allergies,
        take_off=st.lists(items, max_size=2).map(tuple),
    ),
    st.builds(told.DishesAdded, tables, plates.map(tuple), courses),
    st.builds(told.EightySix, dishes),
    st.builds(told.BackOn, dishes),
    st.builds(told.Hold, tables, courses),
    st.builds(told.Fire, tables, minutes, courses),
    st.builds(told.Drag, tables, st.integers(0, 1200), courses),
    st.builds(told.Split, tables, st.integers(1, 3), st.integers(0, 600), courses),
    st.builds(told.Refire, items),
    st.builds(told.Landed, tables, courses),
    st.builds(told.MoveDone, items, acts, st.integers(1, 2), st.booleans()),
    st.builds(told.NotYet, items, acts, st.integers(1, 90), st.integers(1, 2)),
    st.builds(told.StageSeen, items, minutes),
    st.builds(told.Reading, st.floats(-5, 120), st.sampled_from(["core", "air"]), st.just("probe 2"), items),
    st.builds(told.Spill, st.just(0.1), st.just(0.5), st.just(0.1), minutes),
    st.builds(told.DeadPlatter, st.integers(1, 8)),
    st.builds(told.CookOut, st.sampled_from(["Oven cook", "Pass", "Nobody"])),
    st.builds(told.CookIn, st.sampled_from(["Oven cook", "Pass", "Nobody"])),
    st.builds(told.Waste, dishes, st.integers(-3, 3), st.sampled_from(["left over", "burnt"])),
    st.builds(told.Handover, st.sampled_from(["Wood is low.", "The left back cools first."])),
    st.just(told.FlameOut()),
    st.builds(told.FlameSet, st.sampled_from([f.name for f in kitchen().house.oven.flames])),
)


class AnyNight(RuleBasedStateMachine):
    """One night told to a service on a file, and to one in memory beside it."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="hearthtide-night-"))
        self.database = open_database(self.folder / "nights.db")
        self.now_s = AT_S
        self.memory = Night(MemoryLog(), kitchen(), self.clock)
        self.file = Night(self.database.log("tonight"), kitchen(), self.clock)
        self.said: list[Command] = []
        self.answers = {}

    def clock(self) -> float:
        return self.now_s

    def tell(self, what, ago_s=0.0):
        command = Command(f"tablet-1-{len(self.said):04}", "Ana", self.now_s - ago_s, what)
        self.said.append(command)
        answer, same = self.memory.tell(command), self.file.tell(command)
        assert answer == same and not answer.repeat
        assert answer.taken == (answer.words == "")
        self.answers[command.id] = answer
        return answer

    @initialize(what=called())
    def begins(self, what):
        self.tell(what)

    @rule(seconds=st.sampled_from([0.5, 4, 11, 650]))
    def time_passes(self, seconds):
        self.now_s += seconds

    @rule(what=anything, ago_s=st.sampled_from([0, 0, 0, 3.5, 200]))
    def says(self, what, ago_s):
        before = self.memory.state.facts
        if not self.tell(what, ago_s).taken:
            assert self.memory.state.facts == before

    @precondition(lambda self: self.said)
    @rule(data=st.data())
    def says_again(self, data):
        """The first answer, refused or not, and nothing changes."""
        command = data.draw(st.sampled_from(self.said))
        before = self.memory.state
        for night in (self.memory, self.file):
            again, first = night.tell(command), self.answers[command.id]
            assert again.repeat
            assert (again.seq, again.taken, again.words) == (first.seq, first.taken, first.words)
        assert self.memory.state == before

    @precondition(lambda self: self.said)
    @rule(data=st.data())
    def undoes(self, data):
        """Taken out, the night is the one in which it was never said: told without it, all else is taken."""
        self.undo(data.draw(st.sampled_from(self.said[-6:])))

    @rule(first=called() | anything, then=st.lists(anything, min_size=1, max_size=4))
    def undoes_what_others_may_stand_on(self, first, then):
        if self.tell(first).taken:
            command = self.said[-1]
            for what in then:
                self.tell(what)
            self.undo(command)

    def undo(self, command):
        if not self.tell(told.Undo(command.id)).taken:
            return
        assert self.now_s - command.at_s <= 10
        assert self.answers[command.id].taken
        events = [event_of(entry) for entry in self.memory.since(0)]
        undone = {
            e.command.what.of for e in events if not e.refused and isinstance(e.command.what, told.Undo)
        }
        left = [
            e
            for e in events
            if not e.refused and not isinstance(e.command.what, told.Undo) and e.command.id not in undone
        ]
        heard = iter(left)
        other = Night(MemoryLog(), kitchen(), lambda: next(heard).heard_s)
        for event in left:
            assert other.tell(event.command).taken
        assert other.state.facts == self.memory.state.facts

    @rule()
    def a_snapshot_is_kept_and_the_service_starts_again(self):
        self.file.keep()
        self.file = Night(self.database.log("tonight"), kitchen(), self.clock)

    @invariant()
    def every_id_stands_once_in_order(self):
        entries = self.memory.since(0)
        assert [entry.id for entry in entries] == [command.id for command in self.said]
        assert [entry.seq for entry in entries] == list(range(1, len(entries) + 1))

    @invariant()
    def plates_have_keys_of_their_own(self):
        for live in self.memory.state.facts.tickets:
            keys = [plate.key for plate in live.plates]
            assert len(set(keys)) == len(keys)
            assert all(1 <= plate.course <= len(live.courses) for plate in live.plates)

    def teardown(self) -> None:
        """From the file, from memory and from a snapshot: the same bytes."""
        try:
            wanted, kept = snapshot_of(self.memory.state), self.database.log("tonight").read()
            assert kept == self.memory.since(0)
            assert snapshot_of(folded(kept)) == wanted
            assert snapshot_of(self.file.read_on()) == wanted
            assert state_of(wanted) == self.memory.state
        finally:
            self.database.close()
            shutil.rmtree(self.folder)


AnyNight.TestCase.settings = settings(max_examples=40, stateful_step_count=30, deadline=None)
test_any_night = AnyNight.TestCase
