"""What git is asked, against what git itself says in real repositories."""

import os
import sys
from collections.abc import Callable, Generator
from pathlib import Path

import pytest

from jobkit.book import git
from jobkit.book.git import call, config, log
from jobkit.book.git import files_containing as searching
from tests.book.repo import GitRepo

pytestmark = pytest.mark.slow

ODD_NAMES = [
    "plain.toml",
    "with space.toml",
    "two\nlines.toml",
    "tab\there.toml",
    "Ω-β.toml",
    "[a]*?.toml",
    '"quoted".toml',
    "-dash.toml",
    b"\xff-latin.toml".decode(errors="surrogateescape"),
]
BOOKS = ["", "book/", "a book/in [a]*/"]


def staged_names(repo: git.Repo) -> tuple[str, ...]:
    """Name the files that the next commit adds or changes."""
    return tuple(one.path for one in git.StagedQuery(repo).changes if one.letter != "D")


@pytest.mark.parametrize("book", BOOKS)
@pytest.mark.parametrize("hashing", ["sha1", "sha256"])
def test_names_come_back_as_they_are_whatever_they_hold(tmp_path: Path, book: str, hashing: str) -> None:
    repo = GitRepo.make(tmp_path / "top", f"--object-format={hashing}")
    repo.write("elsewhere/bench.toml", "not in the book" if book else "")
    for name in ODD_NAMES:
        repo.write(f"{book}{name}", name.encode(errors="surrogateescape"))
    seen = git.open_repo(repo.root / book)
    assert (seen.prefix, seen.hashing, seen.top) == (book, hashing, os.path.realpath(repo.root))
    mine = {*ODD_NAMES, *([] if book else ["elsewhere/bench.toml"])}
    assert set(git.new_names(seen)) == mine

    repo.git("add", ".")
    assert set(staged_names(seen)) == mine
    assert {entry.path for entry in git.index_entries(seen)} == mine

    repo.commit()
    assert staged_names(seen) == ()
    assert git.new_names(seen) == ()
    entries = git.tree_entries(seen, git.resolve(seen, "HEAD"))
    assert entries == git.index_entries(seen)
    contents = list(git.read_blobs(seen, [entry.blob for entry in entries]))
    for entry, content in zip(entries, contents, strict=True):
        assert content == (repo.root / book / entry.path).read_bytes()
        assert entry.blob == git.blob_id(content, hashing)

    (repo.root / book / ODD_NAMES[2]).write_bytes(b"changed")
    (repo.root / book / ODD_NAMES[3]).unlink()
    repo.write("elsewhere/bench.toml", "changed")
    changed = {ODD_NAMES[2], ODD_NAMES[3], *([] if book else ["elsewhere/bench.toml"])}
    assert set(git.changed_names(seen)) == changed


# Pro Git, 2nd edition, 10.2 "Git Internals - Git Objects" (from memory, and git hash-object agrees below).
def test_blob_id_is_the_published_one(repo: GitRepo) -> None:
    assert git.blob_id(b"what is up, doc?") == "bd9dbf5aae1a3862dd1526723246b20206e5fc37"
    assert git.blob_id(b"") == "e69de29bb2d1d6434b8b29ae775ad8c2e48c5391"
    for content in (b"a\n", b"\0\r\n", "Ω".encode() * 5000):
        file = repo.write("x", content)
        assert git.blob_id(content) == repo.git("hash-object", "--no-filters", str(file)).strip()


@pytest.mark.parametrize("count", [0, 1, 20_000])
def test_many_blobs_are_read_in_order_without_a_jam(repo: GitRepo, count: int) -> None:
    contents = [f"{number}\n".encode() * (number * 300) for number in range(50)]
    repo.commit("Fill", {str(number): content for number, content in enumerate(contents)})
    wanted = [number * 7 % 50 for number in range(count)]
    blobs = [git.blob_id(contents[number]) for number in wanted]
    got = git.read_blobs(git.open_repo(repo.root), blobs)
    assert all(content == contents[number] for number, content in zip(wanted, got, strict=True))


def test_reading_may_stop_early(repo: GitRepo) -> None:
    repo.commit("Fill", {"x": "x" * 1_000_000})
    blob = git.blob_id(b"x" * 1_000_000)
    contents = git.read_blobs(git.open_repo(repo.root), [blob] * 10_000)
    assert next(contents) == b"x" * 1_000_000
    assert isinstance(contents, Generator)
    contents.close()


