"""`jobkit trail`: the history of a job from git, in plain words."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from jobkit.book.git import call
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import BENCH, BOARD, JOB, JOB_PATH, make_book
from tests.conftest import Ran, Run
from tests.schema.schemas import fast

HEAD = JOB.replace('outcome = "repaired"\n', "").split("\n\n[[", 1)[0]
BOOKED_IN = HEAD[: HEAD.index("quoted")]
MEASURED = JOB[JOB.index("[[reading]]") : JOB.index("[[reading]]\nat = 2026-10-09")]
AGREED = "quoted = 2026-10-06\nagreed = 2026-10-07\n"
PRICE = '\n[price]\nquoted = "160.00 EUR"\n[[price.agreed]]\non = 2026-10-07\namount = "160.00 EUR"\n'


@pytest.fixture(autouse=True)
def _no_git_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    forget_git_settings(monkeypatch)


@pytest.fixture
def repo(tmp_path: Path) -> GitRepo:
    """A job of three commits: booked in, agreed, measured."""
    repo = GitRepo.make(tmp_path / "bench")
    make_book(repo.root, {JOB_PATH: BOOKED_IN})
    repo.commit("Book in")
    repo.author = "bo"
    repo.commit("Agreed by mail", {JOB_PATH: BOOKED_IN + AGREED + PRICE})
    repo.author = "ida"
    repo.commit("Measure", {JOB_PATH: BOOKED_IN + AGREED + "\n" + MEASURED.rstrip("\n") + "\n" + PRICE})
    return repo


Trail = Callable[..., Ran]


@pytest.fixture
def trail(run: Run, repo: GitRepo) -> Trail:
    return lambda *words: run("trail", *words, "--book", repo.root)


def told(ran: Ran) -> list[str]:
    """Tell the lines of a trail as "day who: what"."""
    assert (ran.status, ran.err) == (0, "")
    assert fast("answers/trail").is_valid(ran.data)
    return [
        f"{entry['at'][:10]} {entry['by']}: {change['text']}"
        for entry in ran.data["trail"]
        for change in entry["changes"]
    ]


def test_in_the_words_of_the_job(trail: Trail) -> None:
    assert told(trail("1", "--format", "json")) == [
        "2026-09-21 ida: booked in: No picture",
        "2026-09-21 ida: client c-001",
        "2026-09-21 ida: kind graphics card; design alder-a1",
        "2026-09-21 ida: complaint No picture since Monday",
        "2026-09-21 ida: received 2026-10-05",
        "2026-09-21 bo: quoted 2026-10-06",
        "2026-09-21 bo: quoted 160.00 EUR",
        "2026-09-21 bo: agreed 2026-10-07 160.00 EUR",
        "2026-09-21 ida: VMEM 0.4 Ω out, arrival, cold",
    ]


def test_on_a_terminal(trail: Trail, repo: GitRepo) -> None:
    commit = repo.git("rev-parse", "HEAD")[:8]
    page = trail("K26-0001").out.split("\n")
    assert page[0] == "K26-0001  No picture"
    assert page[1].split() == ["day", "what", "committed", "by", "commit"]
    assert " ".join(page[-2].split()) == f"2026-10-08 VMEM 0.4 Ω out, arrival, cold 2026-09-21 ida {commit}"
    assert " ".join(page[7].split()).startswith("received 2026-10-05 2026-09-21 ida")


@pytest.mark.parametrize("columns", [80, 120])
def test_no_line_is_wider_than_the_terminal(
    trail: Trail, monkeypatch: pytest.MonkeyPatch, columns: int
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    assert max(map(len, trail("1").out.split("\n"))) <= columns


def test_a_row_a_change_as_csv(trail: Trail) -> None:
    rows = trail("1", "--format", "csv").out.split("\r\n")
    assert rows[0] == "day,what,committed,author,commit"
    assert rows[-2].startswith('2026-10-08,"VMEM 0.4 Ω out, arrival, cold",2026-09-21,ida,')


def test_the_day_is_that_of_the_bench(run: Run, tmp_path: Path) -> None:
    repo = GitRepo.make(tmp_path / "east")
    make_book(repo.root, {"bench.toml": BENCH.replace('"UTC"', '"Pacific/Auckland"')})
    late = {f"GIT_{role}_DATE": "2026-10-22T23:30:00 -0700" for role in ("AUTHOR", "COMMITTER")}
    repo.git("add", "-A")
    repo.git("commit", "-qm", "Late", env=late)
    assert told(run("trail", "1", "--format", "json", "--book", repo.root))[0].startswith("2026-10-23 ")
    entries = run("trail", "1", "--format", "json", "--book", repo.root, "--on", "2026-10-22").data["trail"]
    assert entries == []


def test_as_of_a_day_and_of_a_revision(trail: Trail) -> None:
    assert len(told(trail("1", "--rev", "HEAD~1", "--format", "json"))) == 8
    assert len(told(trail("1", "--rev", "HEAD~2", "--format", "json"))) == 5
    assert len(told(trail("1", "--on", "2026-09-21", "--format", "json"))) == 9
    ran = trail("1", "--on", "2026-09-20")
    assert ran.out == "K26-0001  No picture\nNothing of it has been committed yet.\n"


def test_limits_are_those_of_the_revision(trail: Trail, repo: GitRepo) -> None:
    repo.commit("A lower limit", {"boards/alder-a1.toml": BOARD.replace("10 Ω ..", "0.1 Ω ..")})
    assert told(trail("1", "--format", "json"))[-1].endswith("VMEM 0.4 Ω in, arrival, cold")
    assert told(trail("1", "--format", "json", "--rev", "HEAD~1"))[-1].endswith(
        "VMEM 0.4 Ω out, arrival, cold"
    )


def test_what_a_correction_was_before(trail: Trail, repo: GitRepo) -> None:
    text = (repo.root / JOB_PATH).read_text("utf-8")
    repo.commit("Correct", {JOB_PATH: text.replace("0.4 Ω", "24 Ω")})
    repo.commit("Take it back", {JOB_PATH: text.replace(MEASURED, "")})
    assert [line.partition(": ")[2] for line in told(trail("1", "--format", "json"))[-2:]] == [
        "VMEM 24 Ω in, arrival, cold (was VMEM 0.4 Ω out)",
        "VMEM 24 Ω in, arrival, cold",
    ]
    rows = trail("1", "--format", "csv").out.split("\r\n")
    assert ["now: VMEM" in rows[-3], "taken out: VMEM" in rows[-2]] == [True, True]


def test_a_merge_tells_only_what_neither_side_had(trail: Trail, repo: GitRepo) -> None:
    text = (repo.root / JOB_PATH).read_text("utf-8")
    repo.git("checkout", "-q", "-b", "bo")
    repo.commit("Bo", {JOB_PATH: text + '[[work]]\nat = 2026-10-08T12:00:00\ndid = "clean"\n'})
    repo.git("checkout", "-q", "main")
    repo.commit("Ida", {JOB_PATH: text + '[[work]]\nat = 2026-10-08T13:00:00\ndid = "inspect"\n'})
    repo.attempt("merge", "bo")
    both = '[[work]]\nat = 2026-10-08T12:00:00\ndid = "clean"\n[[work]]\nat = 2026-10-08T13:00:00\ndid = "inspect"\n'
    repo.commit("Join", {JOB_PATH: text.replace("No picture", "No picture at all", 1) + both})
    lines = told(trail("1", "--format", "json"))[-3:]
    assert [line.partition(": ")[2] for line in lines] == [
        "clean",
        "inspect",
        "title No picture at all (was No picture)",
    ]


def _side_by_side(repo: GitRepo, bo: str, ida: str) -> None:
    """Let two benches write the job side by side, bo first."""
    repo.git("checkout", "-q", "-b", "bo")
    repo.commit("Bo", {JOB_PATH: bo})
    repo.git("checkout", "-q", "main")
    repo.commit("Ida", {JOB_PATH: ida})


def _last(trail: Trail, count: int) -> list[str]:
    return [line.partition(": ")[2] for line in told(trail("1", "--format", "json"))[-count:]]


RESOLVED = {
    "one value": ("170.00", "150.00", "150.00", ["quoted 150.00 EUR"]),
    "the last one": ("170.00", "150.00", "170.00", ["quoted 170.00 EUR"]),
    "another": ("170.00", "150.00", "155.00", ["quoted 155.00 EUR"]),
}


@pytest.mark.parametrize(("bo", "ida", "joined", "said"), RESOLVED.values(), ids=RESOLVED)
def test_the_last_word_is_what_the_file_says(
    trail: Trail, repo: GitRepo, bo: str, ida: str, joined: str, said: list[str]
) -> None:
    text = (repo.root / JOB_PATH).read_text("utf-8")
    told_by = {sum_: text.replace('quoted = "160.00', f'quoted = "{sum_}') for sum_ in (bo, ida, joined)}
    _side_by_side(repo, told_by[bo], told_by[ida])
    repo.attempt("merge", "bo")
    repo.commit("Join", {JOB_PATH: told_by[joined]})
    quoted = [line for line in _last(trail, 3) if line.startswith("quoted")]
    assert quoted[-1].startswith(said[-1])
    assert quoted[0] == "quoted 170.00 EUR (was 160.00 EUR)"


def test_the_last_word_is_told_with_the_last_merge(trail: Trail, repo: GitRepo) -> None:
    text = (repo.root / JOB_PATH).read_text("utf-8")
    told_by = [text.replace('quoted = "160.00', f'quoted = "{sum_}') for sum_ in ("170.00", "150.00")]
    _side_by_side(repo, *told_by)
    repo.attempt("merge", "bo")
    repo.commit("Join", {JOB_PATH: told_by[0]})
    repo.commit("Note", {JOB_PATH: told_by[0] + '[[work]]\nat = 2026-10-08T12:00:00\ndid = "clean"\n'})
    join, note = trail("1", "--format", "json").data["trail"][-2:]
    assert [join["subject"], note["subject"]] == ["Join", "Note"]
    assert [change["text"] for change in join["changes"]] == ["quoted 170.00 EUR"]
    assert [change["text"] for change in note["changes"]] == ["clean"]


def test_a_merge_that_drops_a_side_says_so(trail: Trail, repo: GitRepo) -> None:
    text = (repo.root / JOB_PATH).read_text("utf-8")
    work = '[[work]]\nat = 2026-10-08T12:00:00\ndid = "clean"\n'
    _side_by_side(repo, text + work, text + work.replace("T12", "T13").replace("clean", "inspect"))
    repo.git("merge", "-q", "-s", "ours", "bo", "-m", "Ours")
    assert [line.partition(",")[0] for line in _last(trail, 3)] == ["clean", "inspect", "clean"]
    last = trail("1", "--format", "json").data["trail"][-1]
    assert (last["subject"], last["changes"][0]["change"]) == ("Ours", "removed")


def test_a_cherry_picked_entry_is_told_once(trail: Trail, repo: GitRepo) -> None:
    text = (repo.root / JOB_PATH).read_text("utf-8")
    repo.git("checkout", "-q", "-b", "bo")
    repo.commit("Bo", {JOB_PATH: text + '[[work]]\nat = 2026-10-08T12:00:00\ndid = "clean"\n'})
    repo.git("checkout", "-q", "main")
    repo.commit("Elsewhere", {"note.txt": "ida"})
    repo.git("cherry-pick", "bo")
    repo.git("checkout", "-q", "bo")
    repo.commit("More", {"other.txt": "bo"})
    repo.git("checkout", "-q", "main")
    repo.git("merge", "-q", "bo", "-m", "Join")
    lines = [line.partition(": ")[2] for line in told(trail("1", "--format", "json"))]
    assert lines.count("clean") == 1
    assert lines[-1] == "clean"


def test_two_like_entries_of_two_benches_are_both_told(trail: Trail, repo: GitRepo) -> None:
    text = (repo.root / JOB_PATH).read_text("utf-8")
    used = '[[used]]\nitem = "pad-1mm"\n'
    _side_by_side(repo, text + used, text + used + '[[work]]\ndid = "clean"\n')
    repo.attempt("merge", "bo")
    repo.commit("Join", {JOB_PATH: text + used * 2 + '[[work]]\ndid = "clean"\n'})
    assert sorted(_last(trail, 3)) == ["clean", "used 1 × pad-1mm", "used 1 × pad-1mm"]


def test_two_like_entries_are_both_told(trail: Trail, repo: GitRepo) -> None:
    text = (repo.root / JOB_PATH).read_text("utf-8")
    used = '[[used]]\nitem = "pad-1mm"\n'
    repo.commit("One", {JOB_PATH: text + used})
    repo.commit("Another", {JOB_PATH: text + used * 2})
    assert _last(trail, 2) == ["used 1 × pad-1mm", "used 1 × pad-1mm"]
    repo.commit("One after all", {JOB_PATH: text + used})
    assert _last(trail, 3) == ["used 1 × pad-1mm"] * 3


def test_two_like_entries_of_one_commit_are_both_told(trail: Trail, repo: GitRepo) -> None:
    text = (repo.root / JOB_PATH).read_text("utf-8")
    used = '[[used]]\nitem = "pad-1mm"\n'
    repo.commit("Two", {JOB_PATH: text + used * 2})
    repo.commit("One after all", {JOB_PATH: text + used})
    assert _last(trail, 3) == ["used 1 × pad-1mm"] * 3


def test_the_note_of_an_agreement_is_told(trail: Trail, repo: GitRepo) -> None:
    text = (repo.root / JOB_PATH).read_text("utf-8")
    repo.commit("By telephone", {JOB_PATH: text + 'note = "by telephone"\n'})
    assert _last(trail, 1) == ["agreed 2026-10-07 160.00 EUR, by telephone"]
    assert trail("1", "--format", "json").data["trail"][-1]["changes"][0]["at"] == "2026-10-07"


def test_a_renumbered_job_and_one_that_is_gone(trail: Trail, repo: GitRepo) -> None:
    text = (repo.root / JOB_PATH).read_text("utf-8")
    repo.git("mv", JOB_PATH, "jobs/2026/K26-0009.toml")
    repo.commit("Renumber", {"jobs/2026/K26-0009.toml": text.replace("K26-0001", "K26-0009")})
    lines = told(trail("9", "--format", "json"))
    assert len(lines) == 11
    assert [line.partition(": ")[2] for line in lines[-2:]] == [
        f"moved from {JOB_PATH} to jobs/2026/K26-0009.toml",
        "id K26-0009 (was K26-0001)",
    ]
    (repo.root / "jobs/2026/K26-0009.toml").unlink()
    repo.commit("Throw it away")
    assert told(trail("k26-0009", "--format", "json"))[-1].endswith("removed from the book")
    assert "(no longer in the book)" in trail("K26-0009").out
    ran = trail("9")
    assert (ran.status, 'no job "9"' in ran.err) == (2, True)


def test_logs_layout_and_broken_states(trail: Trail, repo: GitRepo) -> None:
    text = (repo.root / JOB_PATH).read_text("utf-8")
    repo.commit("Log", {"jobs/2026/K26-0001/load.csv": "1"})
    repo.commit("Remark", {JOB_PATH: text + "# watch the fan\n"})
    repo.commit("Broken", {JOB_PATH: text + "<<<<<<< ours\n"})
    repo.commit("Mended", {JOB_PATH: text + '[[work]]\nat = 2026-10-08T12:00:00\ndid = "clean"\n'})
    assert [line.partition(": ")[2] for line in told(trail("1", "--format", "json"))[9:]] == [
        "load.csv added",
        "comments, layout or the bench's own keys",
        "the file cannot be read as TOML",
        "clean",
    ]


def test_a_job_that_is_not_committed_yet(trail: Trail, repo: GitRepo) -> None:
    repo.write("jobs/2026/K26-0002.toml", JOB.replace("K26-0001", "K26-0002"))
    assert trail("2").out == "K26-0002  No picture\nNothing of it has been committed yet.\n"


def test_a_shallow_clone_says_that_there_is_more(run: Run, repo: GitRepo, tmp_path: Path) -> None:
    shallow = repo.clone(tmp_path / "shallow", "--depth=1")
    ran = run("trail", "1", "--book", shallow.root)
    assert "This clone is shallow" in ran.out
    assert "booked in: No picture" in ran.out
    assert run("trail", "1", "--book", shallow.root, "--format", "json").data["shallow"] is True


def test_a_partial_clone_tells_what_it_has(run: Run, repo: GitRepo, tmp_path: Path) -> None:
    repo.git("config", "uploadpack.allowFilter", "true")
    partial = repo.clone(tmp_path / "partial", "--filter=blob:none")
    ran = run("trail", "1", "--book", partial.root, "--format", "json")
    if ran.status:  # git before 2.44 stops at the first state that is not there
        assert "git fetch --refetch --no-filter" in ran.err
    else:
        assert "a state of the file that this clone does not have" in ran.out


def test_a_book_in_a_submodule(run: Run, repo: GitRepo, tmp_path: Path) -> None:
    outer = GitRepo.make(tmp_path / "outer")
    outer.git(
        "-c", "protocol.file.allow=always", "submodule", "--quiet", "add", repo.root.as_uri(), "the book"
    )
    outer.commit()
    assert len(told(run("trail", "1", "--book", outer.root / "the book", "--format", "json"))) == 9


def test_detached(trail: Trail, repo: GitRepo) -> None:
    repo.git("checkout", "-q", "--detach", "HEAD~1")
    assert len(told(trail("1", "--format", "json"))) == 8


def test_what_git_refuses_is_passed_on(trail: Trail, repo: GitRepo, monkeypatch: pytest.MonkeyPatch) -> None:
    """Git's own switch for tests of this refusal, so that no second user is needed."""
    monkeypatch.setitem(call._SET, "GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
    ran = trail("1")
    assert (ran.status, ran.err.count("\n")) == (2, 1)
    assert f"git config --global --add safe.directory {repo.root}" in ran.err


def test_no_repository_and_no_commits(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    book = make_book(tmp_path / "new")
    assert "run `git init` there" in run("trail", "1", "--book", book).err
    GitRepo.make(book)
    assert "has no commits yet; commit the book first" in run("trail", "1", "--book", book).err
