"""The calls that are killed at random moments are those of every command that writes."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobkit.cli.commands.jot import app as jot_app
from jobkit.cli.start.app import COMMANDS
from tests.faults.every_writing import JOTTED, KEPT, MADE, SET_UP, UNDONE
from tests.faults.random_kills import KilledCommand
from tests.faults.scenarios import quiet_environment

import typer

ONLY_ANSWER = {
    "tutorial": "prints", "rules": "prints", "verdict": "prints", "completion": "prints",
    "editor": "the editor writes", "diff": "reads git", "show": "as `week`", "summarise": "as `week`",
    "queue": "as `week`", "due": "as `week`", "earnings": "as `week`", "warranty": "as `week`",
    "comebacks": "as `week`",
}  # fmt: skip
"""Commands that write nothing but kept answers and `-o`, and why they are not killed."""
