"""The one family of errors that a person can cause and fix."""


class MisuseError(ValueError):
    """Something a person wrote cannot be used; says what is wrong and how to fix it.

    `message` says what and where, `mend` what to write instead. Both are single plain sentences. The command line
    catches this class in one place; code that reads files turns it into a finding.
    """

    def __init__(self, message: str, mend: str = "") -> None:
        super().__init__(f"{message}; {mend}" if mend else message)
        self.message = message
        self.mend = mend


class LeftUndoneWarning(UserWarning):
    """What was asked for is done; a step beside it, such as the removal of a temporary file, could not be taken.

    The command line says the message in one line and goes on: nothing has to be typed again.
    """


def in_lines(text: str) -> str:
    r"""Show all that a terminal would obey instead of show, but for the ends of lines.

    >>> print(in_lines("a\x1b[2J"))
    a\x1b[2J
    """
    return text if text.isprintable() else "\n".join(map(in_one_line, text.split("\n")))


def in_one_line(text: str) -> str:
    r"""Show what a terminal would not, such as the end of a line in a file's name, as it is written in a string.

    >>> print(in_one_line("a\nb"))
    a\nb
    """
    # Bytes that are no UTF-8 come as lone surrogates; what they are to be written to knows what to do about them.
    return "".join(
        letter if letter.isprintable() or "\udc80" <= letter <= "\udcff" else repr(letter)[1:-1]
        for letter in text
    )
