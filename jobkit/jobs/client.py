"""A client as papers name them. Names and addresses never go into git; a job knows the reference alone."""

from __future__ import annotations

from jobkit.named_tuple import NamedTuple


class Client(NamedTuple):
    """Who owns the boards of one reference such as "c-031". `language` is the tag (BCP 47) of that of its papers."""

    ref: str
    name: str
    address: tuple[str, ...] = ()
    country: str | None = None
    mail: str | None = None
    phone: str | None = None
    tax_number: str | None = None
    language: str | None = None
