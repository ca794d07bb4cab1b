"""The pages of the service on invented data: they fit their glass; one tap or one press is one act."""

import json
import re

import pytest
from playwright.sync_api import expect

from screens import FITS, SIZES, axe_findings

PAGES = ("hearth", "pass", "fire", "watch", "wall", "pages", "wipe", "danger")
PX_PER_MM = {"tablet": 1280 / 216, "upright": 1280 / 216, "hand": 6.0}  # ten inches, and a phone

# A key is a knuckle wide, an act in service larger; in the hand two acts share a row, a digit is 18 mm.
LEAST_MM = {"tablet": (25, 40), "upright": (25, 40), "hand": (18, 25)}

NO_ICON = "/favicon.ico"  # asked for by every browser, not among the fixtures
SHOWN_IN = (("en", "friday", "dark"), ("es", "tuesday", "light"), ("it", "friday", "light"))


class Shown:
    """One page on one screen; keeps what was told on it and what it complained of."""

    def __init__(self, browser, address, size, name, locale="en-GB", **asked):
        width, height = SIZES[size]
        self.page = browser.new_page(viewport={"width": width, "height": height}, locale=locale)
        self.told, self.undone, self.complaints = [], [], []
        self.page.on("console", self._said)
        self.page.on("pageerror", lambda err: self.complaints.append(str(err)))
        words = "&".join(f"{key}={value}" for key, value in {"mm": PX_PER_MM[size], **asked}.items())
        self.page.goto(f"{address}?{words}#{name}")
        self.page.wait_for_selector(f"main.{name}")

    def _said(self, said):
        kind, _, rest = said.text.partition(" ")
        if kind == "told":
            self.told.append(json.loads(rest.partition(" ")[2]))
        elif kind == "undo":
            self.undone.append(rest)
        elif said.type == "error" and not said.location["url"].endswith(NO_ICON):
            self.complaints.append(said.text)

    def first(self):
        return self.page.locator("button.first")


@pytest.fixture
def shown(browser, invented):
    opened = []

    def opens(name, size="tablet", **asked):
        opened.append(Shown(browser, invented, size, name, **asked))
        return opened[-1]

    yield opens
    complaints = [words for one in opened for words in one.complaints]
    for one in opened:
        one.page.close()
    assert complaints == []


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", PAGES)
def test_a_page_fits_its_glass_in_every_language(shown, name, size):
    for language, fixture, polarity in SHOWN_IN:
        one = shown(name, size, language=language, fixture=fixture, polarity=polarity)
        found = one.page.evaluate(FITS, [PX_PER_MM[size], *LEAST_MM[size]])
        assert found == [], f"{language}, {fixture}"


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("polarity", ("dark", "light"))
@pytest.mark.parametrize("name", PAGES)
def test_axe_finds_nothing(shown, name, polarity, size):
    assert axe_findings(shown(name, size, polarity=polarity).page) == []


def test_a_tap_anywhere_on_the_move_is_done_and_can_be_taken_back(shown):
    one = shown("hearth")
    first = one.first().inner_text()
    box = one.first().bounding_box()
    one.page.mouse.click(box["x"] + box["width"] - 8, box["y"] + box["height"] - 8)
    assert [what["kind"] for what in one.told] == ["done"]
    assert one.first().inner_text() != first
    one.page.get_by_role("button", name="undo").click()
    assert len(one.undone) == 1
    assert one.first().inner_text() == first


def test_two_taps_of_one_knuckle_are_one_act(shown):
    one = shown("hearth")
    one.first().dblclick()
    assert [what["kind"] for what in one.told] == ["done"]


@pytest.mark.parametrize("key", ["Space", "PageDown", "Enter"])
def test_a_pedal_or_a_key_is_done(shown, key):
    one = shown("hearth")
    one.page.keyboard.press(key)
    one.page.keyboard.press(key)
    assert [what["kind"] for what in one.told] == ["done", "done"]
    assert one.told[0] != one.told[1]
    one.page.keyboard.press("Backspace")
    assert len(one.undone) == 1


def test_not_yet_puts_the_move_off_and_a_pedal_after_a_tap_is_an_act(shown):
    one = shown("hearth")
    first = one.first().inner_text()
    one.page.get_by_role("button", name="not yet").click()
    assert one.told[0]["kind"] == "not_yet" and one.told[0]["late_s"] == 30
    assert one.first().inner_text() != first
    one.page.keyboard.press("Space")
    assert [what["kind"] for what in one.told] == ["not_yet", "done"]


def test_by_keyboard_alone_a_key_that_has_the_focus_is_pressed(shown):
    one = shown("hearth")
    one.page.get_by_role("button", name="not yet").focus()
    one.page.keyboard.press("Space")
    assert [what["kind"] for what in one.told] == ["not_yet"]
    one.page.get_by_role("button", name="pages").focus()
    one.page.keyboard.press("Enter")
    one.page.wait_for_selector("main.pages")


