"""Old names: refused like any unknown name, but with the new one in the message.

The format was never released with them, so nothing reads them any more.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

KEYS: Mapping[str, str] = {
    "want": "limit",
    "when": "stage",
    "land": "pad",
    "mended": "repaired",
    "upsets": "affects",
    "tells": "covers",
    "runs": "duration",
    "on": "scope",
    "like": "group",
}
"""Keys and tables of files."""

RULES: Mapping[str, str] = {
    "want-empty": "limit-empty",
    "want-mismatch": "limit-mismatch",
    "want-missing": "limit-missing",
    "land-open": "pad-open",
    "upset-unknown": "affects-unknown",
}
"""Rules, as [lint] and [[waive]] name them."""

OPTIONS: Mapping[str, str] = {
    "--want": "--limit",
    "--when": "--stage",
    "--moving": "--unsettled",
    "--screen": "--drop-outliers",
    "--forget": "--skip",
    "--letter": "--id-letter",
    "--mended": "--repaired",
    "--runs": "--duration",
    "--on": "--scope",
}
"""Options of commands."""

CHOICES: Mapping[str, str] = {"rebuild-lands": "rebuild-pads"}
"""Words that a key may hold."""

COMMANDS: Mapping[str, str] = {"next": "queue"}
"""Commands."""


def renamed(old: str, names: Mapping[str, str], known: Collection[str]) -> str | None:
    """Say what to write instead of an old name; None where it is not one, or its new name means nothing here.

    >>> renamed("want", KEYS, ["value", "limit"])
    'write "limit", the new name of "want"'
    """
    new = names.get(old)
    return f'write "{new}", the new name of "{old}"' if new in known else None
