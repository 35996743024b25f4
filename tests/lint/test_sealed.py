"""Jobs that have been sent: which changes ask for a word, seen from the working tree, the index and a commit."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobkit.book.shelf.opening import Index, Revision, Shelf
from jobkit.jobs.finding import Finding
from jobkit.lint.run.whole_book import lint
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import BENCH, JOB, JOB_PATH, line_of, make_book
from tests.conftest import Run
from tests.lint.laid import opened

AMENDED = '\n[[amended]]\nat = 2026-10-14T09:00:00\nby = "ida"\nwhy = "typed wrongly"\n'
ANOTHER = AMENDED.replace("09:00", "10:00")
CHANGED = JOB.replace('"23.4 Ω"', '"32.4 Ω"')


@pytest.fixture(autouse=True)
def _no_git_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    forget_git_settings(monkeypatch)


@pytest.fixture
def repo(tmp_path: Path) -> GitRepo:
    repo = GitRepo.make(tmp_path / "bench")
    make_book(repo.root)
    repo.commit("Sent and done")
    return repo


def sealed(repo: GitRepo, shelf: Shelf | None = None) -> list[Finding]:
    """Find what the rule says of the working tree, or of what lies on a shelf."""
    return [one for one in lint(opened(repo.root, shelf)).findings if one.rule == "sealed"]


def test_the_finding_says_when_it_was_sent_and_what_changed(repo: GitRepo) -> None:
    repo.write(JOB_PATH, CHANGED)
    (one,) = sealed(repo)
    assert (one.level, one.file, one.about, one.job) == ("error", JOB_PATH, "reading", "K26-0001")
    assert one.line == line_of(CHANGED, '"32.4 Ω"') - 5
    assert one.message == (
        "the job was sent on 2026-10-12, and this changed since: "
        "VMEM 32.4 Ω in, proof, cold (was VMEM 23.4 Ω in)"
    )
    assert one.mend == "add [[amended]] with at, by and why, or undo the change"


SEALED = {
    "a reading's value": ('"23.4 Ω"', '"32.4 Ω"'),
    "a reading's limit": ('limit = "10 Ω .. 60 Ω"', 'limit = "20 Ω .. 60 Ω"'),
    "a reading's meter": ('state = "cold"', 'state = "cold"\nmeter = "dmm-1"'),
    "a reading's note": ('state = "cold"', 'state = "cold"\nnote = "shaky"'),
    "a reading more": (
        "[[work]]",
        '[[reading]]\npoint = "VMEM"\nkind = "voltage"\nvalue = "1.35 V"\n[[work]]',
    ),
    "a reading less": (JOB[JOB.index("[[reading]]") : JOB.index("[[reading]]\nat = 2026-10-09")], ""),
    "minutes of work": ("minutes = 75", "minutes = 80"),
    "a work more": ("[[work]]", '[[work]]\ndid = "inspect"\n[[work]]'),
    "a part used": ("[[trial]]", '[[used]]\npart = "Q1"\nitem = "a"\n[[trial]]'),
    "a trial's result": ('result = "pass"', 'result = "fail"'),
    "the cause": ("[price]", '[cause]\npart = "Q1"\n[price]'),
    "the charge": ("155.00 EUR", "150.00 EUR"),
    "a price agreed": ("[warranty]", '[[price.agreed]]\non = 2026-10-07\namount = "150.00 EUR"\n[warranty]'),
    "the warranty": ('duration = "P6M"', 'duration = "P3M"'),
    "the day of sending moved": ("sent = 2026-10-12", "sent = 2026-11-12"),
    "the day of sending removed": ("sent = 2026-10-12\n", ""),
    "the warranty made void": ('duration = "P6M"', 'duration = "P6M"\nvoid = "opened"'),
}


@pytest.mark.parametrize(("old", "new"), SEALED.values(), ids=SEALED)
def test_what_is_sealed(repo: GitRepo, old: str, new: str) -> None:
    text = JOB.replace(old, new, 1)
    assert text != JOB
    repo.write(JOB_PATH, text)
    assert len(sealed(repo)) == 1
    repo.write(JOB_PATH, text + AMENDED)
    assert sealed(repo) == []


FREE = {
    "how a unit is spelt": ('"23.4 Ω"', '"23.4 ohm"'),
    "how a number is spelt": ('"23.4 Ω"', '"23.40 Ω"'),
    "how a limit is spelt": ('"10 Ω .. 60 Ω"', '"10 ohm .. 60 ohm"'),
    "remarks and layout": ("minutes = 75", "minutes = 75 # and a half"),
    "the day it was paid": ("paid = 2026-10-10", "paid = 2026-10-20"),
    "the day it was collected": ("sent = 2026-10-12", "sent = 2026-10-12\ncollected = 2026-10-15"),
    "where it lies": ('kind = "graphics card"', 'kind = "graphics card"\nplace = "returned"'),
    "what became of it": ("[price]", '[fate]\nis = "returned"\n[price]'),
    "a payment that came in": ("[warranty]", '[[price.payment]]\non = 2026-10-20\namount = "155.00 EUR"\n[warranty]'),
    "a credit": ("[warranty]", '[[price.credit]]\non = 2026-10-20\namount = "5.00 EUR"\nwhy = "late"\n[warranty]'),
    "a note": ("[price]", '[[note]]\nat = 2026-11-20T10:00:00\ntext = "client is content"\n[price]'),
    "a message": ("[price]", '[[message]]\nat = 2026-11-20T10:00:00\nwith = "client"\ntext = "all well"\n[price]'),
    "keys of the bench's own": ("[price]", "[own]\ndrawer = 7\n[price]"),
}  # fmt: skip


@pytest.mark.parametrize(("old", "new"), FREE.values(), ids=FREE)
def test_what_may_change(repo: GitRepo, old: str, new: str) -> None:
    text = JOB.replace(old, new, 1)
    assert text != JOB
    repo.write(JOB_PATH, text)
    assert sealed(repo) == []


def test_the_order_of_entries_may_change(repo: GitRepo) -> None:
    first = JOB[JOB.index("[[reading]]") : JOB.index("[[reading]]\nat = 2026-10-09")]
    repo.write(JOB_PATH, JOB.replace(first, "").replace("[[work]]", first + "[[work]]"))
    assert sealed(repo) == []


def test_a_payment_taken_back_is_a_change(repo: GitRepo) -> None:
    paid = JOB.replace("[warranty]", '[[price.payment]]\non = 2026-10-20\namount = "155.00 EUR"\n[warranty]')
    repo.commit("Paid", {JOB_PATH: paid})
    repo.write(JOB_PATH, JOB)
    (one,) = sealed(repo)
    assert one.message.endswith("this changed since: payment 2026-10-20 155.00 EUR")


def test_one_of_two_credits_alike_may_not_go(repo: GitRepo) -> None:
    credit = '[[price.credit]]\non = 2026-10-20\namount = "5.00 EUR"\nwhy = "late"\n'
    repo.commit("Credited twice", {JOB_PATH: JOB.replace("[warranty]", f"{credit}{credit}[warranty]")})
    repo.write(JOB_PATH, JOB.replace("[warranty]", f"{credit}[warranty]"))
    assert len(sealed(repo)) == 1


def test_a_credit_may_get_its_number_but_may_not_go(repo: GitRepo) -> None:
    credit = '[[price.credit]]\non = 2026-10-20\namount = "5.00 EUR"\nwhy = "late"\n'
    credited = JOB.replace("[warranty]", f"{credit}[warranty]")
    repo.commit("Credited", {JOB_PATH: credited})
    repo.write(JOB_PATH, credited.replace('why = "late"', 'why = "late"\nnumber = "K26-R-0001"'))
    assert sealed(repo) == []
    repo.write(JOB_PATH, JOB)
    assert len(sealed(repo)) == 1


def test_of_entries_alike_the_one_too_many_is_pointed_at(repo: GitRepo) -> None:
    used = '[[used]]\nitem = "pad-1mm"\n'
    two, three = (JOB.replace("[[trial]]", used * count + "[[trial]]", 1) for count in (2, 3))
    repo.commit("Two pads", {JOB_PATH: two})
    repo.write(JOB_PATH, three)
    (one,) = sealed(repo)
    assert one.line == line_of(three, "[[trial]]") - 2


def test_where_an_entry_of_a_table_went_the_table_is_pointed_at(repo: GitRepo) -> None:
    agreed = '[[price.agreed]]\non = 2026-10-0{}\namount = "150.00 EUR"\n'
    one, two = (
        JOB.replace("[warranty]", f"{rows}[warranty]")
        for rows in (agreed.format(6), agreed.format(6) + agreed.format(7))
    )
    repo.commit("Agreed twice", {JOB_PATH: two})
    repo.write(JOB_PATH, one)
    (found,) = sealed(repo)
    assert found.line == line_of(one, "[price]")


def test_much_at_once_is_one_finding(repo: GitRepo) -> None:
    repo.write(JOB_PATH, CHANGED.replace("75", "80").replace("155.00", "150.00").replace("P6M", "P3M"))
    (one,) = sealed(repo)
    assert "; and 2 more" in one.message


def test_an_old_word_does_not_cover_a_new_change(repo: GitRepo) -> None:
    repo.commit("Mended once", {JOB_PATH: CHANGED + AMENDED})
    again = CHANGED.replace("32.4", "33.4")
    repo.write(JOB_PATH, again + AMENDED)
    assert len(sealed(repo)) == 1
    repo.write(JOB_PATH, again + AMENDED.replace("typed wrongly", "typed wrongly twice"))
    assert sealed(repo) == []
    repo.write(JOB_PATH, again + AMENDED + ANOTHER)
    assert sealed(repo) == []


def test_it_counts_whether_it_was_sent_before_the_change(repo: GitRepo) -> None:
    other = "jobs/2026/K26-0002.toml"
    on_the_bench = JOB.replace("K26-0001", "K26-0002").replace("sent = 2026-10-12\n", "")
    repo.commit("Ready", {other: on_the_bench})
    repo.write(other, CHANGED.replace("K26-0001", "K26-0002"))
    assert sealed(repo) == []
    repo.write(other, on_the_bench)
    repo.write(JOB_PATH, CHANGED.replace("sent = 2026-10-12\n", ""))
    assert [one.job for one in sealed(repo)] == ["K26-0001"]


def test_a_moved_day_of_sending_is_said(repo: GitRepo) -> None:
    repo.write(JOB_PATH, JOB.replace("sent = 2026-10-12", "sent = 2026-11-12"))
    (one,) = sealed(repo)
    assert one.message == (
        "the job was sent on 2026-10-12, and this changed since: sent 2026-11-12 (was 2026-10-12)"
    )
    assert (one.about, one.line) == ("sent", line_of(JOB, "sent = 2026-10-12"))


OPENED = JOB.replace("sent = 2026-10-12\n", "")
STEPS = {
    "deleted, changed and put back": (OPENED, OPENED.replace("23.4", "32.4"), CHANGED),
    "deleted with all that ended it, and put back": (
        OPENED.replace("finished = 2026-10-09\n", "").replace('outcome = "repaired"\n', ""),
        OPENED.replace("23.4", "32.4"),
        CHANGED,
    ),
    "moved there and back, and changed on the way": (
        JOB.replace("sent = 2026-10-12", "sent = 2026-11-12"),
        CHANGED.replace("sent = 2026-10-12", "sent = 2026-11-12"),
    ),
}


@pytest.mark.parametrize("steps", STEPS.values(), ids=STEPS)
def test_history_remembers(repo: GitRepo, steps: tuple[str, ...]) -> None:
    """Each step is found in the working tree, in the index and, once it is committed past the hook, in the commit."""
    for number, text in enumerate(steps):
        repo.write(JOB_PATH, text)
        assert len(sealed(repo)) == 1, number
        repo.git("add", "-A")
        assert len(sealed(repo, Index(repo.root))) == 1, number
        repo.git("commit", "-q", "--no-verify", "-m", f"Step {number}")
        assert len(sealed(repo, Revision(repo.root, "HEAD"))) == 1, number


def test_lint_since_finds_a_seal_that_was_opened_step_by_step(repo: GitRepo, run: Run) -> None:
    for text in (OPENED, OPENED.replace("23.4", "32.4"), CHANGED):
        repo.commit("Past the hook", {JOB_PATH: text})
    ran = run("--book", repo.root, "lint", "--since", "HEAD~3")
    assert (ran.status, ran.out.count("error sealed")) == (1, 3)


def test_a_sending_taken_back_with_a_word_opens_the_job_again(repo: GitRepo) -> None:
    """A board that was not sent after all is worked on like any other, until it is sent."""
    taken_back = OPENED + AMENDED.replace("typed wrongly", "not sent after all: the carrier came no more")
    repo.commit("Not sent after all", {JOB_PATH: taken_back})
    repo.commit("Read again", {JOB_PATH: taken_back.replace("23.4", "24.4")})
    assert sealed(repo, Revision(repo.root, "HEAD")) == []
    again = taken_back.replace("paid = 2026-10-10", "paid = 2026-10-10\nsent = 2026-10-20")
    repo.commit("Sent", {JOB_PATH: again})
    assert sealed(repo, Revision(repo.root, "HEAD")) == []
    repo.write(JOB_PATH, again.replace("23.4", "25.4"))
    assert len(sealed(repo)) == 1


def test_a_job_whose_sending_was_deleted_may_not_go(repo: GitRepo) -> None:
    repo.commit("Past the hook", {JOB_PATH: OPENED})
    (repo.root / JOB_PATH).unlink()
    assert [one.message for one in sealed(repo)] == [
        "K26-0001 was sent on 2026-10-12, and its file was removed"
    ]


def test_of_two_lines_of_history_the_other_one_remembers_too(repo: GitRepo) -> None:
    other = "jobs/2026/K26-0002.toml"
    text = JOB.replace("K26-0001", "K26-0002")
    repo.commit("Ready", {other: text.replace("sent = 2026-10-12\n", "")})
    repo.git("checkout", "-q", "-b", "bo")
    repo.commit("Bo sends it", {other: text})
    repo.git("checkout", "-q", "main")
    repo.commit("Ida goes on", {"note.txt": "x"})
    repo.git("merge", "-q", "-s", "ours", "bo", "-m", "Join")
    repo.write(other, text.replace("23.4", "24.4"))
    assert [one.job for one in sealed(repo)] == ["K26-0002"]


def test_staged_and_not(repo: GitRepo) -> None:
    repo.write(JOB_PATH, CHANGED)
    assert sealed(repo, Index(repo.root)) == []
    repo.git("add", "-A")
    repo.write(JOB_PATH, JOB)
    assert len(sealed(repo, Index(repo.root))) == 1
    assert sealed(repo) == []


def test_a_commit_is_held_to_its_first_parent(repo: GitRepo) -> None:
    repo.commit("Without a word", {JOB_PATH: CHANGED})
    repo.commit("Something else", {"note.txt": "x"})
    assert len(sealed(repo, Revision(repo.root, "HEAD~1"))) == 1
    assert sealed(repo, Revision(repo.root, "HEAD")) == sealed(repo, Revision(repo.root, "HEAD~2")) == []


def test_a_merge_is_held_to_what_was_there(repo: GitRepo) -> None:
    repo.git("checkout", "-q", "-b", "bo")
    repo.commit("Bo mends it", {JOB_PATH: CHANGED + AMENDED})
    repo.git("checkout", "-q", "main")
    repo.commit("Ida goes on", {"note.txt": "x"})
    repo.git("merge", "-q", "bo", "-m", "Join")
    assert sealed(repo, Revision(repo.root, "HEAD")) == []


def test_a_new_name_does_not_break_the_seal(repo: GitRepo) -> None:
    repo.git("mv", JOB_PATH, "jobs/2026/K26-0009.toml")
    repo.write("jobs/2026/K26-0009.toml", CHANGED.replace("K26-0001", "K26-0009"))
    repo.git("add", "-A")
    assert [one.file for one in sealed(repo, Index(repo.root))] == ["jobs/2026/K26-0009.toml"]
    repo.git("commit", "-qm", "Renumber")
    assert len(sealed(repo, Revision(repo.root, "HEAD"))) == 1


def test_a_file_taken_away_is_a_change(repo: GitRepo) -> None:
    (repo.root / JOB_PATH).unlink()
    (one,) = sealed(repo)
    assert (one.level, one.file, one.line, one.about) == ("error", JOB_PATH, 1, "K26-0001")
    assert one.message == "K26-0001 was sent on 2026-10-12, and its file was removed"
    assert one.mend == f"restore it from git, as with `git checkout HEAD -- {JOB_PATH}`"
    assert sealed(repo, Index(repo.root)) == []
    repo.git("add", "-A")
    assert len(sealed(repo, Index(repo.root))) == 1
    repo.commit("Away with it")
    assert sealed(repo) == []
    assert len(sealed(repo, Revision(repo.root, "HEAD"))) == 1


def test_a_job_that_was_not_sent_may_go(repo: GitRepo) -> None:
    other = "jobs/2026/K26-0002.toml"
    text = JOB.replace("K26-0001", "K26-0002").replace("sent = 2026-10-12\n", "")
    repo.commit("Booked in twice", {other: text})
    (repo.root / other).unlink()
    assert sealed(repo) == []


def test_a_file_moved_by_hand_is_not_taken_away(repo: GitRepo) -> None:
    (repo.root / JOB_PATH).rename(repo.root / "jobs/2026/K26-0009.toml")
    repo.write("jobs/2026/K26-0009.toml", JOB.replace("K26-0001", "K26-0009"))
    assert sealed(repo) == []
    repo.write("jobs/2026/K26-0009.toml", CHANGED.replace("K26-0001", "K26-0009"))
    assert [one.file for one in sealed(repo)] == ["jobs/2026/K26-0009.toml"]
    repo.write("jobs/2026/K26-0009.toml", CHANGED.replace("K26-0001", "K26-0009") + AMENDED)
    assert sealed(repo) == []


def test_the_hook_holds_up_a_commit_that_takes_a_sent_job_away(repo: GitRepo, run: Run) -> None:
    repo.git("rm", "-q", JOB_PATH)
    ran = run("lint", "--staged", "--book", repo.root)
    assert (ran.status, ran.out.count("error sealed")) == (1, 1)
    assert run("lint", "--book", repo.root).out.count("error sealed") == 1


def test_a_book_inside_a_larger_repository(tmp_path: Path, run: Run) -> None:
    repo = GitRepo.make(tmp_path / "large")
    book = make_book(repo.root / "a book")
    repo.commit("Open")
    repo.write(f"a book/{JOB_PATH}", CHANGED)
    assert "error sealed" in run("lint", "--book", book).out
    repo.git("add", "-A")
    assert "error sealed" in run("lint", "--staged", "--book", book).out


def test_without_an_earlier_commit_nothing_is_sealed(tmp_path: Path, run: Run) -> None:
    repo = GitRepo.make(tmp_path / "new")
    make_book(repo.root, {JOB_PATH: CHANGED})
    repo.git("add", "-A")
    assert sealed(repo) == sealed(repo, Index(repo.root)) == []
    repo.commit("First")
    assert sealed(repo, Revision(repo.root, "HEAD")) == []
    assert run("lint", "--book", make_book(tmp_path / "no git")).status == 0


def test_what_cannot_be_read_is_left_to_the_schema(repo: GitRepo) -> None:
    repo.write(JOB_PATH, JOB.replace('"23.4 Ω"', '"23.4 kg"'))
    assert [one.rule for one in lint(opened(repo.root)).findings] == ["schema"]
    repo.commit("Broken", {JOB_PATH: "<<<<<<< ours\n"})
    repo.write(JOB_PATH, CHANGED)
    assert len(sealed(repo)) == 1  # the commit before the broken one had it as sent


def test_it_can_neither_be_waived_nor_moved(repo: GitRepo, run: Run) -> None:
    waived = CHANGED + '\n[[waive]]\nrule = "sealed"\nwhy = "because"\n'
    repo.write(JOB_PATH, waived)
    assert len(sealed(repo)) == 1
    repo.write("bench.toml", BENCH + '[lint]\noff = ["sealed"]\n')
    ran = run("lint", "--book", repo.root)
    assert (ran.status, "error sealed" in ran.out) == (1, True)


def test_an_audit_of_history_names_the_commit(repo: GitRepo, run: Run) -> None:
    first = repo.git("rev-parse", "HEAD").strip()
    repo.commit("Without a word", {JOB_PATH: CHANGED})
    repo.commit("Something else", {"note.txt": "x"})
    repo.commit("With one", {JOB_PATH: JOB + AMENDED})
    data = run("lint", "--since", first, "--book", repo.root, "--format", "json").data
    assert [one["job"] for one in data["findings"] if one["rule"] == "sealed"] == ["K26-0001"]
