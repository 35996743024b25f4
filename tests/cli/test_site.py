"""The book as pages: whole, incremental, within its folder, and without what is private."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from urllib.parse import urljoin, urlparse

import pytest

from tests.books import EXAMPLE, JOB, JOB_PATH, make_book, put
from tests.conftest import Run
from tests.pages.hostile import TEXTS
from tests.pages.html_reader import ReadPage

ON = ("--on", "2026-11-20")


def pages_in(folder: Path) -> dict[str, str]:
    return {path.relative_to(folder).as_posix(): path.read_text("utf-8") for path in folder.rglob("*.html")}


def written(run: Run, folder: Path, book: Path = EXAMPLE, *more: str) -> str:
    ran = run("site", folder, "--book", book, *ON, *more)
    assert (ran.status, ran.err) == (0, "")
    return ran.out.partition(": ")[2].strip()


def test_every_page_is_sound_and_every_link_leads_to_one(run: Run, tmp_path: Path) -> None:
    written(run, tmp_path / "site")
    pages = pages_in(tmp_path / "site")
    assert {
        "index.html",
        "search.html",
        "jobs/K26-0047.html",
        "designs/tarnhow-t7-16.html",
        "weeks/2026-W43.html",
        "years/2025.html",
    } <= {*pages}
    reached = {"index.html"}
    for place, text in pages.items():
        read = ReadPage(text)
        assert "default-src 'none'" in read.policy()
        assert "img-src 'self'" in read.policy() or not read.named("img")
        links = [str(one["href"]) for one in read.named("a")]
        assert not [link for link in links if urlparse(link).scheme or link.startswith("/")]
        reached |= {urljoin(place, link) for link in links}
        for one in read.named("img"):
            assert (tmp_path / "site" / urljoin(place, str(one["src"]))).is_file()
    assert reached == {*pages}


def test_nothing_of_private_is_in_it(run: Run, tmp_path: Path) -> None:
    book = make_book(tmp_path / "book", {JOB_PATH: JOB})
    put(
        book / "private/clients.toml",
        b'[client.c-001]\nname = "SECRET PERSON"\naddress = ["SECRET STREET"]\n',
    )
    written(run, tmp_path / "site", book)
    assert "SECRET" not in "".join(pages_in(tmp_path / "site").values())


def test_only_what_changed_is_written_and_what_is_gone_is_removed(run: Run, tmp_path: Path) -> None:
    book = Path(shutil.copytree(EXAMPLE, tmp_path / "book"))
    site = tmp_path / "site"
    count = int(written(run, site, book).split()[0])
    assert count == len(pages_in(site))
    before = {path: path.stat().st_mtime_ns for path in site.rglob("*.html")}
    assert written(run, site, book) == f"0 pages written, {count} unchanged"
    assert {path: path.stat().st_mtime_ns for path in site.rglob("*.html")} == before
    job = book / "jobs/2026/K26-0037.toml"
    job.write_text(job.read_text("utf-8").replace("No picture;", "No picture at all;"), "utf-8")
    found = int(written(run, site, book).split()[0])
    assert 1 <= found <= 3 + 12  # the job, three lists, and the weeks in which it was open
    shutil.rmtree(book / "jobs/2026/K26-0014", ignore_errors=True)
    (book / "jobs/2026/K26-0014.toml").unlink()
    assert written(run, site, book).endswith("1 removed")
    assert not (site / "jobs/K26-0014.html").exists()


IN_USE = {
    "another's page": ("index.html", b"mine", "index.html was not written by `jobkit site`"),
    "damaged list": (".jobkit-site.json", b"{", ".jobkit-site.json is damaged"),
    "the other kind": (".jobkit-site.json", b'{"kind": "public", "pages": []}', "holds a public site"),
    "a file": ("", b"a file", "is not a folder"),
}


@pytest.mark.parametrize(("name", "content", "told"), IN_USE.values(), ids=IN_USE)
def test_a_folder_that_is_in_use_is_refused_and_untouched(
    run: Run, tmp_path: Path, name: str, content: bytes, told: str
) -> None:
    book = make_book(tmp_path / "book", {JOB_PATH: JOB})
    put(tmp_path / "site" / name, content)
    before = sorted(tmp_path.rglob("*"))
    ran = run("site", tmp_path / "site", "--book", book, *ON)
    assert (ran.status, ran.out) == (2, "")
    assert told in ran.err
    assert sorted(tmp_path.rglob("*")) == before


@pytest.mark.parametrize("name", ["", "jobs", "private", "boards/site"])
def test_no_page_is_written_among_the_files_of_the_book(run: Run, tmp_path: Path, name: str) -> None:
    book = make_book(tmp_path / "book", {JOB_PATH: JOB})
    ran = run("site", book / name, "--book", book, *ON)
    assert (ran.status, "is the folder of the book" in ran.err) == (2, True)


def test_a_list_cannot_name_a_file_outside_the_site(run: Run, tmp_path: Path) -> None:
    book = make_book(tmp_path / "book", {JOB_PATH: JOB})
    put(tmp_path / "kept.html", b"kept")
    put(tmp_path / "site/notes.txt", b"kept")
    pages = '["../kept.html", "notes.txt", "/etc/passwd"]'
    put(tmp_path / "site/.jobkit-site.json", f'{{"kind": "private", "pages": {pages}}}'.encode())
    written(run, tmp_path / "site", book)
    assert (tmp_path / "kept.html").read_bytes() == (tmp_path / "site/notes.txt").read_bytes() == b"kept"


def test_the_public_site_has_marked_repairs_alone_and_nothing_of_the_client(run: Run, tmp_path: Path) -> None:
    written(run, tmp_path / "site", EXAMPLE, "--public")
    pages = pages_in(tmp_path / "site")
    assert sorted(pages) == ["index.html", "jobs/K26-0042.html", "jobs/K26-0047.html"]
    for text in pages.values():
        shown = "".join(part for part in ReadPage(text).texts if "{" not in part)
        assert not re.findall(r"\d{4}-\d{2}-\d{2}|\b\d{1,2} [A-Z][a-z]+ 20\d{2}|\d\d:\d\d", shown)
        assert not re.findall(r"c-\d{3}|T7-0019|EUR|thunderstorm|Render node", shown)
    assert "Q214: power stage shorted" in pages["jobs/K26-0047.html"]
    assert '<img src="../photos/' in pages["jobs/K26-0047.html"]


@pytest.mark.parametrize(
    "change", [("public = true", ""), ("finished = 2026-10-09\n", "")], ids=["unmarked", "not finished"]
)
def test_a_repair_that_is_not_marked_or_not_finished_is_not_public(
    run: Run, tmp_path: Path, change: tuple[str, str]
) -> None:
    job = JOB.replace('outcome = "repaired"', 'outcome = "repaired"\npublic = true').replace(*change)
    book = make_book(tmp_path / "book", {JOB_PATH: job})
    assert run("site", tmp_path / "site", "--public", "--book", book, "--on", "2026-11-20").status == 0
    assert sorted(pages_in(tmp_path / "site")) == ["index.html"]


@pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS)
def test_hostile_text_is_text_on_every_page(run: Run, tmp_path: Path, text: str) -> None:
    quoted = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    job = JOB.replace('"No picture"', f'"{quoted}"\npublic = true').replace(
        '"No picture since Monday"', f'"{quoted}"'
    )
    job = job.replace('design = "alder-a1"', f'design = "{quoted}"') + f'\n[[note]]\ntext = "{quoted}"\n'
    book = make_book(tmp_path / "book", {JOB_PATH: job})
    for kind in ((), ("--public",)):
        assert run("site", tmp_path / f"site{len(kind)}", "--book", book, *ON, *kind).status == 0
        for page in pages_in(tmp_path / f"site{len(kind)}").values():
            read = ReadPage(page)
            assert len(read.named("script")) == ("search.html" in page and "Words to look for" in page)
            assert not {name for _, each in read.tags for name in each} & {"onerror", "onmouseover", "style"}
