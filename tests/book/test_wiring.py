"""`wire` and `wire --undo` in real repositories: what git does afterwards, and that nothing is left behind."""

from __future__ import annotations

import errno
import os
import re
import shutil
import sys
from pathlib import Path

import pytest

from jobkit.book import git
from jobkit.book.disk.errors import DiskError
from jobkit.book.git import call, config
from jobkit.book.setup.attributes import with_books
from jobkit.book.setup.hook_script import hook_script, is_ours
from jobkit.book.setup.wiring import Wired, WireError, unwire, wire
from tests.book.repo import GitRepo
from tests.books import JOB, JOB_PATH, make_book
from tests.faults.steps import KILL, Fault
from tests.faults.steps import call as call_jobkit
from tests.long_run import share

pytestmark = pytest.mark.slow

PYTHON = sys.executable
FOUND = '"kg" is not a unit of resistance'


@pytest.fixture
def bench(repo: GitRepo) -> GitRepo:
    make_book(repo.root)
    repo.commit("Open the book")
    return repo


def everything(repo: GitRepo) -> dict[str, bytes | str]:
    """Take down every file of a repository but the objects, with its mode; what git writes by itself is left out."""
    found: dict[str, bytes | str] = {}
    for folder, folders, names in os.walk(repo.root):
        folders[:] = [name for name in folders if name not in {"objects", "logs"}]
        for name in (*names, *folders):
            place = Path(folder, name)
            key = place.relative_to(repo.root).as_posix()
            if place.is_symlink():
                found[key] = f"link to {place.readlink()}"
            elif place.is_dir():
                found[f"{key}/"] = ""
            elif name != "index":
                found[f"{key} {place.stat().st_mode:o}"] = place.read_bytes()
    return found


def hook(repo: GitRepo, text: str, path: str = ".git/hooks/pre-commit") -> Path:
    file = repo.write(path, text)
    file.chmod(0o755)
    return file


BEFORE: dict[str, dict[str, str | bytes]] = {
    "nothing": {},
    "a hook": {".git/hooks/pre-commit": "#!/bin/sh\nexit 0\n"},
    "a hook that is not a text": {".git/hooks/pre-commit": b"\x7fELF\xff\0"},
    "attributes": {".git/info/attributes": "*.csv -text\n"},
    "attributes without a last line end": {".git/info/attributes": "*.csv -text"},
    "attributes in another encoding": {".git/info/attributes": b"# \xfcber\n"},
    "settings at the end": {
        ".git/config": "[core]\n\trepositoryformatversion = 0\n[user]\n\tname = x\n# mine\n"
    },
    "another way to merge": {".git/config": '[core]\n\tbare = false\n[merge "other"]\n\tdriver = true\n'},
    "attributes of its own": {".gitattributes": "jobs/**/*.toml merge=jobkit diff=jobkit\n"},
    "hooks in the working tree": {
        ".git/config": "[core]\n\tbare = false\n\thooksPath = my hooks\n",
        "my hooks/pre-commit": "#!/bin/sh\n",
    },
}


