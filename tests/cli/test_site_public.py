"""Nothing private can be in the public site: random values in every other key are looked for in every byte of it."""

from __future__ import annotations

import io
import random
import re
from collections.abc import Iterator, Mapping
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
import tomlkit

from tests.books import BENCH, make_book, put
from tests.conftest import Run
from tests.schema.filled import filled

image = pytest.importorskip("PIL.Image", reason="Pillow is an extra of jobkit")

SHOWN = {
    "title", "outcome", "board.kind", "board.design", "cause.part", "cause.fault",
    "seen.check", "seen.what", "seen.passed", "seen.failed", "inject.rail", "inject.hottest",
    "pad.part", "pad.ball", "pad.carries", "pad.damage", "pad.repaired", "pad.side",
    "work.did", "work.part", "work.what", "work.alloy", "work.came",
    "reading.point", "reading.to", "reading.kind", "reading.state", "reading.stage", "trial.run",
    "intake.photos.caption", "seen.photos.caption", "pad.photos.caption", "work.photos.caption",
}  # fmt: skip
"""What a bench shows of a repair that it marks as public: all text else is private."""

_KEPT = {
    "format", "id", "public", "client", "dates", "used.from", "comeback.of", "invoice.number", "price.credit.number",
}  # fmt: skip
_BY_GRAMMAR = re.compile(r"\d+(\.\d+)? (EUR|Ω|V|A|°C|%)|>= .*|<= .*|P\d+D|[a-z-]+-rule|c-\d+")
_LETTERS = "bcdfghjkmnpqrstvwxz"


class Secrets:
    """Makes values that cannot be there by chance, and knows those that it made."""

    def __init__(self, seed: int) -> None:
        self._chance = random.Random(seed)  # noqa: S311 - the same each time
        self.made: list[str] = []

    def word(self) -> str:
        made = "".join(self._chance.choices(_LETTERS, k=14))
        self.made.append(made)
        return made

    def amount(self) -> str:
        made = f"{self._chance.randrange(100_000, 999_999)}.{self._chance.randrange(11, 99)}"
        self.made.append(made)
        return f"{made} EUR"

    def day(self) -> date:
        return date(2026, self._chance.randrange(1, 10), self._chance.randrange(1, 29))


def _secret(value: Any, place: str, secrets: Secrets) -> Any:
    """Put a value that was never seen in place of each text, amount and day that is not to be shown."""
    if isinstance(value, Mapping):
        return {
            (secrets.word() if place == "work.probe" else key): _secret(
                inner, f"{place}.{key}".lstrip("."), secrets
            )
            for key, inner in value.items()
        }
    if isinstance(value, list):
        return [_secret(one, place, secrets) for one in value]
    if not isinstance(value, str) or place in SHOWN or place in _KEPT:
        return value
    return _secret_text(value, place, secrets)


def _secret_text(value: str, place: str, secrets: Secrets) -> Any:
    if re.fullmatch(r"\d{4}-\d\d-\d\d", value):
        return secrets.day()
    if re.fullmatch(r"\d{4}-\d\d-\d\dT10:00:00", value):
        return datetime.combine(secrets.day(), datetime.min.time()).replace(hour=13, minute=37)
    if value.endswith("EUR"):
        return secrets.amount()
    if place.endswith((".file", ".log", ".heat", ".saved")):
        return f"{secrets.word()}{'.jpg' if place.endswith('.file') else '.csv'}"
    return value if _is_chosen(value) else secrets.word()


def _is_chosen(value: str) -> bool:
    """Tell whether a value is one of a list, or has a grammar: only text that is free can be secret."""
    return " " not in value or _BY_GRAMMAR.fullmatch(value) is not None


def _photo(secrets: Secrets) -> bytes:
    exif = image.Exif()
    exif[0x010E], exif[0x013B] = secrets.word(), secrets.word()
    exif.get_ifd(0x8825)[29] = secrets.word()
    out = io.BytesIO()
    image.new("RGB", (64, 48), "navy").save(out, "JPEG", exif=exif, comment=secrets.word().encode())
    return out.getvalue()


