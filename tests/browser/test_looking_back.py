"""Closing and the night again through the real board; people and devices."""

import pytest
from playwright.sync_api import expect

from screens import BoardProcess, axe_findings, small_targets


@pytest.fixture
def board(tmp_path, static):
    one = BoardProcess(tmp_path, static, "late_board.py")
    one.start()
    yield one
    one.kill()


@pytest.fixture(scope="module")
def read_board(tmp_path_factory, static):
    """One board for all tests here that tell it nothing."""
    one = BoardProcess(tmp_path_factory.mktemp("late"), static, "late_board.py")
    one.start()
    yield one
    one.kill()


@pytest.fixture
def reading(tablets, read_board):
    return opener(lambda size: tablets(read_board.address, size))


@pytest.fixture
def page_of(tablet):
    return opener(tablet)


def opener(tablet):
    def opens(page, name="Ana", size="tablet"):
        one = tablet(size).enrol().come_in(name)
        expect(one.first_move).to_be_visible()
        one.go(page)
        return one

    return opens


def key(tablet, name):
    return tablet.page.locator(f'[data-key="{name}"]')


def test_the_night_is_closed_on_one_page_by_taps(page_of, board):
    one = page_of("closing")
    expect(one.page.get_by_text("F3: told 18:40, landed 18:46, 6 min late.")).to_be_visible()
    expect(key(one, "waste-pizza").locator("xpath=ancestor::li")).to_contain_text("2 made")
    for _ in range(3):
        key(one, "waste-pizza").tap()
    key(one, "reason-burnt").tap()
    key(one, "waste-pizza").tap()
    key(one, "reason-left over").tap()
    key(one, "less-pizza").tap()
    expect(one.page.get_by_text("3 thrown away: 2 left over, 1 burnt")).to_be_visible()
    key(one, "says-handover.dough_first").tap()
    one.page.get_by_label("in your own words").fill("Back left sticks.")
    key(one, "leave-note").tap()
    expect(one.page.locator("blockquote")).to_contain_text("Use the old dough first.")
    expect(one.page.locator("blockquote")).to_contain_text("Back left sticks.")
    one.until(lambda: board.told("handover"), "no note was told")
    assert sum(told["what"].count for told in board.told("waste")) == 3


def test_the_closing_page_prints_without_its_keys(reading):
    one = reading("closing")
    expect(one.page.get_by_text("Plates and waste")).to_be_visible()
    one.page.emulate_media(media="print")
    for name in ("print", "waste-pizza", "leave-note", "reason-burnt"):
        expect(key(one, name)).to_be_hidden()
    # All of it is on the paper: nothing is cut off by what was a screen.
    clipped = one.page.evaluate(
        "() => [...document.querySelectorAll('.desk-scroll')].some(e => e.scrollHeight > e.clientHeight + 1)"
    )
    assert not clipped


def test_the_night_again_shows_the_stone_and_why_a_table_was_late(reading):
    one = reading("replay")
    expect(key(one, "see-late")).to_contain_text("late: 1")
    key(one, "see-late").tap()
    expect(one.page.get_by_text("+6 min at 18:36: a spill on the stone (Ana).")).to_be_visible()
    one.page.locator('[data-key^="at-F3"]').first.tap()
    stone = one.page.locator(".replay-stone")
    expect(stone.locator(".stood")).to_have_count(1)
    for _ in range(2):
        key(one, "on-1").tap()
    expect(one.page.locator(".replay-clock")).to_have_text("18:37")
    expect(stone.locator(".shut")).to_have_count(1)
    expect(stone.locator(".meant")).to_have_count(2)
    key(one, "beside").tap()
    expect(stone.locator(".meant")).to_have_count(0)
    expect(one.page.get_by_text("first told 18:40").first).to_be_visible()
    before = one.page.locator(".replay-clock").inner_text()
    key(one, "play").tap()
    expect(one.page.locator(".replay-clock")).not_to_have_text(before)


def test_a_chef_writes_somebody_down_who_then_comes_in(page_of, tablet, board):
    one = page_of("people")
    one.page.get_by_label("Name; tap one above").fill("Gia")
    key(one, "role-pass").tap()
    for digit in "3691":
        key(one, f"pin-{digit}").tap()
    key(one, "write").tap()
    expect(one.page.get_by_text("Gia is written down, pass.")).to_be_visible()
    key(one, "code").tap()
    expect(one.page.locator(".code")).to_have_text("2468 1357")
    other = tablet().enrol(place="pass")
    other.page.get_by_role("button", name="Gia pass").tap()
    other.tap_digits("3691")
    other.key("come in").tap()
    expect(other.first_move).to_be_visible()


def test_a_device_is_put_out_by_two_taps(page_of):
    one = page_of("people")
    device = one.page.locator('[data-key^="out-"]').first
    expect(device).to_be_visible()
    device.tap()
    expect(one.page.get_by_text("Everything of it ends at once.")).to_be_visible()
    device.tap()
    expect(
        one.page.get_by_text("Who is here?").or_(one.page.get_by_text("code of eight digits"))
    ).to_be_visible()


def test_a_cook_writes_nobody_down(reading):
    one = reading("people", "Ben")
    expect(one.page.get_by_text("You are Ben, cook.")).to_be_visible()
    assert one.page.locator('[data-key="write"], [data-key="code"]').count() == 0


@pytest.mark.parametrize("page", ["closing", "replay", "people"])
@pytest.mark.parametrize("size", ["tablet", "hand"])
def test_keys_are_large_and_axe_finds_nothing(reading, page, size):
    one = reading(page, "Ana", size)
    expect(one.page.locator(".desk-top")).to_be_visible()
    one.page.wait_for_timeout(500)
    assert small_targets(one.page) == []
    assert axe_findings(one.page) == []
