"""Whether the process of the client is there: one that dies may leave its pipe open in another hand."""

from __future__ import annotations

import os
import sys


def is_there(process: int | None) -> bool:
    """Tell whether a process is there; False where that cannot be told, as in another container or on Windows."""
    if not process or process < 0 or sys.platform == "win32":
        return False
    try:
        os.kill(process, 0)
    except PermissionError:
        return True
    except (OSError, OverflowError):
        return False
    return True
