"""Whole stretches of a night that is really planned, on real screens: nothing is invented but the house."""

from functools import partial

import pytest
from playwright.sync_api import expect

from bad_network import BadNetwork
from conducted_night import SETTLE_MS, ConductedBoard, ConductedNight


@pytest.fixture
def board(tmp_path, static):
    one = ConductedBoard(tmp_path, static)
    one.start()
    yield one
    one.kill()


@pytest.fixture
def night(board, browser):
    one = ConductedNight(board, browser)
    yield one
    assert [words for words in one.close() if "Failed to load" not in words and "net::ERR" not in words] == []


NEXT_WORDS = """() => {
  const first = document.querySelector('button.first');
  return first && [...first.querySelectorAll('.table, .act, .dish')].map(one => one.textContent).join(' ');
}"""


def next_on(tablet):
    """The next move on a hearth page without its count; None when there is none."""
    return tablet.page.evaluate(NEXT_WORDS)


def tap(tablet):
    tablet.first_move.tap()


def press(tablet):
    tablet.page.keyboard.press("PageDown")


def more_than(board, count):
    """Whether more acts than so many are in the log."""
    return len(board.acts()) > count


def played(night, tablet, act, until=lambda: False):
    """Does every move that comes due on a screen by one act, until there is none or something holds."""
    board = night.board
    while not until() and night.until_due(tablet):
        move, done = next_on(tablet), len(board.acts())
        act(tablet)
        tablet.until(partial(more_than, board, done), f"{move} is in the log")
        tablet.page.wait_for_timeout(SETTLE_MS)


def done_of(board, *tables):
    """Who did what of these tables' plates, as the log has it: {(plate, act, nth): by}."""
    return {
        (plate.key, done.act, done.nth): done.by
        for table in tables
        for plate in board.plates(table)
        for done in plate.done
    }


def all_out(board, *tables):
    return all(
        plate.done and plate.done[-1].act in ("pull", "cut") for t in tables for plate in board.plates(t)
    )


def test_from_the_call_to_the_landing_by_taps_alone(night, board):
    cook, at_pass = night.tablet("Ben"), night.tablet("Ana", "tickets")
    for key in ("new", "letter-A", "digit-1", "covers-2", "more-pizza", "more-shrimp", "step-minute"):
        at_pass.page.locator(f'[data-key="{key}"]').tap()
    at_pass.page.locator('[data-key="quote-soonest"]').tap()
    expect(cook.first_move).to_contain_text("A1")
    played(night, cook, tap)
    at_pass.go("pass")
    at_pass.key("A1: landed").tap()
    at_pass.until(lambda: len(board.told("landed")) == 1, "A1 lands")
    done = done_of(board, "A1")
    assert set(done.values()) == {"Ben"}, done
    assert all_out(board, "A1")
    assert {act for _, act, _ in done} >= {"dress", "launch", "turn", "spin", "pull", "cut"}
    assert set(board.acts().values()) == {1}


def test_from_the_call_to_the_landing_by_the_pedal_alone(night, board):
    cook = night.tablet("Ben")
    night.call("B2 x2 +16 2 pizza, dip")
    expect(cook.first_move).to_contain_text("B2")
    played(night, cook, press)
    done = done_of(board, "B2")
    assert set(done.values()) == {"Ben"}, done
    assert all_out(board, "B2")
    assert set(board.acts().values()) == {1}


def test_two_tablets_racing_on_one_move(night, board):
    ben, ana = night.tablet("Ben"), night.tablet("Ana")
    night.call("A1 x2 +16 pizza, shrimp")
    expect(ben.first_move).to_contain_text("A1")
    for nth in range(1, 4):
        assert night.until_due(ben)
        expect(ana.page.locator("button.first.due")).to_be_visible()
        ana.until(lambda: next_on(ana) == next_on(ben), "the tablets show two moves")
        for one in (ben, ana):  # neither waits for what the other's tap makes of the night
            one.page.evaluate("document.querySelector('button.first').click()")
        ben.until(partial(more_than, board, nth - 1), "the move is done")
        ben.page.wait_for_timeout(SETTLE_MS)
        for one in (ben, ana):
            if one.key("seen").count():
                expect(one.page.get_by_role("alert")).to_contain_text("Nothing more to do")
                one.key("seen").tap()
        ben.until(lambda: next_on(ben) == next_on(ana), f"{next_on(ben)} here, {next_on(ana)} there")
    assert len({key[:3] for key in board.acts()}) == 3
    assert set(board.acts().values()) == {1}


