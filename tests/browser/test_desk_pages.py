"""The pages at arm's length on invented data: tickets, people, closing, the night again fit every glass."""

import pytest

from screens import FITS, SIZES

PX_PER_MM = {"tablet": 1280 / 216, "upright": 1280 / 216, "hand": 6.0}  # ten inches, and a phone
BEGUN = ("new", "letter-B", "digit-5", "covers-12", "more-pizza", "more-shrimp")
STATES = {
    "tickets": ((), ("ticket-B4-1",), ("eighty-six",), ("kitchen",), BEGUN, (*BEGUN, "step-allergy")),
    "people": ((), ("code",)),
    "closing": ((),),
    "day": ((), ("figures",), ("who-everybody",)),
    "replay": (("on-10",) * 11, ("see-late",)),
}
LEAST_MM = {"tablet": (25, 40), "upright": (25, 40), "hand": (18, 25)}  # of a key, of an act
# What is longer than the glass is scrolled here, and then lies under what stays.
LONG = ("off the glass", "one over the other")


SHOWN_IN = {
    "tablet": (("en", "dark"), ("es", "light")),
    "upright": (("it", "light"),),
    "hand": (("en", "light"), ("it", "dark")),
}


@pytest.fixture
def shown(browser, invented):
    pages, complaints = [], []

    def opens(name, size, **asked):
        width, height = SIZES[size]
        page = browser.new_page(viewport={"width": width, "height": height})
        pages.append(page)
        page.on("pageerror", lambda err: complaints.append(str(err)))
        words = "&".join(f"{key}={value}" for key, value in {"mm": PX_PER_MM[size], **asked}.items())
        page.goto(f"{invented}?{words}#{name}")
        page.wait_for_selector(".desk")
        return page

    yield opens
    for page in pages:
        page.close()
    assert complaints == []


def tap(page, names):
    for name in names:
        page.locator(f'[data-key="{name}"]').click()


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", STATES)
def test_a_page_fits_its_glass_in_every_language(shown, name, size):
    for language, polarity in SHOWN_IN[size]:
        for taps in STATES[name]:
            page = shown(name, size, language=language, polarity=polarity)
            tap(page, taps)
            found = page.evaluate(FITS, [PX_PER_MM[size], *LEAST_MM[size]])
            assert [words for words in found if not words.startswith(LONG)] == [], (
                f"{language}, {taps}: {found}"
            )


def test_a_ticket_by_taps_wants_no_scrolling_on_a_tablet_of_ten_inches(shown):
    page = shown("tickets", "tablet", fixture="friday")
    page.evaluate("document.querySelectorAll('.heard').forEach(one => one.remove())")
    for name in (*BEGUN, "step-minute"):
        tap(page, [name])
        assert page.locator('[data-key="down"]').count() == 0, name
    page.locator('[data-key="quote-soonest"]').wait_for()
    found = page.evaluate(FITS, [PX_PER_MM["tablet"], 25, 40])
    assert found == []
