"""Tree, index and commit answer alike, and nothing that lies in a book makes them fall over."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from jobkit.book import git
from jobkit.book.shelf.opening import Index, Kind, Revision, Shelf, ShelfError, Tree, kind_of
from jobkit.book.shelf.tree import GitTree
from tests.book.repo import GitRepo

BOOK = {
    "bench.toml": "format = 1\n",
    "meters.toml": "format = 1\n",
    "stock.toml": "format = 1\n",
    "boards/tarnhow-t7-16.toml": "format = 1\n",
    "jobs/2026/K26-0047.toml": "format = 1\n",
    "jobs/2026/K26-0047/load run.csv": "s,°C\n",
    "jobs/2026/K26-0047/photos/α\n.jpg": "jpg",
    "jobs/2025/K25-0001.toml": "format = 1\r\n",
}
STRAY = {
    "README.md": "",
    ".gitignore": "private/\n",
    "schema/job.schema.json": "{}",
    "jobs/notes.toml": "",
    "jobs/2026/notes.txt": "",
    "jobs/2026/.K26-0047.toml.swp": "",
    "jobs/2026/.half-written.toml": "",
    "jobs/2026/K26-0047/.DS_Store": "",
    "boards/old/x.toml": "",
    "boards/readme.md": "",
    "deep/jobs/2026/K26-0001.toml": "",
}

KINDS: list[tuple[str, Kind]] = [
    ("bench.toml", "bench"),
    ("meters.toml", "meters"),
    ("stock.toml", "stock"),
    ("private/clients.toml", "clients"),
    ("boards/tarnhow-t7-16.toml", "board"),
    ("boards/a/b.toml", "other"),
    ("boards/b.csv", "other"),
    ("boards/.b.toml", "other"),
    ("boards", "other"),
    ("jobs/2026/K26-0047.toml", "job"),
    ("jobs/later/anything at all.toml", "job"),
    ("jobs/2026/K26-0047.toml/x", "attachment"),
    ("jobs/2026/K26-0047/heat.csv", "attachment"),
    ("jobs/2026/K26-0047/deep/er.toml", "attachment"),
    ("jobs/2026/K26-0047/.hidden", "other"),
    ("jobs/.git/K26-0047/x", "other"),
    ("jobs/2026/.toml", "other"),
    ("jobs/2026/K26-0047", "other"),
    ("jobs/K26-0047.toml", "other"),
    ("jobs", "other"),
    ("", "other"),
    ("schema/job.schema.json", "other"),
    ("private/other.toml", "other"),
    ("x/bench.toml", "other"),
    ("Bench.toml", "other"),
]


@pytest.mark.parametrize(("path", "kind"), KINDS, ids=[path or "nothing" for path, _ in KINDS])
def test_kind_is_told_from_the_path(path: str, kind: Kind) -> None:
    assert kind_of(path) == kind


Open = Callable[[Path], Shelf]
SHELVES: dict[str, Open] = {
    "tree": Tree,
    "tree in git": lambda root: GitTree(root, git.WorktreeQuery(git.open_repo(root))),
    "index": Index,
    "revision": lambda root: Revision(root, "HEAD"),
}
every_shelf = pytest.mark.parametrize("opened", SHELVES.values(), ids=SHELVES)


@pytest.mark.parametrize("prefix", ["", "repairs/the book/"])
@every_shelf
def test_all_shelves_answer_alike(repo: GitRepo, opened: Open, prefix: str) -> None:
    repo.commit("Fill", {f"{prefix}{path}": content for path, content in (BOOK | STRAY).items()})
    shelf = opened(repo.root / prefix)
    assert shelf.paths() == tuple(sorted(BOOK))
    assert shelf.job_paths() == tuple(path for path in sorted(BOOK) if kind_of(path) == "job")
    assert dict(shelf.read_many(shelf.paths())) == {path: content.encode() for path, content in BOOK.items()}
    for path, content in BOOK.items():
        assert shelf.read(path) == content.encode()
        assert shelf.blob(path) == git.blob_id(content.encode())
    assert shelf.read("schema/job.schema.json") == b"{}"


def test_each_shelf_shows_its_own_state(repo: GitRepo) -> None:
    repo.commit("Fill", {"bench.toml": "committed"})
    repo.write("bench.toml", "staged")
    repo.write("jobs/2026/K26-0001.toml", "staged")
    repo.git("add", ".")
    repo.write("bench.toml", "in the tree")
    repo.write("jobs/2026/K26-0002.toml", "in the tree")
    (repo.root / "jobs/2026/K26-0001.toml").unlink()
    tree, index, revision = Tree(repo.root), Index(repo.root), Revision(repo.root, "HEAD")
    assert [shelf.read("bench.toml") for shelf in (tree, index, revision)] == [
        b"in the tree",
        b"staged",
        b"committed",
    ]
    assert tree.paths() == ("bench.toml", "jobs/2026/K26-0002.toml")
    assert index.paths() == ("bench.toml", "jobs/2026/K26-0001.toml")
    assert revision.paths() == ("bench.toml",)
    assert [shelf.name for shelf in (tree, index, revision)] == ["working tree", "index", "revision HEAD"]


def test_the_tree_needs_no_git_and_the_others_say_so(tmp_path: Path) -> None:
    (tmp_path / "bench.toml").write_text("x")
    assert Tree(tmp_path).paths() == ("bench.toml",)
    for opened in (Index, SHELVES["revision"]):
        with pytest.raises(git.NotInGitError):
            opened(tmp_path)


def test_private_clients_are_on_the_shelf_only_where_they_lie(repo: GitRepo) -> None:
    repo.commit("Fill", {"bench.toml": "", ".gitignore": "private/\n", "private/clients.toml": "c"})
    assert Tree(repo.root).paths() == ("bench.toml", "private/clients.toml")
    assert Index(repo.root).paths() == ("bench.toml",)
    repo.git("add", "-f", "private/clients.toml")
    assert Index(repo.root).paths() == ("bench.toml", "private/clients.toml")


def test_a_sha256_repository_gives_its_own_ids(tmp_path: Path) -> None:
    repo = GitRepo.make(tmp_path / "bench", "--object-format=sha256")
    repo.commit("Fill", {"bench.toml": "x"})
    tree = Tree(repo.root, git.open_repo(repo.root).hashing)
    assert tree.blob("bench.toml") == Index(repo.root).blob("bench.toml")
    assert len(tree.blob("bench.toml")) == 64


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ("jobs/2026/K26-0001.toml", "no jobs/2026/K26-0001.toml"),
        ("jobs", "jobs"),
        ("", "no"),
        ("..", ".."),
        (".", "."),
        ("jobs/..", "jobs/.."),
        ("../outside.toml", "outside.toml"),
        ("jobs/../../outside.toml", "outside.toml"),
        ("/etc/hostname", "/etc/hostname"),
        ("a\0b", "a"),
        ("bench.toml/x", "bench.toml/x"),
    ],
)
@every_shelf
def test_what_is_not_in_the_book_is_said(repo: GitRepo, opened: Open, path: str, said: str) -> None:
    repo.write("../outside.toml", "secret")
    repo.commit("Fill", {"bench.toml": "", "jobs/2026/K26-0002.toml": ""})
    shelf = opened(repo.root)
    with pytest.raises(ShelfError) as caught:
        shelf.read(path)
    assert said in caught.value.message
    assert caught.value.mend
    ((_, answer),) = shelf.read_many([path])
    assert isinstance(answer, ShelfError)
    with pytest.raises(ShelfError):
        shelf.blob(path)


def _folder(file: Path) -> None:
    file.mkdir()


def _pipe(file: Path) -> None:
    os.mkfifo(file)


def _link_outside(file: Path) -> None:
    file.symlink_to("/etc/hostname")


def _link_to_itself(file: Path) -> None:
    file.symlink_to(file.name)


def _link_inside(file: Path) -> None:
    file.symlink_to("../../bench.toml")


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (_folder, "is a folder"),
        (_pipe, "is a named pipe"),
        (_link_outside, "is a symbolic link"),
        (_link_to_itself, "is a symbolic link"),
        (_link_inside, "is a symbolic link"),
    ],
)
def test_what_is_named_like_a_job_but_is_none(repo: GitRepo, make: Callable[[Path], None], said: str) -> None:
    repo.commit("Fill", {"bench.toml": "b", "jobs/2026/K26-0001.toml": "1", "jobs/2026/K26-0003.toml": "3"})
    make(repo.root / "jobs/2026/K26-0002.toml")
    shelves: list[Shelf] = [Tree(repo.root)]
    if said == "is a symbolic link":
        repo.git("add", "-A")
        shelves.append(Index(repo.root))
    for shelf in shelves:
        assert shelf.paths() == ("bench.toml", *(f"jobs/2026/K26-000{number}.toml" for number in (1, 2, 3)))
        answers = [content for _, content in shelf.read_many(shelf.paths())]
        assert (answers[0], answers[1], answers[3]) == (b"b", b"1", b"3")
        assert isinstance(answers[2], ShelfError)
        assert answers[2].message.startswith("jobs/2026/K26-0002.toml ")
        assert said in answers[2].message


def test_a_linked_folder_is_not_followed(repo: GitRepo, tmp_path: Path) -> None:
    (tmp_path / "archive").mkdir()
    (tmp_path / "archive/K25-0001.toml").write_text("elsewhere")
    repo.commit("Fill", {"bench.toml": "", "jobs/2026/K26-0001.toml": ""})
    (repo.root / "jobs/2025").symlink_to(tmp_path / "archive")
    tree = Tree(repo.root)
    assert tree.paths() == ("bench.toml", "jobs/2026/K26-0001.toml")
    with pytest.raises(ShelfError):
        tree.read("jobs/2025/K25-0001.toml")


def test_a_book_reached_through_a_link_is_read(repo: GitRepo, tmp_path: Path) -> None:
    repo.commit("Fill", {"bench.toml": "b"})
    (tmp_path / "link").symlink_to(repo.root)
    for opened in SHELVES.values():
        assert opened(tmp_path / "link").read("bench.toml") == b"b"


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "bench.toml").write_text("x")

    def refuse(*_: object) -> int:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("jobkit.book.disk.folder.os.open", refuse)  # root may read whatever its mode
    with pytest.raises(
        ShelfError, match=r"bench.toml cannot be read: permission is missing; check the permissions"
    ):
        Tree(tmp_path).read("bench.toml")


@pytest.mark.parametrize("place", ["jobs", "boards"])
def test_a_file_where_a_folder_should_be(tmp_path: Path, place: str) -> None:
    (tmp_path / place).write_text("")
    with pytest.raises(ShelfError, match=f"the folder {place} cannot be read"):
        Tree(tmp_path).paths()


def test_an_empty_folder_holds_no_files(tmp_path: Path) -> None:
    assert Tree(tmp_path).paths() == ()


def test_an_unfinished_merge_is_said(repo: GitRepo) -> None:
    repo.commit("Base", {"bench.toml": "base", "stock.toml": "s"})
    repo.git("checkout", "-q", "-b", "side")
    repo.commit("Side", {"bench.toml": "side"})
    repo.git("checkout", "-q", "main")
    repo.commit("Main", {"bench.toml": "main"})
    assert repo.attempt("merge", "side").returncode == 1
    answers = dict(Index(repo.root).read_many(["bench.toml", "stock.toml"]))
    assert answers["stock.toml"] == b"s"
    assert str(answers["bench.toml"]).startswith("bench.toml is not merged yet; resolve its conflict")


def test_a_lost_blob_is_said_of_its_file(repo: GitRepo) -> None:
    repo.commit("Fill", {"bench.toml": "b", "stock.toml": "s"})
    blob = git.blob_id(b"b")
    (repo.root / ".git/objects" / blob[:2] / blob[2:]).unlink()
    answers = dict(Index(repo.root).read_many(["bench.toml", "stock.toml"]))
    assert answers["stock.toml"] == b"s"
    assert str(answers["bench.toml"]).startswith(
        "the repository does not have the content of bench.toml; run `git fsck`"
    )


def test_a_submodule_named_like_a_job_is_said(repo: GitRepo) -> None:
    commit = repo.commit("Fill", {"bench.toml": ""})
    repo.git("update-index", "--add", "--cacheinfo", f"160000,{commit},jobs/2026/K26-0001.toml")
    with pytest.raises(ShelfError, match="is another repository"):
        Index(repo.root).read("jobs/2026/K26-0001.toml")