BLANKS = """() => {
  window.blanks = 0;
  const looks = new MutationObserver(() => { window.blanks += document.querySelectorAll('p.first').length; });
  looks.observe(document.body, {childList: true, subtree: true});
}"""
"""Counts how often a hearth page is drawn without a move."""


def last_plan(board):
    """The minute every course was last planned to land at."""
    plan = [event.command.what for event in board.events() if event.command.what.kind == "plan"][-1]
    return {order.key: order.landing_s for order in plan.orders}


def test_the_board_is_started_again_with_food_on_the_stone(night, board):
    ben = night.tablet("Ben")
    night.call("A1 x2 +18 pizza, steak")
    night.call("B2 x2 +22 pizza, dip")
    expect(ben.first_move).to_be_visible()
    played(night, ben, tap, lambda: any(act == "launch" for _, act, *_ in board.acts()))
    before, done, minutes = next_on(ben), board.acts(), last_plan(board)
    ben.page.evaluate(BLANKS)
    board.kill()
    expect(ben.page.get_by_text("No link since")).to_be_visible()
    night.skip(5)
    board.start()
    expect(ben.page.get_by_text("No link since")).to_be_hidden()
    ben.until(lambda: next_on(ben) == before, f"{next_on(ben)} after, {before} before")
    assert board.acts() == done
    assert last_plan(board) == minutes
    expect(ben.page.get_by_text("the planner is starting again")).to_be_hidden()
    assert ben.page.evaluate("window.blanks") == 0, "the last plan stays until there is a newer one"
    played(night, ben, tap)
    assert all_out(board, "A1", "B2")
    assert set(board.acts().values()) == {1}


def told_by_ben(board, since_s):
    """When what Ben told was done, of acts since then: as the plates have it, not as it was assumed."""
    done = [one for table in ("A1", "B2", "C3") for plate in board.plates(table) for one in plate.done]
    return sorted(one.at_s for one in done if one.by == "Ben" and one.at_s >= since_s)


def test_five_minutes_without_a_network_in_the_middle_of_a_rush(night, board):
    radio = BadNetwork(board.port)
    ben, ana = night.tablet("Ben", address=radio.address), night.tablet("Ana")
    for line in ("A1 x3 +12 2 pizza, shrimp", "B2 x2 +13 pizza, dip", "C3 x2 +14 2 pizza"):
        night.call(line)
    expect(ben.first_move).to_be_visible()
    played(night, ben, tap, lambda: any(act == "launch" for _, act, *_ in board.acts()))
    radio.silent = True
    away_s, taps = board.now_s, []
    while board.now_s - away_s < 300:
        if len(taps) == 3:
            night.call("D4 x2 +25 pizza, chicken")
        assert night.until_due(ben)
        taps.append(board.now_s)
        tap(ben)
        words = f"{len(taps)} told here wait" if len(taps) > 1 else "1 told here waits"
        expect(ben.page.get_by_text(words)).to_be_visible()
        ben.page.wait_for_timeout(600)  # two taps within half a second are one
    assert len(taps) >= 5
    expect(ben.page.get_by_text("No link since")).to_be_visible()
    expect(ben.page.get_by_text(f"{len(taps)} told here wait")).to_be_visible()
    radio.silent = False
    expect(ben.page.get_by_text("No link since")).to_be_hidden()
    ben.until(lambda: len(told_by_ben(board, away_s)) == len(taps), "each tap arrives")
    ben.page.wait_for_timeout(2 * SETTLE_MS)
    told = told_by_ben(board, away_s)
    assert len(told) == len(taps)
    assert all(abs(at_s - tapped_s) < 2 for at_s, tapped_s in zip(told, taps, strict=True)), "at its own time"
    assert set(board.acts().values()) == {1}
    ben.until(lambda: next_on(ben) == next_on(ana), f"{next_on(ben)} here, {next_on(ana)} there")
    radio.close()
