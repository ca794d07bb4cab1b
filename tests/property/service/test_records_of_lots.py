"""A lot's way in the records, over random entries: only the law's arrows, and no doubt ever makes a pass."""

from datetime import timedelta
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from hearthtide.safety.probe_check import Checked
from hearthtide.safety.rule_sets import rule_set
from hearthtide.safety.states import ARROWS, State
from hearthtide.service.records.entries import (
    Corrected,
    LotBecame,
    ProbeChecked,
    Proved,
    ReadingTaken,
    Record,
)
from hearthtide.service.records.ledger import Ledger, NotSo, accepted
from hearthtide.service.records.proofs import Said, again, proofs
from kept_records import local, reading

FDA = rule_set("us-fda-2022")
LOT = "wings Tuesday"
STATES = st.sampled_from(State.__args__)
START = local("10:00")
EVENTS = st.lists(
    st.one_of(
        st.tuples(st.just("read"), st.integers(30, 180), st.sampled_from(["coldest", "warmest"])),
        st.tuples(st.just("read"), st.sampled_from([164, 165, 166, 167, 170]), st.just("coldest")),
        st.tuples(st.just("read"), st.sampled_from([41, 70, 135, 165, 166]), st.just("warmest")),
        st.tuples(st.just("became"), STATES, st.booleans()),
        # One of the arrows there are from where it is, so that some lots get far.
        st.tuples(st.just("became"), st.integers(0, 2), st.just(True)),
        st.tuples(st.just("became"), st.integers(0, 2), st.just(True)),
        st.tuples(st.just("check"), st.sampled_from(["32.0", "33.9", "28.0"]), st.none()),
        st.tuples(st.just("correct"), st.integers(30, 180), st.none()),
    ),
    min_size=3,
    max_size=16,
)


def told(events, step_min):
    """The ledger after what was taken of the events, one every so many minutes."""
    ledger = Ledger()
    for n, (kind, what, how) in enumerate(events):
        at = START + timedelta(minutes=step_min * n)
        record = Record(f"e{n}", "Ana", "test", at, at, -240, body_of(ledger, kind, what, how, n, at))
        try:
            ledger = accepted(ledger, record, FDA)
        except NotSo:
            continue
    return ledger


def body_of(ledger, kind, what, how, n, at):
    if kind == "became":
        found = {}
        if isinstance(what, int):
            ways = [to for since, to in ARROWS if since == ledger.lot(LOT).state and to != "par-cooked"]
            what = ways[what % len(ways)] if ways else "served"
        if how:
            found = proofs(ledger, FDA, LOT, what, at, -240, Said(food="poultry"))
        proved = tuple(
            Proved(name, v.answer, v.rule, v.section, v.words, v.readings) for name, v in found.items()
        )
        return LotBecame(LOT, what, proved, FDA.id, "poultry")
    if kind == "check":
        return ProbeChecked(Checked(f"e{n}", "probe 2", at, "Ana", Decimal(what), Decimal(32), "F", "both"))
    if kind == "correct":
        taken = [r.id for r in ledger.records if isinstance(r.body, ReadingTaken)]
        of = taken[-1] if taken else "none"
        old = ledger.as_it_stands(of)
        value = reading(f"e{n}", f"{what}F", "10:00")
        body = value if old is None else type(old)(**{**vars(old), "id": f"e{n}", "value": value.value})
        return Corrected(of, body, "misread", "Ben")
    taken = reading(f"e{n}", f"{what}F", "10:00", point=how)
    return ReadingTaken(type(taken)(**{**vars(taken), "at": at}))


@given(EVENTS, st.sampled_from([10, 45, 150]))
def test_a_lot_goes_by_the_arrows_each_with_its_proofs(events, step_min):
    state = "raw"
    for turn in told(events, step_min).turns(LOT):
        if turn.body.state != "discarded":
            wanted = set(ARROWS[(state, turn.body.state)])
            passed = {one.proof for one in turn.body.proofs if one.answer in ("pass", "not applicable")}
            assert wanted <= passed, (state, turn.body)
        state = turn.body.state
    assert told(events, step_min).lot(LOT).state == state


@given(EVENTS, st.sampled_from([10, 45, 150]), st.sampled_from(["33.9", "26.0", "40.0"]))
def test_a_failed_check_takes_passes_and_makes_none(events, step_min, shown):
    ledger = told(events, step_min)
    at = START + timedelta(days=2)
    failed = Checked("late", "probe 2", at, "Ana", Decimal(shown), Decimal(32), "F", "both")
    doubted = accepted(ledger, Record("late", "Ana", "test", at, at, -240, ProbeChecked(failed)), FDA)
    for turn in ledger.turns(LOT):
        before, after = again(ledger, FDA, turn.record), again(doubted, FDA, turn.record)
        assert before.keys() == after.keys()
        for name, one in after.items():
            if before[name].passes:
                assert one.answer in ("pass", "unproven")
            else:
                assert one == before[name]
