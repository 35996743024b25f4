"""Read a job file as far as it can be read.

One function a table of the schema, one line a key, in the order of the record: long, so that a key is looked up in one
place, and flat on purpose.
"""

from __future__ import annotations

from decimal import Decimal
from pathlib import PurePosixPath
from typing import NamedTuple

from jobkit.book.read.values import Values
from jobkit.book.schema.gate import Doc, check
from jobkit.book.schema.prune import pruned
from jobkit.book.schema.trouble import Trouble
from jobkit.jobs.entries import Amended, Inject, Land, Reading, Seen, Trial, Used, Wait, Waive, Work
from jobkit.jobs.finding import Place
from jobkit.jobs.job import (
    Agreement,
    BillLine,
    Board,
    Cause,
    Comeback,
    Credit,
    Dates,
    Fate,
    Firmware,
    Intake,
    Job,
    Parcel,
    Payment,
    Price,
    Warranty,
)


class ReadJob(NamedTuple):
    """A job and what could not be read of it."""

    job: Job
    troubles: tuple[Trouble, ...]


def read_job(path: str, doc: Doc) -> ReadJob:
    """Read the document of the job file at `path`: total, whatever is in it."""
    refused = check("job", doc)
    troubles = list(refused)
    if refused:
        doc = pruned(doc, [trouble.place for trouble in refused])
    job = _job(path, Values(doc, (), troubles))
    return ReadJob(job._replace(broken=_places(troubles)) if troubles else job, tuple(troubles))


def _places(troubles: list[Trouble]) -> frozenset[Place]:
    return frozenset(trouble.place for trouble in troubles)


def _job(path: str, top: Values) -> Job:
    return Job(
        path=path,
        id=top.text("id") or PurePosixPath(path).stem,
        format=top.get("format"),
        client=top.text("client"),
        title=top.text("title"),
        outcome=top.text("outcome"),
        board=_board(top.table("board")),
        intake=_intake(top.table("intake")),
        dates=_dates(top.table("dates")),
        waits=tuple(map(_wait, top.tables("wait"))),
        readings=tuple(map(_reading, top.tables("reading"))),
        injects=tuple(map(_inject, top.tables("inject"))),
        seen=tuple(map(_seen, top.tables("seen"))),
        lands=tuple(map(_land, top.tables("land"))),
        work=tuple(map(_work, top.tables("work"))),
        used=tuple(map(_used, top.tables("used"))),
        trials=tuple(map(_trial, top.tables("trial"))),
        firmware=_firmware(top.table("firmware")) if top.get("firmware") else None,
        cause=_cause(top.table("cause")) if top.get("cause") else None,
        price=_price(top.table("price")) if top.get("price") else None,
        warranty=_warranty(top.table("warranty")) if top.get("warranty") else Warranty(),
        comeback=_comeback(top.table("comeback")) if top.get("comeback") else None,
        parcel=_parcel(top.table("parcel")) if top.get("parcel") else None,
        fate=_fate(top.table("fate")) if top.get("fate") else None,
        waives=tuple(map(_waive, top.tables("waive"))),
        amended=tuple(map(_amended, top.tables("amended"))),
    )


def _board(row: Values) -> Board:
    return Board(
        row.text("kind"),
        row.text("design"),
        row.text("serial"),
        row.text("place"),
        row.texts("kept_back"),
        row.flag("known_good"),
    )


def _intake(row: Values) -> Intake:
    return Intake(
        row.text("complaint"),
        row.text("setup"),
        row.texts("condition"),
        row.text("prior_work"),
        row.text("from"),
        row.money("declared"),
        row.texts("came_with"),
    )


def _dates(row: Values) -> Dates:
    return Dates(*map(row.day, Dates._fields))


def _wait(row: Values) -> Wait:
    return Wait(
        row.place,
        row.text("for"),
        row.day("since"),
        row.day("until"),
        row.text("what"),
        row.moment("at"),
        row.text("by"),
    )


def _reading(row: Values) -> Reading:
    kind = row.text("kind")
    return Reading(
        row.place,
        row.moment("at"),
        row.text("by"),
        row.text("stage"),
        row.text("point"),
        kind,
        row.quantity("value", kind),
        row.limit("limit", kind),
        row.text("state"),
        row.text("meter"),
        row.text("to"),
        row.text("red_on"),
        row.texts("removed"),
        row.flag("settled", habit=True),
        row.text("like"),
        row.text("decision"),
        row.text("range"),
        row.flag("four_wire"),
        row.text("note"),
    )


def _inject(row: Values) -> Inject:
    return Inject(
        row.place,
        row.moment("at"),
        row.text("by"),
        row.text("rail"),
        row.quantity("volts", "voltage"),
        row.quantity("amps", "current"),
        row.number("minutes"),
        row.text("hottest"),
        row.text("note"),
    )


