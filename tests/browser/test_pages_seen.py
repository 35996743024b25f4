"""Pages of the example book, and of a hostile one, as a browser shows and prints them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.books import JOB, JOB_PATH, make_book, put
from tests.browser.audit import AUDIT
from tests.browser.conftest import Draw, Open
from tests.pages.hostile import TEXTS

PAGES = {
    "report, repaired": ("report", "47"),
    "report, memory replaced": ("report", "42"),
    "report, declined": ("report", "49"),
    "bill": ("bill", "47", "--breakdown"),
    "receipt": ("report", "47", "--for", "intake"),
    "quote": ("report", "55", "--for", "quote"),
    "week": ("week", "2026-W43"),
    "show": ("show", "47"),
    "design": ("show", "--design", "brackloch-b9-24"),
    "usual": ("usual", "tarnhow-t7-16"),
    "stock": ("stock",),
    "heat": ("heat", "26"),
    "comebacks": ("comebacks",),
    "show, a board under repair": ("show", "62"),
    "load": ("load", "47"),
    "memory": ("memory", "42"),
    "due": ("due",),
    "queue": ("queue", "--hours", "4"),
    "suspects": ("suspects", "61"),
    "earnings": ("earnings",),
    "summarise": ("summarise",),
    "this week": ("week",),
}
LOOKS = {"desk": (900, False), "phone, dark": (360, True)}
"""How wide a window is, and whether it is dark."""


@pytest.mark.parametrize("words", PAGES.values(), ids=PAGES)
@pytest.mark.parametrize(("width", "dark"), LOOKS.values(), ids=LOOKS)
def test_a_page_is_legible_and_fetches_nothing(
    see: Open, draw: Draw, words: tuple[str, ...], width: int, *, dark: bool
) -> None:
    seen = see(draw(*words), width, dark=dark)
    assert (seen.page.evaluate(AUDIT), seen.said, seen.fetched) == ([], [], [])


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize(
    ("words", "most"),
    [
        (("report", "47"), 3),
        (("report", "42"), 3),
        (("report", "49"), 2),
        (("bill", "47"), 1),
        (("week", "2026-W43"), 2),
    ],
)
def test_a_page_is_printed_on_few_sheets(
    see: Open, draw: Draw, words: tuple[str, ...], most: int, paper: str
) -> None:
    seen = see(draw(*words))
    pdf: bytes = seen.page.pdf(format=paper, prefer_css_page_size=True)
    sheets = len(re.findall(rb"/Type\s*/Page\b", pdf))
    assert 1 <= sheets <= most


def test_what_a_screen_reader_hears_of_a_report(see: Open, draw: Draw) -> None:
    seen = see(draw("report", "47"))
    heard: str = seen.page.locator("body").aria_snapshot()
    assert '- heading "Report on your graphics card, job K26-0047" [level=1]' in heard
    assert re.search(r'img "V12, resistance, cold: 0.28 Ω → 3174 Ω"', heard)
    assert "columnheader" in heard


def test_a_screen_reader_hears_the_same_table_on_a_phone(see: Open, draw: Draw) -> None:
    page = draw("report", "47")
    heard = [see(page, width).page.locator("table.many").first.aria_snapshot() for width in (900, 360)]
    assert "- columnheader" in heard[0]
    assert heard[0] == heard[1]


@pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS)
def test_hostile_text_in_a_job_is_shown_and_not_obeyed(
    see: Open, draw: Draw, tmp_path: Path, text: str
) -> None:
    quoted = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    job = JOB.replace('"No picture"', f'"{quoted}"').replace('"No picture since Monday"', f'"{quoted}"')
    job += f'\n[[note]]\nat = 2026-10-08T10:00:00\ntext = "{quoted}"\nclient = true\n'
    job += f'[[seen]]\ncheck = "{quoted}"\nphotos = ["a.svg"]\n'
    book = make_book(tmp_path / "book", {JOB_PATH: job})
    put(
        book / JOB_PATH.removesuffix(".toml") / "a.svg",
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
    )
    for words in (("report", "1"), ("show", "1")):
        seen = see(draw(*words, book=book), 360)
        assert (seen.page.evaluate(AUDIT), seen.said, seen.fetched, seen.asked) == ([], [], [], [])
        shown = "".join(seen.page.locator("body").inner_text().split())
        assert "".join(text.split()) in shown


def test_a_script_and_a_style_that_got_in_would_not_be_obeyed(see: Open, draw: Draw, tmp_path: Path) -> None:
    """The policy alone, without the escaping."""
    page = tmp_path / "page.html"
    attack = "<script>document.title = 'taken'</script><style>h1 { display: none }</style>"
    attack += "<img src='https://example.com/x.png'>"
    page.write_text(draw("report", "47").read_text("utf-8").replace("<h1", f"{attack}<h1"), "utf-8")
    seen = see(page)
    assert seen.page.title() == "Report on your graphics card, job K26-0047"
    assert seen.page.locator("h1").is_visible()
    assert len([line for line in seen.said if "Content Security Policy" in line]) == 3
