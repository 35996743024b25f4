"""What can be jotted down: one row a sort of entry. Its keys, their forms and their help come from the schema."""

from __future__ import annotations

from typing import NamedTuple


class Jot(NamedTuple):
    """A sort of entry: where it stands in a job file, and which keys its bare words go to, in this order.

    `only` restricts the keys, where they are a few of many. `again` are the keys by which an earlier entry is found,
    to be completed instead of a new one written, where `lacking` is not given.
    """

    name: str
    path: tuple[str, ...]
    words: tuple[str, ...]
    about: str
    listed: bool = False
    only: tuple[str, ...] = ()
    again: tuple[str, ...] = ()
    lacking: str = ""
    today: str = ""


JOTS = {
    jot.name: jot
    for jot in (
        Jot(
            "work",
            ("work",),
            ("did", "part", "came", "hours", "minutes", "what"),
            "one thing done to the board",
            listed=True,
        ),
        Jot(
            "pad",
            ("pad",),
            ("part", "ball", "side", "damage", "carries", "repaired", "reads"),
            "a damaged pad; later how it was repaired and what it reads",
            listed=True,
            again=("part", "ball", "side"),
            lacking="damage",
        ),
        Jot(
            "inject",
            ("inject",),
            ("rail", "volts", "amps", "minutes", "hottest"),
            "current injected into a short",
            listed=True,
        ),
        Jot("seen", ("seen",), ("check", "what"), "what a test or the eye showed", listed=True),
        Jot("used", ("used",), ("item", "part", "from", "qty", "cost"), "a part used up", listed=True),
        Jot("trial", ("trial",), ("run", "result", "minutes"), "a test run on the whole board", listed=True),
        Jot(
            "wait",
            ("wait",),
            ("for", "what"),
            "what the job waits for; `wait over` ends the wait",
            listed=True,
            today="since",
        ),
        Jot(
            "date", ("dates",), (), "a day of the job, as in `date agreed` (today) or `date sent 2026-10-26`"
        ),
        Jot("outcome", (), ("outcome",), "how it ended", only=("outcome",)),
        Jot("cause", ("cause",), ("part", "fault"), "what it was, once known"),
        Jot("price", ("price",), (), "the price, as in `price quoted 160 ceiling 200`"),
        Jot(
            "agreement",
            ("price", "agreed"),
            ("amount", "note"),
            "a price the client agreed to",
            listed=True,
            today="on",
        ),
        Jot(
            "payment", ("price", "payment"), ("amount", "note"), "money that came in", listed=True, today="on"
        ),
        Jot("credit", ("price", "credit"), ("amount", "why"), "a sum given back", listed=True, today="on"),
        Jot(
            "line",
            ("price", "line"),
            ("what", "each", "quantity"),
            "a line of the bill in your own words",
            listed=True,
        ),
        Jot("warranty", ("warranty",), ("runs", "from", "on"), "a warranty other than the usual one"),
        Jot(
            "comeback", ("comeback",), ("of", "found"), "the earlier job of this board, and why it came back"
        ),
        Jot(
            "firmware",
            ("firmware",),
            (),
            "the firmware, as in `firmware came 1.07 saved firmware-as-came.bin`",
        ),
        Jot("parcel", ("parcel",), (), "the parcel, as in `parcel in 'RR 0417 7731 IS'`"),
        Jot("fate", ("fate",), ("is",), "what became of the board"),
        Jot("board", ("board",), (), "the board, as in `board place 'shelf B3' kept_back bracket`"),
        Jot(
            "intake",
            ("intake",),
            (),
            "what came and how, as in `intake setup 'rack node' condition 'scorch mark beside Q214'`",
        ),
        Jot("title", (), ("title",), "the job in one line", only=("title",)),
        Jot("client", (), ("client",), "whose board it is", only=("client",)),
        Jot(
            "amended",
            ("amended",),
            ("why",),
            "a change made after the board was sent, owned up to",
            listed=True,
        ),
        Jot("waive", ("waive",), ("rule", "why"), "a finding accepted, with the reason", listed=True),
    )
}
"""Every sort of entry by name, in the order in which help lists them."""
