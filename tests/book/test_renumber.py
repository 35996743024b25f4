"""Two jobs that took one id: both come out whole, whatever way git put them into one file."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobkit.book.git.linemerge import Labels
from jobkit.book.merge.markers import whole_conflict
from jobkit.book.write.renumber import RenumberError, Two, id_in, two_jobs, with_id
from tests.at_the_bench import JOB, JOB_PATH, bench_book
from tests.book.repo import GitRepo

OTHER = (
    JOB.replace("No picture since Monday", "Loud fan")
    .replace("c-001", "c-002")
    .replace('0001"\n\n', '0002"\n\n')
)


def test_a_whole_conflict_gives_both_sides(tmp_path: Path) -> None:
    text = whole_conflict(JOB, OTHER, Labels())
    assert two_jobs(bench_book(tmp_path), JOB_PATH, text.encode()) == Two(JOB, OTHER)


def _book(tmp_path: Path) -> GitRepo:
    repo = GitRepo.make(tmp_path / "ida")
    bench_book(repo.root)
    (repo.root / JOB_PATH).unlink()
    repo.commit("Open the book")
    return repo


def test_git_tells_the_sides_of_an_addition_on_both_exactly(tmp_path: Path) -> None:
    repo = _book(tmp_path)
    repo.git("branch", "theirs")
    repo.commit("Book in", {JOB_PATH: JOB})
    repo.git("checkout", "-q", "theirs")
    repo.commit("Book in", {JOB_PATH: OTHER})
    repo.git("checkout", "-q", "main")
    assert repo.attempt("merge", "theirs").returncode == 1
    conflicted = (repo.root / JOB_PATH).read_bytes()
    assert not conflicted.startswith(b"<<<<<<<")  # git has merged the lines that are alike
    assert two_jobs(repo.root, JOB_PATH, conflicted) == Two(OTHER, JOB, goes_ours=True)


WAYS = {
    "pull and merge": (("pull", "-q", "--no-rebase", "origin", "main"), Two(OTHER, JOB, goes_ours=True)),
    "pull and rebase": (("pull", "-q", "--rebase", "origin", "main"), Two(OTHER, JOB, goes_ours=False)),
    "a merge of a branch that was never pushed": (("merge", "-q", "quiet"), Two(JOB, OTHER, goes_ours=False)),
}


@pytest.mark.parametrize(("words", "two"), WAYS.values(), ids=WAYS)
def test_the_job_that_other_clones_have_keeps_its_id(
    tmp_path: Path, words: tuple[str, ...], two: Two
) -> None:
    """Whatever git calls ours and theirs: what was pushed stays, and what only this clone has gets another id."""
    there = _book(tmp_path)
    here = there.clone(tmp_path / "bo")
    if "quiet" in words:  # this clone has pushed its job, and the other one lies on a branch of its own
        there.commit("Book in", {JOB_PATH: JOB})
        here.git("checkout", "-q", "-b", "quiet")
        here.commit("Book in", {JOB_PATH: OTHER})
        here.git("checkout", "-q", "main")
        here.git("pull", "-q", "origin", "main")
    else:
        there.commit("Book in", {JOB_PATH: OTHER})
        here.commit("Book in", {JOB_PATH: JOB})
    assert here.attempt(*words).returncode == 1
    assert two_jobs(here.root, JOB_PATH, (here.root / JOB_PATH).read_bytes()) == two


def test_one_job_that_both_sides_changed_is_left_to_a_person(tmp_path: Path) -> None:
    repo = GitRepo.make(tmp_path / "one")
    bench_book(repo.root)
    repo.commit("Book in")
    repo.git("branch", "theirs")
    repo.commit("Change", {JOB_PATH: JOB.replace("Monday", "Tuesday")})
    repo.git("checkout", "-q", "theirs")
    repo.commit("Change", {JOB_PATH: JOB.replace("Monday", "Friday")})
    repo.git("checkout", "-q", "main")
    repo.attempt("merge", "theirs")
    with pytest.raises(RenumberError, match="is one job, changed on both sides"):
        two_jobs(repo.root, JOB_PATH, (repo.root / JOB_PATH).read_bytes())


def test_a_conflict_within_a_file_is_one_job_outside_git_too(tmp_path: Path) -> None:
    text = JOB.replace(
        'client = "c-001"\n', '<<<<<<< ours\nclient = "c-1"\n=======\nclient = "c-2"\n>>>>>>> theirs\n'
    )
    with pytest.raises(RenumberError):
        two_jobs(bench_book(tmp_path), JOB_PATH, text.encode())


def test_a_side_that_is_no_toml_is_not_written_anywhere(tmp_path: Path) -> None:
    text = whole_conflict(JOB, "id = \n", Labels())
    with pytest.raises(RenumberError, match="is not TOML"):
        two_jobs(bench_book(tmp_path), JOB_PATH, text.encode())


def test_only_the_id_changes() -> None:
    assert with_id(JOB, "K26-0008") == JOB.replace("K26-0007", "K26-0008")
    assert id_in(JOB, JOB_PATH) == "K26-0007"
    assert id_in("title = 1\n", JOB_PATH) == "K26-0007"
