"""The screens as the package was built, not as these tests bundle them: a build can be green and wrong."""

import pytest
from playwright.sync_api import expect

from build_hook import ROOT, build_hook
from hearthtide.board.pages import STAMP, STATIC
from screens import BoardProcess

KEPT = """async () => {
    const [name] = await caches.keys();
    const kept = await (await caches.open(name)).keys();
    return kept.map(one => new URL(one.url).pathname);
}"""


@pytest.fixture(scope="module")
def stamp():
    """What the build leaves beside the screens it has built; without it there is nothing to open."""
    path = STATIC / STAMP
    if not path.is_file():
        pytest.fail(f"{path}: missing (expected the built screens). `make run` builds them.", pytrace=False)
    return path


def test_the_package_holds_these_sources(stamp):
    wanted = build_hook().sources_digest(ROOT / "web")
    assert stamp.read_text(encoding="ascii") == wanted, (
        "the screens have changed since: `make run` builds them"
    )


def test_the_built_page_lets_a_tablet_in_and_keeps_its_files(stamp, tablets, tmp_path):
    board = BoardProcess(tmp_path, STATIC)
    board.start()
    try:
        one = tablets(board.address)
        one.wait_for_worker()
        one.enrol().come_in("Ben")
        expect(one.first_move).to_contain_text("B4")
        names = one.page.evaluate(KEPT)
        built = {f"/{path.relative_to(STATIC)}" for path in STATIC.rglob("*") if path.is_file()}
        assert set(names) == built - {"/index.html", "/sw.js", f"/{STAMP}"} | {"/"}
    finally:
        board.kill()
