"""The day around the night on a tablet: own lines first, figures with their sums, kept without a network."""

import pytest
from playwright.sync_api import expect

from hearthtide.service.day_kept import kept_file
from invented_day import TUESDAY, keep_invented
from screens import BoardProcess, axe_findings, small_targets


@pytest.fixture(scope="module")
def read_board(tmp_path_factory, static):
    """One board for all tests here but the one that stops it."""
    one = BoardProcess(tmp_path_factory.mktemp("day"), static)
    keep_invented(one.folder)
    one.start()
    yield one
    one.kill()


def opened(tablet, name="Ben"):
    one = tablet.enrol().come_in(name)
    expect(one.first_move).to_be_visible()
    one.go("day")
    return one


def key(one, name):
    return one.page.locator(f'[data-key="{name}"]')


def test_own_lines_stand_first_and_every_one_is_a_tap_away(tablets, read_board):
    """The clock is at seven: Ben's beans at 22:15 are to come, and Cleo's taking them out at 7:00."""
    one = opened(tablets(read_board.address))
    expect(key(one, "who-Ben")).to_have_attribute("aria-pressed", "true")
    expect(one.page.locator(".day-quiet")).to_have_text("Nothing is planned until 22:15.")
    expect(one.page.locator(".day-next li")).to_have_count(1)
    expect(one.page.locator(".day-lines")).not_to_contain_text("take out beans")
    expect(one.page.locator(".day-lines .past").first).to_contain_text("draught, extraction")
    key(one, "who-everybody").tap()
    expect(one.page.locator(".day-next li")).to_have_count(2)
    expect(one.page.locator(".day-lines li").last).to_contain_text("take out beans")
    expect(one.page.get_by_text("after midnight")).to_have_count(1)
    expect(one.page.get_by_text("wings 2 (2 kg) does not fit")).to_be_visible()
    expect(one.page.get_by_text("A probe in the thickest part decides")).to_be_attached()
    expect(one.page.locator(".day-strip .load")).to_have_count(7)
    key(one, "figures").tap()
    expect(one.page.get_by_text("61 to 97 in eight nights of ten")).to_be_visible()
    key(one, "back").tap()
    expect(key(one, "who-everybody")).to_have_attribute("aria-pressed", "true")


@pytest.mark.parametrize("size", ["tablet", "upright", "hand"])
def test_every_key_can_be_hit_and_everything_has_a_name(tablets, read_board, size):
    one = opened(tablets(read_board.address, size))
    expect(one.page.get_by_text("does not fit")).to_be_visible()
    assert small_targets(one.page) == []
    assert axe_findings(one.page) == []


def test_the_day_stays_without_the_board_and_a_broken_one_is_told(tablet, board):
    keep_invented(board.folder)
    board.kill()
    board.start()
    one = opened(tablet())
    expect(one.page.get_by_text("Nothing is planned until 22:15.")).to_be_visible()
    one.wait_for_worker()
    one.page.wait_for_timeout(2_500)  # the picture of the night is kept every two seconds
    board.kill()
    one.page.reload()
    expect(one.page.get_by_text("No link since")).to_be_visible()
    expect(one.page.get_by_text("Nothing is planned until 22:15.")).to_be_visible()
    kept_file(board.folder, TUESDAY).write_text("{", encoding="utf-8")
    board.start()
    expect(one.page.get_by_text("cannot be read")).to_be_visible(timeout=30_000)
    expect(one.page.get_by_text("2026-06-02.json")).to_be_visible()
