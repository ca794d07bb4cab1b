"""Lots and records by taps: made, read, judged as they come, watched while they cool, found again."""

from urllib.parse import quote

import pytest
from playwright.sync_api import expect

from screens import BoardProcess, axe_findings, small_targets


@pytest.fixture
def board(tmp_path, static):
    one = BoardProcess(tmp_path, static, "lots_board.py")
    one.start()
    yield one
    one.kill()


@pytest.fixture(scope="module")
def read_board(tmp_path_factory, static):
    """One board for all tests here that tell it nothing."""
    one = BoardProcess(tmp_path_factory.mktemp("lots"), static, "lots_board.py")
    one.start()
    yield one
    one.kill()


def opened(tablet, page, name="Ben"):
    one = tablet.enrol().come_in(name)
    expect(one.first_move).to_be_visible()
    one.go(page)
    return one


def key(one, name):
    return one.page.locator(f'[data-key="{name}"]')


def typed(one, digits):
    for digit in digits:
        key(one, f"digit-{digit}").tap()


def test_a_lot_is_made_read_and_cooked_by_taps_alone(tablet):
    one = opened(tablet(), "lots")
    key(one, "new").tap()
    key(one, "dish-wings").tap()
    key(one, "food-poultry").tap()
    key(one, "piece-pieces").tap()
    typed(one, "24")
    key(one, "make").tap()
    line = one.page.locator('[data-key^="lot-Wings"]')
    expect(line).to_contain_text("raw, not read yet")
    line.tap()
    expect(key(one, "to-cooked")).to_be_disabled()
    expect(one.page.get_by_text("no reading of the coldest part")).to_have_count(2)
    key(one, "read").tap()
    typed(one, "73.4")
    key(one, "part-middle").tap()
    key(one, "write-reading").tap()
    expect(one.page.locator(".answer-fail")).to_be_visible()
    key(one, "read").tap()
    typed(one, "74")
    key(one, "part-middle").tap()
    key(one, "write-reading").tap()
    expect(one.page.locator(".answer-pass")).to_be_visible()
    key(one, "to-cooked").tap()
    expect(key(one, "to-cooling")).to_be_visible()
    key(one, "to-cooling").tap()
    expect(one.page.get_by_text("to be shown by 2 h 00 min after its start").first).to_be_visible()


def test_what_is_read_without_a_network_is_in_the_records_once_it_is_back(tablet, board):
    one = opened(tablet(), "lots")
    key(one, "lot-Half chicken today").tap()
    board.kill()
    key(one, "read").tap()
    typed(one, "20")
    key(one, "write-reading").tap()
    expect(one.page.get_by_text("told here, waits")).to_be_visible()
    board.start()
    expect(one.page.get_by_text("told here, waits")).to_have_count(0, timeout=30_000)
    expect(one.page.get_by_text("20 °C").first).to_be_visible()


def test_what_cools_too_slowly_is_told_on_another_page_with_what_helps(tablets, read_board):
    one = opened(tablets(read_board.address), "tickets")
    expect(one.page.get_by_text("Half chicken, deep tray cools too slowly: see lots.")).to_be_visible()
    one.go("lots")
    key(one, "lot-Half chicken, deep tray").tap()
    expect(one.page.get_by_text("Split it into thinner layers")).to_be_visible()
    expect(one.page.locator(".lot-curve circle")).to_have_count(2)
    expect(one.page.locator(".lot-curve .foreseen")).to_have_count(1)
    expect(one.page.locator(".answer-unproven")).to_have_count(2)


def test_an_inspector_finds_last_weeks_chicken_by_a_word_and_two_taps(tablets, read_board):
    one = opened(tablets(read_board.address), "records", "Iva")
    one.page.get_by_role("searchbox").fill("chicken")
    one.page.locator('[data-key^="day-"]').last.tap()
    expect(one.page.get_by_role("status").filter(has_text="entries").first).to_be_visible()
    one.page.locator('[data-key^="see-"]').first.tap()
    expect(one.page.get_by_text("What the readings show")).to_be_visible()
    expect(one.page.locator(".verdicts .answer-pass").first).to_be_visible()
    expect(one.page.get_by_text("40 °F").first).to_be_visible()
    expect(one.page.get_by_text("probe 2, Ben").first).to_be_visible()


