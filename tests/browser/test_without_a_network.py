"""What a tablet does while the board is away, and once it is back: nothing is lost, nothing comes twice."""

import shutil
import sqlite3

import pytest
from playwright.sync_api import expect

from bad_network import BadNetwork


@pytest.fixture
def bad_network(board):
    one = BadNetwork(board.port)
    yield one
    one.close()


def in_service(tablet, name="Ben"):
    one = tablet().enrol().come_in(name)
    expect(one.first_move).to_contain_text("dress")
    return one


def test_a_reload_without_the_board_shows_the_last_plan_and_since_when(tablet, board):
    one = in_service(tablet)
    one.wait_for_worker()
    one.page.wait_for_function("indexedDB.databases().then(found => found.length > 0)")
    one.page.wait_for_timeout(2_500)  # the night is kept every two seconds
    board.kill()
    one.page.clock.install()
    one.page.reload()
    expect(one.first_move).to_contain_text("dress")
    expect(one.page.get_by_text("No link since 19:0")).to_be_visible()
    before = one.first_move.inner_text()
    one.page.clock.fast_forward("02:00")
    one.until(lambda: one.first_move.inner_text() != before, "the count goes on")


def test_a_tap_while_the_board_is_down_arrives_exactly_once(tablet, board):
    one = in_service(tablet)
    board.kill()
    tapped_s = board.now_s
    one.first_move.tap()
    expect(one.first_move).to_contain_text("in")  # the next act, at once
    expect(one.page.get_by_text("1 told here waits")).to_be_visible()
    board.start()
    one.until(lambda: len(board.told("done")) == 1, "the tap arrives")
    expect(one.page.get_by_text("No link since")).to_be_hidden()
    one.page.wait_for_timeout(1_500)
    (done,) = board.told("done")
    assert (done["by"], done["what"].item, done["what"].act) == ("Ben", "B4-1", "dress")
    assert abs(done["at_s"] - tapped_s) < 2.0


def test_taps_outlive_a_reload_without_the_board_and_arrive_in_order(tablet, board):
    one = in_service(tablet)
    one.wait_for_worker()
    one.page.wait_for_timeout(2_500)
    board.kill()
    one.first_move.tap()
    expect(one.first_move).to_contain_text("in")
    one.page.wait_for_timeout(800)  # two taps within half a second are one
    one.first_move.tap()
    expect(one.page.get_by_text("2 told here wait")).to_be_visible()
    one.page.reload()
    expect(one.page.get_by_text("2 told here wait")).to_be_visible()
    board.start()
    one.until(lambda: len(board.told("done")) == 2, "both arrive")
    one.page.wait_for_timeout(1_000)
    assert [done["what"].act for done in board.told("done")] == ["dress", "launch"]


def test_an_answer_lost_on_the_way_makes_no_second_act(tablet, board):
    one = in_service(tablet)
    lost = []

    def lose(route):
        if len(lost) < 2:
            route.fetch()  # the board hears it
            lost.append(route)
            route.abort()
        else:
            route.continue_()

    one.page.route("**/api/commands", lose)
    one.first_move.tap()
    one.until(lambda: len(lost) == 2, "it is told again")
    expect(one.page.get_by_text("told here wait")).to_be_hidden()
    one.page.wait_for_timeout(1_500)
    assert len(board.told("done")) == 1


def test_of_two_devices_on_one_act_one_is_told_whose_it_was(tablet, board):
    ben, ana = in_service(tablet), in_service(tablet, "Ana")
    board.kill()
    ben.first_move.tap()
    ana.first_move.tap()
    board.start()
    ben.until(lambda: len(board.told("done")) == 1, "one is taken")
    refused = [one.page.get_by_text("Nothing more to do") for one in (ben, ana)]
    ben.until(lambda: sum(found.count() for found in refused) == 1, "the other is told")
    (done,) = board.told("done")
    loser = ana if done["by"] == "Ben" else ben
    expect(loser.page.get_by_role("alert")).to_contain_text(done["by"])
    loser.key("seen").tap()
    expect(loser.page.get_by_role("alert")).to_be_hidden()


def test_a_network_gone_silent_is_noticed_and_a_second_device_catches_up(tablet, tablets, board, bad_network):
    ben, ana = in_service(tablet), in_service(lambda: tablets(bad_network.address), "Ana")
    ben.first_move.tap()
    expect(ana.first_move).to_contain_text("in")
    bad_network.silent = True
    expect(ana.page.get_by_text("No link since")).to_be_visible()
    ben.first_move.tap()
    ben.until(lambda: len(board.told("done")) == 2, "the second act is taken")
    expect(ana.first_move).to_contain_text("pizza")
    bad_network.silent = False
    expect(ana.first_move).to_contain_text("steak")
    expect(ana.page.get_by_text("No link since")).to_be_hidden()


def test_a_browser_that_keeps_nothing_says_so(tablet, board):
    one = tablet()
    one.page.add_init_script("Object.defineProperty(window, 'indexedDB', {get: () => undefined})")
    one.page.reload()
    one.enrol().come_in("Ben")
    expect(one.page.get_by_text("Nothing is kept here: do not reload.")).to_be_visible()
    one.first_move.tap()
    one.until(lambda: len(board.told("done")) == 1, "it is told all the same")


def test_a_board_that_comes_back_newer_brings_its_page_along(tablet, board, static, tmp_path):
    one = in_service(tablet)
    one.wait_for_worker()
    one.page.reload()  # from here on the page is the worker's
    expect(one.first_move).to_contain_text("dress")
    newer = tmp_path / "newer"
    shutil.copytree(static, newer)
    for name, before, after in (
        ("index.html", "<title>", "<title>newer "),
        ("sw.js", "hearthtide-", "newer-"),
    ):
        text = (newer / name).read_text(encoding="utf-8")
        assert before in text
        (newer / name).write_text(text.replace(before, after), encoding="utf-8")
    board.kill()
    one.first_move.tap()
    board.static = newer
    board.start()
    expect(one.page).to_have_title("newer Hearthtide")
    expect(one.first_move).to_contain_text("in")
    one.until(lambda: len(board.told("done")) == 1, "what was told before the change arrives")


def test_the_log_itself_is_whole_after_all_that(tablet, board):
    one = in_service(tablet)
    for _ in range(3):
        board.kill()
        one.first_move.tap()
        board.start()
    one.until(lambda: len(board.told("done")) == 3, "all three arrive")
    with sqlite3.connect(board.folder / "nights.db") as database:
        assert database.execute("pragma integrity_check").fetchone() == ("ok",)
