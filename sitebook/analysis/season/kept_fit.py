"""Writes a fitted season as bytes to be kept, and reads it again; nothing that lies in them is run."""

from __future__ import annotations

import dataclasses
import hashlib
import io
import typing
import zipfile
from dataclasses import dataclass
from typing import Any

import numpy as np

from sitebook.analysis.season import parameters
from sitebook.analysis.season.design import Looks
from sitebook.analysis.season.held_out import Way
from sitebook.analysis.season.model import Fit
from sitebook.analysis.season.prior import SeasonPrior

LAYOUT = 2
"""Number of the layout, and of the model itself; bytes of another are not read but made anew."""


@dataclass(frozen=True)
class KeptFit:
    """A fitted season, and the way that is used for its taxon.

    Parameters
    ----------
    fit
        The fit.
    way
        Which way is used, why, and how the years held out were told.
    """

    fit: Fit
    way: Way


def packed(kept: KeptFit) -> bytes:
    """Write a fitted season as bytes: numpy arrays in one archive."""
    arrays: dict[str, Any] = {"layout": np.array(LAYOUT)}
    _lay_down(kept, "kept", arrays)
    written = io.BytesIO()
    np.savez_compressed(written, **arrays)
    return written.getvalue()


def unpacked(data: bytes) -> KeptFit:
    """Read a fitted season from bytes that `packed` wrote.

    Raises
    ------
    ValueError
        When they are torn, something else, or of another layout; it has to be fitted anew then.
    """
    try:
        with np.load(io.BytesIO(data), allow_pickle=False) as arrays:
            layout = int(arrays["layout"])
            found: KeptFit | None = _built(KeptFit, "kept", arrays) if layout == LAYOUT else None
    except (KeyError, OSError, EOFError, TypeError, ValueError, AttributeError, zipfile.BadZipFile) as reason:
        raise ValueError("the kept season cannot be read") from reason
    if found is None:
        raise ValueError(f"the kept season has another layout, {layout}")
    return found


def hash_of(looks: Looks, prior: SeasonPrior) -> str:
    """Give the SHA-256 of everything a fit is computed from, in hex."""
    arrays: dict[str, Any] = {}
    _lay_down(looks, "looks", arrays)
    _lay_down(prior, "prior", arrays)
    digest = hashlib.sha256(f"layout {LAYOUT}".encode())
    for name, value in sorted(arrays.items()):
        digest.update(f"{name} {value.dtype} {value.shape};".encode())
        digest.update(np.ascontiguousarray(value).tobytes())
    for name, number in sorted(parameters.model().items()):
        digest.update(f"{name}={number.value!r};".encode())
    return digest.hexdigest()


def _lay_down(value: object, name: str, arrays: dict[str, Any]) -> None:
    """Lay a record out as arrays, each under the way to it."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            _lay_down(getattr(value, field.name), f"{name}.{field.name}", arrays)
    elif isinstance(value, tuple):
        arrays[f"{name}.count"] = np.array(len(value))
        for number, one in enumerate(value):
            _lay_down(one, f"{name}.{number}", arrays)
    else:
        arrays[name] = np.asarray(value)


def _built(kind: Any, name: str, arrays: Any) -> Any:  # noqa: ANN401 - of whatever kind is asked for
    """Build a value of a kind again out of its arrays."""
    if dataclasses.is_dataclass(kind) and isinstance(kind, type):
        hints = typing.get_type_hints(kind)
        fields = {f.name: _built(hints[f.name], f"{name}.{f.name}", arrays) for f in dataclasses.fields(kind)}
        return kind(**fields)
    if typing.get_origin(kind) is tuple:
        inner = typing.get_args(kind)[0]
        return tuple(_built(inner, f"{name}.{at}", arrays) for at in range(int(arrays[f"{name}.count"])))
    found = arrays[name]
    return kind(found.item()) if kind in (int, float, str, bool) else found
