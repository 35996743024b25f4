"""What each photo of a job is of, and their order on a paper."""

from __future__ import annotations

from datetime import datetime

import pytest

from jobkit.jobs.entries import Pad, Photo, Seen, Work
from jobkit.jobs.job import Intake, Job
from jobkit.reckon.client.photos import photos

TAKEN = (Photo("a.jpg"),)
SUBJECTS: dict[str, Seen | Pad | Work] = {
    "check: smell": Seen((), check="smell", photos=TAKEN),
    "a check": Seen((), photos=TAKEN),
    "pad B4 of U1": Pad((), part="U1", ball="B4", photos=TAKEN),
    "pad of U1": Pad((), part="U1", photos=TAKEN),
    "pad B4": Pad((), ball="B4", photos=TAKEN),
    "pad": Pad((), photos=TAKEN),
    "work on U1": Work((), part="U1", photos=TAKEN),
    "work on the board": Work((), photos=TAKEN),
}


def _job(entries: list[Seen | Pad | Work], came: tuple[Photo, ...] = ()) -> Job:
    return Job(
        "jobs/2026/K26-0001.toml",
        "K26-0001",
        intake=Intake(photos=came),
        seen=tuple(one for one in entries if isinstance(one, Seen)),
        pads=tuple(one for one in entries if isinstance(one, Pad)),
        work=tuple(one for one in entries if isinstance(one, Work)),
    )


@pytest.mark.parametrize(("subject", "entry"), SUBJECTS.items(), ids=SUBJECTS)
def test_what_a_photo_is_of(subject: str, entry: Seen | Pad | Work) -> None:
    assert list(photos(_job([entry]))) == [(subject, TAKEN[0])]


def test_photos_are_in_the_order_in_which_they_were_taken() -> None:
    first, second = datetime(2026, 10, 6, 9), datetime(2026, 10, 6, 10)
    entries: list[Seen | Pad | Work] = [
        Seen((), at=second, check="eye", photos=(Photo("3.jpg"), Photo("4.jpg"))),
        Pad((), part="U1", ball="A1", photos=(Photo("5.jpg"),)),
        Work((), at=first, part="U1", photos=(Photo("2.jpg"),)),
    ]
    shown = list(photos(_job(entries, came=(Photo("1.jpg"),))))
    assert [photo.file for _, photo in shown] == [f"{number}.jpg" for number in range(1, 6)]
    assert shown[0][0] == "how it came"
