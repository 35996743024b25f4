"""What every refusal of this room promises, whatever was typed."""

from __future__ import annotations

from collections.abc import Callable

from jobkit.units.limit import LimitError
from jobkit.units.quantity import QuantityError


def check_promise(refused: QuantityError | LimitError, read: Callable[[str], object]) -> None:
    """Hold a refusal to it: one line, a way out, and offers that can be read."""
    assert refused.message.isprintable()
    assert refused.mend.isprintable()
    assert refused.mend
    for offer in refused.meant:
        assert f'"{offer}"' in refused.mend
        read(offer)
