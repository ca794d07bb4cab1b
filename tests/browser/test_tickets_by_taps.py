"""Tickets by taps through the real board: a 12-top in time, then held, fired, dragged, amended, undone."""

import math
import time

import pytest
from playwright.sync_api import expect

from late_board import QUOTED_S
from screens import BoardProcess, axe_findings, small_targets

TAP_S = 0.4  # from one key to the next with a finger, hand and eye together: a slow, sure hand; own choice
TWELVE = ["pizza"] * 8 + ["strip_steak"] * 2 + ["half_chicken"] * 2 + ["cheese_dip"] * 2 + ["wings"] * 2


@pytest.fixture
def board(tmp_path, static):
    one = BoardProcess(tmp_path, static, "late_board.py")
    one.start()
    yield one
    one.kill()


class Pass:
    """Somebody at the tickets' page, tapping keys by what they are."""

    def __init__(self, tablet, board, name="Ben", size="tablet"):
        self.board = board
        self.tablet = tablet(size).enrol().come_in(name)
        self.page = self.tablet.page
        expect(self.tablet.first_move).to_be_visible()
        self.tablet.go("tickets")
        self.travel_mm, self.at, self.taps = 0.0, None, 0

    def key(self, name):
        return self.page.locator(f'[data-key="{name}"]')

    def tap(self, *names):
        for name in names:
            one = self.key(name)
            expect(one).to_be_enabled()
            box = one.bounding_box()
            at = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
            if self.at is not None:
                self.travel_mm += math.dist(self.at, at) / (96 / 25.4)
            self.at, self.taps = at, self.taps + 1
            one.tap()

    def last(self, kind, before=0):
        """The last thing of its kind that was told and taken, once there are more than `before`."""
        told = self.board.told
        self.tablet.until(lambda: len(told(kind)) > before, f"no {kind} was told")
        return told(kind)[-1]

    def last_ticket(self):
        """The last ticket, once there is one beside the two the night begins with."""
        return self.last("ticket", before=2)["what"].ticket

    def begins(self, table="C7", covers=2, *dishes):
        self.tap("new", f"letter-{table[0]}", *(f"digit-{digit}" for digit in table[1:]), f"covers-{covers}")
        self.tap(*(f"more-{dish}" for dish in dishes))


@pytest.fixture
def at_pass(tablet, board):
    return lambda *how: Pass(tablet, board, *how)


@pytest.fixture(scope="module")
def read_board(tmp_path_factory, static):
    """One board for all tests here that tell it nothing."""
    one = BoardProcess(tmp_path_factory.mktemp("late"), static, "late_board.py")
    one.start()
    yield one
    one.kill()


@pytest.fixture
def reading(tablets, read_board):
    return lambda *how: Pass(lambda size: tablets(read_board.address, size), read_board, *how)


def test_a_twelve_top_is_called_by_taps_in_less_than_forty_seconds(at_pass, board):
    one = at_pass()
    expect(one.key("new")).to_be_visible()
    began = time.monotonic()
    for name in [
        "new",
        "letter-C",
        "digit-7",
        "covers-12",
        *(f"more-{dish}" for dish in TWELVE),
        "step-minute",
    ]:
        time.sleep(TAP_S)
        one.tap(name)
    time.sleep(TAP_S)
    one.tap("quote-soonest")
    took_s = time.monotonic() - began
    told = one.last_ticket()
    print(f"a 12-top: {one.taps} taps, {took_s:.1f} s, {one.travel_mm:.0f} mm of pointing")
    assert took_s < 40
    assert one.taps == 22
    assert one.travel_mm < 3000
    assert (told.table, told.covers, told.courses[0].wanted_s) == ("C7", 12, QUOTED_S)
    assert sorted(plate.dish for plate in told.courses[0].plates) == sorted(TWELVE)


def test_a_quote_says_how_it_holds_and_who_would_wait_before_it_is_taken(at_pass, board):
    one = at_pass()
    one.begins("C7", 2, "pizza")
    one.tap("step-minute")
    expect(one.key("quote-soonest")).to_contain_text("19:38")
    said = one.page.locator(".tk-quote").first
    expect(said).to_contain_text("Holds 8 times in 10. Lands in 2 drops. Later for it: B4 4 min.")
    expect(one.page.locator(".tk-quote").nth(1)).to_contain_text("No other table slips.")
    assert [told["what"].ticket.table for told in board.told("ticket")] == ["B4", "F3"]
    one.tap("later-20")
    told = one.last_ticket()
    assert told.table == "C7"
    assert 1200 <= told.courses[0].wanted_s - told.called_s <= 1261


