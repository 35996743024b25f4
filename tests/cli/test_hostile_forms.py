"""Hostile texts in every free text and name of a book, through every command in every form: none gets out of its form.

Commands and their forms are those that jobkit itself lists, so a new one is tried, or missed by name.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import jsonschema
import pytest

from jobkit.cli.start.app import COMMANDS, command_named
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import EXAMPLE
from tests.conftest import Run
from tests.form_readers import READERS, coloured, page, text, without_joiners
from tests.hostile import CORPUS, hostile_book, long_book
from tests.long_run import share

DAY = ("--on", "2026-11-20")
DESIGN = "tarnhow-t7-16"
CALLS: dict[str, tuple[tuple[str, ...], ...]] = {
    "lint": ((),),
    "rules": ((),),
    "verdict": (("23.4", "10 Ω .. 60 Ω"),),
    "memory": (("42",), ("26",)),
    "heat": (("26",), ("42",)),
    "load": (("47",), ("42", "47")),
    "suspects": (("61",), ("55",), ("--design", DESIGN)),
    "show": (("47",), ("62",), ("42",), ("--design", DESIGN)),
    "summarise": ((),),
    "week": (("2026-W43",), ("2026-W47",)),
    "queue": ((), ("--hours", "4")),
    "due": (("--within", "2y"),),
    "usual": ((DESIGN,),),
    "bill": (("47",), ("42", "--breakdown"), ("44",)),
    "earnings": ((),),
    "stock": ((), ("--reorder",), ("--donors",)),
    "warranty": (("35",), ("47",)),
    "comebacks": (("--warranty", "P12M"),),
    "trail": (("47",),),
    "diff": (("HEAD~1..HEAD",),),
    "report": (
        *(("47",), ("42", "--lang", "de"), ("49",), ("47", "--for", "intake"), ("55", "--for", "quote")),
        *(("47", "--for", "message"), ("55", "--for", "message")),
    ),
    "label": (("47",),),
}
"""Words that let a command say much of what the book holds."""

ELSEWHERE = {"export": "its tables are read below"}
"""Commands whose forms are files, and where those are read."""


def options_of(name: str) -> dict[str, str]:
    """Return the options of a command, each with what it takes."""
    command = command_named(name)
    assert command
    return {option: str(one.metavar) for one in command.params for option in one.opts}


def forms_of(name: str) -> list[str]:
    """Return the forms that a command says its answer can have."""
    forms = options_of(name).get("--format")
    return forms.split("|") if forms else []


TABLE = [
    (name, form, words)
    for name in COMMANDS
    if name not in ELSEWHERE
    for form in forms_of(name)
    for words in CALLS.get(name, ())
    if not (form == "ubl" and "--breakdown" in words)
]
IDS = ["-".join((name, form, *words)) for name, form, words in TABLE]


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Return a folder of hostile books, each in git, with the example as the commit before."""
    with pytest.MonkeyPatch.context() as patch:
        forget_git_settings(patch)
        yield tmp_path_factory.mktemp("hostile")


def book_in(folder: Path, shift: int) -> Path:
    """Return the book of a shift; it is made when it is first wanted."""
    root = folder / str(shift)
    if not root.exists():
        repo = GitRepo.make(root)
        repo.commit("The example", {"bench.toml": (EXAMPLE / "bench.toml").read_bytes()})
        hostile_book(root, shift)
        repo.author = "<b>=mallory\x1b[2J"
        repo.commit("\n".join(CORPUS.values()).replace("\0", ""))
    return root


def test_every_command_with_forms_is_tried_in_each() -> None:
    with_forms = {name for name in COMMANDS if forms_of(name)}
    assert with_forms == CALLS.keys() | ELSEWHERE.keys()
    assert {form for _, form, _ in TABLE} == READERS.keys()


ESCAPED = {
    "text": "a\x1b[2J",
    "markdown": "# a\n\n![b](http://h.example/)\n",
    "html": "<!doctype html><meta http-equiv=Content-Security-Policy content=x><img src=x onerror=alert(1)>",
    "json": '{"a": "\x9b31m"}',
    "csv": "a,b\r\n=1+1,c\r\n",
    "sarif": '{"version": "2.1.0", "runs": [{}]}',
    "github": "::error file=a,line=1,col=1,title=b::c\n::set-output name=x::y\n1 file: 1 error\n",
    "ics": "BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nATTACH:http://h.example/\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
    "ubl": '<!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>',
    "svg": "<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
}


@pytest.mark.parametrize("form", READERS)
def test_a_reader_sees_what_got_out(form: str) -> None:
    with pytest.raises((AssertionError, jsonschema.ValidationError)):
        READERS[form](ESCAPED[form])


def answer(run: Run, book: Path, name: str, form: str, words: tuple[str, ...], *more: str) -> str:
    """Give the answer of a command; what it says beside must be fit for a terminal."""
    day = DAY if "--on" in options_of(name) and "--since" not in words else ()
    book_words = ("--book", str(book)) if "--book" in options_of(name) else ()
    ran = run(name, *words, *day, *book_words, "--format", form, *more)
    text(ran.err)
    assert ran.status in {0, 1}, ran.err
    return ran.out


