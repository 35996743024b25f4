"""Low-melt removal alloy on the site of a part: from the removal that used it until the site is prepared.

Sn42Bi58 melts at 138 °C. Left on the site, it makes the new joints melt far below the solder they were made with.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from jobkit.jobs.entries import Work
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.heat.part_places import in_order

_OFF, _JOINTS = frozenset(("remove", "swap")), frozenset(("fit", "swap", "reflow"))


class AlloyLeft(NamedTuple):
    """A fitting on a site on which the alloy of an earlier removal was left."""

    fitting: Work
    removal: Work


def alloy_left(work: Iterable[Work]) -> Iterator[AlloyLeft]:
    """Find the fittings on a site that was not prepared since alloy was used on it; a swap may be its own removal."""
    for fitting, removal in _sites(work):
        if fitting:
            yield AlloyLeft(fitting, removal)


def sites_to_clean(work: Iterable[Work]) -> dict[str, str]:
    """Name the alloy on each site that has still to be cleaned of it, by part."""
    left = (removal for fitting, removal in _sites(work) if fitting is None)
    return {one.part: one.removal_alloy for one in left if one.part and one.removal_alloy}


def _sites(work: Iterable[Work]) -> Iterator[tuple[Work | None, Work]]:
    """Pair each removal with alloy whose site was not prepared with the fitting that came next; None for none so far.

    A preparation that names no part is of every site.
    """
    on_site: dict[str, Work] = {}
    for one in in_order(work):
        if one.did == "prepare":
            for part in [one.part] if one.part else [*on_site]:
                on_site.pop(part, None)
        if one.removal_alloy and one.part and one.did in _OFF:
            on_site[one.part] = one
        if one.did in _JOINTS and one.part in on_site:
            yield one, on_site.pop(one.part)
    yield from ((None, removal) for removal in on_site.values())
