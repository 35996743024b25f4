"""Two names of a folder swapped in one step, so that whatever had a name is still there to be looked at.

Linux: renameat2(2) with RENAME_EXCHANGE. macOS: renameatx_np(2) with RENAME_SWAP (type-checked, but never run). Python
has neither, so the system's own library is called.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from functools import cache

_SWAP = 2  # both systems give the flag this value
_NOT_HERE = frozenset((errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP))


def swap(folder: int | None, one: str, other: str) -> bool:
    """Swap two names in an open folder; return False where the system or the disk cannot. Raises OSError."""
    call = _call()
    if call is None or folder is None:
        return False
    number = call(folder, os.fsencode(one), os.fsencode(other))
    if number in _NOT_HERE:
        return False
    if number:
        raise OSError(number, os.strerror(number), one)
    return True


@cache
def _call() -> Callable[[int, bytes, bytes], int] | None:
    """Return what swaps names and returns an error number, 0 for none; None where the system has no such call."""
    import ctypes  # noqa: PLC0415 - takes 2 ms, and only writing needs it

    try:
        library = ctypes.CDLL(None, use_errno=True)
    except (OSError, TypeError):  # as on Windows
        return None
    function = getattr(library, "renameat2", None) or getattr(library, "renameatx_np", None)
    if function is None:
        return None
    function.argtypes = (ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_uint)

    def call(folder: int, one: bytes, other: bytes) -> int:
        return ctypes.get_errno() if function(folder, one, folder, other, _SWAP) else 0

    return call