@pytest.mark.parametrize(("name", "form", "words"), TABLE, ids=IDS)
def test_nothing_gets_out_of_its_form(
    run: Run, books: Path, name: str, form: str, words: tuple[str, ...]
) -> None:
    READERS[form](answer(run, book_in(books, 0), name, form, words))


_SHIFTS = range(1, len(CORPUS), 5)
_MOVED = [(*asked, _SHIFTS[at % len(_SHIFTS)]) for at, asked in enumerate(TABLE)]


@pytest.mark.parametrize(("name", "form", "words", "shift"), share(_MOVED, 3), ids=share(IDS, 3))
def test_nothing_gets_out_with_the_texts_elsewhere(
    run: Run, books: Path, name: str, form: str, words: tuple[str, ...], shift: int
) -> None:
    """Every text is in turn at every place; each answer is asked of one such book, a third of them in the usual run."""
    READERS[form](answer(run, book_in(books, shift), name, form, words))


@pytest.mark.parametrize("name", [name for name in CALLS if "--color" in options_of(name)])
def test_a_coloured_answer_tells_a_terminal_colours_alone(run: Run, books: Path, name: str) -> None:
    for words in CALLS[name]:
        coloured(answer(run, book_in(books, 0), name, "text", words, "--color", "always"))


def test_data_hold_every_text_as_it_is(run: Run, books: Path) -> None:
    """What is written out for a person is not changed for a program; and all of the corpus gets that far."""
    names = ("show", "report", "stock", "suspects", "trail", "due", "lint", "bill")
    said: list[str] = []
    for name in names:
        for words in CALLS[name]:
            said += strings(json.loads(answer(run, book_in(books, 0), name, "json", words)))
    whole = "\n".join(said)
    assert [kind for kind, one in CORPUS.items() if one not in whole] == []


def strings(value: object) -> Iterator[str]:
    """Yield every text in an answer."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield key
            yield from strings(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from strings(inner)


@pytest.mark.parametrize("kind", [(), ("--public",)], ids=["private", "public"])
def test_pages_of_a_site_are_pages(run: Run, books: Path, tmp_path: Path, kind: tuple[str, ...]) -> None:
    ran = run("site", tmp_path / "site", "--book", book_in(books, 0), *DAY, *kind)
    assert ran.status == 0, ran.err
    text(ran.out + ran.err)
    found = list((tmp_path / "site").rglob("*.html"))
    assert len(found) >= 2
    for one in found:
        page(one.read_text("utf-8"))


def test_tables_of_an_export_are_lines_of_data(run: Run, books: Path, tmp_path: Path) -> None:
    ran = run("export", tmp_path / "tables", "--book", book_in(books, 0), *DAY)
    assert ran.status == 0, ran.err
    text(ran.out + ran.err)
    files = list((tmp_path / "tables").rglob("*.jsonl"))
    assert files
    lines = [line for file in files for line in file.read_bytes().split(b"\n") if line]
    whole = "\n".join(one for line in lines for one in strings(json.loads(line)))
    assert not [line for line in lines if len(line.decode().splitlines()) > 1]
    assert [kind for kind, one in CORPUS.items() if one not in whole] == []


@pytest.mark.parametrize("form", ["text", "markdown", "html", "json"])
def test_texts_of_a_hundred_thousand_letters_are_told(run: Run, tmp_path: Path, form: str) -> None:
    book = long_book(tmp_path / "book")
    for name, words in (("show", ("47",)), ("lint", ()), ("stock", ())):
        if form in forms_of(name):
            READERS[form](answer(run, book, name, form, words))


SAID = [
    *(("on", "47"), ("read", "NOWHERE", "1", "--job", "47"), ("read", "x", "--job", "47")),
    *(("jot", "work", "clean", "--job", "62"), ("jot", "used", "stage", "--job", "62"), ("undo", "--yes")),
    *(("tidy", "--check"), ("upgrade", "--check"), ("stock", "count", "x", "1"), ("phrases", "--lang", "nl")),
    *(("--complete", "read", ""), ("--complete", "jot", "used", ""), ("--complete", "show", "")),
    ("--complete", "stock", "count", ""),
]


@pytest.mark.parametrize("words", SAID, ids=" ".join)
def test_what_writing_commands_say_is_fit_for_a_terminal(
    run: Run, books: Path, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(book_in(books, 1))
    monkeypatch.setenv("JOBKIT_BY", "ida")
    ran = run(*words)
    text(ran.err)
    text(without_joiners(ran.out))
    assert ran.status in {0, 1, 2}
    assert "internal error" not in ran.err


_TYPED = [one for one in CORPUS.values() if "\0" not in one]


@pytest.mark.parametrize("name", COMMANDS)
def test_words_of_a_call_are_told_as_they_are_typed(
    run: Run, tmp_path: Path, books: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(book_in(books, 1))
    monkeypatch.setenv("JOBKIT_BY", "ida")
    for one in share(_TYPED, 3, [*COMMANDS].index(name)):
        ran = run(name, one, one)
        text(ran.err)
        assert "internal error" not in ran.err
        assert ran.status in {0, 1, 2}, (one, ran)
    assert not list(tmp_path.iterdir())
