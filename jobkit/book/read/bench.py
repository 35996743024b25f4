"""Read the bench's own files: bench.toml, meters.toml and stock.toml, as far as they can be read."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import TypeVar

from jobkit.book.read.values import Values
from jobkit.book.schema.gate import Doc, check
from jobkit.book.schema.prune import pruned
from jobkit.book.schema.trouble import Trouble
from jobkit.jobs.meter import Meter, Range
from jobkit.jobs.settings import Lint, LoadProof, Patience, Proof, Settings, Tax, WarrantyHabit
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
        doc = pruned(doc, [trouble.place for trouble in troubles])
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
        heat_cycles=heat.get("cycles", habit.heat_cycles),
        cooling_minutes=heat.get("cooling_minutes", habit.cooling_minutes),
        patience=Patience(**top.get("patience", {})),
        lint=_lint(top.table("lint")),
    )


def _tax(row: Values) -> Tax:
    habit = Tax()
    return Tax(
        row.text("name") or habit.name,
        row.percentage("rate") or habit.rate,
        row.text("prices") or habit.prices,
        row.text("rounded") or habit.rounded,
        row.text("note") or habit.note,
    )


def _warranty(row: Values) -> WarrantyHabit:
    habit = WarrantyHabit()
    return WarrantyHabit(
        row.duration("runs"),
        row.text("from") or habit.counted_from,
        row.text("comeback") or habit.comeback,
        row.durations("remind"),
        row.texts("void_if"),
    )


def _decision(row: Values) -> Decision:
    habit = Decision()
    return Decision(row.text("rule") or habit.rule, row.number("k") or habit.k)


def _proofs(table: Values) -> Iterator[tuple[str, Proof]]:
    """Yield the policy of each kind of board, and of each outcome that has one of its own within it."""
    for kind in table.row:
        policy = table.table(kind)
        usual = _proof(policy)
        yield kind, usual
        for outcome in policy.row:
            if outcome not in _PROOF_KEYS:
                yield f"{kind} / {outcome}", _proof(policy.table(outcome), usual)


_PROOF_KEYS = frozenset(("cold_resistance", "function", "load", "last", "repeats"))


def _proof(row: Values, usual: Proof = Proof()) -> Proof:  # noqa: B008 - a record, never changed
    """Read a policy; what it does not speak of is as `usual`."""
    repeats = row.get("repeats")
    return Proof(
        row.texts("cold_resistance") if "cold_resistance" in row.row else usual.cold_resistance,
        row.texts("function") if "function" in row.row else usual.function,
        _load_proof(row.table("load"), usual.load or LoadProof()) if "load" in row.row else usual.load,
        row.texts("last") if "last" in row.row else usual.last,
        tuple(repeats.items()) if repeats else usual.repeats,
    )


def _load_proof(row: Values, usual: LoadProof) -> LoadProof:
    limits, accuracy = row.table("limit"), row.table("accuracy")
    read = [(sensor, limits.limit(sensor)) for sensor in limits.row]
    sure = [(sensor, accuracy.sensor_accuracy(sensor)) for sensor in accuracy.row]
    minutes = row.number("minutes")
    one = () if minutes is None else (minutes,)
    return LoadProof(
        row.text("run") or usual.run,
        tuple(map(_decimal, row.get("in_a_row", ()))) or one or usual.minutes,
        tuple((sensor, limit) for sensor, limit in read if limit) or usual.limit,
        row.flag("log", habit=usual.log),
        tuple((sensor, known) for sensor, known in sure if known) or usual.accuracy,
        row.texts("conditions") or usual.conditions,
    )


def _decimal(number: float) -> Decimal:
    return Decimal(str(number))


def _lint(row: Values) -> Lint:
    return Lint(row.texts("off"), row.texts("note"), row.texts("warn"), row.texts("error"))


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
        row.place,
        row.text("name") or "",
        row.day("calibrated"),
        row.duration("every"),
        tuple(map(_range, row.tables("range"))),
    )


def _range(row: Values) -> Range:
    kind = row.text("kind")
    lead = row.quantity("lead", kind)
    accuracy = _accuracy(row, kind, lead)
    return Range(row.place, kind, row.quantity("upto", kind), accuracy, row.flag("four_wire"), lead)


def _accuracy(row: Values, kind: str | None, lead: Quantity | None) -> Accuracy | None:
    step = row.span("step", kind)
    if step is None:
        return None
    return Accuracy(row.number("percent") or Decimal(0), row.number("counts") or Decimal(0), step, lead)


def _stock(top: Values) -> dict[str, Item]:
    items = top.table("item")
    return {name: _item(name, items.table(name)) for name in items.row}


def _item(name: str, row: Values) -> Item:
    return Item(
        row.place,
        name,
        row.text("what"),
        row.number("counted"),
        row.day("counted_on"),
        row.number("reorder_at"),
        row.money("cost"),
        row.text("moisture"),
        row.number("body_mm"),
        row.day("opened"),
        row.money("price"),
        row.percentage("tax"),
        row.text("place"),
        row.text("order_from"),
        row.text("order_as"),
        tuple(map(_lot, row.tables("lot"))),
    )


def _lot(row: Values) -> Lot:
    return Lot(
        row.place,
        row.text("name") or "",
        row.number("counted"),
        row.day("opened"),
        row.money("cost"),
        row.text("note"),
    )
