"""The way in: a device by its code, a person by name and PIN, by taps alone."""

import pytest
from playwright.sync_api import expect

from screens import SIZES, axe_findings, foreign, small_targets


@pytest.fixture
def board(standing_board):
    return standing_board


@pytest.mark.parametrize("size", SIZES)
def test_a_device_is_enrolled_and_a_cook_comes_in_by_taps(tablet, board, size):
    one = tablet(size)
    asked = []
    one.page.on("request", lambda request: asked.append(request))
    assert small_targets(one.page) == []
    one.enrol()
    assert small_targets(one.page) == []
    one.come_in("Ben")
    expect(one.first_move).to_contain_text("B4")
    assert [request.url for request in asked if foreign(request, board)] == []


def test_a_wrong_code_says_so_and_the_next_try_is_free(tablet):
    one = tablet()
    one.tap_digits("11111111")
    one.key("pass").tap()
    expect(one.page.get_by_text("That code lets nothing in")).to_be_visible()
    one.enrol()


def test_a_wrong_pin_says_so(tablet):
    one = tablet().enrol()
    one.page.get_by_role("button", name="Ben cook").tap()
    one.tap_digits("1111")
    one.key("come in").tap()
    expect(one.page.get_by_text("Name and PIN do not fit")).to_be_visible()


def test_without_the_board_the_way_in_says_so(tablet):
    one = tablet()
    one.page.route("**/api/**", lambda route: route.abort())
    one.tap_digits("24681357")
    one.key("hearth").tap()
    expect(one.page.get_by_text("The board does not answer")).to_be_visible()


def test_a_chef_lets_one_more_screen_in(tablet):
    chef = tablet().enrol().come_in("Ana")
    expect(chef.first_move).to_be_visible()
    chef.go("settings")
    chef.key("let one more screen in").tap()
    shown = chef.page.locator(".code")
    expect(shown).to_be_visible()
    other = tablet().enrol(shown.inner_text().replace(" ", ""), "pass").come_in("Ben")
    expect(other.first_move).to_contain_text("B4")


def test_a_cook_lets_no_screen_in(tablet):
    one = tablet().enrol().come_in("Ben")
    expect(one.first_move).to_be_visible()
    one.go("settings")
    expect(one.key("leave")).to_be_visible()
    assert one.key("let one more screen in").count() == 0


def test_who_leaves_is_asked_for_again_and_the_device_stays(tablet):
    one = tablet().enrol().come_in("Ben")
    expect(one.first_move).to_be_visible()
    one.go("settings")
    one.key("leave").tap()
    expect(one.page.get_by_text("Who is here?")).to_be_visible()
    one.page.reload()
    one.come_in("Ana")
    expect(one.first_move).to_be_visible()
    one.go("settings")
    expect(one.page.get_by_text("Ana, chef")).to_be_visible()


def test_a_language_chosen_at_the_door_stays(tablet):
    one = tablet()
    one.key("Español").tap()
    expect(one.page.get_by_text("Dar entrada a esta pantalla")).to_be_visible()
    one.page.reload()
    expect(one.page.get_by_text("Dar entrada a esta pantalla")).to_be_visible()
    assert one.page.locator("html").get_attribute("lang") == "es"


@pytest.mark.parametrize("polarity", ["dark", "light"])
@pytest.mark.parametrize("size", SIZES)
def test_axe_finds_nothing_on_the_way_in_and_the_settings(tablet, size, polarity):
    one = tablet(size)
    one.page.evaluate(
        "kept => localStorage.setItem('hearthtide.settings', kept)", f'{{"polarity":"{polarity}"}}'
    )
    one.page.reload()
    expect(one.page.locator("html")).to_have_attribute("data-polarity", polarity)
    assert axe_findings(one.page) == []
    one.tap_digits("24681357")
    assert axe_findings(one.page) == []
    one.key("hearth").tap()
    expect(one.page.get_by_text("Who is here?")).to_be_visible()
    assert axe_findings(one.page) == []
    one.page.get_by_role("button", name="Ana chef").tap()
    assert axe_findings(one.page) == []
    one.tap_digits("2580")
    one.key("come in").tap()
    expect(one.first_move).to_be_visible()
    one.go("settings")
    expect(one.key("leave")).to_be_visible()
    assert axe_findings(one.page) == []
    assert small_targets(one.page) == []
