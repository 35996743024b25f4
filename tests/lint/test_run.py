"""How lint runs: what it depends on, how findings are waived, moved and sorted, and that nothing stops it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from jobkit.book.cache.store import Cache
from jobkit.book.read.load import OpenBook, load_jobs, open_book
from jobkit.book.shelf.opening import Index, Revision, Tree
from jobkit.jobs.bench import RepositoryState
from jobkit.jobs.finding import LEVELS, Finding
from jobkit.lint.check.one_file import check_job, live_findings
from jobkit.lint.registry import BOOK_CHECKS, JOB_CHECKS, LIVE_CHECKS, OWN_CHECKS, TEXT_CHECKS
from jobkit.lint.run.whole_book import lint
from tests.book.repo import GitRepo
from tests.lint.broken_books import broken_books
from tests.lint.laid import BOOK, lay, opened

JOB = "jobs/2026/K26-0001.toml"
TEXT = (BOOK / JOB).read_text("utf-8")
OUT = TEXT.replace('value = "0.41 Ω"', 'value = "0.41 kg"')


def rules(findings: tuple[Finding, ...]) -> list[str]:
    return [finding.rule for finding in findings]


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> list[OpenBook]:
    """Open every broken book."""
    folder = tmp_path_factory.mktemp("broken")
    return [opened(lay(folder / str(number), broken.files)) for number, broken in enumerate(broken_books())]


def test_what_is_kept_depends_on_nothing_but_the_file_and_the_bench(books: list[OpenBook]) -> None:
    """A cache may keep the answer: day, files, git and other jobs make no difference to it."""
    other_day = {"today": date(1999, 1, 1), "paths": frozenset[str](), "facts": ()}
    beside = RepositoryState(
        frozenset({JOB, "jobs/2026/K26-0001/load.csv"}), ("private/clients.toml",), ("schema/x",)
    )
    seen = 0
    for book in books:
        elsewhere = book.bench._replace(**other_day, repository=beside)  # type: ignore[arg-type]
        for loaded in load_jobs(book.shelf, book.job_paths):
            checked = check_job(loaded, book.bench)
            assert checked == check_job(loaded, elsewhere)
            seen += len(checked.findings)
    assert seen > 100


def test_a_screen_lets_by_every_job_that_its_rule_speaks_of(books: list[OpenBook]) -> None:
    spoken = 0
    for book in books:
        for loaded in load_jobs(book.shelf, book.job_paths):
            facts = check_job(loaded, book.bench).facts
            for rule, screen, check in LIVE_CHECKS:
                if facts and loaded.job and list(check(loaded.job, book.bench)):
                    assert screen(facts, book.bench), rule.name
                    spoken += 1
    assert spoken >= 6


def test_a_screened_out_job_is_not_loaded() -> None:
    book = opened(BOOK)
    (loaded,) = load_jobs(book.shelf, [JOB])
    facts = check_job(loaded, book.bench).facts
    assert facts
    assert live_findings(facts, book.bench, lambda: pytest.fail("loaded")) == []


def test_every_sort_of_rule_is_in_use() -> None:
    for checks in (JOB_CHECKS, TEXT_CHECKS, LIVE_CHECKS, BOOK_CHECKS, OWN_CHECKS):
        assert checks


def test_two_runs_say_the_same(tmp_path: Path) -> None:
    book = opened(lay(tmp_path / "book", {JOB: OUT}))
    assert lint(book) == lint(book)


def test_wanted_files_are_checked_in_the_light_of_all(tmp_path: Path) -> None:
    """The comeback is judged by a job that nobody asked for, and that job's own slips are not told."""
    files = {JOB: OUT.replace("W1-0019-5521", "W1-0019-5512")}
    book = opened(lay(tmp_path / "book", files))
    report = lint(book, lambda path: path == "jobs/2026/K26-0003.toml")
    assert (report.files, rules(report.findings)) == (1, ["comeback-serial"])


def test_the_summary_counts_by_level(tmp_path: Path) -> None:
    report = lint(opened(lay(tmp_path / "book", {JOB: TEXT.replace("paid = 2026-10-10", "")})))
    assert [report.count(level) for level in LEVELS] == [0, 1, 0]
    assert report.files == 7


def test_what_is_recalled_changes_nothing(tmp_path: Path) -> None:
    book = opened(lay(tmp_path / "book", {JOB: OUT}))
    cache = Cache()
    kept = book._replace(cache=cache)
    assert lint(kept) == lint(kept) == lint(book)
    assert len([*cache.checks()]) == 3


