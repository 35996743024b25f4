"""Reports and sites of jobs that hold what a careless or hostile hand may write: escaped, scaled or refused."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
import tomlkit

from tests.books import JOB, JOB_PATH, make_book, put
from tests.conftest import Run
from tests.pages.hostile import TEXTS
from tests.pages.html_reader import ReadPage
from tests.schema.filled import filled

image = pytest.importorskip("PIL.Image", reason="Pillow is an extra of jobkit")
ON = ("--on", "2026-11-20")
FOLDER = JOB_PATH.removesuffix(".toml")


def jpeg(width: int = 64, height: int = 48) -> bytes:
    out = io.BytesIO()
    image.new("RGB", (width, height), "navy").save(out, "JPEG")
    return out.getvalue()


SVG = b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'><script>alert(1)</script><image href='http://x/'/></svg>"
PHOTOS: Mapping[str, tuple[bytes | None, str]] = {
    "missing": (None, "there is no jobs/2026/K26-0001/bad.jpg"),
    "empty": (b"", "it is not a JPEG, PNG, WebP or GIF picture"),
    "cut": (jpeg(900, 900)[:3000], "the file is damaged"),
    "svg": (SVG, "it is not a JPEG, PNG, WebP or GIF picture"),
    "50 MB": (jpeg() + b"\0" * 50_000_000, "is larger than 16 MB"),
    "too many pixels": (
        b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\x01\0\0\0\x01\0\0\x08\x02\0\0\0\x17\xf3\x1b\x10",
        "",
    ),
}


def pages(run: Run, book: Path, to: Path) -> dict[str, str]:
    """Write report and sites of the first job, and read them back."""
    found = {}
    ran = run("report", "1", "--book", book, *ON, "--format", "html")
    assert ran.status == 0, ran.err
    found["report"] = ran.out
    for kind in ((), ("--public",)):
        ran = run("site", to / f"site{len(kind)}", "--book", book, *ON, *kind)
        assert ran.status == 0, ran.err
        found["".join(kind) or "site"] = (to / f"site{len(kind)}/jobs/K26-0001.html").read_text("utf-8")
    return found


@pytest.mark.parametrize(("content", "why"), PHOTOS.values(), ids=PHOTOS)
def test_a_photo_that_cannot_be_shown_is_a_line_and_the_page_is_whole(
    run: Run, tmp_path: Path, content: bytes | None, why: str
) -> None:
    job = JOB.replace('title = "No picture"', 'title = "No picture"\npublic = true')
    job += '\n[[seen]]\ncheck = "eye"\nphotos = ["bad.jpg", "good.jpg"]\n'
    book = make_book(tmp_path / "book", {JOB_PATH: job})
    put(book / FOLDER / "good.jpg", jpeg())
    if content is not None:
        put(book / FOLDER / "bad.jpg", content)
    for kind, page in pages(run, book, tmp_path).items():
        read = ReadPage(page)
        assert len(read.named("img")) == 1
        assert not read.named("script")
        missing = [text for text in read.texts if "is not shown" in text or "cannot be shown" in text]
        assert len(missing) == 1
        assert kind == "--public" or why in missing[0]


@pytest.mark.parametrize(
    "name", ["../K26-0002/secret.jpg", "../../../private/secret.jpg", "../../2026/K26-0002/secret.jpg"]
)
def test_a_photo_of_another_folder_is_not_shown(run: Run, tmp_path: Path, name: str) -> None:
    job = JOB.replace('title = "No picture"', 'title = "No picture"\npublic = true')
    book = make_book(tmp_path / "book", {JOB_PATH: f'{job}\n[[seen]]\ncheck = "eye"\nphotos = ["{name}"]\n'})
    for place in ("private/secret.jpg", "jobs/2026/K26-0002/secret.jpg"):
        put(book / place, jpeg())
    for kind, page in pages(run, book, tmp_path).items():
        assert not ReadPage(page).named("img")
        assert kind == "--public" or "it is outside the folder of the job" in page
    assert not list(tmp_path.glob("site*/photos/*"))


def test_three_hundred_readings_are_on_the_report_and_the_site(run: Run, tmp_path: Path) -> None:
    more = "".join(
        f'\n[[reading]]\nat = 2026-10-09T11:{at % 60:02}:00\nstage = "proof"\npoint = "P{at}"\nkind = "resistance"\n'
        f'value = "{20 + at / 10:g} Ω"\nlimit = "10 Ω .. 60 Ω"\nstate = "cold"\n'
        for at in range(300)
    )
    job = JOB.replace('title = "No picture"', 'title = "No picture"\npublic = true') + more
    for page in pages(run, make_book(tmp_path / "book", {JOB_PATH: job}), tmp_path).values():
        read = ReadPage(page)
        assert {f"P{at}" for at in range(300)} <= set(read.texts)
        assert len(read.named("svg")) >= 300
        assert len(page) < 1_500_000


def everywhere(value: Any, text: str) -> Any:
    """Put a text into every key that takes any text."""
    if isinstance(value, Mapping):
        return {key: everywhere(inner, text) for key, inner in value.items()}
    if isinstance(value, list):
        return [everywhere(one, text) for one in value]
    is_free = isinstance(value, str) and re.fullmatch(r"[a-z_]+ \d+", value)
    return text if is_free else value


@pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS)
def test_hostile_text_in_every_key_is_text_on_every_page(run: Run, tmp_path: Path, text: str) -> None:
    whole = {**filled("job"), "id": "K26-0001", "outcome": "repaired"}
    tags = {}
    for name, words in (("plain", "plain words"), ("hostile", text)):
        job = everywhere(whole, words)
        del job["comeback"]
        book = make_book(tmp_path / name / "book", {JOB_PATH: tomlkit.dumps(job)})
        read = {kind: ReadPage(page) for kind, page in pages(run, book, tmp_path / name).items()}
        tags[name] = {kind: [tag for tag, _ in one.tags] for kind, one in read.items()}
        for one in read.values():
            shown = "".join("".join(one.texts).split())
            assert shown.count("".join(words.split())) >= 10
            assert not one.named("script")
            assert not {key for _, keys in one.tags for key in keys} & {
                "onerror",
                "onmouseover",
                "onload",
                "style",
            }
    assert tags["plain"] == tags["hostile"]
