"""The written report: complete, self-contained, in order, and careful with what others wrote."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from html import escape, unescape
from html.parser import HTMLParser
from pathlib import Path

import pytest

from hearthtide.house.models import House
from hearthtide.planning.plan import Plan
from hearthtide.printing.handling import lettered, told_in_order
from hearthtide.printing.page import page, said
from hearthtide.printing.pdf import GAP, MARGIN_IN, PAGE, TYPE, laid_out
from hearthtide.printing.picture import HALF, INKS, NIGHT_INKS, TEXT, WIDE, Picture
from hearthtide.printing.report import ReportError, draw, write_report
from hearthtide.printing.style import STYLE
from hearthtide.printing.tables import chosen_comparison
from hearthtide.safety.cautions import cautions_for
from printed_plan import HOUR_S, SEVEN, house, plan

ALLOWED = {"#0072b2", "#e69f00", "#56b4e9", "#d55e00", "#f0e442"}


def text_of(made: Plan, where: House | None = None, beside: str | None = None) -> str:
    where = house() if where is None else where
    return page(made, where, draw(made, where), beside)


class Tags(HTMLParser):
    """Every start tag with its attributes, and whether each tag is closed in order."""

    VOID = frozenset({"meta", "br", "hr"})

    def __init__(self) -> None:
        super().__init__()
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def parsed(text: str) -> Tags:
    tags = Tags()
    tags.feed(text)
    tags.close()
    assert tags.open == []
    return tags


def test_the_page_fetches_nothing_and_runs_nothing() -> None:
    text = text_of(plan())
    assert not re.search(r"https?:|//[a-z]|@import|url\(|javascript:", text)
    for tag, attributes in parsed(text).seen:
        assert tag not in {
            "script",
            "link",
            "img",
            "iframe",
            "object",
            "embed",
            "base",
            "form",
            "a",
            "image",
            "use",
        }
        assert not {"src", "href", "xlink:href", "srcset", "action", "style"} & set(attributes)
        assert not [name for name in attributes if name.startswith("on")]
    assert "default-src 'none'" in text


def test_every_ticket_and_every_move_is_told_in_order() -> None:
    made = plan()
    text = text_of(made)
    for landing in made.landings:
        assert f">{landing.ticket}  " in text
    places = [text.index(escape(move.words)) for move in made.moves]
    assert places == sorted(places)
    for change in made.flame:
        assert change.words in text


def test_the_parts_stand_in_the_order_of_use() -> None:
    heads = re.findall(r"<h2>(.*?)</h2>", text_of(plan()))
    assert heads == [
        "The stone from the mouth",
        "The landing lines",
        "Before you start",
        "The moves",
        "Floor and flame",
        "Core and colour",
        "Both ways: C7",
        "The promises",
        "The figures",
    ]


def test_broken_promises_are_named_at_the_top_with_the_limit_and_ways_out() -> None:
    made = plan()
    top = unescape(text_of(made).split("</header>")[0])
    assert "1 promise cannot be kept" in top
    assert "on time: C7 lands 5:00 after it was wanted" in top
    assert "What binds: hands" in top and "Tell 1 table a later minute" in top
    assert "two pairs" not in top


def test_a_kept_night_says_so() -> None:
    made = replace(plan(), checks=plan().checks[:1], limit=None)
    assert "Every promise is kept." in said(made)
    assert "△" not in text_of(made).split("</header>")[0]


def test_the_sentence_counts_each_table_once() -> None:
    made = plan()
    two_drops = (*made.landings, replace(made.landings[0], drop=2, items=()))
    assert said(replace(made, landings=two_drops)).startswith(
        "5 covers at 2 tables, 4 plates, first move 19:00,"
    )


def test_cautions_stand_in_full_at_the_first_act_of_each_hour() -> None:
    made = plan()
    later = replace(made.moves[0], start_s=made.moves[0].start_s + HOUR_S, words="B9, later")
    text = text_of(replace(made, moves=(*made.moves, later)))
    caution = cautions_for("launch", house().dishes["pizza"])[0]
    assert text.count(escape(caution)) == 3  # once an hour for two hours, and once in the key
    assert text.index(made.moves[0].words) < text.index(escape(caution))
    for words in made.cautions:
        assert escape(words) in text


def test_every_act_carries_the_letters_of_its_cautions() -> None:
    made = plan()
    told = list(told_in_order(made, house()))
    names = lettered(told)
    assert len(set(names.values())) == len(names)
    lines = re.findall(r"<li><time>.*?</li>", text_of(made))
    moves = [line for line in told if not line.is_flame]
    assert len(lines) == len(moves)
    for line, move in zip(lines, moves, strict=True):
        expected = " ".join(sorted(names[c] for c in move.cautions))
        assert f'<span class="marks">{expected}</span>' in line


def test_another_cook_is_named_at_the_move() -> None:
    lines = re.findall(r"<li><time>.*?</li>", text_of(plan()))
    assert sum("<i>Pass</i>" in line for line in lines) == 1
    assert not any("<i>Oven</i>" in line for line in lines)


def test_the_ticket_whose_landing_differs_most_is_shown_both_ways() -> None:
    made = plan()
    chosen = chosen_comparison(made.comparison, None)
    assert chosen is not None and chosen.ticket == "C7"  # 60 s apart, B4 30 s
    assert "Both ways: B4" in text_of(made, beside="B4")
    without = replace(made.comparison[1], models_landing_s=None)
    again = chosen_comparison((made.comparison[0], without), None)
    assert again is not None and again.ticket == "B4"
    assert "planned both ways" in text_of(replace(made, comparison=()))


def test_figures_have_their_meaning_and_the_sum() -> None:
    text = text_of(plan())
    assert "guests of all tickets added up" in text
    assert "50.0 MJ</td><td>250 MJ over 5 covers" in text  # 250 / 5
    assert ">18:00<" in text  # floor_ready_s, one hour before seven


def test_hostile_words_stay_words() -> None:
    bad = "<script>alert(1)</script>\"'&"
    made = plan()
    first = replace(made.moves[0], words=bad, cook=bad)
    landing = replace(made.landings[0], ticket=bad)
    row = replace(made.comparison[1].rows[0], why=bad)
    made = replace(
        made,
        house=bad,
        night=bad,
        moves=(first, *made.moves[1:]),
        landings=(landing, made.landings[1]),
        items=tuple(replace(i, ticket=bad) if i.ticket == "B4" else i for i in made.items),
        checks=(replace(made.checks[0], name=bad, detail=bad), made.checks[1]),
        cautions=(bad,),
        flame=(replace(made.flame[0], words=bad, level=bad), made.flame[1]),
        comparison=(replace(made.comparison[1], ticket=bad, rows=(row,)),),
        figures={bad: 1.0},
    )
    text = text_of(made, house(pizza_name=bad))
    assert "<script" not in text.lower()
    tags = parsed(text)
    known = (
        "html head meta title style body header section div h1 h2 h3 p ul ol li b i small span time figure"
    )
    known += " figcaption table thead tbody tr th td svg desc path circle text"
    assert {tag for tag, _ in tags.seen} <= set(known.split())
    assert unescape(text).count(bad) >= 10


def test_both_lights_and_paper_are_designed() -> None:
    assert "prefers-color-scheme:dark" in STYLE and "@media print" in STYLE and "size:A4" in STYLE


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour (WCAG 2.2, definition of relative luminance)."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("inks", [INKS, NIGHT_INKS], ids=["light", "dark"])
def test_contrast_and_colours_are_those_allowed(inks: dict[str, str]) -> None:
    # 7:1 for text is WCAG 2.2 success criterion 1.4.6, 3:1 for graphics 1.4.11
    assert contrast(inks["ink"], inks["paper"]) >= 7
    for ink in ("blue", "orange"):
        assert contrast(inks[ink], inks["paper"]) >= 3
        assert inks[ink].lower() in ALLOWED


def test_no_other_colour_is_on_the_page() -> None:
    own = {c.lower() for inks in (INKS, NIGHT_INKS) for c in inks.values()}
    assert {c.lower() for c in re.findall(r"#[0-9a-fA-F]{6}\b", text_of(plan()))} <= own


def test_type_on_paper_is_eleven_points_or_more() -> None:
    made = draw(plan(), house())
    smallest = min(
        mark.size for p in (made.legend, *made.named().values()) for mark in p.marks if hasattr(mark, "size")
    )
    on_a4 = (210 - 24) / 25.4 * 72 / WIDE  # points per unit of a picture as wide as A4 less 12 mm margins
    assert smallest * on_a4 >= 11
    assert TEXT * TYPE >= 11
    assert all(float(size) >= 11 for size in re.findall(r"font-size:([\d.]+)pt", STYLE))


def test_a_plan_without_maps_says_what_is_left_out() -> None:
    made = plan()
    made = replace(made, oven=replace(made.oven, maps=()))
    drawn = draw(made, house())
    assert "temperatures are left out" in text_of(made)
    # the night runs 19:00 to 19:23:20; the fullest whole minute of its last sixth is 19:20:00 or after
    assert 1 <= len(drawn.stone) <= 6 and drawn.stone[-1].title.startswith("The stone at 19:2")


def test_maps_are_shown_at_their_own_minutes() -> None:
    drawn = draw(plan(), house())
    assert [picture.title.split(",")[0] for picture in drawn.stone] == [
        "The stone at 19:11",
        "The stone at 19:22",
    ]
    assert plan().oven.maps[0].time_s == SEVEN + 660


def test_files_written_are_well_formed_and_listed(tmp_path: Path) -> None:
    told: list[tuple[str, float]] = []
    index = write_report(
        plan(), house(), tmp_path / "out", on_progress=lambda what, share: told.append((what, share))
    )
    assert index == tmp_path / "out" / "index.html"
    names = sorted(p.name for p in (tmp_path / "out" / "pictures").iterdir())
    assert names == [
        "core-1.svg", "core-2.svg", "floor-and-flame.svg", "landings-1.svg", "stone-1.svg", "stone-2.svg"
    ]  # fmt: skip
    for name in names:
        root = ET.fromstring((tmp_path / "out" / "pictures" / name).read_text(encoding="utf-8"))
        assert root.get("role") == "img" and root.get("aria-label")
        assert root.find("{http://www.w3.org/2000/svg}title") is not None
    pdf = (tmp_path / "out" / "pictures.pdf").read_bytes()
    assert pdf.startswith(b"%PDF") and len(re.findall(rb"/Type /Page\b", pdf)) == len(
        laid_out([draw(plan(), house()).legend, *draw(plan(), house()).named().values()])
    )
    shares = [share for _, share in told]
    assert shares == sorted(shares) and shares[0] == 0 and shares[-1] == 1


def test_writing_again_replaces_its_own_files_only(tmp_path: Path) -> None:
    write_report(plan(), house(), tmp_path)
    mine = tmp_path / "pictures" / "stone-9.svg"
    mine.write_text("<svg/>", encoding="utf-8")
    (tmp_path / "notes.txt").write_text("kept", encoding="utf-8")
    first = (tmp_path / "index.html").read_bytes()
    one_map = replace(plan(), oven=replace(plan().oven, maps=plan().oven.maps[:1]))
    write_report(one_map, house(), tmp_path)
    assert (tmp_path / "index.html").read_bytes() != first
    assert not (tmp_path / "pictures" / "stone-2.svg").exists()
    assert mine.read_text(encoding="utf-8") == "<svg/>"
    assert (tmp_path / "notes.txt").read_text(encoding="utf-8") == "kept"


def test_the_same_plan_gives_the_same_files(tmp_path: Path) -> None:
    write_report(plan(), house(), tmp_path / "a")
    write_report(plan(), house(), tmp_path / "b")
    for path in (p for p in (tmp_path / "a").rglob("*") if p.is_file()):
        assert path.read_bytes() == (tmp_path / "b" / path.relative_to(tmp_path / "a")).read_bytes(), (
            path.name
        )


def test_a_folder_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    with pytest.raises(ReportError, match="taken"):
        write_report(plan(), house(), tmp_path / "taken")


def test_a_ticket_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(ReportError, match="no ticket Z9 in Tuesday; it has B4, C7"):
        write_report(plan(), house(), tmp_path, beside="Z9")
    assert not list(tmp_path.iterdir())


def test_pdf_pages_hold_every_picture_once_and_cut_none() -> None:
    pictures = [Picture(str(i), "", HALF if i % 3 else WIDE, 300.0 + 10 * i, ()) for i in range(12)]
    pages = laid_out(pictures)
    assert [p.title for placed in pages for p, _, _ in placed] == [str(i) for i in range(12)]
    for placed in pages:
        for picture, x, y in placed:
            assert x + picture.width <= WIDE and y + picture.height <= PAGE
        for i, (one, x1, y1) in enumerate(placed):
            for other, x2, y2 in placed[:i]:
                apart = x1 >= x2 + other.width or y1 >= y2 + other.height + GAP or x2 >= x1 + one.width
                assert apart, (one.title, other.title)
    assert pytest.approx(12 / 25.4, abs=0.01) == MARGIN_IN
