"""Read the bench's own files: bench.toml, meters.toml and stock.toml, as far as they can be read."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import TypeVar

from jobkit.book.read.histories import amounts, entries
from jobkit.book.read.tables import Shape, Tables
from jobkit.book.read.values import Values
from jobkit.book.schema.gate import Doc, check
from jobkit.book.schema.prune import pruned
from jobkit.book.schema.trouble import Trouble
from jobkit.jobs.design import Check
from jobkit.jobs.heat_policy import HeatPolicy, PackageLimits, SolderWindow
from jobkit.jobs.in_force import AmountSince
from jobkit.jobs.meter import Meter, Range
from jobkit.jobs.settings import (
    Lint,
    LoadProof,
    LogHabit,
    Papers,
    Patience,
    Proof,
    Settings,
    Tax,
    WarrantyHabit,
)
from jobkit.jobs.stock import Item, Lot, Receipt
from jobkit.units.accuracy import Accuracy, Certificate
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
        doc = pruned(kind, doc, [place for trouble in troubles for place in trouble.places])
    record = build(Values(doc, (), troubles))
    return record, tuple(troubles)


def _settings(top: Values) -> Settings:
    bench, habit = top.table("bench"), Settings()
    heat = top.table("heat")
    return Settings(
        name=bench.text("name") or habit.name,
        letter=bench.text("letter") or habit.letter,
        letters=dict(bench.get("letters", {})),
        zone=bench.text("zone") or habit.zone,
        currency=bench.currency("currency"),
        rate=_rate(bench),
        supply=bench.text("supply") or habit.supply,
        address=bench.texts("address"),
        country=bench.text("country"),
        contact=bench.texts("contact"),
        tax_number=bench.text("tax_number"),
        account=bench.text("account"),
        cash_rounding=bench.money("cash_rounding"),
        tax=tuple(_taxes(top)),
        warranty=tuple(_warranties(top)),
        decision=_decision(top.table("decision")),
        proof=dict(_proofs(top.table("proof"))),
        heat_cycles=heat.whole("cycles", habit.heat_cycles),
        cooling_minutes=heat.whole("cooling_minutes", habit.cooling_minutes),
        board_bake_since=heat.day("board_bake_since"),
        heat=_heat_policy(heat),
        pad_limit=top.table("pads").limit_in("limit", "resistance"),
        patience=_patience(top.table("patience")),
        papers=_papers(top.table("papers")),
        lint=_lint(top.table("lint")),
        checks=_checks(top),
        logs={kind: _log_habit(top.table("logs").table(kind)) for kind in top.get("logs", {})},
    )


def _rate(bench: Values) -> tuple[AmountSince, ...]:
    value = bench.get("rate")
    return amounts(value, (*bench.place, "rate"), bench.troubles) if value else ()


def _taxes(top: Values) -> Iterator[Tax]:
    """Read the history of the tax; what an entry leaves out stays as it was before, but for the note on the bill."""
    habit = Tax()
    for row in entries(top, "tax"):
        habit = _tax(row, habit)
        yield habit


def _tax(row: Values, habit: Tax) -> Tax:
    rate = row.percentage("rate")
    return Tax(
        name=row.text("name") or habit.name,
        rate=habit.rate if rate is None else rate,
        prices=row.text("prices") or habit.prices,
        rounded=row.text("rounded") or habit.rounded,
        note=row.text("note") or "",
        since=row.text("since") or "",
        category_at_zero=row.text("category_at_zero") or habit.category_at_zero,
    )


def _warranties(top: Values) -> Iterator[WarrantyHabit]:
    """Read the history of the warranty; what an entry leaves out stays as it was before."""
    habit = WarrantyHabit()
    for row in entries(top, "warranty"):
        habit = _warranty(row, habit)
        yield habit


def _warranty(row: Values, habit: WarrantyHabit) -> WarrantyHabit:
    return WarrantyHabit(
        duration=row.duration("duration") or habit.duration,
        counted_from=row.text("from") or habit.counted_from,
        comeback=row.text("comeback") or habit.comeback,
        remind=row.durations("remind") if "remind" in row.row else habit.remind,
        void_if=row.texts("void_if") if "void_if" in row.row else habit.void_if,
        since=row.text("since") or "",
    )


def _patience(row: Values) -> Patience:
    return Patience(*(row.whole(key, days) for key, days in Patience()._asdict().items()))


def _papers(row: Values) -> Papers:
    word = row.get("word")
    return Papers(
        word=None if word is None else int(word),  # 3.0 is a whole number too
        quote_holds=row.duration("quote_holds"),
        intake=row.texts("intake"),
        quote=row.texts("quote"),
        language=row.text("language"),
    )


def _decision(row: Values) -> Decision:
    habit = Decision()
    return Decision(
        rule=row.text("rule") or habit.rule, k=row.number("k") or habit.k, r=row.number("r") or habit.r
    )


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
    """Read a policy; what it does not mention is as `usual`."""
    repeats = row.get("repeats")
    return Proof(
        cold_resistance=row.texts("cold_resistance")
        if "cold_resistance" in row.row
        else usual.cold_resistance,
        function=row.texts("function") if "function" in row.row else usual.function,
        load=_load_proof(row.table("load"), usual.load or LoadProof()) if "load" in row.row else usual.load,
        last=row.texts("last") if "last" in row.row else usual.last,
        repeats=tuple((run, int(times)) for run, times in repeats.items()) if repeats else usual.repeats,
    )


def _load_proof(row: Values, usual: LoadProof) -> LoadProof:
    accuracy = row.table("accuracy")
    sure = ((sensor, accuracy.sensor_accuracy(sensor)) for sensor in accuracy.row)
    own_length = "minutes" in row.row or "in_a_row" in row.row
    return LoadProof(
        run=row.text("run") or usual.run,
        minutes=row.number("minutes") if own_length else usual.minutes,
        in_a_row=tuple(Decimal(str(one)) for one in row.get("in_a_row", ()))
        if own_length
        else usual.in_a_row,
        limit=row.limits("limit") or usual.limit,
        log=row.flag("log", habit=usual.log),
        accuracy=tuple((sensor, known) for sensor, known in sure if known) or usual.accuracy,
        conditions=row.texts("conditions") or usual.conditions,
    )


def _checks(top: Values) -> dict[str, tuple[Check, ...]]:
    """Read the checks of a kind of board, by kind in the order of the file."""
    found: dict[str, tuple[Check, ...]] = {}
    for row in top.tables("check"):
        kind = row.text("kind") or ""
        found[kind] = (*found.get(kind, ()), _check(row))
    return found


def _check(row: Values) -> Check:
    return Check(
        path=row.place,
        name=row.text("name"),
        minutes=row.number("minutes"),
        state=row.text("state"),
        covers=row.texts("covers"),
        note=row.text("note"),
        how=row.text("how"),
    )


def _lint(row: Values) -> Lint:
    return Lint(
        off=row.texts("off"), note=row.texts("note"), warn=row.texts("warn"), error=row.texts("error")
    )


def _heat_policy(row: Values) -> HeatPolicy:
    package, alloys = row.table("package"), row.table("alloy")
    return HeatPolicy(
        log=row.flag("log"),
        accuracy=row.span("accuracy", "temperature"),
        package=PackageLimits(
            below=package.span("below", "temperature"),
            ramp_up=package.number("ramp_up"),
            ramp_down=package.number("ramp_down"),
            near_peak_seconds=package.number("near_peak_seconds"),
            above_liquidus_seconds=package.number("above_liquidus_seconds"),
            preheat_seconds=package.number("preheat_seconds"),
            to_peak_minutes=package.number("to_peak_minutes"),
        ),
        solders=tuple(_solder_window(name, alloys.table(name)) for name in alloys.row),
    )


def _solder_window(name: str, row: Values) -> SolderWindow:
    return SolderWindow(
        name,
        solidus=row.quantity("solidus", "temperature"),
        liquidus=row.quantity("liquidus", "temperature"),
        peak=row.limit("peak", "temperature"),
        least_seconds=row.number("least_seconds"),
        most_seconds=row.number("most_seconds"),
    )


def _log_habit(row: Values) -> LogHabit:
    return LogHabit(
        columns=tuple(row.get("columns", {}).items()),
        header=row.texts("header"),
        separator=row.text("separator"),
        encoding=row.text("encoding"),
        bad_rows=row.number("bad_rows"),
        width=row.get("width", 0),
        units=tuple(row.get("units", {}).items()),
    )


def _meters(top: Values) -> dict[str, Meter]:
    meters: dict[str, Meter] = {}
    for meter in map(_meter, top.tables("meter")):
        if meter.name in meters:
            message = f"there is another meter {meter.name}"
            top.troubles.append(Trouble((*meter.path, "name"), message, "rename one, or remove it"))
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
    lead, upto = row.quantity("lead", kind), row.quantity("upto", kind)
    return Range(
        path=row.place,
        kind=kind,
        upto=upto,
        accuracy=_accuracy(row, kind, lead, upto),
        four_wire=row.flag("four_wire"),
        lead=lead,
    )


def _accuracy(row: Values, kind: str | None, lead: Quantity | None, upto: Quantity | None) -> Accuracy | None:
    step, certificate = row.span("step", kind), _certificate(row, kind)
    if step is None:
        return None
    return Accuracy(
        percent=row.number("percent") or Decimal(0),
        counts=row.number("counts") or Decimal(0),
        step=step,
        lead=lead,
        ppm=row.number("ppm") or Decimal(0),
        percent_of_range=row.number("percent_of_range") or Decimal(0),
        upto=upto,
        certificate=certificate,
    )


def _certificate(row: Values, kind: str | None) -> Certificate | None:
    uncertainty, k = row.span("uncertainty", kind), row.number("k")
    return Certificate(uncertainty, k) if uncertainty and k else None


def _stock(top: Values) -> dict[str, Item]:
    items = top.table("item")
    return {name: _item(name, items.table(name)) for name in items.row}


_STOCK = Tables(
    "stock",
    {
        ("item", "*"): Shape(Item),
        ("item", "*", "lot"): Shape(Lot, "lots"),
        ("item", "*", "received"): Shape(Receipt, "received"),
    },
)


def _item(name: str, row: Values) -> Item:
    item: Item = _STOCK.record(("item", "*"), row.row, row.place, row.troubles, name=name)
    return item