class TestUndo:
    """Whatever was there before: after wire, wire again, and undo, it is there again, byte for byte."""

    @pytest.mark.parametrize("files", BEFORE.values(), ids=BEFORE)
    def test_leaves_it_as_it_was(self, bench: GitRepo, files: dict[str, str | bytes]) -> None:
        for path, content in files.items():
            bench.write(path, content).chmod(0o755 if "pre-commit" in path else 0o644)
        before = everything(bench)
        first = wire(bench.root, PYTHON)
        wired = everything(bench)
        assert wired != before
        assert wire(bench.root, PYTHON) == first
        assert everything(bench) == wired
        assert unwire(bench.root, PYTHON) == Wired(())
        assert everything(bench) == before
        assert unwire(bench.root, PYTHON) == Wired(())
        assert everything(bench) == before

    def test_folders_that_a_bare_template_lacks(self, tmp_path: Path) -> None:
        repo = GitRepo.make(tmp_path / "bench", "--template=")
        make_book(repo.root)
        before = everything(repo)
        wire(repo.root, PYTHON)
        assert (repo.root / ".git/info/attributes").is_file()
        unwire(repo.root, PYTHON)
        assert everything(repo) == before

    def test_a_hook_that_is_a_link(self, bench: GitRepo) -> None:
        script = hook(bench, "#!/bin/sh\n", "../elsewhere")
        (bench.root / ".git/hooks/pre-commit").symlink_to(script)
        before = everything(bench)
        wire(bench.root, PYTHON)
        unwire(bench.root, PYTHON)
        assert everything(bench) == before

    def test_what_was_set_meanwhile_stays(self, bench: GitRepo) -> None:
        wire(bench.root, PYTHON)
        bench.git("config", "merge.jobkit.recursive", "binary")
        bench.git("config", "user.name", "ida")
        attributes = bench.root / ".git/info/attributes"
        attributes.write_text(attributes.read_text() + "*.png binary\n")
        unwire(bench.root, PYTHON)
        settings = bench.git("config", "--local", "--list")
        assert "merge.jobkit.recursive=binary" in settings
        assert "user.name=ida" in settings
        assert "jobkit.driver" not in settings
        assert attributes.read_text() == "*.png binary\n"

    def test_a_hook_changed_by_hand_is_somebodys_work(self, bench: GitRepo) -> None:
        wire(bench.root, PYTHON)
        mine = bench.root / ".git/hooks/pre-commit"
        mine.write_text(mine.read_text() + "make check\n")
        before = everything(bench)
        for again in (wire, unwire):
            with pytest.raises(WireError, match="not as `jobkit wire` wrote it"):
                again(bench.root, PYTHON)
        assert everything(bench) == before

    def test_a_hook_put_there_after_wire_stays(self, bench: GitRepo) -> None:
        wire(bench.root, PYTHON)
        hook(bench, "#!/bin/sh\n# somebody else's\n")
        unwire(bench.root, PYTHON)
        assert (bench.root / ".git/hooks/pre-commit").read_text() == "#!/bin/sh\n# somebody else's\n"

    def test_two_hooks_are_not_guessed_about(self, bench: GitRepo) -> None:
        hook(bench, "#!/bin/sh\n# first\n")
        wire(bench.root, PYTHON)
        hook(bench, "#!/bin/sh\n# second\n")
        before = everything(bench)
        with pytest.raises(WireError, match="there are two hooks"):
            wire(bench.root, PYTHON)
        assert everything(bench) == before