def test_a_lost_blob_does_not_hide_the_others(repo: GitRepo) -> None:
    repo.commit("Fill", {"x": "1", "y": "2", "z": "3"})
    lost = git.blob_id(b"2")
    (repo.root / ".git/objects" / lost[:2] / lost[2:]).unlink()
    blobs = [git.blob_id(content) for content in (b"1", b"2", b"3")]
    assert list(git.read_blobs(git.open_repo(repo.root), blobs)) == [b"1", git.Unread.MISSING, b"3"]


def test_a_damaged_blob_is_one_plain_sentence(repo: GitRepo) -> None:
    repo.commit("Fill", {"x": "1" * 500})
    blob = git.blob_id(b"1" * 500)
    file = repo.root / ".git/objects" / blob[:2] / blob[2:]
    file.chmod(0o644)
    file.write_bytes(file.read_bytes()[:-9])
    with pytest.raises(git.GitError, match=r"stopped reading files in .*; run `git fsck`"):
        list(git.read_blobs(git.open_repo(repo.root), [blob]))


class TestRevisions:
    @pytest.mark.parametrize("name", ["HEAD", "main", "v1", "HEAD~0", "@", "main^{commit}"])
    def test_names_of_a_commit(self, repo: GitRepo, name: str) -> None:
        commit = repo.commit()
        repo.git("tag", "-a", "-m", "first", "v1")
        assert git.resolve(git.open_repo(repo.root), name) == commit

    @pytest.mark.parametrize(
        "name",
        ["", "nope", "-x", "--help", "HEAD:bench.toml", "a\0b", "HEAD\nHEAD", "HEAD..HEAD", "@{u}", "HEAD~9"],
    )
    def test_a_bad_name_is_named(self, repo: GitRepo, name: str) -> None:
        repo.commit("Fill", {"bench.toml": ""})
        with pytest.raises(git.UnknownRevisionError) as caught:
            git.resolve(git.open_repo(repo.root), name)
        assert repr(name) in caught.value.message
        assert "git log --oneline" in caught.value.mend

    def test_before_the_first_commit(self, repo: GitRepo) -> None:
        with pytest.raises(git.UnknownRevisionError, match="has no commits yet; commit the book first"):
            git.resolve(git.open_repo(repo.root), "HEAD")
        repo.write("x", "1")
        repo.git("add", "x")
        assert staged_names(git.open_repo(repo.root)) == ("x",)

    def test_detached_head(self, repo: GitRepo) -> None:
        first = repo.commit()
        repo.commit()
        repo.git("checkout", "-q", first)
        assert git.resolve(git.open_repo(repo.root), "HEAD") == first

    def test_a_shallow_clone_says_how_to_get_the_rest(self, repo: GitRepo, tmp_path: Path) -> None:
        old = repo.commit()
        repo.commit()
        shallow = repo.clone(tmp_path / "shallow", "--depth=1")
        with pytest.raises(git.UnknownRevisionError, match=f"'{old}' names no commit.*git fetch --unshallow"):
            git.resolve(git.open_repo(shallow.root), old)

    def test_a_commit_without_the_book_holds_no_files(self, repo: GitRepo) -> None:
        commit = repo.commit("Before the book", {"x": "1"})
        repo.write("book/bench.toml", "")
        assert git.tree_entries(git.open_repo(repo.root / "book"), commit) == ()