def test_an_inspector_has_no_key_that_writes(tablets, read_board):
    one = opened(tablets(read_board.address), "lots", "Iva")
    expect(key(one, "new")).to_have_count(0)
    key(one, "lot-Half chicken today").tap()
    for name in ("read", "chill", "amiss", "to-chilled"):
        expect(key(one, name)).to_have_count(0)
    expect(one.page.locator('[data-key^="correct-"]')).to_have_count(0)


def test_a_correction_needs_a_second_persons_own_pin(tablet):
    one = opened(tablet(), "lots")
    key(one, "lot-Half chicken today").tap()
    one.page.locator('[data-key^="correct-"]').nth(3).tap()
    typed(one, "69")
    one.page.get_by_label("Why it is corrected").fill("misread")
    key(one, "write-correction").tap()
    expect(one.page.get_by_role("alert")).to_contain_text("second person")
    key(one, "second").tap()
    key(one, "second-Ana").tap()
    one.page.get_by_label("their PIN, typed by them").fill("2580")
    key(one, "write-correction").tap()
    expect(one.page.get_by_text("was 84 °F")).to_be_visible()


def test_a_deviation_closes_with_all_four(tablet):
    one = opened(tablet(), "records", "Ana")
    key(one, "stands").tap()
    one.page.locator('[data-key^="close-"]').tap()
    for part in ("cause", "control", "prevention"):
        key(one, part).fill("said")
    expect(key(one, "close")).to_be_disabled()
    key(one, "disposition").fill("discarded")
    key(one, "close").tap()
    expect(one.page.get_by_text("None stands open.")).to_be_visible()


@pytest.mark.parametrize("page", ["lots", "records"])
@pytest.mark.parametrize("size", ["tablet", "upright", "hand"])
def test_every_key_can_be_hit_and_everything_has_a_name(tablets, read_board, page, size):
    one = opened(tablets(read_board.address, size), page)
    expect(one.page.get_by_text("Half chicken").first).to_be_visible()
    assert small_targets(one.page) == []
    assert axe_findings(one.page) == []


def test_the_records_print_without_their_keys(tablets, read_board):
    one = opened(tablets(read_board.address), "records", "Iva")
    expect(one.page.get_by_role("status").filter(has_text="entries").first).to_be_visible()
    one.page.emulate_media(media="print")
    expect(key(one, "print")).to_be_hidden()
    expect(one.page.locator('[data-key^="see-"]').first).to_be_hidden()
    expect(one.page.get_by_text("The records end at")).to_be_visible()


def test_a_lots_name_may_hold_any_sign(tablets, read_board):
    """`/` and spaces stand in names that the program itself gives."""
    one = opened(tablets(read_board.address), "records", "Iva")
    path = f"/api/lots/{quote('Half chicken of last week / 1', safe='')}"
    answer = one.page.evaluate("async path => (await (await fetch(path)).json()).state", path)
    assert answer == "re-heated and served"


def test_boiling_water_a_procedure_and_words_in_spanish_by_taps(tablet):
    """At 0 m water boils at 100 °C; a thermometer that shows 97 °C is too far off (4-203.11)."""
    one = opened(tablet(), "records")
    key(one, "stands").tap()
    key(one, "boiling").tap()
    typed(one, "97")
    expect(key(one, "write-boiling")).to_be_disabled()
    one.page.locator('[data-key="height"]').fill("0")
    key(one, "write-boiling").tap()
    expect(one.page.get_by_text("in boiling water: written down")).to_be_visible()
    expect(one.page.get_by_text("is 3.00 °C off, 1 °C is the limit")).to_be_visible()
    key(one, "procedure").tap()
    one.page.locator('[data-key="procedure-name"]').fill("TP-1, blue folder")
    key(one, "write-procedure").tap()
    key(one, "found").tap()
    expect(one.page.get_by_text("written procedure for time alone: TP-1, blue folder")).to_be_visible()
    spanish = "{...JSON.parse(localStorage['hearthtide.settings'] ?? '{}'), language: 'es'}"
    one.page.evaluate(f"localStorage['hearthtide.settings'] = JSON.stringify({spanish})")
    one.page.reload()
    one.go("records")
    expect(one.page.get_by_text("procedimiento escrito para solo tiempo: TP-1, blue folder")).to_be_visible()
    key(one, "stands").tap()
    expect(one.page.get_by_text("se desvía 3.00 °C, el límite es 1 °C")).to_be_visible()
