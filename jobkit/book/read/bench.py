"""Read the bench's own files: bench.toml, meters.toml and stock.toml, as far as they can be read."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import TypeVar

from jobkit.book.read.tables import Shape, Tables
from jobkit.book.read.values import Values
from jobkit.book.schema.gate import Doc, check
from jobkit.book.schema.prune import pruned
from jobkit.book.schema.trouble import Trouble
from jobkit.jobs.meter import Meter, Range
from jobkit.jobs.settings import Lint, Patience, Proof, Settings, Tax, WarrantyHabit
from jobkit.jobs.stock import Item, Lot
from jobkit.units.accuracy import Accuracy
from jobkit.units.quantity import Quantity
from jobkit.units.verdict import Decision

_Record = TypeVar("_Record")


def read_settings(doc: Doc) -> tuple[Settings, tuple[Trouble, ...]]:
    """Read bench.toml."""
    return read_with(_settings, "bench", doc)


def read_meters(doc: Doc) -> tuple[dict[str, Meter], tuple[Trouble, ...]]:
    """Read meters.toml, by name of the meter."""
    return read_with(_meters, "meters", doc)


def read_stock(doc: Doc) -> tuple[dict[str, Item], tuple[Trouble, ...]]:
    """Read stock.toml, by name of the item."""
    return read_with(_stock, "stock", doc)


def read_with(build: Callable[[Values], _Record], kind: str, doc: Doc) -> tuple[_Record, tuple[Trouble, ...]]:
    """Hold `doc` to its schema, drop what that refuses, and build the record from the rest."""
    troubles = list(check(kind, doc))
    if troubles:
        doc = pruned(kind, doc, [trouble.place for trouble in troubles])
    record = build(Values(doc, (), troubles))
    return record, tuple(troubles)


def _settings(top: Values) -> Settings:
    bench, habit = top.table("bench"), Settings()
    heat = top.table("heat")
    return Settings(
        name=bench.text("name") or habit.name,
        letter=bench.text("letter") or habit.letter,
        zone=bench.text("zone") or habit.zone,
        currency=bench.currency("currency"),
        rate=bench.money("rate"),
        tax=_tax(top.table("tax")),
        warranty=_warranty(top.table("warranty")),
        decision=_decision(top.table("decision")),
        proof=dict(_proofs(top.table("proof"))),
        heat_cycles=heat.whole("cycles", habit.heat_cycles),
        cooling_minutes=heat.whole("cooling_minutes", habit.cooling_minutes),
        patience=_patience(top.table("patience")),
        lint=_lint(top.table("lint")),
    )


def _tax(row: Values) -> Tax:
    habit = Tax()
    return Tax(
        name=row.text("name") or habit.name,
        rate=row.percentage("rate") or habit.rate,
        prices=row.text("prices") or habit.prices,
        rounded=row.text("rounded") or habit.rounded,
        note=row.text("note") or habit.note,
    )


def _warranty(row: Values) -> WarrantyHabit:
    habit = WarrantyHabit()
    return WarrantyHabit(
        runs=row.duration("runs"),
        counted_from=row.text("from") or habit.counted_from,
        comeback=row.text("comeback") or habit.comeback,
        remind=row.durations("remind"),
        void_if=row.texts("void_if"),
    )


def _patience(row: Values) -> Patience:
    return Patience(*(row.whole(key, days) for key, days in Patience()._asdict().items()))


def _decision(row: Values) -> Decision:
    habit = Decision()
    return Decision(rule=row.text("rule") or habit.rule, k=row.number("k") or habit.k)


def _proofs(table: Values) -> Iterator[tuple[str, Proof]]:
    """Yield the policy of each kind of board, and of each outcome that has one of its own within it."""
    for kind in table.row:
        policy = table.table(kind)
        yield kind, _proof(policy.row, policy)
        for outcome in policy.row:
            if outcome not in _PROOF_KEYS:
                # What an outcome does not speak of is as for the kind.
                yield f"{kind} / {outcome}", _proof({**policy.row, **policy.table(outcome).row}, policy)


_PROOF_KEYS = frozenset(("cold_resistance", "function", "load", "last"))


def _proof(steps: Doc, policy: Values) -> Proof:
    row = Values(steps, policy.place, policy.troubles)
    load = row.table("load")
    return Proof(
        cold_resistance=row.texts("cold_resistance"),
        function=row.texts("function"),
        load_run=load.text("run"),
        load_minutes=load.number("minutes"),
        load_limit=load.limits("limit"),
        last=row.texts("last"),
    )


def _lint(row: Values) -> Lint:
    return Lint(
        off=row.texts("off"), note=row.texts("note"), warn=row.texts("warn"), error=row.texts("error")
    )


def _meters(top: Values) -> dict[str, Meter]:
    meters: dict[str, Meter] = {}
    for meter in map(_meter, top.tables("meter")):
        if meter.name in meters:
            message = f"there is another meter {meter.name}"
            top.troubles.append(Trouble((*meter.path, "name"), message, "rename one, or take it out"))
        elif meter.name:
            meters[meter.name] = meter
    return meters


def _meter(row: Values) -> Meter:
    return Meter(
        path=row.place,
        name=row.text("name") or "",
        calibrated=row.day("calibrated"),
        every=row.duration("every"),
        ranges=tuple(map(_range, row.tables("range"))),
        what=row.text("what"),
        serial=row.text("serial"),
    )


def _range(row: Values) -> Range:
    kind = row.text("kind")
    lead = row.quantity("lead", kind)
    accuracy = _accuracy(row, kind, lead)
    return Range(
        path=row.place,
        kind=kind,
        upto=row.quantity("upto", kind),
        accuracy=accuracy,
        four_wire=row.flag("four_wire"),
        lead=lead,
    )


def _accuracy(row: Values, kind: str | None, lead: Quantity | None) -> Accuracy | None:
    step = row.span("step", kind)
    if step is None:
        return None
    return Accuracy(
        percent=row.number("percent") or Decimal(0),
        counts=row.number("counts") or Decimal(0),
        step=step,
        lead=lead,
    )


def _stock(top: Values) -> dict[str, Item]:
    items = top.table("item")
    return {name: _item(name, items.table(name)) for name in items.row}


_STOCK = Tables("stock", {("item", "*"): Shape(Item), ("item", "*", "lot"): Shape(Lot, "lots")})


def _item(name: str, row: Values) -> Item:
    return Item(path=row.place, name=name, **_STOCK.values(("item", "*"), row.row, row.place, row.troubles))
