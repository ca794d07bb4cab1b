"""Whatever a logger wrote, in whatever order: food over its limit is never within it, no time is gained."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from hearthtide.safety.cold_failure import Inside, cold_failure_verdict, failure_clause, out_for
from hearthtide.safety.readings import Limit, Reading
from hearthtide.safety.rule_sets import rule_set, rule_set_names
from hearthtide.safety.rules import ColdFailure, Hold

NOW = datetime(2026, 6, 2, 8, 30, tzinfo=UTC)
FIVE = Limit(C=Decimal(5))
ROWS = st.lists(
    st.tuples(st.integers(0, 700), st.integers(20, 120)), max_size=12, unique_by=lambda row: row[0]
)


def air(rows):
    """Rows so many minutes before now, in tenths of a degree."""
    return tuple(
        Reading(
            f"a{m}", "walk-in", NOW - timedelta(minutes=m), 0, Decimal(t) / 10, "C", "air", "logger", "nobody"
        )
        for m, t in rows
    )


def probed(tenths):
    read = Reading("r", "food", NOW, 0, Decimal(tenths) / 10, "C", "warmest", "probe", "Ida")
    return Inside("food", True, (read,))


def _cleared(rows, clause, hold):
    """By hand on minutes before now: since the row before the first warm one, or since the newest of all."""
    limit = hold.limit
    if clause is not None:
        limit = clause.over if isinstance(clause, ColdFailure) else clause.cold_start or hold.limit
    warm = [m for m, t in rows if Decimal(t) / 10 > limit.in_unit("C")]
    if not rows or (clause is None and warm):
        return False
    if clause is None:
        return True
    since = min((m for m, _ in rows if m > max(warm)), default=max(warm)) if warm else min(m for m, _ in rows)
    return 60 * since <= clause.within_s


@given(ROWS, st.integers(0, 150), st.sampled_from(rule_set_names()), st.randoms())
def test_a_verdict_on_any_rows(rows, tenths, name, shuffler):
    rules, written = rule_set(name), air(rows)
    told = cold_failure_verdict(rules, probed(tenths), written, None, NOW)
    mixed = list(written)
    shuffler.shuffle(mixed)
    assert cold_failure_verdict(rules, probed(tenths), tuple(mixed), None, NOW) == told
    hold = next((one for one in rules.of(Hold) if one.side == "cold" and one.limit is not None), None)
    if hold is None:
        assert told.outcome == "a person decides"
        return
    over = Decimal(tenths) / 10 > hold.limit.in_unit("C")
    clause = failure_clause(rules)
    assert (told.outcome == "within its limit") == (not over and _cleared(rows, clause, hold))
    if over and clause is not None and told.out is not None:
        late = told.out.least > timedelta(seconds=clause.within_s)
        assert (told.outcome == "discard") == late


@given(ROWS.filter(bool), st.integers(51, 120))
def test_one_more_warm_row_never_shortens_the_most(rows, tenths):
    before = out_for(FIVE, False, air(rows), None, NOW)
    warm = [(m, t if m else tenths) for m, t in rows]
    warm = warm if any(m == 0 for m, _ in warm) else [*warm, (0, tenths)]
    after = out_for(FIVE, False, air(warm), None, NOW)
    assert timedelta(0) <= before.least <= before.most
    if any(t > 50 for _, t in rows):
        assert after.most >= before.most and after.least >= before.least


@given(ROWS.filter(bool))
def test_the_least_is_what_a_walk_back_through_the_rows_finds(rows):
    # By hand: go back from the newest row; the newest one within the limit begins the stretch that lasts.
    told = out_for(FIVE, False, air(rows), None, NOW)
    if min(rows)[1] <= 50:
        assert told.least == timedelta(0)
        return
    good = [m for m, t in rows if t <= 50]
    assert told.least == timedelta(minutes=min(good) if good else max(m for m, _ in rows))