def _seen(row: Values) -> Seen:
    return Seen(
        row.place,
        row.moment("at"),
        row.text("by"),
        row.text("check"),
        row.texts("passed"),
        row.texts("failed"),
        row.text("log"),
        row.text("what"),
    )


def _land(row: Values) -> Land:
    return Land(
        row.place,
        row.moment("at"),
        row.text("by"),
        row.text("part"),
        row.text("ball"),
        row.text("carries"),
        row.text("damage"),
        row.text("mended"),
        row.quantity("reads", "resistance"),
        row.text("note"),
    )


def _work(row: Values) -> Work:
    return Work(
        row.place,
        row.moment("at"),
        row.text("by"),
        row.number("minutes"),
        row.text("did"),
        row.text("part"),
        row.text("what"),
        row.text("came"),
        row.text("alloy"),
        row.text("heat"),
        tuple(row.get("probe", {}).items()),
        row.texts("near"),
        row.number("hours"),
        row.quantity("oven", "temperature"),
        row.text("removal_alloy"),
        row.text("paste"),
        _pads(row),
    )


def _pads(row: Values) -> tuple[tuple[str, Decimal], ...]:
    pads = row.get("pads_mm", {})
    by_place = pads if isinstance(pads, dict) else {"": pads}
    return tuple((place, Decimal(str(thick))) for place, thick in by_place.items())


def _used(row: Values) -> Used:
    qty = row.number("qty")
    return Used(
        row.place,
        row.moment("at"),
        row.text("by"),
        row.text("part"),
        row.text("item"),
        row.text("from"),
        Used._field_defaults["qty"] if qty is None else qty,
        row.money("cost"),
        row.money("price"),
        row.percentage("tax"),
        row.text("lot"),
        row.text("donor_part"),
        row.text("note"),
    )


def _trial(row: Values) -> Trial:
    sensors = row.table("limit")
    limits = ((sensor, sensors.limit(sensor)) for sensor in sensors.row)
    return Trial(
        row.place,
        row.moment("at"),
        row.text("by"),
        row.text("run"),
        row.number("minutes"),
        row.text("result"),
        row.text("log"),
        tuple((sensor, limit) for sensor, limit in limits if limit),
        row.text("host"),
        row.quantity("ambient", "temperature"),
        row.get("cold_start"),
        row.text("note"),
        row.get("repeats", 1),
        row.text("supply"),
    )


def _firmware(row: Values) -> Firmware:
    return Firmware(row.text("came"), row.text("saved"), row.text("left"))


def _cause(row: Values) -> Cause:
    return Cause(row.text("part"), row.text("fault"), row.text("name"))


def _price(row: Values) -> Price:
    return Price(
        row.money("quoted"),
        row.money("ceiling"),
        row.money("if_not_repaired"),
        row.money("charged"),
        row.money("shipping"),
        tuple(Agreement(one.day("on"), one.money("amount")) for one in row.tables("agreed")),
        row.percentage("tax"),
        row.text("tax_note"),
        tuple(map(_bill_line, row.tables("line"))),
        tuple(map(_payment, row.tables("payment"))),
        tuple(map(_credit, row.tables("credit"))),
    )


def _bill_line(row: Values) -> BillLine:
    quantity = row.number("quantity")
    return BillLine(
        row.text("what"),
        BillLine._field_defaults["quantity"] if quantity is None else quantity,
        row.money("each"),
        row.percentage("tax"),
    )


def _payment(row: Values) -> Payment:
    return Payment(row.day("on"), row.money("amount"), row.text("note"))


def _credit(row: Values) -> Credit:
    return Credit(row.day("on"), row.money("amount"), row.text("why"), row.percentage("tax"))


def _warranty(row: Values) -> Warranty:
    return Warranty(
        row.duration("runs"),
        row.text("from"),
        row.text("on"),
        row.text("void"),
        row.day("void_on"),
        given=True,
    )


def _comeback(row: Values) -> Comeback:
    return Comeback(row.text("of"), row.text("found"))


def _parcel(row: Values) -> Parcel:
    return Parcel(row.text("in"), row.text("out"), row.money("insured"))


def _fate(row: Values) -> Fate:
    return Fate(row.text("is"), row.flag("owner_agreed"))


def _waive(row: Values) -> Waive:
    return Waive(
        row.place, row.text("rule"), row.text("about"), row.text("why"), row.moment("at"), row.text("by")
    )


def _amended(row: Values) -> Amended:
    return Amended(row.place, row.moment("at"), row.text("by"), row.text("why"))