ODD: dict[str, bytes] = {
    "an empty file": b"",
    "no UTF-8": TEXT.encode("utf-16"),
    "half a letter": TEXT.encode()[: TEXT.encode().index("Ω".encode()) + 1],
    "nul bytes": b"\0" * 100,
    "half a job": TEXT[: len(TEXT) // 2].encode(),
    "a list": b"[[[[",
    "a number": b"1\n",
    "deep": b"a = " + b"[" * 500 + b"]" * 500,
}


@pytest.mark.parametrize("content", ODD.values(), ids=ODD)
def test_an_odd_file_is_a_finding_and_the_others_are_checked(tmp_path: Path, content: bytes) -> None:
    root = lay(tmp_path / "book", {"jobs/2026/K26-0003.toml": ""})
    (root / "jobs/2026/K26-0002.toml").write_bytes(content)
    (root / JOB).write_text(OUT, encoding="utf-8")
    found = lint(opened(root)).findings
    assert {one.rule for one in found} == {"schema"}
    assert {one.file for one in found} == {JOB, "jobs/2026/K26-0002.toml"}


@pytest.mark.parametrize("name", ["bench.toml", "meters.toml", "stock.toml", "boards/wick-w1.toml"])
@pytest.mark.parametrize("content", ODD.values(), ids=ODD)
def test_odd_files_of_the_bench_are_findings_too(tmp_path: Path, name: str, content: bytes) -> None:
    root = lay(tmp_path / "book", {})
    (root / name).write_bytes(content)
    found = lint(opened(root)).findings
    assert (name, "schema") in {(one.file, one.rule) for one in found} or content == b""


def test_a_byte_order_mark_and_windows_line_ends_move_nothing(tmp_path: Path) -> None:
    root = lay(tmp_path / "book", {JOB: OUT.replace("Machine", "a@b.example Machine")})
    plain = lint(opened(root)).findings
    (root / JOB).write_bytes(b"\xef\xbb\xbf" + (root / JOB).read_bytes().replace(b"\n", b"\r\n"))
    assert lint(opened(root)).findings == plain
    assert rules(plain) == ["personal-data", "schema"]


def test_what_is_named_like_a_job_and_is_none(tmp_path: Path) -> None:
    root = lay(tmp_path / "book", {})
    (root / "jobs/2026/K26-0009.toml").mkdir()
    (root / "jobs/2026/K26-0010.toml").symlink_to("K26-0001.toml")
    found = lint(opened(root)).findings
    assert [(one.file, one.rule, one.line) for one in found] == [
        ("jobs/2026/K26-0009.toml", "schema", 1),
        ("jobs/2026/K26-0010.toml", "schema", 1),
    ]


def test_tree_index_and_commit_are_three_states(tmp_path: Path) -> None:
    """Sound in the commit, wrong in the index, wrong in another way in the working tree."""
    root = lay(tmp_path / "book", {})
    repo = GitRepo.make(root)
    repo.commit("A sound book")
    repo.write(JOB, TEXT.replace("finished = 2026-10-09", "finished = 2026-10-07"))
    repo.git("add", "-A")
    repo.write(JOB, OUT)
    assert rules(lint(opened(root, Tree(root))).findings) == ["schema"]
    assert rules(lint(opened(root, Index(root))).findings) == ["date-order"]
    assert rules(lint(opened(root, Revision(root, "HEAD"))).findings) == []


def test_a_log_left_out_of_the_index_is_an_error_there(tmp_path: Path) -> None:
    root = lay(tmp_path / "book", {})
    repo = GitRepo.make(root)
    repo.git("add", "--", "bench.toml", "meters.toml", "stock.toml", "boards", "jobs/2026/K26-0001.toml")
    found = lint(opened(root, Index(root))).findings
    assert [(one.rule, one.level, one.about) for one in found] == [
        ("file-untracked", "error", "heat.csv"),
        ("file-untracked", "error", "load.csv"),
    ]
    assert [(one.level, one.about) for one in lint(opened(root, Tree(root))).findings] == [
        ("warning", "heat.csv"),
        ("warning", "load.csv"),
    ]


def test_the_settings_are_those_of_the_same_state(tmp_path: Path) -> None:
    root = lay(tmp_path / "book", {JOB: TEXT.replace("paid = 2026-10-10", "")})
    repo = GitRepo.make(root)
    repo.commit("Sent unpaid")
    bench = (BOOK / "bench.toml").read_text("utf-8")
    repo.write("bench.toml", bench.replace("off = []", 'off = ["sent-unpaid"]'))
    assert rules(lint(opened(root, Tree(root))).findings) == []
    assert rules(lint(opened(root, Index(root))).findings) == ["sent-unpaid"]


def test_a_book_below_the_top_of_its_repository(tmp_path: Path) -> None:
    repo = GitRepo.make(tmp_path / "all")
    root = lay(tmp_path / "all/bench", {JOB: OUT})
    repo.commit("A book in a folder")
    for shelf in (Tree(root), Index(root), Revision(root, "HEAD")):
        assert [one.file for one in lint(opened(root, shelf)).findings] == [JOB]


def test_a_finding_of_a_job_names_the_job_and_one_of_the_bench_none(tmp_path: Path) -> None:
    bench = (BOOK / "bench.toml").read_text("utf-8").replace("Reykjavik", "Reykjavic")
    found = lint(opened(lay(tmp_path / "book", {JOB: OUT, "bench.toml": bench}))).findings
    assert [(one.file, one.job) for one in found] == [("bench.toml", ""), (JOB, "K26-0001")]


def test_nobody_has_looked_at_the_clock() -> None:
    """A caller that does not say the day gets every finding but those that go by it."""
    assert lint(open_book(Tree(BOOK))).findings == ()
