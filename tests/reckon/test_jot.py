"""From the words behind `jot` to entries; every kind of entry is made at least once and passes the schema."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

import pytest

from jobkit.book.edit import append_entry, set_key
from jobkit.book.read.load import load_job
from jobkit.book.schema.entry_keys import Key, keys_of
from jobkit.reckon.entry.jot import dates_of, entry_of
from jobkit.reckon.entry.jot_kinds import JOTS
from jobkit.reckon.entry.value_parsing import JotContext, forms
from jobkit.units.errors import MisuseError
from tests.at_the_bench import JOB, JOB_PATH

NOW = datetime(2026, 10, 22, 10, 5)
KNOWN = JotContext(
    NOW,
    {
        "part": ("Q214", "U3", "U30"), "near": ("Q214", "U3"), "rail": ("V12", "VMEM"), "check": ("memory test",),
        "run": ("picture", "load run"), "item": ("stage-50a-5x6",), "rule": ("meter-overdue",), "hottest": ("Q214",),
        "with": ("client", "carrier"), "from": ("stock", "bought", "client", "K26-0001"),
    },
    "EUR",
    lambda word: f"K26-{int(word):04d}" if word.isdigit() else word,
)  # fmt: skip

CASES: list[tuple[str, list[str], dict[str, Any]]] = [
    ("public", ["true"], {"public": True}),
    (
        "message",
        ["client", "covered until spring", "from", "us"],
        {"with": "client", "text": "covered until spring", "from": "us"},
    ),
    ("invoice", ["K26-R-0057", "on", "2026-10-21"], {"number": "K26-R-0057", "on": date(2026, 10, 21)}),
    ("payment", ["98,80", "EUR", "in cash"], {"amount": "98.80 EUR", "note": "in cash"}),
    ("payment", ["50", "eur"], {"amount": "50.00 EUR"}),
    ("payment", ["note", "in cash", "amount", "50", "CHF"], {"amount": "50.00 CHF", "note": "in cash"}),
    (
        "price",
        ["quoted", "160", "EUR", "ceiling", "200", "EUR"],
        {"quoted": "160.00 EUR", "ceiling": "200.00 EUR"},
    ),
    ("credit", ["late", "10"], {"amount": "10.00 EUR", "why": "late"}),
    ("work", ["fit", "u3", "new"], {"did": "fit", "part": "U3", "came": "new"}),
    ("work", ["clean", "final clean"], {"did": "clean", "what": "final clean"}),
    ("work", ["fit", "q214", "75"], {"did": "fit", "part": "Q214", "minutes": Decimal(75)}),
    ("work", ["rebu", "u3"], {"did": "rebuild-pads", "part": "U3"}),
    ("work", ["bake", "24h", "oven", "125"], {"did": "bake", "hours": Decimal(24), "oven": "125 °C"}),
    ("work", ["fit", "c412", "alloy", "SAC305"], {"did": "fit", "part": "C412", "alloy": "SAC305"}),
    ("work", ["fit", "u3", "near", "u3,q214"], {"did": "fit", "part": "U3", "near": ["U3", "Q214"]}),
    (
        "work",
        ["fit", "u3", "probe", "t1=U3 joint", "probe", "t2=body"],
        {"did": "fit", "part": "U3", "probe": {"t1": "U3 joint", "t2": "body"}},
    ),
    ("work", ["thermal", "pads_mm", "1.5"], {"did": "thermal", "pads_mm": Decimal("1.5")}),
    (
        "work",
        ["thermal", "pads_mm", "memory=1.5", "pads_mm", "power stages=2,0 mm"],
        {"did": "thermal", "pads_mm": {"memory": Decimal("1.5"), "power stages": Decimal("2.0")}},
    ),
    (
        "work",
        ["thermal", "pads_mm", "memory=1,5,power stages=2,0 mm"],
        {"did": "thermal", "pads_mm": {"memory": Decimal("1.5"), "power stages": Decimal("2.0")}},
    ),
    (
        "work",
        ["fit", "u3", "probe", "t1=M6 joint,t2=M7 body top, near the plug"],
        {"did": "fit", "part": "U3", "probe": {"t1": "M6 joint", "t2": "M7 body top, near the plug"}},
    ),
    (
        "trial",
        ["picture", "pass", "limit", "hot spot=<= 95 °C, core=<= 88 °C"],
        {"run": "picture", "result": "pass", "limit": {"hot spot": "<= 95 °C", "core": "<= 88 °C"}},
    ),
    ("work", ["other", "what", "x"], {"did": "other", "what": "x"}),
    ("work", ["other", "what", "came"], {"did": "other", "what": "came"}),
    (
        "pad",
        ["q214", "4", "lifted", "supply"],
        {"part": "Q214", "ball": "4", "damage": "lifted", "carries": "supply"},
    ),
    (
        "pad",
        ["u3", "K11", "torn", "film", "0.3"],
        {"part": "U3", "ball": "K11", "damage": "torn-off", "repaired": "film", "reads": "0.3 Ω"},
    ),
    (
        "inject",
        ["v12", "1.0", "2", "2", "q214"],
        {"rail": "V12", "volts": "1.0 V", "amps": "2 A", "minutes": Decimal(2), "hottest": "Q214"},
    ),
    ("seen", ["memory", "failed", "3H,3L"], {"check": "memory test", "failed": ["3H", "3L"]}),
    ("seen", ["microscope", "flux round U5"], {"check": "microscope", "what": "flux round U5"}),
    (
        "used",
        ["stage", "q214", "bought", "2", "4.20"],
        {"item": "stage-50a-5x6", "part": "Q214", "from": "bought", "qty": Decimal(2), "cost": "4.20 EUR"},
    ),
    ("used", ["paste", "4,20 usd"], {"item": "paste", "cost": "4.20 USD"}),
    ("trial", ["load", "pass", "30"], {"run": "load run", "result": "pass", "minutes": Decimal(30)}),
    ("trial", ["picture", "pass", "cold_start"], {"run": "picture", "result": "pass", "cold_start": True}),
    (
        "trial",
        ["load", "stopped", "limit", "core=<=88 degC"],
        {"run": "load run", "result": "stopped", "limit": {"core": "<= 88 °C"}},
    ),
    ("wait", ["parts", "two stages"], {"for": "parts", "what": "two stages"}),
    ("wait", ["donor", "since", "yesterday"], {"for": "donor", "since": date(2026, 10, 21)}),
    ("outcome", ["rep"], {"outcome": "repaired"}),
    ("cause", ["q214", "shorted"], {"part": "Q214", "fault": "shorted"}),
    ("price", ["quoted", "160", "ceiling", "200,50"], {"quoted": "160.00 EUR", "ceiling": "200.50 EUR"}),
    ("price", ["tax", "11"], {"tax": "11 %"}),
    ("agreement", ["160"], {"amount": "160.00 EUR"}),
    ("payment", ["50", "deposit"], {"amount": "50.00 EUR", "note": "deposit"}),
    ("credit", ["20", "late"], {"amount": "20.00 EUR", "why": "late"}),
    ("discount", ["10", "third board this year"], {"amount": "10.00 EUR", "why": "third board this year"}),
    ("refund", ["12.40", "by transfer"], {"amount": "12.40 EUR", "note": "by transfer"}),
    ("used", ["stage", "cost", "0.0042"], {"item": "stage-50a-5x6", "cost": "0.0042 EUR"}),
    (
        "line",
        ["stage replaced", "77.50", "2"],
        {"what": "stage replaced", "each": "77.50 EUR", "quantity": Decimal(2)},
    ),
    ("warranty", ["6m", "from", "sent"], {"duration": "P6M", "from": "sent"}),
    ("comeback", ["12", "same"], {"of": "K26-0012", "found": "same-fault"}),
    ("firmware", ["came", "1.07"], {"came": "1.07"}),
    ("parcel", ["in", "RR 0417"], {"in": "RR 0417"}),
    ("fate", ["kept", "owner_agreed"], {"is": "kept-for-parts", "owner_agreed": True}),
    ("fate", ["kept", "owner_agreed", "no"], {"is": "kept-for-parts", "owner_agreed": False}),
    ("board", ["place", "shelf B3", "kept_back", "bracket"], {"place": "shelf B3", "kept_back": ["bracket"]}),
    ("intake", ["prior_work", "cert"], {"prior_work": "certain"}),
    ("title", ["No picture at all"], {"title": "No picture at all"}),
    ("client", ["c-9"], {"client": "c-9"}),
    ("note", ["in customs for a month"], {"text": "in customs for a month"}),
    ("note", ["cleaned on receipt", "client"], {"text": "cleaned on receipt", "client": True}),
    (
        "message",
        ["client", "fails again after two weeks", "log", "letter.txt"],
        {"with": "client", "text": "fails again after two weeks", "log": "letter.txt"},
    ),
    ("amended", ["meter written down wrong"], {"why": "meter written down wrong"}),
    (
        "waive",
        ["meter", "checked", "about", "V12"],
        {"rule": "meter-overdue", "why": "checked", "about": "V12"},
    ),
]


@pytest.mark.parametrize(
    ("name", "words", "entry"), [pytest.param(*case, id=" ".join([case[0], *case[1]])) for case in CASES]
)
def test_words_make_an_entry_that_the_schema_accepts(
    name: str, words: list[str], entry: dict[str, Any]
) -> None:
    row = JOTS[name]
    made = entry_of(row, keys_of(row.path), words, {}, KNOWN)
    assert made == entry
    habits = {row.today: date(2026, 10, 22)} if row.today else {}
    if row.listed:
        text = append_entry(JOB, row.path, {**habits, **made})
    else:
        text = JOB
        for key, value in made.items():
            text = set_key(text, (*row.path, key), value)
    assert load_job(JOB_PATH, text.encode()).troubles == ()


def test_every_sort_of_entry_is_tried_above() -> None:
    assert {case[0] for case in CASES} == JOTS.keys() - {"date"}


@pytest.mark.parametrize("name", JOTS)
def test_the_words_of_a_row_are_keys_of_its_table(name: str) -> None:
    row = JOTS[name]
    keys = {key.name: key for key in keys_of(row.path)}
    assert {*row.words, *row.only, *row.again, *filter(None, (row.lacking, row.today))} <= keys.keys()
    assert {key.form for key in keys.values()} <= {*forms()}
    assert all(key.about for key in keys.values())


@pytest.mark.parametrize(
    ("name", "words", "message", "mend"),
    [
        ("work", ["ft", "u3"], '"ft" is not a choice for did', 'write "fit"'),
        (
            "work",
            ["fit", "u3", "new", "5", "final", "more"],
            '"more" does not fit in work',
            "put the name of its key",
        ),
        ("work", ["fit", "minutes"], "minutes has no value", "write it like 75"),
        ("work", ["fit", "minutes", "many"], 'minutes cannot be "many"', "write it like 75"),
        ("work", ["remove", "u", "minutes", "20"], '"u" does not fit in work', "put the name of its key"),
        ("work", ["remove", "6", "minutes", "20"], "minutes is given twice, as 6 and as 20", "give it once"),
        ("work", ["fit", "part", "u3", "part", "u4"], "part is given twice", "give it once"),
        ("pad", ["q214", "4", "lfted"], '"lfted" does not fit in pad', 'write "lifted"'),
        ("used", ["stage", "from", "bought", "cost", "cheap"], 'cost cannot be "cheap"', "4.20 EUR"),
        ("price", ["quoted", "160.123"], "more decimals than EUR", ""),
        ("price", ["qouted", "160"], '"qouted" does not fit in price', 'write "quoted"'),
        ("work", ["thermal", "pads_mm", "memory=thick"], 'pads_mm cannot be "thick"', "write one number"),
        (
            "work",
            ["thermal", "pads_mm", "1.5", "pads_mm", "memory=2"],
            "pads_mm is given twice",
            "give one number, or one for each name, as in memory=1.5,stages=2",
        ),
        (
            "work",
            ["thermal", "pads_mm", "1.5,2"],
            'pads_mm cannot be "1.5,2"',
            "one for each, as in memory=1.5",
        ),
        ("work", ["thermal", "pads_mm", "a=1,a=2"], "pads_mm names a twice", "name each once"),
        ("work", ["fit", "u3", "probe", "t1=a", "probe", "t1=b"], "probe is given twice", "each name once"),
        ("work", ["fit", "u3", "probe", "t1=,t2=b"], 'probe cannot be "t1=,t2=b"', "write name=value"),
        ("wait", ["parts", "since", "soon"], '"soon" is not a day', "write it like 2026-10-19"),
        ("fate", ["kept", "owner_agreed", "no", "owner_agreed", "no"], "owner_agreed is given twice", ""),
        ("trial", ["picture", "pass", "limit", "core"], 'limit cannot be "core"', "write name=value"),
        ("warranty", ["6m", "Q214", "soon"], '"soon" does not fit in warranty', ""),
        ("work", ["reb", "u3"], '"reb" could be reball or rebuild-pads', "type more of it"),
        ("inject", ["v12", "volts", "1.0A"], "has a unit of current, not of voltage", "give it in"),
    ],
)
def test_a_slip_is_refused_with_the_way_to_mend_it(
    name: str, words: list[str], message: str, mend: str
) -> None:
    row = JOTS[name]
    with pytest.raises(MisuseError) as refused:
        entry_of(row, keys_of(row.path), words, {}, KNOWN)
    assert message in refused.value.message
    assert mend in refused.value.mend


def test_a_currency_must_be_known() -> None:
    row = JOTS["price"]
    with pytest.raises(MisuseError, match='quoted cannot be "160"'):
        entry_of(row, keys_of(row.path), ["quoted", "160"], {}, KNOWN._replace(currency=None))


def test_options_go_to_their_keys() -> None:
    row = JOTS["work"]
    entry = entry_of(row, keys_of(row.path), ["fit"], {"part": ("u3",), "near": ("u3", "q214")}, KNOWN)
    assert entry == {"did": "fit", "part": "U3", "near": ["U3", "Q214"]}


@pytest.mark.parametrize(
    ("words", "days"),
    [
        (["agreed"], {"agreed": date(2026, 10, 22)}),
        (["agr", "2026-10-20", "sent"], {"agreed": date(2026, 10, 20), "sent": date(2026, 10, 22)}),
        (["paid", "yesterday"], {"paid": date(2026, 10, 21)}),
    ],
)
def test_days(words: list[str], days: dict[str, date]) -> None:
    assert dates_of(keys_of(("dates",)), words, KNOWN) == days


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ([], "date needs a name"),
        (["agred"], '"agred" is not a date of a job'),
        (["sent", "2026-13-01"], "is not a day"),
    ],
)
def test_a_day_that_is_none_is_refused(words: list[str], message: str) -> None:
    with pytest.raises(MisuseError, match=message):
        dates_of(keys_of(("dates",)), words, KNOWN)


def test_keys_that_only_an_editor_should_change_are_left_out() -> None:
    assert {key.name for key in keys_of(())} == {"id", "client", "title", "outcome", "public"}
    assert "agreed" not in {key.name for key in keys_of(("price",))}


def test_a_key_tells_its_kind_choices_and_words() -> None:
    keys = {key.name: key for key in keys_of(("inject",))}
    assert keys["volts"] == Key(
        "volts",
        "quantity",
        "The voltage the supply was set to: never above the nominal of the lowest rail it may reach.",
        required=True,
        kind="voltage",
        example="1.0 V",
    )
