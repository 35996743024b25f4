"""Every command that writes something, each as a call on a small book: what the kills at random moments are tried on.

Commands that write only what they are told to (`-o FILE`), or only kept answers, are among them. The list is checked
against the commands of jobkit by `tests/faults/test_every_writing.py`, so that a new one cannot be forgotten.
"""

from __future__ import annotations

from tests.at_the_bench import BENCH, JOB, JOB_PATH, NOW
from tests.faults.scenarios import SETTING_UP, WRITING, Scenario, good_boards

_DAY = ("--on", NOW.date().isoformat())
_FOLDER = JOB_PATH.removesuffix(".toml")
_LOAD_LOG = "time,hot spot,power\n" + "".join(
    f"{20 * row},{60 if row else 24},{230 if row else 18}\n" for row in range(91)
)
_HEAT_LOG = "time,t1\n" + "".join(f"{row},{25 + min(row, 200)}\n" for row in range(240))
_MEMORY_LOG = "channel,written,read\n" + "0,ffffffff,fffffffe\n" * 20
_LOGS = {
    f"{_FOLDER}/load.csv": _LOAD_LOG,
    f"{_FOLDER}/heat.csv": _HEAT_LOG,
    f"{_FOLDER}/memory.csv": _MEMORY_LOG,
    f"{_FOLDER}/firmware.bin": "as it came",
}
_BESIDE = {"../load.csv": _LOAD_LOG, "../heat.csv": _HEAT_LOG}
_CHARGED, _FINISHED = ("jot", "price", "charged", "155"), ("jot", "date", "finished")
_LETTERS = BENCH.replace('letter = "K"', 'letter = "K"\nletters = { K = "front", L = "back" }')
_HEATED = ("heat", "../heat.csv", "probe", "t1=U3 joint")


def _caused() -> dict[str, str]:
    """Return jobs of good boards whose cause was found, and a board file that knows the cause."""
    cause = '[cause]\npart = "Q214"\nfault = "shorted"\n'
    return {path: text + cause for path, text in good_boards().items()}


JOTTED = {
    "wait": Scenario(("jot", "wait", "parts")),
    "inject": Scenario(("jot", "inject", "v12", "1 V", "2 A", "1")),
    "seen": Scenario(("jot", "seen", "memory test", "failed", "3H", "log", "memory.csv"), _LOGS),
    "pad": Scenario(("jot", "pad", "u3", "4", "lifted", "supply")),
    "work": Scenario(("jot", "work", "fit", "u3", "new", *_HEATED), _BESIDE),
    "used": Scenario(("jot", "used", "stage", "q214")),
    "trial": Scenario(("jot", "trial", "load run", "pass", "log", "../load.csv"), _BESIDE),
    "agreement": Scenario(("jot", "agreement", "160")),
    "line": Scenario(("jot", "line", "Labour", "120")),
    "payment": Scenario(("jot", "payment", "100")),
    "credit": Scenario(("jot", "credit", "10", "too much"), first=(_CHARGED, _FINISHED, ("jot", "invoice"))),
    "discount": Scenario(("jot", "discount", "10 EUR", "a friend"), first=(_CHARGED,)),
    "refund": Scenario(("jot", "refund", "10"), first=(("jot", "payment", "100"),)),
    "note": Scenario(("jot", "note", "stuck in customs")),
    "message": Scenario(("jot", "message", "client", "fails again")),
    "amended": Scenario(("jot", "amended", "a slip"), first=(("jot", "date", "sent"),)),
    "waive": Scenario(("jot", "waive", "meter-overdue", "checked", "about", "V12")),
    "board": Scenario(("jot", "board", "place", "shelf B3")),
    "intake": Scenario(("jot", "intake", "setup", "rack node")),
    "date": Scenario(("jot", "date", "agreed")),
    "parcel": Scenario(("jot", "parcel", "in", "RR 0417 7731 IS")),
    "comeback": Scenario(("jot", "comeback", "9", "same")),
    "firmware": Scenario(("jot", "firmware", "came", "1.07", "saved", "firmware.bin"), _LOGS),
    "cause": Scenario(("jot", "cause", "q214", "shorted")),
    "price": Scenario(("jot", "price", "quoted", "160", "ceiling", "200")),
    "invoice": Scenario(("jot", "invoice"), first=(_CHARGED, _FINISHED)),
    "warranty": Scenario(("jot", "warranty", "P3M")),
    "fate": Scenario(("jot", "fate", "returned")),
    "outcome": Scenario(("jot", "outcome", "repaired")),
    "public": Scenario(("jot", "public", "yes")),
    "title": Scenario(("jot", "title", "Black screen")),
    "client": Scenario(("jot", "client", "c-002")),
    "start": Scenario(("jot", "start")),
    "stop": Scenario(("jot", "stop", "clean"), first=(("jot", "start"),)),
}
"""A call of each form of `jot`; `work` and `trial` copy a log from beside the book into it."""

UNDONE = {
    **{scenario.name: scenario for scenario in WRITING if scenario.words[0] != "jot"},
    **{f"jot {form}": scenario for form, scenario in JOTTED.items()},
    "new-design": Scenario(("new-design", "aldreth-a2", "--processor", "U10", "--memory", "2,2,2,2")),
    "suspects --learn": Scenario(("suspects", "--learn", "rowan-r3", *_DAY), _caused()),
}
"""Calls that write to the files of a book: `undo` looks at what is left of them."""

_EXPORTED = (("export", "../new"), ("jot", "note", "one more"))
_SITE = (("site", "../new"), ("jot", "note", "one more"))
MADE = {
    "on": Scenario(("on", "9")),
    "site": Scenario(("site", "../new")),
    "site again": Scenario(("site", "../new"), first=_SITE),
    "site --public": Scenario(("site", "../new", "--public"), first=(("jot", "public", "yes"),)),
    "export": Scenario(("export", "../new")),
    "export again": Scenario(("export", "../new"), first=_EXPORTED),
    "export --format parquet": Scenario(("export", "../new", "--format", "parquet")),
    **{
        f"{' '.join(words)} -o": Scenario(
            (*words, *more, "-o", "../new/answer"), {**_LOGS, "../new/mine": ""}
        )
        for words, more in (
            (("label",), ("7", "--format", "svg")),
            (("phrases",), ("--lang", "nl")),
            (("bill",), ("7", *_DAY)),
            (("report",), ("7", *_DAY, "--format", "html")),
            (("memory",), (f"{_FOLDER}/memory.csv",)),
            (("heat",), (f"{_FOLDER}/heat.csv", "--probe", "t1=U3 joint", "--format", "html")),
            (("load",), (f"{_FOLDER}/load.csv", "--format", "json")),
            (("lint",), (*_DAY, "--format", "sarif")),
        )
    },
}
"""Calls that write beside the files of a book, or remember something: the same call again ends what they began."""

KEPT = {
    "lint": Scenario(("lint", *_DAY)),
    "week": Scenario(("week", *_DAY)),
    "trail": Scenario(("trail", "7")),
    "stock": Scenario(("stock", *_DAY)),
}
"""Calls that write only kept answers: the same call again says what it says without them."""

SET_UP = {
    **{scenario.name: scenario for scenario in SETTING_UP},
    "wire --no-hook": Scenario(("wire", "--no-hook")),
    "wire --id-letter": Scenario(("wire", "--id-letter", "L"), {"bench.toml": _LETTERS, JOB_PATH: JOB}),
}
"""Calls that make a book, or set up its repository."""
