"""What a trial may come to. A loss is a sentence that says what was lost; "" where nothing was."""

from __future__ import annotations

from jobkit.book.setup.hook_script import is_ours
from jobkit.book.setup.new_book import blank_files
from tests.faults.scenarios import OWN_HOOK, Bench, Scenario
from tests.faults.steps import KILL, Ended, Fault

Book = dict[str, bytes]


class Course:
    """A scenario, and how its book is before it, after it, and in between."""

    def __init__(self, bench: Bench, scenario: Scenario) -> None:
        """Run the scenario once to its end, and the `undo` of what was written before it."""
        self.bench = bench
        self.scenario = scenario
        self.before = bench.book()
        whole = bench.call(scenario.words, pipe=scenario.pipe)
        assert whole.status in {0, 1}, whole
        self.steps = whole.steps
        self.after = bench.book()
        bench.call(("undo",))
        self.copies = bench.book().keys() - self.before.keys()
        """Files that were copied into the book, which `undo` leaves there."""
        bench.put_back()
        self.between = [self.before, *self._parts(), self.after]
        bench.put_back()
        for _ in range(2 if scenario.name == "undo" else 1):
            earlier = bench.call(("undo",))
            assert earlier.status == 0, earlier
        self.earlier, self.earlier_said = bench.book(), earlier.out
        bench.put_back()

    def _parts(self) -> list[Book]:
        """Return how the book is after each line that is typed."""
        books = []
        lines = self.scenario.pipe.splitlines(keepends=True)
        for count in range(1, len(lines)):
            self.bench.call(self.scenario.words, pipe="".join(lines[:count]))
            books.append(self.bench.book())
            self.bench.put_back()
        return books

    def run(self, fault: Fault) -> Ended:
        """Put the book back, and run the scenario with a fault."""
        self.bench.put_back()
        return self.bench.call(self.scenario.words, fault, pipe=self.scenario.pipe)

    def torn(self, book: Book) -> str:
        """Say which file is neither as it was nor as it was to be, "" where each is one or the other."""
        for path in {*book, *self.before}:
            if book.get(path) not in [one.get(path) for one in self.between]:
                return f"{path} is neither the old nor the new one"
        return ""


def killed(course: Course, number: int) -> str:
    """Kill a writing command at a step, and have `undo` look at what it left."""
    ended = course.run(Fault(KILL, number))
    if ended.status != -9:
        return f"ended with {ended.status} instead of being killed"
    left = course.bench.book()
    if torn := course.torn(left):
        return torn
    return undone(course, left)


def undone(course: Course, left: Book) -> str:
    """Have `undo` look at what a killed command left."""
    ended = course.bench.call(("undo",))
    if ended.status:
        return f"undo ended with {ended.status}: {ended.err}"
    return _wrongly_undone(course, left, course.bench.book(), ended.out)


def _wrongly_undone(course: Course, left: Book, now: Book, said: str) -> str:
    """Say what `undo` took back wrongly: the entry before may go only if it says so and nothing else was there."""
    left, now = (
        {path: one for path, one in book.items() if path not in course.copies} for book in (left, now)
    )
    took_the_earlier = now == course.earlier and said == course.earlier_said
    if course.scenario.name == "undo":
        right = now == course.after or (left == course.after and took_the_earlier)
        return "" if right else "the second undo left neither"
    if now == course.before:
        return ""
    if left == course.before and took_the_earlier:
        return ""  # it was killed before anything was begun
    if now in course.between:
        return ""  # of several readings the last one went
    return "undo took back something else"


def refused(course: Course, fault: Fault) -> str:
    """Have the disk refuse a step of a writing command, and compare what it says with what it did."""
    ended = course.run(fault)
    if spoken := not_plain(ended):
        return spoken
    left = course.bench.book()
    if ended.status == 0:
        return "" if left == course.after else "it was reported as done, and is not"
    if not ended.err:
        return "it failed without a word"
    if torn := course.torn(left):
        return torn
    if left == course.after and course.before != course.after and not course.scenario.pipe:
        return "it was done, and reported as failed"
    return ""


def set_up_again(course: Course, fault: Fault) -> str:
    """End a command that sets something up half-way, and run it again."""
    ended = course.run(fault)
    if fault.error != KILL and (spoken := not_plain(ended)):
        return spoken
    if OWN_HOOK not in course.bench.hooks().values():
        return "the user's own hook is gone"
    return set_up(course)


def set_up(course: Course) -> str:
    """Run a command again that sets something up, and was ended half-way."""
    return _made_again(course) if course.scenario.name == "init" else _wired_again(course)


def _made_again(course: Course) -> str:
    left = course.bench.new_book()
    if left and ".gitignore" not in left:
        return "private/ would be added to git"
    ended = course.bench.call(course.scenario.words)
    done = "is a book already" in ended.err if "bench.toml" in left else ended.status == 0
    whole = course.bench.new_book().keys() == {path for path, _ in blank_files({"name": ""})}
    return "" if done and whole else f"the next call said: {ended.err}"


def _wired_again(course: Course) -> str:
    bench = course.bench
    ended = bench.call(course.scenario.words)
    if ended.status:
        return f"the next call ended with {ended.status}: {ended.err}"
    if course.scenario.words[1:] in {(), ("--id-letter", "L")} and not is_ours(
        bench.hooks().get("pre-commit", "")
    ):
        return "the next call did not set the hook"
    bench.call(("wire", "--undo"))
    return "" if bench.hooks() == {"pre-commit": OWN_HOOK} else "the hook from before did not come back"


def not_plain(ended: Ended) -> str:
    """Say where a call did not end as a call may end."""
    if ended.status not in {0, 1, 2}:
        return f"ended with {ended.status}: {ended.err[-300:]}"
    if "Traceback" in ended.err or "fault of jobkit" in ended.err:
        return ended.err[-300:]
    return ""
