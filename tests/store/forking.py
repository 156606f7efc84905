"""Starts children of the warm process the tests run in, each with a pipe to tell by."""

from __future__ import annotations

import os
import sys
import traceback
import warnings
from collections.abc import Callable


def forked(work: Callable[[int], None]) -> tuple[int, int]:
    """Start a child that does the work, handed a pipe to tell by, and ends with 0 if all went well.

    A child uses the book alone and none of the threads of its parent, against which Python warns.

    Returns
    -------
    tuple
        The child's number, and the end of the pipe to read from.
    """
    reading, telling = os.pipe()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        child = os.fork()
    if child == 0:
        status = 1
        try:
            os.close(reading)
            work(telling)
            status = 0
        except BaseException:  # noqa: BLE001 - nothing of the child may go on in the parent's place
            sys.stderr.write(traceback.format_exc())
        finally:
            os._exit(status)
    os.close(telling)
    return child, reading


def all_told(child: int, reading: int) -> bytes:
    """Give all that a child told, once it has ended well."""
    with os.fdopen(reading, "rb") as pipe:
        told = pipe.read()
    _, status = os.waitpid(child, 0)
    assert os.waitstatus_to_exitcode(status) == 0
    return told