class TestRefusals:
    def test_no_git_program(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setenv("PATH", str(tmp_path))
        with pytest.raises(git.GitMissingError, match=r"git cannot be started.*; install git"):
            git.open_repo(tmp_path)

    def test_no_repository(self, tmp_path: Path) -> None:
        with pytest.raises(git.NotInGitError, match="is not in a git repository; run `git init`"):
            git.open_repo(tmp_path)

    @pytest.mark.parametrize("place", [".git", ".git/objects", "no such folder", "file"])
    def test_no_working_tree_there(self, repo: GitRepo, place: str) -> None:
        repo.write("file", "")
        with pytest.raises(git.NotInGitError):
            git.open_repo(repo.root / place)

    def test_a_bare_repository(self, repo: GitRepo, tmp_path: Path) -> None:
        repo.commit()
        bare = repo.clone(tmp_path / "bare", "--bare")
        with pytest.raises(git.NotInGitError):
            git.open_repo(bare.root)

    def test_another_owner_passes_on_gits_advice(self, repo: GitRepo) -> None:
        # Git's own switch for tests of this refusal, so that no second user is needed.
        refused = repo.attempt("status", env={"GIT_TEST_ASSUME_DIFFERENT_OWNER": "1"})
        assert refused.returncode
        error = call.refusal(refused.stderr, "status", str(repo.root))
        assert error.message.endswith("it belongs to another user")
        assert f"git config --global --add safe.directory {repo.root}" in error.mend

    def test_any_other_refusal_keeps_gits_words(self, repo: GitRepo) -> None:
        repo.write(".git/config", "[core\n")
        with pytest.raises(git.GitError, match=r"git rev-parse failed in .*: bad config line 1") as caught:
            git.open_repo(repo.root)
        assert "git status" in caught.value.mend


class TestWhichRepository:
    def test_a_submodule_is_a_repository_of_its_own(self, repo: GitRepo, tmp_path: Path) -> None:
        inner = GitRepo.make(tmp_path / "inner")
        inner.commit("Fill", {"bench.toml": "inner"})
        url = inner.root.as_uri()
        repo.git("-c", "protocol.file.allow=always", "submodule", "--quiet", "add", url, "sub")
        repo.commit()
        assert [entry.path for entry in git.index_entries(git.open_repo(repo.root / "sub"))] == ["bench.toml"]
        outside = {entry.path: entry.mode for entry in git.index_entries(git.open_repo(repo.root))}
        assert outside == {".gitmodules": "100644", "sub": "160000"}

    def test_names_that_differ_in_case_only(self, repo: GitRepo) -> None:
        repo.commit("Fill", {"a.toml": "1"})
        blob = git.blob_id(b"1")
        repo.git("update-index", "--add", "--cacheinfo", f"100644,{blob},A.toml")
        assert [entry.path for entry in git.index_entries(git.open_repo(repo.root))] == ["A.toml", "a.toml"]

    def test_an_unfinished_merge_shows_its_stages(self, repo: GitRepo) -> None:
        repo.commit("Base", {"x": "base\n"})
        repo.git("checkout", "-q", "-b", "side")
        repo.commit("Side", {"x": "side\n"})
        repo.git("checkout", "-q", "main")
        repo.commit("Main", {"x": "main\n"})
        assert repo.attempt("merge", "side").returncode == 1
        entries = git.index_entries(git.open_repo(repo.root))
        assert [(entry.path, entry.stage) for entry in entries] == [("x", 1), ("x", 2), ("x", 3)]

    def test_git_dir_and_work_tree_are_obeyed_where_nothing_else_is(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        repo = GitRepo.make(tmp_path / "bench")
        repo.commit("Fill", {"book/bench.toml": ""})
        (repo.root / ".git").rename(tmp_path / "apart.git")
        with pytest.raises(git.NotInGitError):
            git.open_repo(repo.root / "book")
        monkeypatch.setenv("GIT_DIR", str(tmp_path / "apart.git"))
        monkeypatch.setenv("GIT_WORK_TREE", str(repo.root))
        seen = git.open_repo(repo.root / "book")
        assert (seen.top, seen.prefix) == (str(repo.root), "book/")
        assert [entry.path for entry in git.index_entries(seen)] == ["bench.toml"]

    def test_the_cache_is_shared_by_linked_worktrees(self, repo: GitRepo, tmp_path: Path) -> None:
        repo.commit("Fill", {"bench.toml": ""})
        repo.git("worktree", "add", "-q", str(tmp_path / "linked"))
        main, linked = git.open_repo(repo.root), git.open_repo(tmp_path / "linked")
        assert linked.common_dir == main.common_dir == str(repo.root / ".git")
        assert linked.git_dir != main.git_dir


SHOW_STAGED = """
import sys
from jobkit.book import git
repo = git.open_repo(sys.argv[1])
names = (entry.path for entry in git.index_entries(repo))
staged = (one.path for one in git.StagedQuery(repo).changes)
print(repo.prefix, *staged, *names, file=open({seen!r}, "w"))
"""


class TestInAHook:
    """Git exports GIT_DIR, GIT_INDEX_FILE and more to its hooks, and not the same everywhere."""

    @pytest.fixture
    def seen(self, repo: GitRepo, tmp_path: Path) -> Path:
        repo.commit("Fill", {"book/bench.toml": "", "book/a.toml": "1", "book/b.toml": "1"})
        seen = tmp_path / "seen"
        script = repo.write("../show.py", SHOW_STAGED.format(seen=str(seen)))
        hook = repo.write(".git/hooks/pre-commit", f'#!/bin/sh\nexec "{sys.executable}" "{script}" book\n')
        hook.chmod(0o755)
        repo.write("book/a.toml", "2")
        repo.write("book/b.toml", "2")
        return seen

    @pytest.fixture(autouse=True)
    def _jobkit_is_found(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setenv("PYTHONPATH", str(Path(git.__file__).parents[3]))

    @pytest.mark.parametrize(
        ("words", "staged"),
        [
            (("-a",), "a.toml b.toml"),
            (("book/b.toml",), "b.toml"),
            (("--include", "book/a.toml"), "a.toml"),
        ],
        ids=["commit all", "commit one path", "commit what is staged and one path"],
    )
    def test_the_index_of_this_commit_is_read(
        self, repo: GitRepo, seen: Path, words: tuple[str, ...], staged: str
    ) -> None:
        repo.git("commit", "-m", "Change", *words)
        assert seen.read_text() == f"book/ {staged} a.toml b.toml bench.toml\n"

    def test_partly_staged(self, repo: GitRepo, seen: Path) -> None:
        repo.git("add", "book/a.toml")
        repo.git("commit", "-m", "Change")
        assert seen.read_text() == "book/ a.toml a.toml b.toml bench.toml\n"

    def test_in_a_linked_worktree(self, repo: GitRepo, seen: Path, tmp_path: Path) -> None:
        repo.git("worktree", "add", "-q", str(tmp_path / "linked"))
        linked = GitRepo(tmp_path / "linked")
        linked.write("book/a.toml", "3")
        linked.git("commit", "-a", "-m", "Change")
        assert seen.read_text() == "book/ a.toml a.toml b.toml bench.toml\n"

    def test_a_second_book_is_not_read_from_the_first_ones_index(
        self, repo: GitRepo, seen: Path, tmp_path: Path
    ) -> None:
        other = GitRepo.make(tmp_path / "other")
        other.commit("Fill", {"theirs.toml": ""})
        hook = repo.root / ".git/hooks/pre-commit"
        hook.write_text(hook.read_text().replace("book\n", f"{other.root}\n"))
        repo.git("commit", "-m", "Change", "book/b.toml")  # git names the index by its absolute path here
        assert seen.read_text() == " theirs.toml\n"


class TestHostileSettings:
    """Nothing that a repository's settings name is run. Each test first sees git itself run it."""

    @pytest.fixture
    def trap(self, repo: GitRepo, tmp_path: Path) -> str:
        repo.commit("Fill", {"x": "1\n", ".gitattributes": "* filter=evil diff=evil\n"})
        trap = repo.write("../trap", f'#!/bin/sh\ntouch "{tmp_path}/sprung"\ncat\n')
        trap.chmod(0o755)
        return str(trap)

    @pytest.fixture
    def sprung(self, tmp_path: Path) -> Callable[[], bool]:
        def was_sprung() -> bool:
            sprung = (tmp_path / "sprung").exists()
            (tmp_path / "sprung").unlink(missing_ok=True)
            return sprung

        return was_sprung

    @staticmethod
    def read_everything(repo: GitRepo) -> None:
        seen = git.open_repo(repo.root)
        commit = git.resolve(seen, "HEAD")
        staged_names(seen)
        git.changed_names(seen)
        git.new_names(seen)
        for entry in (*git.index_entries(seen), *git.tree_entries(seen, commit)):
            list(git.read_blobs(seen, [entry.blob]))
        git.staged_files(seen)
        git.worktree_files(seen)
        assert git.WorktreeQuery(seen).status
        git.files_between(seen, commit, commit)
        list(log.steps(seen, commit))
        searching.files_containing(seen, ["."], ["1"])
        git.blobs_up_to(seen, commit, ["f"])
        config.attributes(seen, "x")
        config.in_force(seen, "core.hooksPath")
        config.hooks_folder(seen)

    @staticmethod
    def make_time_stamps_too_young_to_trust(repo: GitRepo) -> None:
        young = (repo.root / "x").stat().st_mtime_ns
        os.utime(repo.root / ".git/index", ns=(young, young))

    @pytest.mark.parametrize(
        ("setting", "by_itself"),
        [
            ("core.fsmonitor", ["status"]),
            ("filter.evil.clean", ["diff-files"]),
            ("filter.evil.process", ["diff-files"]),
            ("diff.evil.textconv", ["show"]),
            ("diff.evil.command", ["show", "--ext-diff"]),
            ("diff.external", ["show", "--ext-diff"]),
        ],
    )
    def test_not_run(
        self, repo: GitRepo, trap: str, sprung: Callable[[], bool], setting: str, by_itself: list[str]
    ) -> None:
        repo.git("config", setting, trap)
        if setting.startswith("filter"):
            repo.git("config", "filter.evil.required", "true")
        self.make_time_stamps_too_young_to_trust(repo)
        repo.attempt(*by_itself)
        assert sprung(), "the trap does not work"
        self.make_time_stamps_too_young_to_trust(repo)
        sprung()
        self.read_everything(repo)
        assert not sprung()

    def test_a_filter_with_an_odd_name_is_not_run(
        self, repo: GitRepo, trap: str, sprung: Callable[[], bool]
    ) -> None:
        repo.write(".gitattributes", "* filter=a=b.c\n")
        repo.write(".git/config", f'[filter "a=b.c"]\n\tclean = "{trap}"\n\trequired\n')
        self.make_time_stamps_too_young_to_trust(repo)
        repo.attempt("diff-files")
        assert sprung(), "the trap does not work"
        self.make_time_stamps_too_young_to_trust(repo)
        sprung()
        self.read_everything(repo)
        assert not sprung()

    def test_nothing_is_fetched_for_a_partial_clone(
        self, repo: GitRepo, sprung: Callable[[], bool], tmp_path: Path
    ) -> None:
        repo.commit("Fill", {"x": "1\n"})
        repo.git("config", "uploadpack.allowFilter", "true")
        repo.git("config", "uploadpack.allowAnySHA1InWant", "true")
        partial = repo.clone(tmp_path / "partial", "--filter=blob:none", "--no-checkout")
        partial.git("config", "remote.origin.url", f"ext::touch {tmp_path}/sprung")
        partial.git("config", "protocol.ext.allow", "always")
        partial.attempt("cat-file", "blob", git.blob_id(b"1\n"))
        assert sprung(), "the trap does not work"
        seen = git.open_repo(partial.root)
        got: list[bytes | git.Unread] | str
        try:
            got = list(git.read_blobs(seen, [git.blob_id(b"1\n")] * 2))
        except git.GitError as error:  # git before 2.44 stops at the first
            got = error.mend.rpartition("with ")[2]
        assert got in ([git.Unread.MISSING] * 2, "`git fetch --refetch --no-filter`")
        assert not sprung()

    def test_settings_do_not_change_the_answer(self, repo: GitRepo) -> None:
        repo.commit("Fill", {"b/x": "1", "a/y": "1"})
        repo.write("orders", "b/*\na/*\n")
        for setting in (
            "diff.relative=true",
            "diff.noprefix=true",
            "diff.orderFile=orders",
            "color.ui=always",
        ):
            repo.git("config", *setting.split("="))
        repo.git("config", "diff.renames", "copies")
        repo.write("b/x", "2")
        repo.git("mv", "a/y", "a/z")
        repo.git("add", "b")
        assert staged_names(git.open_repo(repo.root)) == ("a/z", "b/x")
        assert staged_names(git.open_repo(repo.root / "a")) == ("z",)

    @pytest.mark.parametrize(
        ("name", "value"),
        [
            ("GIT_EXTERNAL_DIFF", "false"),
            ("GIT_TRACE", "1"),
            ("GIT_GLOB_PATHSPECS", "1"),
            ("GIT_PAGER", "false"),
            ("LC_ALL", "de_DE.UTF-8"),
        ],
    )
    def test_the_callers_environment_does_not_change_the_answer(
        self, repo: GitRepo, monkeypatch: pytest.MonkeyPatch, name: str, value: str
    ) -> None:
        repo.commit("Fill", {"x": "1"})
        monkeypatch.setenv(name, value)
        self.read_everything(repo)
        with pytest.raises(git.UnknownRevisionError):
            git.resolve(git.open_repo(repo.root), "nope")
        with pytest.raises(git.NotInGitError):
            git.open_repo(repo.root.parent)

    def test_settings_handed_down_by_the_caller_are_kept(
        self, repo: GitRepo, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        repo.commit("Fill", {"x": "1"})
        repo.write("new", "")
        monkeypatch.setenv("GIT_CONFIG_COUNT", "1")
        monkeypatch.setenv("GIT_CONFIG_KEY_0", "core.excludesFile")
        monkeypatch.setenv("GIT_CONFIG_VALUE_0", str(repo.write("../ignored", "new\n")))
        repo.git("config", "filter.f.clean", "cat")
        seen = git.open_repo(repo.root)
        assert git.new_names(seen) == ()
        assert git.changed_names(seen) == ()
