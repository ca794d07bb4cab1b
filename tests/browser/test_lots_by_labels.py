"""A lot is opened by its label: by a scanner that types, by the camera where it reads codes, by hand."""

import pytest
from playwright.sync_api import expect

from hearthtide.printing.lot_codes import in_groups, lot_number
from screens import BoardProcess, axe_findings, small_targets

LOT = "Half chicken today"

# A browser that reads codes has this; here it sees the label's code on the second look, from a blank picture.
READER = """
window.BarcodeDetector = class {
  constructor(how) { window.formats = how.formats; this.looks = 0; }
  async detect(from) { return ++this.looks < 2 ? [] : [{ rawValue: window.code, from: from.tagName }]; }
};
navigator.mediaDevices.getUserMedia = async () => {
  const canvas = document.createElement('canvas');
  canvas.getContext('2d').fillRect(0, 0, 9, 9);
  window.stream = canvas.captureStream(10);
  return window.stream;
};
"""


# All strokes in one go, as a scanner types: through the test's own line to the browser each takes too long.
# Answers whether the page took the Enter for itself: else it would tap the key that has the focus.
SCANS = """said => {
  const at = document.activeElement ?? document.body;
  const how = { bubbles: true, cancelable: true };
  const press = (key, code) => !at.dispatchEvent(new KeyboardEvent('keydown', { key, code, ...how }));
  for (const digit of said) press(digit, `Digit${digit}`);
  return press('Enter', 'Enter');
}"""


@pytest.fixture(scope="module")
def read_board(tmp_path_factory, static):
    """One board for all tests here: they tell it nothing."""
    one = BoardProcess(tmp_path_factory.mktemp("labels"), static, "lots_board.py")
    one.start()
    yield one
    one.kill()


@pytest.fixture
def lots(tablets, read_board):
    one = tablets(read_board.address).enrol().come_in("Ben")
    expect(one.first_move).to_be_visible()
    one.go("lots")
    return one


def key(one, name):
    return one.page.locator(f'[data-key="{name}"]')


def is_open(one, lot):
    expect(one.page.get_by_role("heading", name=lot, exact=True)).to_be_visible()
    expect(one.page.get_by_text(f"No. {in_groups(lot_number(lot))}")).to_be_visible()


def test_a_scanner_opens_the_lot_of_a_label_from_the_list_and_from_another_lot(lots):
    expect(key(lots, f"lot-{LOT}")).to_be_visible()
    assert lots.page.evaluate(SCANS, lot_number(LOT))
    is_open(lots, LOT)
    key(lots, "back").focus()  # its Enter would tap this key
    assert lots.page.evaluate(SCANS, lot_number("Half chicken, deep tray"))
    is_open(lots, "Half chicken, deep tray")


def test_a_number_is_typed_by_hand_as_it_stands_on_the_label(lots):
    key(lots, "find-lot").fill(in_groups(lot_number(LOT)))
    lots.page.keyboard.press("Enter")
    is_open(lots, LOT)


def test_a_label_that_means_no_lot_here_is_told_so(lots):
    expect(key(lots, f"lot-{LOT}")).to_be_visible()
    assert lots.page.evaluate(SCANS, "0123456789")
    expect(
        lots.page.get_by_role("alert").filter(has_text="No lot of “0123456789” is watched.")
    ).to_be_visible()


def test_a_browser_that_reads_no_codes_says_so(lots):
    lots.page.evaluate("delete window.BarcodeDetector")
    key(lots, "camera").tap()
    expect(lots.page.get_by_text("This browser cannot read codes by camera.")).to_be_visible()
    assert axe_findings(lots.page) == []
    assert small_targets(lots.page) == []


def test_the_camera_opens_the_lot_it_reads_and_is_shut_then(lots):
    lots.page.evaluate(READER)
    lots.page.evaluate("code => { window.code = code; }", lot_number(LOT))
    key(lots, "camera").tap()
    is_open(lots, LOT)
    assert lots.page.evaluate("window.formats") == ["qr_code", "code_128"]
    assert lots.page.evaluate("window.stream.getTracks().every(one => one.readyState === 'ended')")


def test_a_camera_that_may_not_be_used_is_told(lots):
    lots.page.evaluate(READER)
    lots.page.evaluate(
        "() => { navigator.mediaDevices.getUserMedia = () => Promise.reject(new Error('no')); }"
    )
    key(lots, "camera").tap()
    expect(lots.page.get_by_text("There is no camera to look with")).to_be_visible()
