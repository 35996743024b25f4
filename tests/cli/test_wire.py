"""`jobkit wire` as it is typed: what it says, and that it needs one book in git."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.book.repo import GitRepo, forget_git_settings
from tests.books import make_book
from tests.conftest import Run


@pytest.fixture(autouse=True)
def _no_git_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    forget_git_settings(monkeypatch)


@pytest.fixture
def repo(tmp_path: Path) -> GitRepo:
    repo = GitRepo.make(tmp_path / "bench")
    make_book(repo.root)
    return repo


def test_it_says_what_is_set_up_and_undone(run: Run, repo: GitRepo) -> None:
    repo.write(".git/hooks/pre-commit", "#!/bin/sh\n").chmod(0o755)
    ran = run("wire", "--book", repo.root)
    assert (ran.status, ran.err) == (0, "")
    assert ran.out == (
        f"hook        {repo.root}/.git/hooks/pre-commit, after the one that was there\n"
        "diffs       git diff and git log -p show each entry as a line, readings with their verdicts\n"
        "merges      by entries; both benches' additions are kept\n"
        f"for         the jobs in the repository's top (said in {repo.root}/.git/info/attributes)\n"
        "CI          reverts, amended commits and merges that git makes by itself pass no hook: add this to your CI,\n"
        "            with the last commit that was checked as REV, in a clone with the whole history:\n"
        "            jobkit lint --since REV\n"
    )
    assert run("wire", "--book", repo.root).out == ran.out
    ran = run("wire", "--undo", "--book", repo.root)
    assert (ran.status, ran.out, ran.err) == (0, "git is set up as it was before\n", "")


def test_without_the_hook(run: Run, repo: GitRepo) -> None:
    assert run("wire", "--no-hook", "--book", repo.root).out.startswith("hook        none\n")
    assert not (repo.root / ".git/hooks/pre-commit").exists()


def test_the_hook_is_taken_away_and_set_again(run: Run, repo: GitRepo) -> None:
    own = repo.write(".git/hooks/pre-commit", "#!/bin/sh\n")
    own.chmod(0o755)
    hooks = own.parent
    run("wire", "--book", repo.root)
    assert "jobkit" in own.read_text()
    ran = run("wire", "--no-hook", "--book", repo.root)
    assert (ran.status, ran.err, ran.out.splitlines()[0]) == (0, "", "hook        none")
    assert own.read_text() == "#!/bin/sh\n"
    assert not (hooks / "pre-commit.before-jobkit").exists()
    assert "merge.jobkit.driver" in repo.git("config", "--local", "--list")
    assert run("wire", "--book", repo.root).out.splitlines()[0].endswith("after the one that was there")


def test_the_hook_is_taken_away_for_one_book_of_two(run: Run, repo: GitRepo) -> None:
    for name in ("north", "south"):
        make_book(repo.root / name)
        run("wire", "--book", repo.root / name)
    ran = run("wire", "--no-hook", "--book", repo.root / "south")
    assert ran.out.splitlines()[0] == "hook        not for this book"
    assert ran.out.endswith(
        "jobkit lint --book north --since REV\n            jobkit lint --book south --since REV\n"
    )
    hook = (repo.root / ".git/hooks/pre-commit").read_text()
    assert "--wired north/\n" in hook
    run("wire", "--book", repo.root / "north")
    assert "--wired north/\n" in (repo.root / ".git/hooks/pre-commit").read_text()
    run("wire", "--no-hook", "--book", repo.root / "north")
    assert not (repo.root / ".git/hooks/pre-commit").exists()


def test_a_shared_hook_is_said_to_call_it_still(
    run: Run, repo: GitRepo, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings = repo.write("../gitconfig", f"[core]\n\thooksPath = {tmp_path}/shared\n")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(settings))
    hook = tmp_path / "shared/pre-commit"
    hook.parent.mkdir()
    hook.write_text("#!/bin/sh\npython3 -P -m jobkit.hook --wired . || exit 1\n")
    ran = run("wire", "--no-hook", "--book", repo.root)
    assert ran.out.splitlines()[0] == f"hook        your own hook calls it: {hook}; remove the line"


def test_attributes_that_say_otherwise_are_told(run: Run, repo: GitRepo) -> None:
    repo.write(".gitattributes", "*.toml merge=union\n")
    assert (
        "but         .gitattributes has other settings for jobs: merge=union\n"
        in run("wire", "--book", repo.root).out
    )


def test_shared_hooks_are_refused_with_the_line_to_add(
    run: Run, repo: GitRepo, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings = repo.write("../gitconfig", f"[core]\n\thooksPath = {tmp_path}/shared\n")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(settings))
    ran = run("wire", "--book", repo.root)
    assert (ran.status, ran.out, ran.err.count("\n")) == (2, "", 1)
    assert f"add this line to {tmp_path}/shared/pre-commit" in ran.err
    assert "-m jobkit.hook --wired . || exit 1" in ran.err


def test_no_repository(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    ran = run("wire", "--book", make_book(tmp_path / "new"))
    assert (ran.status, "run `git init` there" in ran.err) == (2, True)


def test_one_book_at_a_time(run: Run, repo: GitRepo, tmp_path: Path) -> None:
    ran = run("--book", repo.root, "wire", "--book", make_book(tmp_path / "other"))
    assert (ran.status, "name one --book" in ran.err) == (2, True)


LETTERS = 'letters = { K = "ida", L = "tor" }\n'


def with_letters(repo: GitRepo) -> None:
    """List two letters in bench.toml."""
    path = repo.root / "bench.toml"
    path.write_text(path.read_text("utf-8").replace('letter = "K"\n', f'letter = "K"\n{LETTERS}'), "utf-8")
    repo.commit("Two letters")


def book_in(run: Run, repo: GitRepo) -> str:
    """Book a board in; give the id."""
    words = ("--client", "c-2", "--title", "Loud", "--complaint", "Loud fan", "--kind", "graphics card")
    ran = run("book-in", *words, "--book", repo.root)
    assert ran.status == 0, ran
    return ran.out.split()[0]


def test_a_clone_has_a_letter_of_its_own_for_ids_and_invoices(
    run: Run, repo: GitRepo, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    with_letters(repo)
    other = repo.clone(tmp_path / "other")
    ran = run("wire", "--id-letter", "L", "--book", other.root)
    assert (ran.status, ran.err) == (0, "")
    assert "ids         begin with L, the letter of tor\n" in ran.out
    assert run("wire", "--book", other.root).out == ran.out
    ids = [book_in(run, clone) for clone in (repo, other, repo, other)]
    assert [one[0] for one in ids] == ["K", "L", "K", "L"]
    number = run("jot", "invoice", "--job", "K26-0001", "--book", other.root)
    assert "invoice number L" in number.out
    for clone in (repo, other):
        clone.commit("A day's work")
    other.git("pull", "-q", "--rebase", "origin", "main")
    said = run("lint", "--book", other.root, "--format", "json").data["findings"]
    assert [one for one in said if one["rule"] in {"id-twice", "letter-unknown", "invoice-number"}] == []
    assert run("wire", "--undo", "--book", other.root).status == 0
    assert "jobkit" not in other.git("config", "--local", "--list")
    assert book_in(run, other).startswith("K")


def test_a_letter_listed_twice_is_named_before_any_is_given(run: Run, repo: GitRepo) -> None:
    with_letters(repo)
    path = repo.root / "bench.toml"
    path.write_text(path.read_text("utf-8").replace("letters = { ", 'letters = { L = "tor", '), "utf-8")
    ran = run("wire", "--id-letter", "L", "--book", repo.root)
    assert (ran.status, ran.out) == (2, "")
    assert "bench.toml: L is there twice; delete one of the two" in ran.err


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--id-letter", "M"), "bench.toml does not list the letter M"),
        (("--id-letter", "l"), '"l" is not a capital letter; write one, such as K'),
        (("--id-letter", "LL"), '"LL" is not a capital letter'),
        (("--id-letter", "L", "--undo"), "--undo takes the letter away, and --id-letter gives one"),
    ],
)
def test_a_letter_that_is_not_listed_is_refused(
    run: Run, repo: GitRepo, words: tuple[str, ...], message: str
) -> None:
    with_letters(repo)
    ran = run("wire", *words, "--book", repo.root)
    assert (ran.status, ran.out) == (2, "")
    assert message in ran.err
    assert "letter" not in repo.git("config", "--local", "--list")


def test_a_letter_taken_off_the_list_books_nothing_in(run: Run, repo: GitRepo) -> None:
    with_letters(repo)
    assert run("wire", "--id-letter", "L", "--book", repo.root).status == 0
    path = repo.root / "bench.toml"
    path.write_text(path.read_text("utf-8").replace(LETTERS, ""), "utf-8")
    words = ("--client", "c-2", "--title", "Loud", "--complaint", "Loud fan", "--kind", "graphics card")
    ran = run("book-in", *words, "--book", repo.root)
    assert (ran.status, "bench.toml does not list the letter L" in ran.err) == (2, True)


def test_a_letter_named_twice_is_told(run: Run, repo: GitRepo) -> None:
    path = repo.root / "bench.toml"
    twice = 'letters = { K = "ida", K = "tor" }\n'
    path.write_text(path.read_text("utf-8").replace('letter = "K"\n', f'letter = "K"\n{twice}'), "utf-8")
    ran = run("lint", "--book", repo.root)
    assert ran.status == 1
    assert "bench.toml" in ran.out
