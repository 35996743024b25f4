"""Files that the person names: own links are followed, a link that came with a repository or a book is not."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobkit.book.disk.errors import RefusedError
from jobkit.book.disk.named import place_named


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a home folder with a clone in it (`src/clone`, a book below its top), and folders outside of that."""
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    for folder in ("home/src/clone/.git", "home/src/clone/bench/jobs", "home/docs", "srv/www"):
        (tmp_path / folder).mkdir(parents=True)
    (tmp_path / "home/src/clone/bench/bench.toml").write_text("")
    monkeypatch.chdir(tmp_path / "home/src/clone/bench")
    return tmp_path / "home"


@pytest.mark.parametrize(
    ("name", "root", "path"),
    [
        pytest.param("week.md", "src/clone", "bench/week.md", id="in the book"),
        pytest.param("jobs/../week.md", "src/clone", "bench/week.md", id="up again"),
        pytest.param("~/docs/week.md", "docs", "week.md", id="outside any book"),
        pytest.param("../../../docs/week.md", "docs", "week.md", id="out of the book by steps"),
        pytest.param("~/docs/new/week.md", "docs", "new/week.md", id="in a folder that is not there yet"),
        pytest.param("~/public/week.md", "../srv/www", "week.md", id="through a link of one's own"),
        pytest.param("~/mine/week.md", "src/clone", "bench/week.md", id="through a link of one's own into a book"),
        pytest.param("~/latest.md", "docs", "7.md", id="a file that is a link of one's own"),
    ],
)  # fmt: skip
def test_where_a_name_leads(home: Path, name: str, root: str, path: str) -> None:
    (home / "public").symlink_to("../srv/www")
    (home / "mine").symlink_to("src/clone/bench")
    (home / "latest.md").symlink_to("docs/7.md")
    place = place_named(name.replace("~", str(home)))
    assert (place.root, place.path) == (str((home / root).resolve()), path)
    assert place.is_inside == (root == "src/clone")


@pytest.mark.parametrize(
    "name",
    ["week.md", "out/week.md", "out/../week2.md", "~/mine/out/week.md", "~/chain/week.md", "deep/out/week.md",
     "~/src/clone/up/week.md", "inside/week.md"],
)  # fmt: skip
def test_a_link_that_came_with_a_clone_is_refused(home: Path, name: str) -> None:
    book = home / "src/clone/bench"
    (book / "week.md").symlink_to("../../../.bashrc")
    (book / "out").symlink_to("../../../docs")
    (book / "inside").symlink_to("jobs")
    (book / "deep").mkdir()
    (book / "deep/out").symlink_to("../../../../docs")
    (home / "src/clone/up").symlink_to("../../docs")
    (home / "mine").symlink_to("src/clone/bench")
    (home / "chain").symlink_to("mine/out")
    with pytest.raises(RefusedError, match="is a symbolic link, which jobkit does not follow"):
        place_named(name.replace("~", str(home)))


def test_who_keeps_the_home_folder_in_git_may_have_links_there(home: Path) -> None:
    (home / ".git").mkdir()
    (home / "public").symlink_to("../srv/www")
    assert place_named(str(home / "public/week.md")).root == str(home.parent / "srv/www")


def test_a_circle_of_links_has_an_end(home: Path) -> None:
    (home / "one").symlink_to("other")
    (home / "other").symlink_to("one")
    with pytest.raises(OSError, match="symbolic links"):
        place_named(str(home / "one"))