class TestHooksPath:
    def test_shared_hooks_are_left_alone(
        self, bench: GitRepo, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """A setting of the person, for all repositories."""
        shared = tmp_path / "my hooks"
        monkeypatch.setenv(
            "GIT_CONFIG_GLOBAL", str(bench.write("../gitconfig", f'[core]\n\thooksPath = "{shared}"\n'))
        )
        before = everything(bench)
        with pytest.raises(WireError) as caught:
            wire(bench.root, PYTHON)
        assert everything(bench) == before
        assert str(shared) in caught.value.message
        assert not shared.exists()
        line = caught.value.mend.partition(": ")[2]
        mine = hook(bench, f"#!/bin/sh\n{line}\n", str(shared / "pre-commit"))
        wired = wire(bench.root, PYTHON)
        assert (wired.hook, wired.elsewhere, wired.chained) == (str(mine), True, False)
        assert not (bench.root / ".git/hooks/pre-commit").exists()
        assert unwire(bench.root, PYTHON).elsewhere
        assert everything(bench) == before

    def test_the_line_to_add_does_what_the_hook_does(
        self, bench: GitRepo, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        shared = tmp_path / "hooks"
        settings = str(bench.write("../gitconfig", f"[core]\n\thooksPath = {shared}\n"))
        monkeypatch.setenv("GIT_CONFIG_GLOBAL", settings)
        with pytest.raises(WireError) as caught:
            wire(bench.root, PYTHON)
        hook(
            bench, f"#!/bin/sh\n{caught.value.mend.partition(': ')[2]}\nexit 0\n", str(shared / "pre-commit")
        )
        bench.write(JOB_PATH, JOB.replace('"23.4 Ω"', '"23.4 kg"'))
        refused = bench.attempt("commit", "-am", "Slip", env={"GIT_CONFIG_GLOBAL": settings})
        assert (refused.returncode, FOUND in refused.stdout + refused.stderr) == (1, True)
        other = GitRepo.make(tmp_path / "no book")
        other.write("a", "1")
        other.git("add", "a")
        other.git("commit", "-m", "Nothing to do with boards", env={"GIT_CONFIG_GLOBAL": settings})

    def test_without_the_hook_the_rest_is_set_up(
        self, bench: GitRepo, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        settings = str(bench.write("../gitconfig", "[core]\n\thooksPath = /nowhere\n"))
        monkeypatch.setenv("GIT_CONFIG_GLOBAL", settings)
        assert wire(bench.root, PYTHON, hook=False).hook == ""
        assert "merge.jobkit.driver" in bench.git("config", "--local", "--list")

    @pytest.mark.parametrize("path", ["my hooks", ".githooks/here"])
    def test_hooks_of_this_repository_are_used_where_they_are(self, bench: GitRepo, path: str) -> None:
        bench.git("config", "core.hooksPath", path)
        wired = wire(bench.root, PYTHON)
        assert wired.hook == str(bench.root / path / "pre-commit")
        bench.write(JOB_PATH, JOB.replace('"23.4 Ω"', '"23.4 kg"'))
        assert bench.attempt("commit", "-am", "Slip").returncode == 1

    def test_a_repository_that_points_elsewhere_writes_nothing_there(
        self, bench: GitRepo, tmp_path: Path
    ) -> None:
        """Settings of a repository from somebody else: a folder of programs is not a place for a hook."""
        bench.git("config", "core.hooksPath", str(tmp_path / "bin"))
        with pytest.raises(WireError, match="shared with others"):
            wire(bench.root, PYTHON)
        assert not (tmp_path / "bin").exists()

    def test_a_link_that_leads_out_is_elsewhere(self, bench: GitRepo, tmp_path: Path) -> None:
        (tmp_path / "bin").mkdir()
        (bench.root / "hooks").symlink_to(tmp_path / "bin")
        bench.git("config", "core.hooksPath", "hooks")
        with pytest.raises(WireError, match="shared with others"):
            wire(bench.root, PYTHON)
        assert list((tmp_path / "bin").iterdir()) == []


ODD_FOLDERS = [
    *("", "plain/", "with space/", "Ω/", 'q"uote/', "back\\slash/", "star*/", "[ab]/", "q?/"),
    *("ta\tb/", "l\nf/", "-x/", "#x/", "!x/"),
]


class TestBooks:
    def test_two_books_in_one_repository(self, repo: GitRepo) -> None:
        for name in ("north", "a book/in [a]*"):
            make_book(repo.root / name)
        repo.commit("Two books")
        before = everything(repo)
        wire(repo.root / "north", PYTHON)
        one = sorted(repo.git("config", "--local", "--list").split("\n"))
        both = wire(repo.root / "a book/in [a]*", PYTHON)
        assert both.books == ("a book/in [a]*/", "north/")
        for book in both.books:
            assert config.attributes(git.open_repo(repo.root), f"{book}jobs/2026/K26-0001.toml") == {
                "merge": "jobkit",
                "diff": "jobkit",
            }
        assert config.attributes(git.open_repo(repo.root), "a book/in a/jobs/2026/K26-0001.toml") == {}
        unwire(repo.root / "a book/in [a]*", PYTHON)
        assert sorted(repo.git("config", "--local", "--list").split("\n")) == one
        unwire(repo.root / "north", PYTHON)
        assert everything(repo) == before

    @pytest.mark.parametrize("folder", ODD_FOLDERS)
    def test_attributes_fit_the_folder_whatever_its_name(self, repo: GitRepo, folder: str) -> None:
        repo.write(".git/info/attributes", with_books("", [folder]))
        seen = git.open_repo(repo.root)
        assert config.attributes(seen, f"{folder}jobs/2026/K26-0001.toml") == {
            "merge": "jobkit",
            "diff": "jobkit",
        }
        for other in (
            f"x{folder}jobs/2026/K26-0001.toml",
            f"{folder}boards/a.toml",
            f"{folder}jobs/2026/K/a.csv",
        ):
            assert config.attributes(seen, other) == {}

    def test_attributes_of_the_book_are_left_to_it(self, bench: GitRepo) -> None:
        bench.write(".gitattributes", "jobs/**/*.toml merge=jobkit diff=jobkit\n")
        assert wire(bench.root, PYTHON).attributes == ""
        assert not (bench.root / ".git/info/attributes").exists()

    def test_other_attributes_are_told_and_left(self, bench: GitRepo) -> None:
        bench.write(".gitattributes", "*.toml merge=union\n")
        wired = wire(bench.root, PYTHON)
        assert (wired.attributes, wired.others) == ("", ("jobs: merge=union",))

    def test_a_linked_worktree_shares_what_is_set_up(self, bench: GitRepo, tmp_path: Path) -> None:
        bench.git("worktree", "add", "-q", str(tmp_path / "linked"))
        wired = wire(tmp_path / "linked", PYTHON)
        assert wired.hook == str(bench.root / ".git/hooks/pre-commit")
        linked = GitRepo(tmp_path / "linked")
        linked.write(JOB_PATH, JOB.replace('"23.4 Ω"', '"23.4 kg"'))
        assert linked.attempt("commit", "-am", "Slip").returncode == 1
        assert "VMEM 23.4 kg" not in linked.git("diff")

    def test_a_submodule_is_wired_by_itself(self, bench: GitRepo, tmp_path: Path) -> None:
        outer = GitRepo.make(tmp_path / "outer")
        outer.git(
            "-c", "protocol.file.allow=always", "submodule", "--quiet", "add", bench.root.as_uri(), "sub"
        )
        wired = wire(outer.root / "sub", PYTHON)
        assert wired.hook == str(outer.root / ".git/modules/sub/hooks/pre-commit")
        assert "jobkit" not in outer.git("config", "--local", "--list")


class TestShowing:
    def test_git_shows_a_diary(self, bench: GitRepo) -> None:
        wire(bench.root, PYTHON)
        bench.write(JOB_PATH, JOB.replace('"23.4 Ω"', '"8.2 Ω"'))
        bench.git("commit", "-qam", "Measure again", "--no-verify")
        shown = bench.git("log", "-p", "-1")
        assert "-2026-10-09 10:00: VMEM 23.4 Ω in, proof, cold" in shown
        assert "+2026-10-09 10:00: VMEM 8.2 Ω out, proof, cold" in shown

    @pytest.mark.parametrize("folder", ["a book/in [a]*/", "it's $(touch sprung) `touch sprung`/"])
    def test_in_a_folder_with_any_name(self, repo: GitRepo, folder: str) -> None:
        make_book(repo.root / folder)
        repo.commit("Open")
        wire(repo.root / folder, PYTHON)
        repo.write(folder + JOB_PATH, JOB.replace('"0.4 Ω"', '"0.5 Ω"'))
        assert "+2026-10-08 10:00: VMEM 0.5 Ω out, arrival, cold" in repo.git("diff")
        assert not list(repo.root.rglob("sprung"))

    def test_without_jobkit_the_file_is_shown_as_it_is(
        self, bench: GitRepo, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        wire(bench.root, "/nowhere/bin/python")
        monkeypatch.setenv("PATH", only_git(bench))
        bench.write(JOB_PATH, JOB.replace('"23.4 Ω"', '"8.2 Ω"'))
        assert '+value = "8.2 Ω"' in bench.git("diff")

    def test_a_python_without_jobkit_is_passed_by(self, bench: GitRepo) -> None:
        broken = hook(bench, "#!/bin/sh\necho half of it\nexit 1\n", "../python")
        wire(bench.root, str(broken))
        bench.write(JOB_PATH, JOB.replace('"23.4 Ω"', '"8.2 Ω"'))
        assert bench.git("diff").count("8.2 Ω") == 1


def only_git(bench: GitRepo) -> str:
    """Make a folder of programs in which there is no Python."""
    place = bench.root.parent / "few programs"
    place.mkdir(exist_ok=True)
    for name in ("git", "sh", "cat", "env"):
        found = shutil.which(name)
        assert found
        if not (place / name).exists():
            (place / name).symlink_to(found)
    return str(place)


class TestWithoutJobkit:
    """The environment that wired the book is gone."""

    def test_the_hook_stops_the_commit_and_says_why(
        self, bench: GitRepo, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        wire(bench.root, "/nowhere/bin/python")
        monkeypatch.setenv("PATH", only_git(bench))
        bench.write(JOB_PATH, JOB.replace("minutes = 75", "minutes = 80"))
        refused = bench.attempt("commit", "-am", "Go on")
        assert refused.returncode == 1
        assert "jobkit cannot be run, so nothing was checked: run `jobkit wire` again" in refused.stderr
        bench.git("commit", "-am", "Go on", "--no-verify")

    def test_another_interpreter_on_the_path_takes_over(
        self, bench: GitRepo, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        wire(bench.root, "/nowhere/bin/python")
        monkeypatch.setenv("PATH", f"{Path(PYTHON).parent}{os.pathsep}{os.environ['PATH']}")
        bench.write(JOB_PATH, JOB.replace('"23.4 Ω"', '"23.4 kg"'))
        refused = bench.attempt("commit", "-am", "Slip")
        assert (refused.returncode, FOUND in refused.stdout + refused.stderr) == (1, True)

    def test_a_merge_keeps_both_sides(self, bench: GitRepo, monkeypatch: pytest.MonkeyPatch) -> None:
        wire(bench.root, "/nowhere/bin/python")
        monkeypatch.setenv("PATH", only_git(bench))
        bench.git("checkout", "-q", "-b", "bo")
        bench.git("commit", "-qam", "Bo", "--no-verify", "--allow-empty")
        bench.write(JOB_PATH, JOB.replace("minutes = 75", "minutes = 80"))
        bench.git("commit", "-qam", "Bo", "--no-verify")
        bench.git("checkout", "-q", "main")
        bench.write(JOB_PATH, JOB.replace("minutes = 75", "minutes = 90"))
        bench.git("commit", "-qam", "Ida", "--no-verify")
        assert bench.attempt("merge", "bo").returncode == 1
        text = (bench.root / JOB_PATH).read_text()
        assert all(line in text for line in ("minutes = 80", "minutes = 90", "<<<<<<< ours"))

    def test_a_name_is_never_run(self, bench: GitRepo, monkeypatch: pytest.MonkeyPatch) -> None:
        """A file from somebody else may be called anything."""
        odd = "jobs/2026/$(touch sprung)`touch sprung`'\"; touch sprung;.toml"
        bench.commit("Odd", {odd: JOB})
        wire(bench.root, "/nowhere/bin/python")
        monkeypatch.setenv("PATH", only_git(bench) + os.pathsep + os.environ["PATH"])
        bench.git("checkout", "-q", "-b", "bo")
        bench.write(odd, JOB.replace("minutes = 75", "minutes = 80"))
        bench.git("diff")
        bench.git("commit", "-qam", "Bo", "--no-verify")
        bench.git("checkout", "-q", "main")
        bench.write(odd, JOB.replace("minutes = 75", "minutes = 90"))
        bench.git("commit", "-qam", "Ida", "--no-verify")
        bench.attempt("merge", "bo")
        assert not list(bench.root.rglob("sprung"))


def test_what_git_refuses_is_passed_on(bench: GitRepo, monkeypatch: pytest.MonkeyPatch) -> None:
    """Git's own switch for tests of this refusal, so that no second user is needed."""
    monkeypatch.setitem(call._SET, "GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
    with pytest.raises(git.GitError) as caught:
        wire(bench.root, PYTHON)
    assert f"git config --global --add safe.directory {bench.root}" in caught.value.mend


def test_no_repository(tmp_path: Path) -> None:
    with pytest.raises(git.NotInGitError):
        wire(make_book(tmp_path / "book"), PYTHON)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_no_permission_is_one_plain_sentence(bench: GitRepo) -> None:
    (bench.root / ".git/hooks").chmod(0o555)
    with pytest.raises(DiskError, match=r"hooks/pre-commit cannot be written: permission is missing"):
        wire(bench.root, PYTHON)
    (bench.root / ".git/hooks").chmod(0o755)


def test_a_hook_that_cannot_be_written_is_one_plain_sentence(bench: GitRepo) -> None:
    shutil.rmtree(bench.root / ".git/hooks", ignore_errors=True)
    bench.write(".git/hooks", "a file where the folder should be")
    with pytest.raises(WireError, match=r"hooks cannot be written \(file exists\)"):
        wire(bench.root, PYTHON)


@pytest.mark.parametrize("python", ["/usr/bin/python3", "/home/ida/my venv/bin/python", "/it's/python"])
def test_the_script_is_known_again(python: str) -> None:
    script = hook_script(python, [".", "it's a book/"])
    assert is_ours(script)
    assert not is_ours(script + "make check\n")
    assert not is_ours(script.replace("exit 1", "exit 0"))
    assert len(re.findall("before-jobkit", script)) == 2


OWN_HOOK = "#!/bin/sh\nexit 0\n"


def _hooks(bench: GitRepo) -> dict[str, str]:
    """Read the hooks of a repository, temporary files and git's examples left aside."""
    files = (bench.root / ".git/hooks").glob("pre-commit*")
    return {one.name: one.read_text() for one in files if one.suffix not in {".sample", ".tmp"}}


@pytest.mark.parametrize("words", [("wire",), ("wire", "--undo")], ids=" ".join)
@pytest.mark.parametrize("linked", ["links", "no links"])
def test_wherever_wire_is_killed_the_hook_from_before_is_there_and_comes_back(
    bench: GitRepo, words: tuple[str, ...], linked: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    if linked == "no links":
        monkeypatch.setattr(os, "link", _refuse_link)
    hook = bench.write(".git/hooks/pre-commit", OWN_HOOK)
    hook.chmod(0o755)
    if "--undo" in words:
        call_jobkit(["wire"], bench.root)
    before = shutil.copytree(bench.root / ".git", bench.root.parent / "git before")
    steps = call_jobkit(words, bench.root).steps
    assert steps >= 3
    for number in share(range(1, steps + 1), 2):
        shutil.rmtree(bench.root / ".git")
        shutil.copytree(before, bench.root / ".git")
        assert call_jobkit(words, bench.root, Fault(KILL, number)).status == -9
        hooks = _hooks(bench)
        assert OWN_HOOK in hooks.values()
        assert hooks["pre-commit"] == OWN_HOOK or hooks["pre-commit.before-jobkit"] == OWN_HOOK
        assert call_jobkit(["wire"], bench.root).status == 0
        wired = _hooks(bench)
        assert is_ours(wired.pop("pre-commit"))
        assert wired == {"pre-commit.before-jobkit": OWN_HOOK}
        shutil.rmtree(bench.root / ".git")
        shutil.copytree(before, bench.root / ".git")
        assert call_jobkit(words, bench.root, Fault(KILL, number)).status == -9
        assert call_jobkit(["wire", "--undo"], bench.root).out == "git is set up as it was before\n"
        assert _hooks(bench) == {"pre-commit": OWN_HOOK}
        assert os.access(hook, os.X_OK)


def _refuse_link(*_: object, **__: object) -> None:
    raise OSError(errno.EPERM, "no links here")


def test_a_hook_that_was_left_renamed_gets_its_name_back(bench: GitRepo) -> None:
    """As a `wire` that was killed left it, when the hook was renamed before ours was written."""
    bench.write(".git/hooks/pre-commit.before-jobkit", OWN_HOOK)
    unwire(bench.root, PYTHON)
    assert _hooks(bench) == {"pre-commit": OWN_HOOK}


@pytest.mark.parametrize("error", [errno.ENOSPC, errno.EACCES])
def test_wherever_the_disk_refuses_wire_that_is_one_line(bench: GitRepo, error: int) -> None:
    bench.write(".git/hooks/pre-commit", OWN_HOOK).chmod(0o755)
    before = shutil.copytree(bench.root / ".git", bench.root.parent / "git before")
    well = call_jobkit(["wire"], bench.root)
    for number in range(1, well.steps + 1):
        # From the same state each time: to take away what a refused call left is one step more.
        shutil.rmtree(bench.root / ".git")
        shutil.copytree(before, bench.root / ".git")
        ran = call_jobkit(["wire"], bench.root, Fault(error, number, on=True))
        if number == well.steps:  # all is written; that the folder is brought to the disk at once is a favour
            assert (ran.status, ran.out, ran.err) == (0, well.out, "")
            continue
        assert (ran.status, ran.out, ran.err.count("\n")) == (2, "", 1)
        assert re.match(r"jobkit: /\S+ cannot be written", ran.err), ran.err
        assert OWN_HOOK in _hooks(bench).values()


def test_the_books_of_a_repository_are_never_forgotten_between_two_calls_of_git(bench: GitRepo) -> None:
    repo = git.open_repo(bench.root)
    config.set_own(repo, "jobkit.book", ["a/", "b+[c]/", "d/"])
    said: list[list[str]] = []
    ask, calls = type(repo).ask, said

    def spy(self: git.Repo, *words: str) -> bytes:
        answer = ask(self, *words)
        calls.append(config.own_values(repo, "jobkit.book"))
        return answer

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(type(repo), "ask", spy)
        config.set_own(repo, "jobkit.book", ["a/", "d/", "e/"])
    assert sorted(config.own_values(repo, "jobkit.book")) == ["a/", "d/", "e/"]
    assert all({"a/", "d/"} <= set(one) for one in said)