def _files_named(value: Any, ending: str) -> Iterator[str]:
    if isinstance(value, Mapping):
        for inner in value.values():
            yield from _files_named(inner, ending)
    elif isinstance(value, list):
        for inner in value:
            yield from _files_named(inner, ending)
    elif isinstance(value, str) and value.endswith(ending):
        yield value


def _book(root: Path, secrets: Secrets) -> Path:
    job = _secret(filled("job"), "", secrets)
    job["dates"] = {"received": date(2026, 9, 3), "started": date(2026, 9, 4), "finished": date(2026, 9, 5)}
    job["comeback"].pop("of")
    job["outcome"] = "repaired"
    # Photos without a caption, one of which is not there and one that is not a photo.
    job["seen"][0]["photos"] = [
        {"file": f"{secrets.word()}.jpg"},
        f"{secrets.word()}.png",
        f"{secrets.word()}.svg",
    ]
    other = _secret(filled("job"), "", secrets)
    other |= {"public": False, "id": "K26-0099", "title": secrets.word(), "dates": job["dates"]}
    private_bench = (
        f'address = ["{secrets.word()}"]\ntax_number = "{secrets.word()}"\naccount = "{secrets.word()}"\n'
    )
    book = make_book(
        root,
        {
            "bench.toml": BENCH.replace('currency = "EUR"\n', f'currency = "EUR"\n{private_bench}'),
            "jobs/2026/K26-0002.toml": tomlkit.dumps(job),
            "jobs/2026/K26-0099.toml": tomlkit.dumps(other),
            "private/clients.toml": f'[client.c-031]\nname = "{secrets.word()}"\naddress = ["{secrets.word()}"]\n',
        },
    )
    for name in _files_named(job, ".jpg"):
        put(book / "jobs/2026/K26-0002" / name, _photo(secrets))
    for name in _files_named(job, ".svg"):
        put(book / "jobs/2026/K26-0002" / name, f"<svg><title>{secrets.word()}</title></svg>")
    for name in _files_named(job, ".csv"):
        put(book / "jobs/2026/K26-0002" / name, f"# {secrets.word()}\ntime s,hot spot °C\n0,20\n60,80\n")
    return book


@pytest.mark.parametrize("seed", range(5))
def test_no_private_value_is_in_any_byte_of_the_public_site(run: Run, tmp_path: Path, seed: int) -> None:
    secrets = Secrets(seed)
    book = _book(tmp_path / "book", secrets)
    site = tmp_path / "site"
    ran = run("site", site, "--public", "--book", book, "--on", "2026-11-20")
    assert ran.status == 0, ran.err
    files = [path for path in site.rglob("*") if path.is_file()]
    assert (site / "jobs/K26-0002.html").is_file()
    assert len(list(site.glob("photos/*.jpg"))) >= 1
    assert len(secrets.made) > 80
    everything = b"\n".join(path.name.encode() + b"\n" + path.read_bytes() for path in files)
    assert [secret for secret in secrets.made if secret.encode() in everything] == []
    page = (site / "jobs/K26-0002.html").read_text("utf-8")
    assert page.count("a photo that cannot be shown") == 2
    assert "is not shown" in ran.err
    assert not re.findall(r"\d{4}-\d\d-\d\d|13:37", page)
    for shown in ("title 3", "check 71", "caption 109", "point 45", "part 140"):
        assert shown in page


def test_the_same_values_are_in_the_bench_s_own_site(run: Run, tmp_path: Path) -> None:
    """The search above can fail: most of what it looks for is in the site that is not public."""
    secrets = Secrets(1)
    book = _book(tmp_path / "book", secrets)
    assert run("site", tmp_path / "site", "--book", book, "--on", "2026-11-20").status == 0
    everything = b"".join(path.read_bytes() for path in (tmp_path / "site").rglob("*.html"))
    assert sum(secret.encode() in everything for secret in secrets.made) > 50
