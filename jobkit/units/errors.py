"""The one family of errors that a person can cause and mend."""


class MisuseError(ValueError):
    """Something a person wrote cannot be used; says what is wrong and how to mend it.

    `message` says what and where, `mend` what to write instead. Both are single plain sentences. The command line
    catches this class in one place; code that reads files turns it into a finding.
    """

    def __init__(self, message: str, mend: str = "") -> None:
        super().__init__(f"{message}; {mend}" if mend else message)
        self.message = message
        self.mend = mend
