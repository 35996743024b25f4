"""What the shelf says: of an item what is on hand, of a meter until when it is calibrated."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.editor.names.designs import Named
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.asof import facts_as_of
from jobkit.pages.forms.markdown import escaped
from jobkit.reckon.stock.on_hand import since_counted, stock


def on_hand_words(item: str, book: BookInEditor) -> str:
    """Say how many of an item are on hand by the saved jobs; "" where there is no such item."""
    opened = book.book()
    known = opened.bench.stock.get(item)
    if known is None:
        return ""
    today = book.today(opened)
    facts = facts_as_of(since_counted(book.facts(), [known]), today)
    only = opened.bench._replace(stock={item: known})
    row = stock(facts, only, today).items[0]
    left = "not counted" if row.on_hand is None else f"{row.on_hand.normalize():f} on hand"
    low = f", at or below the reorder level {known.reorder_at}" if row.short else ""
    cost = f", {row.cost} each" if row.cost else ""
    return f"{left}{low}{cost}"


def item_lines(named: Named, _file: OpenFile, book: BookInEditor) -> Iterator[str]:
    """Say what an item is, and how many are on hand."""
    item = book.book().bench.stock.get(named.name)
    if item:
        yield f"**{escaped(named.name)}** {escaped(item.what or '')}".rstrip()
        yield escaped(on_hand_words(named.name, book))


def meter_lines(named: Named, _file: OpenFile, book: BookInEditor) -> Iterator[str]:
    """Say what a meter measures, and until when its calibration holds."""
    meter = book.book().bench.meters.get(named.name)
    if meter is None:
        return
    kinds = dict.fromkeys(one.kind for one in meter.ranges if one.kind)
    yield f"**{escaped(named.name)}** {escaped(', '.join(kinds))}".rstrip()
    until = meter.calibrated_until
    yield f"Calibration holds until {until}" if until else "No interval of calibration is written down"
