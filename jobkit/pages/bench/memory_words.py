"""Faults of data lines in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jobkit.book.logs.trouble import LogTrouble
from jobkit.jobs.cautions import FAN, HOT_BOARD, MAINS, STATIC
from jobkit.jobs.entries import Pad
from jobkit.pages.cautions import caution_sentence
from jobkit.pages.words import counted, listed
from jobkit.reckon.memory.channel_faults import ChannelFaults, WordFault
from jobkit.reckon.memory.line_faults import ALWAYS, LineFault, Pattern, Sure
from jobkit.reckon.memory.log_on_board import LogOnBoard
from jobkit.reckon.memory.log_report import LogReport

_BRIDGED = {
    "dominant": "follows line {0}",
    "dominant high": "pulled high by line {0}",
    "dominant low": "pulled low by line {0}",
    "wired-AND": "bridged with line {0}, wired-AND",
    "wired-OR": "bridged with line {0}, wired-OR",
}
_SURE = {Sure.YES: "sure", Sure.LIKELY: "likely", Sure.NO: "not sure"}

TELLS_APART = (
    (
        "the package off, read the pad in diode mode, cold",
        "reads open or unlike its neighbours",
        "pad or trace",
    ),
    ("the package off, read the pad in diode mode, cold", "reads like its neighbours", "joint or package"),
    ("press or warm the package during the test", "the errors come and go", "joint"),
    ("a package that is known to be good in its place", "the errors are gone", "package"),
    ("a package that is known to be good in its place", "the errors stay", "pad, trace or processor side"),
)
"""What tells apart where a fault of a line is: check, what it shows, what that means. Common practice, no source."""

CAUTION = caution_sentence((STATIC, MAINS, FAN, HOT_BOARD))


def fault_words(fault: LineFault) -> str:
    """Say the fault of a line, and what else it may be.

    >>> fault_words(LineFault(6, "bridged", "wired-OR", 4)), fault_words(LineFault(6, "stuck high", maybe_with=(4, 5)))
    ('bridged with line 4, wired-OR', 'stuck high, or bridged with line 4 or 5')
    >>> fault_words(LineFault(6, "low at times", always=0.04))
    'low at times (4 %)'
    """
    if fault.partner is not None:
        return _BRIDGED[fault.how].format(fault.partner)
    rate = f" ({100 * fault.always:.2g} %)" if fault.always < ALWAYS else ""
    other = f", or bridged with {lines_words(fault.maybe_with)}" if fault.maybe_with else ""
    return f"{fault.fault}{rate}{other}"


def log_words(name: str, log: LogOnBoard | LogTrouble) -> str:
    """Say in a sentence what a memory log shows: its errors, and the lines whose fault is sure or likely."""
    if isinstance(log, LogTrouble):
        return f"{name} cannot be used: {log.in_book('memory')}"
    report = log.report
    found = "; ".join(_line_faults(log))
    counts = words_and_errors(report.words, report.errors)
    return f"{name}: {counts}; {found}" if found else f"{name}: {counts}"


def _line_faults(log: LogOnBoard) -> Iterator[str]:
    for channel, one in log.channels():
        for fault in one.faults.lines:
            ball = log.ball(channel, fault.line)
            where = f"{channel} line {fault.line}" + (f" (ball {ball})" if ball else "")
            if fault.sure is not Sure.NO:
                yield f"{where} {fault_words(fault)}, {sure_words(fault)}"


def sure_words(fault: LineFault | WordFault) -> str:
    """Say how sure the log makes a fault."""
    return _SURE[fault.sure]


def word_fault_words(fault: WordFault) -> str:
    """Say a fault that is not one of single lines.

    >>> word_fault_words(WordFault("whole bytes inverted", 40, (1,)))
    'whole bytes inverted: lines 8 to 15'
    """
    lanes = ", ".join(f"lines {8 * byte} to {8 * byte + 7}" for byte in fault.bytes)
    explained = {
        "whole words": "whole words, as from another address",
        "spread": "spread over the lines: no line is conspicuous",
        "whole bytes": "whole bytes fail both ways",
    }.get(fault.fault, fault.fault)
    return f"{explained}: {lanes}" if lanes else explained


def doubts(faults: ChannelFaults) -> Iterator[str]:
    """Yield a sentence on each thing that the words of a log cannot show of a channel."""
    failing = [fault.line for fault in faults.lines]
    for pattern, value in ((Pattern.ONES, 1), (Pattern.ZEROS, 0)):
        lines = [fault.line for fault in faults.lines if fault.next is pattern]
        if lines:
            yield f"No word has line {ranges(lines)} as {value}: it may be open instead of stuck."
    for value, stuck, unwritten in ((0, "high", faults.unwritten_0), (1, "low", faults.unwritten_1)):
        lines = [line for line in unwritten if line not in failing]
        if lines:
            yield f"No word has line {ranges(lines)} as {value}: the log cannot show it stuck {stuck}."


def lines_words(lines: Sequence[int]) -> str:
    """Name lines, or count them where there are many.

    >>> lines_words((4,)), lines_words((2, 6, 10)), lines_words(range(8))
    ('line 4', 'line 2, 6 or 10', 'one of 8 lines')
    """
    if len(lines) > 4:
        return f"one of {len(lines)} lines"
    names = [str(line) for line in lines]
    return f"line {', '.join(names[:-1])} or {names[-1]}" if len(names) > 1 else f"line {names[0]}"


def ranges(lines: Sequence[int]) -> str:
    """Write line numbers as ranges.

    >>> ranges((0, 1, 2, 5, 8, 9))
    '0-2, 5, 8-9'
    """
    runs: list[list[int]] = []
    for line in lines:
        if runs and runs[-1][-1] == line - 1:
            runs[-1].append(line)
        else:
            runs.append([line])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs)


def pad_words(pad: Pad) -> str:
    """Say what is written down of a damaged pad."""
    repaired = (
        f"repaired with {pad.repaired}" if pad.repaired and pad.repaired != "left-open" else pad.repaired
    )
    return listed(f"pad {pad.damage or 'damaged'}", repaired)


def skipped_words(report: LogReport) -> str:
    """Say how many rows of a log cannot be read, and name the first of them."""
    examples = "; ".join(one.words() for one in report.examples)
    rest = report.skipped - len(report.examples)
    more = f"; and {rest} more" if rest else ""
    return f"{counted(report.skipped, 'row')} of {report.rows} that cannot be read: {examples}{more}"


def words_and_errors(words: int, errors: int) -> str:
    """Say how many words have errors."""
    return f"{counted(errors, 'error')} in {counted(words, 'word')}"