def test_wiping_ends_by_two_corners_not_by_one(shown):
    one = shown("wipe")
    corners = one.page.get_by_role("button", name="corner")
    corners.nth(0).click()
    corners.nth(0).click()
    assert one.page.locator("main.wipe").count() == 1
    corners.nth(3).click()
    one.page.wait_for_selector("main.hearth")
    assert one.told == []


def test_a_table_lands_by_one_tap_and_comes_back_by_another(shown):
    one = shown("pass")
    one.page.get_by_role("button", name="landed").first.click()
    assert one.told[0]["kind"] == "landed"
    one.page.get_by_role("button", name="undo").click()
    assert len(one.undone) == 1


def test_a_gun_reading_is_a_tap_on_the_stone_and_large_keys(shown):
    one = shown("fire")
    one.page.get_by_role("button", name="gun reading").click()
    box = one.page.locator(".stone svg").bounding_box()
    one.page.mouse.click(box["x"] + box["width"] * 0.75, box["y"] + box["height"] * 0.5)
    for digit in "358":
        one.page.get_by_role("button", name=digit, exact=True).click()
    one.page.get_by_role("button", name="tell it").click()
    (told,) = one.told
    assert (told["of"], told["temperature_C"], told["instrument"]) == ("floor", 358, "gun")
    assert told["spot"]["x_m"] > 0.2, "right of the middle"


def test_a_core_is_keyed_in_the_device_s_unit_and_told_in_celsius(shown):
    one = shown("watch")
    one.page.locator("button.probe-first").click()
    for digit in "68":
        one.page.get_by_role("button", name=digit, exact=True).click()
    one.page.get_by_role("button", name="tell it").click()
    (told,) = one.told
    assert (told["of"], told["temperature_C"]) == ("core", 68)
    assert "reads 68 °C" in one.page.locator("button.probe-first").inner_text()
    american = shown("watch", locale="en-US")
    american.page.locator("button.probe-first").click()
    for digit in "154":
        american.page.get_by_role("button", name=digit, exact=True).click()
    american.page.get_by_role("button", name="tell it").click()
    assert american.told[0]["temperature_C"] == pytest.approx(67.8, abs=0.05)
    assert "reads 154 °F" in american.page.locator("button.probe-first").inner_text()


def test_a_flame_that_is_out_shows_its_wait_and_its_caution(shown):
    one = shown("fire", run=1)
    one.page.get_by_role("button", name="flame is out").click()
    assert one.told[0] == {"kind": "flame_out"}
    words = one.page.locator(".out").inner_text()
    assert "Shut the gas" in words and "own instructions" in words
    expect(one.page.locator(".out .number")).to_have_text("5:00")
    one.page.get_by_role("button", name="burns at").click()
    expect(one.page.get_by_role("button", name="high")).to_be_disabled()
    one.page.get_by_role("button", name="leave").click()
    one.page.get_by_role("button", name="gas is shut").click()
    assert one.told[1] == {"kind": "gas_shut"}
    expect(one.page.locator(".out .number")).to_have_text(re.compile("4:5[0-9]"))
    expect(one.page.locator(".heard.hazard")).to_have_text("flame out, shut gas")
    assert one.page.evaluate("window.hearthtideHeard.hazards") == 1


def test_without_a_link_the_page_counts_on_and_says_since_when(shown):
    one = shown("hearth", link="lost", run=1)
    assert "No link since 19:" in one.page.locator(".bands").inner_text()
    one.first().click()
    expect(one.page.locator(".bands")).to_contain_text("1 told here waits")


def test_an_inspector_reads_and_tells_nothing(shown):
    one = shown("hearth", role="inspector")
    one.first().click()
    assert one.told == []
    assert "read only" in one.page.locator(".bands").inner_text()


def test_in_danger_the_way_out_takes_the_place_of_every_page(shown):
    one = shown("pages")
    one.page.get_by_role("link", name="alarm, fan, fire").click()
    one.page.get_by_role("button", name="alarm, people ill").click()
    assert one.told == [{"kind": "danger", "danger": "carbon monoxide"}]
    for page in ("hearth", "pass", "fire", "watch", "wall", "tickets"):
        one.page.evaluate("name => { location.hash = name }", page)
        expect(one.page.get_by_role("alert")).to_contain_text("Everyone out.")
        expect(one.page.locator("main button")).to_have_count(0)
    one.page.get_by_role("link", name="say more, or over").click()
    one.page.get_by_role("button", name="alarm, people ill: over").click()
    one.page.get_by_role("button", name="yes, over").click()
    assert one.told[1] == {"kind": "danger_over", "danger": "carbon monoxide"}


def test_without_extraction_only_what_empties_the_oven_is_left(shown):
    one = shown("danger")
    one.page.get_by_role("button", name="extraction off").click()
    one.page.evaluate("location.hash = 'hearth'")
    expect(one.page.get_by_role("alert")).to_contain_text("Nothing new goes in")
    first = one.first().inner_text()
    assert "out" in first or "cut" in first


def test_an_inspector_tells_no_danger_and_sees_it(shown):
    one = shown("danger", role="inspector")
    expect(one.page.get_by_role("button", name="fire")).to_be_disabled()
