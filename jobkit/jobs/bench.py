"""The whole book as pure data."""

from __future__ import annotations

from collections.abc import Container, Mapping, Set
from datetime import date

from jobkit.jobs.contents import Contents, NoContents
from jobkit.jobs.design import Design
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.jobs.meter import Meter
from jobkit.jobs.settings import Settings
from jobkit.jobs.stock import Item
from jobkit.named_tuple import NamedTuple


class TermsBefore(NamedTuple):
    """The terms as they were in the last commit: settings and stock, each None where its file has not changed since."""

    settings: Settings | None = None
    stock: Mapping[str, Item] | None = None


class RepositoryState(NamedTuple):
    """What is around the book: how git sees its files, and how old its copies of the schemas are.

    `untracked` are files of jobs that are in the folder and not in git; `private` are files with names and addresses
    that git holds or would take at the next `git add`; `old_schemas` the copies below schema/ that differ from
    jobkit's own. `before` has the earlier state of each job that may have changed since the last commit, or with the
    commit that is looked at; `gone` that of each whose file was taken away since; `terms` the bench's terms, None where
    they are what they were. `attachments` are those that the next commit may bring. All paths are relative to the book.
    """

    untracked: Container[object] = frozenset()
    private: tuple[str, ...] = ()
    old_schemas: tuple[str, ...] = ()
    before: Mapping[str, Job] = {}
    gone: Mapping[str, Job] = {}
    terms: TermsBefore | None = None
    attachments: tuple[str, ...] = ()


class Bench(NamedTuple):
    """What the bench knows: its settings, meters, stock, designs, and the facts of every job.

    The mappings are by name; `paths` are all files of the book, relative to it, so that a rule can ask whether an
    attachment is there; `contents` opens them. `today` is the day it is at the bench, None where the clock was not
    read.
    """

    settings: Settings = Settings()
    meters: Mapping[str, Meter] = {}
    stock: Mapping[str, Item] = {}
    designs: Mapping[str, Design] = {}
    facts: tuple[Facts, ...] = ()
    paths: Set[str] = frozenset()
    today: date | None = None
    repository: RepositoryState = RepositoryState()
    contents: Contents = NoContents()