def test_courses_and_allergies_are_tapped_in(at_pass, board):
    one = at_pass()
    one.begins("D1", 2, "vegetables", "vegetables")
    one.tap("step-courses", "course-next", "more-pizza", "step-courses", "apart-more")
    one.tap("step-allergy", "allergen-peanut", "whose-0-1", "allergen-milk", "step-minute", "later-30")
    told = one.last_ticket()
    assert told.allergy == ("peanut",)
    first, second = told.courses
    assert [plate.allergy for plate in first.plates] == [(), ("milk",)]
    assert [plate.dish for plate in second.plates] == ["pizza"]
    assert second.wanted_s - first.wanted_s == 1500


def test_a_dish_that_holds_what_a_guest_may_not_have_is_told_before_the_board_refuses_it(at_pass, board):
    one = at_pass()
    one.begins("D1", 2, "pizza")
    one.tap("step-allergy", "allergen-milk")
    expect(one.page.get_by_text("Pizza contains milk")).to_be_visible()
    one.tap("step-minute", "later-20")
    expect(one.page.get_by_text("The ticket of D1 was not taken. It is kept here: 1 on it.")).to_be_visible()
    one.page.get_by_role("button", name="seen").tap()
    assert [told["what"].ticket.table for told in board.told("ticket")] == ["B4", "F3"]


def test_a_ticket_that_was_refused_is_opened_again_with_all_that_was_on_it(at_pass, board):
    one = at_pass()
    one.begins("B4", 3, "pizza", "pizza")
    expect(one.page.get_by_text("B4 has a ticket tonight")).to_be_visible()
    one.tap("step-minute", "later-20")
    one.tap("again-draft")
    expect(one.key("step-dishes")).to_contain_text("2 so far")
    one.tap("step-table", "digit-2", "step-minute", "later-20")
    assert one.last_ticket().table == "B42"


def test_86_and_back_on_in_two_taps_each(at_pass, board):
    one = at_pass()
    one.tap("eighty-six", "gone-shrimp")
    assert one.last("eighty_six")["what"].dish == "shrimp"
    expect(one.key("back-shrimp")).to_be_visible()
    one.tap("new", "letter-C", "digit-1", "covers-2")
    expect(one.key("more-shrimp")).to_be_disabled()
    one.tap("leave", "eighty-six", "back-shrimp")
    assert one.last("back_on")["what"].dish == "shrimp"
    expect(one.key("gone-shrimp")).to_be_visible()


def test_a_tap_is_undone_within_ten_seconds(at_pass, board):
    one = at_pass()
    one.tap("eighty-six", "gone-shrimp")
    expect(one.key("back-shrimp")).to_be_visible()
    one.tap("undo")
    expect(one.key("gone-shrimp")).to_be_visible()
    assert one.last("undo")["what"].of == board.told("eighty_six")[-1]["id"]


def test_held_fired_dragged_and_split(at_pass, board):
    one = at_pass()
    one.tap("ticket-B4-1", "drag-5")
    assert one.last("drag")["what"].drag_s == 300
    expect(one.page.get_by_text("dragged 5 min")).to_be_visible()
    one.tap("drag-2")
    one.tablet.until(
        lambda: board.told("drag")[-1]["what"].drag_s == 420, "the second drag was not added to the first"
    )
    one.tap("split-2")
    assert (one.last("split")["what"].drops, board.told("split")[-1]["what"].drops_apart_s) == (2, 360)
    one.tap("hold")
    one.last("hold")
    one.tap("fire", "quote-polite")
    assert one.last("fire")["what"].wanted_s > board.told("hold")[-1]["at_s"]


