"""An example or two for the help of each command: calls that run in the example book."""

from __future__ import annotations

import click

EXAMPLES: dict[str, tuple[str, ...]] = {
    "init": ("jobkit init ~/bench --name 'Harbour Bench' --id-letter H --currency EUR",),
    "demo": ("jobkit demo mybook",),
    "tutorial": ("jobkit tutorial",),
    "book-in": (
        "jobkit book-in",
        "jobkit book-in --client c-031 --title 'No picture' --complaint 'Went black' --design hespin-h4-8",
    ),
    "new-design": ("jobkit new-design aldreth-a2 --processor U10 --memory 2,2,2,2",),
    "on": ("jobkit on 61 --by ida",),
    "read": (
        "jobkit read vmem 23.4 vcore .31 v12 3k2",
        "jobkit read vcore 0.345ohm --stage proof --meter dmm-2",
    ),
    "walk": ("jobkit walk", "jobkit walk --job 58"),
    "jot": ("jobkit jot work fit u3 new alloy SAC305 minutes 25",),
    "jot wait": ("jobkit jot wait parts 'two power stages'", "jobkit jot wait over"),
    "jot inject": ("jobkit jot inject vmem2 volts 0.8 amps 3 minutes 1 hottest U6",),
    "jot seen": ("jobkit jot seen 'memory test' failed 6L,6H passed rest",),
    "jot pad": (
        "jobkit jot pad u6 C3 damage lifted carries data",
        "jobkit jot pad u6 C3 repaired film reads 0.2",
    ),
    "jot work": (
        "jobkit jot work remove u6 minutes 20",
        "jobkit jot work fit u6 new alloy SAC305 minutes 25",
    ),
    "jot used": ("jobkit jot used gddr6-16gb u6 stock",),
    "jot trial": ("jobkit jot trial 'load run' pass minutes 30 host 'bench 2' ambient 21",),
    "jot agreement": ("jobkit jot agreement 160 'by mail'",),
    "jot line": ("jobkit jot line 'memory package fitted' 140",),
    "jot payment": ("jobkit jot payment 50 'in cash'",),
    "jot credit": ("jobkit jot credit 10 'two weeks late'",),
    "jot discount": ("jobkit jot discount 15 'second board of the month'",),
    "jot refund": ("jobkit jot refund 5 'paid too much'",),
    "jot note": ("jobkit jot note 'stuck in customs'",),
    "jot message": ("jobkit jot message client 'fails again after two weeks'",),
    "jot amended": ("jobkit jot amended 'typed 23.4 for 32.4'",),
    "jot waive": ("jobkit jot waive meter-overdue 'checked the same day' about V12",),
    "jot board": ("jobkit jot board place 'shelf B3' kept_back bracket",),
    "jot intake": ("jobkit jot intake setup 'rack node' condition 'scorch mark'",),
    "jot date": ("jobkit jot date agreed", "jobkit jot date promised 2026-12-04"),
    "jot parcel": ("jobkit jot parcel in 'RR 0417 7731 IS'",),
    "jot comeback": ("jobkit jot comeback 47 same-fault",),
    "jot firmware": ("jobkit jot firmware came 1.07 left 1.08",),
    "jot cause": ("jobkit jot cause u6 'memory package faulty'",),
    "jot price": ("jobkit jot price quoted 160 ceiling 200",),
    "jot invoice": ("jobkit jot invoice",),
    "jot warranty": ("jobkit jot warranty P3M sent 'U6'",),
    "jot fate": ("jobkit jot fate kept-for-parts owner_agreed yes",),
    "jot outcome": ("jobkit jot outcome repaired",),
    "jot public": ("jobkit jot public true",),
    "jot title": ("jobkit jot title 'Memory errors on one rail'",),
    "jot client": ("jobkit jot client c-032",),
    "jot start": ("jobkit jot start",),
    "jot stop": ("jobkit jot stop clean 'final clean'",),
    "undo": ("jobkit undo",),
    "tidy": ("jobkit tidy",),
    "upgrade": ("jobkit upgrade",),
    "lint": ("jobkit lint", "jobkit lint 47 boards/tarnhow-t7-16.toml", "jobkit lint --staged"),
    "rules": ("jobkit rules", "jobkit rules pad-open"),
    "verdict": (
        "jobkit verdict 23.4 '10 Ω .. 60 Ω'",
        "jobkit verdict .345 '0.25 .. 1.2 Ω' --meter dmm-2",
    ),
    "memory": (
        "jobkit memory 42",
        "jobkit memory jobs/2026/K26-0028/memory.csv --column channel=channel",
    ),
    "heat": (
        "jobkit heat 26",
        "jobkit heat jobs/2026/K26-0042/heat-on.csv --probe 't1=U5 joint' --alloy SAC305",
    ),
    "load": (
        "jobkit load 47",
        "jobkit load jobs/2026/K26-0046/load.csv --limit 'hot spot <= 95 °C'",
    ),
    "suspects": ("jobkit suspects 55", "jobkit suspects --design tarnhow-t7-16"),
    "show": ("jobkit show 47", "jobkit show --design tarnhow-t7-16"),
    "summarise": ("jobkit summarise --status open",),
    "week": ("jobkit week", "jobkit week 2026-W43 --format html -o week.html"),
    "queue": ("jobkit queue --hours 4",),
    "due": ("jobkit due --within 60d", "jobkit due --within 60d --format ics -o due.ics"),
    "usual": ("jobkit usual tarnhow-t7-16", "jobkit usual tarnhow-t7-16 --point VMEM"),
    "bill": ("jobkit bill 44", "jobkit bill 47 --breakdown"),
    "earnings": ("jobkit earnings --by design",),
    "stock": ("jobkit stock", "jobkit stock --reorder"),
    "stock count": ("jobkit stock count fuse-15a-1206 16",),
    "stock receive": ("jobkit stock receive fuse-15a-1206 20 --cost 0.40",),
    "warranty": ("jobkit warranty 35",),
    "comebacks": ("jobkit comebacks --warranty P12M",),
    "trail": ("jobkit trail 47",),
    "diff": ("jobkit diff", "jobkit diff HEAD~3..HEAD"),
    "wire": ("jobkit wire", "jobkit wire --undo"),
    "report": (
        "jobkit report 47 --format html -o report-47.html",
        "jobkit report 55 --for quote",
    ),
    "phrases": ("jobkit phrases --lang nl -o papers-nl.po",),
    "label": ("jobkit label 47 --format svg -o label-47.svg",),
    "site": ("jobkit site ~/bench-site", "jobkit site ~/repairs --public"),
    "export": ("jobkit export tables",),
    "editor": ("jobkit editor",),
    "completion": ("jobkit completion zsh",),
}
"""Calls by the words of the command; a test runs each of them in a copy of the example book, on its last day."""


def with_examples(command: click.Command, words: str) -> click.Command:
    """Put the examples of a command, and of the commands below it, at the end of their help."""
    shown = EXAMPLES.get(words)
    if shown:
        # \b: the lines stay as they are.
        command.epilog = "\n".join(
            ("\b", "Example:" if len(shown) == 1 else "Examples:", *(f"  {one}" for one in shown))
        )
    for name, inner in getattr(command, "commands", {}).items():
        with_examples(inner, f"{words} {name}")
    return command
