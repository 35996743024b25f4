"""Who still writes an old name is told the new one: in files, in settings and waivers, on the command line."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click
import pytest

from jobkit.book.schema.schema_files import FILES, schema
from jobkit.cli.start.app import COMMANDS, command_named
from jobkit.jobs import renamed
from jobkit.lint.rules.catalogue import all_rules
from tests.books import JOB, JOB_PATH, line_of, make_book
from tests.cli.conftest import AtBench
from tests.conftest import Run


def _keys(node: Any) -> Iterator[str]:
    if isinstance(node, dict):
        yield from node.get("properties", {})
        for value in node.values():
            yield from _keys(value)
    elif isinstance(node, list):
        for value in node:
            yield from _keys(value)


def test_every_new_name_is_one_and_no_old_rule_option_or_command_is() -> None:
    keys = {key for kind in FILES for key in _keys(schema(kind))}
    assert {new for new in renamed.KEYS.values() if new not in keys} == set()
    rules = set(all_rules())
    assert set(renamed.RULES.values()) <= rules
    assert not set(renamed.RULES) & rules
    assert set(renamed.COMMANDS.values()) <= set(COMMANDS)
    assert not set(renamed.COMMANDS) & set(COMMANDS)
    options = {name for command in COMMANDS for name in _options(command)}
    assert set(renamed.OPTIONS.values()) <= options
    assert set(renamed.OPTIONS) & options == {"--on"}  # of a warranty it was what is called scope now


def _options(command: str) -> Iterator[str]:
    found = command_named(command)
    assert found is not None
    context = click.Context(found)
    inner = (
        [found.get_command(context, name) for name in found.list_commands(context)]
        if isinstance(found, click.Group)
        else []
    )
    yield from (name for one in (found, *inner) if one for param in one.params for name in param.opts)


SLIPS = {
    "key": ('limit = "10', 'want = "10', "want"),
    "key that must be there": ('stage = "proof"', 'when = "proof"', "when"),
    "table": (
        "[[work]]",
        '[[land]]\npart = "U1"\nball = "A1"\ndamage = "lifted"\n\n[[work]]',
        "land",
    ),
    "choice": ('did = "clean"', 'did = "rebuild-lands"', "rebuild-lands"),
}


@pytest.mark.parametrize(("before", "after", "old"), SLIPS.values(), ids=SLIPS)
def test_a_file_with_an_old_name_has_one_finding_that_names_the_new_one(
    tmp_path: Path, run: Run, before: str, after: str, old: str
) -> None:
    text = JOB.replace(before, after, 1)
    assert text != JOB
    found = run("lint", "--book", make_book(tmp_path, {JOB_PATH: text}), "--format", "json").data["findings"]
    new = {**renamed.KEYS, **renamed.CHOICES}[old]
    assert [(one["rule"], one["line"], one["mend"]) for one in found if one["rule"] == "schema"] == [
        ("schema", line_of(text, after.partition("\n")[0]), f'write "{new}", the new name of "{old}"')
    ]


def test_a_key_that_must_be_there_is_not_missed_where_it_has_its_old_name(run: Run, tmp_path: Path) -> None:
    limit = '[[point]]\nname = "A"\n[[point.limit]]\nkind = "resistance"\nwant = "1 Ω .. 2 Ω"\n'
    board = f'format = 1\ndesign = "a-1"\nkind = "x"\n{limit}'
    book = make_book(tmp_path, {"boards/a-1.toml": board})
    found = run("lint", "--book", book, "--format", "json").data["findings"]
    assert [one["message"] for one in found if one["file"] == "boards/a-1.toml"] == [
        'unknown key "want" in [[point.limit]]'
    ]


def test_old_rules_are_told_in_settings_and_in_waivers(run: Run, tmp_path: Path) -> None:
    waived = JOB + '\n[[waive]]\nrule = "want-missing"\nwhy = "read cold the same day"\n'
    book = make_book(tmp_path, {JOB_PATH: waived})
    bench = book / "bench.toml"
    bench.write_text(bench.read_text("utf-8") + '\n[lint]\nwarn = ["want-empty"]\n', "utf-8")
    found = run("lint", "--book", book, "--format", "json").data["findings"]
    assert {(one["rule"], one["mend"]) for one in found if one["rule"].endswith("unknown")} == {
        ("rule-unknown", 'write "limit-empty", the new name of "want-empty"'),
        ("waive-unknown", 'write "limit-missing", the new name of "want-missing"'),
    }


def test_an_old_option_is_told(bench: AtBench) -> None:
    ran = bench("read", "vmem", "23", "--want", "<= 25 Ω")
    assert (ran.status, ran.err) == (
        2,
        'jobkit: unknown option "--want"; write "--limit", the new name of "--want"\n',
    )


def test_an_old_word_of_jot_is_told(bench: AtBench) -> None:
    ran = bench("jot", "trial", "picture", "pass", "want", "core=<=88_degC")
    assert (ran.status, ran.err) == (
        2,
        'jobkit: "want" does not fit in trial; write "limit", the new name of "want"\n',
    )