def test_amended_taken_off_and_made_again(at_pass, board):
    one = at_pass()
    one.tap("ticket-B4-1", "sheet-amend", "amend-covers-plus", "sheet-amend", "amend-later")
    one.tablet.until(lambda: len(board.told("amend")) == 2, "two amendments were not told")
    covers, later = (told["what"] for told in board.told("amend"))
    assert (covers.covers, later.wanted_s) == (3, 68400 + 2700)
    one.tap("sheet-plates", "off-B4-3")
    one.tablet.until(lambda: board.told("amend")[-1]["what"].take_off == ("B4-3",), "no plate was taken off")
    one.tap("sheet-more", "add-wings", "add-wings", "add")
    assert [plate.dish for plate in one.last("add")["what"].plates] == ["wings", "wings"]
    expect(one.key("ticket-B4-1")).to_contain_text("2 Wings")


def test_plates_made_again_for_a_table_that_has_left_are_a_ticket_of_their_own(at_pass, board):
    one = at_pass()
    one.tap("landed", "for-F3", "more-pizza", "step-minute", "later-15")
    told = one.last_ticket()
    assert (told.table, told.refire_of, told.covers) == ("F3R", "F3", 2)


def test_a_spill_is_where_the_stone_was_tapped(at_pass, board):
    one = at_pass()
    one.tap("kitchen")
    stone = one.key("stone")
    box = stone.bounding_box()
    stone.tap(position={"x": box["width"] / 2, "y": box["height"] / 2})
    told = one.last("spill", before=1)
    assert abs(told["what"].x_m) < 0.03
    assert 0.5 < told["what"].y_m < 0.7
    assert told["what"].until_s - told["at_s"] == pytest.approx(420, abs=1)
    one.tap("out-Pass", "dead-platter")
    one.last("dead_platter")
    assert one.last("cook_out")["what"].cook == "Pass"


def test_a_spill_is_told_by_keyboard_alone(at_pass, board):
    one = at_pass()
    one.tap("kitchen")
    one.key("stone").focus()
    for press in ("ArrowLeft", "ArrowLeft", "ArrowUp", "Enter"):
        one.page.keyboard.press(press)
    assert one.last("spill", before=1)["what"].x_m == -0.1


def test_a_line_typed_at_the_pass_calls_a_ticket(at_pass, board):
    one = at_pass()
    one.page.get_by_label("or typed in one line").fill("E2 x2 +25 2 pizza, shrimp")
    one.page.keyboard.press("Enter")
    expect(one.page.get_by_text("Called.")).to_be_visible()
    assert one.last_ticket().table == "E2"
    one.page.get_by_label("or typed in one line").fill("E3 x2 +25 2 pizzo")
    one.page.keyboard.press("Enter")
    expect(one.page.get_by_text("pizzo", exact=False).last).to_be_visible()


def test_an_inspector_sees_the_tickets_and_no_keys(reading):
    one = reading("Iva")
    expect(one.page.get_by_text("Pizza, Strip steak, Shrimp in butter")).to_be_visible()
    assert one.page.locator("[data-key]").count() == 0
    assert one.page.locator("main button").all_inner_texts() == ["pages"]
    one.tablet.go("closing")
    expect(one.page.get_by_text("Plates and waste")).to_be_visible()
    assert one.page.locator('[data-key^="waste-"], [data-key^="says-"], [data-key="leave-note"]').count() == 0


@pytest.mark.parametrize("size", ["tablet", "upright", "hand"])
def test_keys_are_large_and_axe_finds_nothing(reading, size):
    one = reading("Ben", size)
    for names in (
        ["ticket-B4-1"],
        ["leave-ticket", "eighty-six"],
        ["kitchen"],
        ["new", "letter-C", "digit-7"],
    ):
        if size == "tablet" and names[0] == "leave-ticket":
            names = names[1:]
        one.tap(*names)
        assert small_targets(one.page) == []
        assert axe_findings(one.page) == []


def test_a_planner_that_is_not_ready_is_asked_again_by_itself(reading):
    one = reading()
    asked = []

    def not_ready_at_first(route):
        asked.append(route.request.url)
        if len(asked) > 1:
            route.continue_()
        else:
            words = '{"words": "the planner is still getting ready.", "findings": []}'
            route.fulfill(
                status=503, body=words, headers={"Retry-After": "1"}, content_type="application/json"
            )

    one.page.route("**/api/quotes", not_ready_at_first)
    one.begins("C7", 2, "pizza")
    one.tap("step-minute")
    expect(one.page.get_by_text("No quote now: the planner is still getting ready.")).to_be_visible()
    expect(one.key("quote-soonest")).to_be_visible()
    assert len(asked) == 2
