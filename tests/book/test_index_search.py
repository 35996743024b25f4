"""Files found in git's listing of the index, against the listing read line by line, and against git itself."""

from __future__ import annotations

import os
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from jobkit.book import git
from jobkit.book.git import index_search
from jobkit.book.shelf.opening import Index
from jobkit.book.shelf.untracked import Untracked
from tests.book.repo import GitRepo

PART = st.text("aB1.\t\n Ωé", min_size=1, max_size=3)
PATHS = st.lists(st.lists(PART, min_size=1, max_size=3).map("/".join), max_size=20, unique=True)
"""Names that a path may have, however odd: git ends them with NUL alone."""


def listing_of(paths: list[str], tag: str) -> bytes:
    """Write what `git ls-files -s -z` prints, with a tag what it prints with -v."""
    blobs = [f"{number:040x}" for number in range(len(paths))]
    lines = zip(sorted(paths, key=os.fsencode), blobs, strict=True)
    return b"".join(os.fsencode(f"{tag}100644 {blob} 0\t{path}\0") for path, blob in lines)


@given(PATHS, PATHS, st.sampled_from(["", "H "]))
def test_what_is_found_is_what_stands_there(there: list[str], asked: list[str], tag: str) -> None:
    listing = listing_of(there, tag)
    lines = {os.fsdecode(line.partition(b"\t")[2]): line for line in listing.split(b"\0")[:-1]}
    for path in {*there, *asked, ""}:
        found = index_search.find(listing, path)
        assert (found.path if found else None) == (path if path in lines else None)
        below = [one.path for one in index_search.find_below(listing, path)]
        assert below == [one for one in lines if one.startswith(path)]
        name = path.rpartition("/")[2]
        named = [one.path for one in index_search.find_named(listing, name)]
        assert named == [one for one in lines if one.endswith(f"/{name}")]


def test_one_file_is_untracked_where_it_is_among_all_that_are(tmp_path: Path) -> None:
    """Also what is ignored, linked, or lies in a repository of its own."""
    repo = GitRepo.make(tmp_path / "bench")
    files = (
        *("A.toml", "A/known.csv", "A/new.csv", "A/deep/new.csv", "A/ignored.csv"),
        *("B.toml", "B/new.csv", "C/new.csv", "inner/x.csv"),
    )
    repo.write(".gitignore", "ignored.csv\n")
    for file in files:
        repo.write(f"jobs/2026/{file}", "x")
    repo.git("add", ".gitignore", "jobs/2026/A.toml", "jobs/2026/A/known.csv")
    GitRepo.make(repo.root / "jobs/2026/inner")
    (repo.root / "jobs/2026/A/link").symlink_to("deep")
    index = Index(repo.root)
    all_of_them = set(git.untracked_names(index.repo, "jobs"))
    untracked = Untracked(index.repo, index.is_listed)
    asked = {
        *(f"jobs/2026/{file}" for file in files),
        *all_of_them,
        *(
            "jobs/2026/A/link/new.csv",
            "jobs/2026/nowhere.csv",
            "jobs/2026/A/../A/new.csv",
            "bench.toml",
            "jobs",
        ),
    }
    assert {path for path in asked if path in untracked} == all_of_them - {"jobs/2026/inner/"}


def test_a_name_that_no_file_can_have_is_not_there() -> None:
    """As an odd letter is where the file system takes only ASCII."""
    listing, odd = listing_of(["jobs/2026/A.toml"], ""), "jobs/\ud800.toml"
    assert index_search.find(listing, odd) is None
    assert [*index_search.find_below(listing, odd), *index_search.find_named(listing, "\ud800.toml")] == []
