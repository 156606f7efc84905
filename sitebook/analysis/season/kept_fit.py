"""Writes a fitted season as bytes to be kept, and reads it again; nothing that lies in them is run."""

from __future__ import annotations

import dataclasses
import hashlib
import io
import operator
import tokenize
import typing
import zipfile
import zlib
from dataclasses import dataclass
from typing import Any

import numpy as np

from sitebook.analysis.season import parameters
from sitebook.analysis.season.design import COLUMNS, WEATHER, Ints, Levels, Looks
from sitebook.analysis.season.held_out import Way
from sitebook.analysis.season.model import Fit
from sitebook.analysis.season.prior import SeasonPrior
from sitebook.analysis.season.simpler import SIMPLER
from sitebook.records.results.fruiting import SEASON_MODEL

LAYOUT = 4
"""Number of the layout, and of the model itself; bytes of another are not read but made anew."""
MOST_BYTES = 2**28
"""Bytes that an archive may hold once inflated; 10,000 trees over fifty years come to 30 million."""
UNREADABLE = (
    LookupError,
    OSError,
    EOFError,
    TypeError,
    ValueError,
    AttributeError,
    ArithmeticError,
    MemoryError,
    RuntimeError,
    SyntaxError,
    tokenize.TokenError,
    zipfile.BadZipFile,
    zlib.error,
)
"""What numpy and zipfile raise over bytes that nobody wrote with them."""


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
        When they are torn, something else, no fit that could be, or of another layout; it has to be
        fitted anew then.
    """
    try:
        _refuse_a_bomb(data)
        with np.load(io.BytesIO(data), allow_pickle=False) as arrays:
            layout = int(arrays["layout"])
            found: KeptFit | None = _built(KeptFit, "kept", arrays) if layout == LAYOUT else None
        if found is not None:
            _refuse_misfits(found)
    except UNREADABLE as reason:
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
        count = _read(int, arrays[f"{name}.count"])
        return tuple(_built(inner, f"{name}.{at}", arrays) for at in range(count))
    return _read(kind, arrays[name])


def _read(kind: Any, found: Any) -> Any:  # noqa: ANN401 - of whatever kind is asked for
    """Give an array as a number, a text or itself, if it is of the kind asked for and finite."""
    is_one = kind in (int, float, str, bool)
    wanted = np.dtype(kind if is_one else typing.get_args(typing.get_args(kind)[1])[0])
    if found.dtype.kind != wanted.kind or (is_one and found.shape != ()):
        raise ValueError("an array of another kind")
    if wanted.kind == "f" and not np.isfinite(found).all():
        raise ValueError("a number that is not finite")
    return kind(found.item()) if is_one else found


def _refuse_a_bomb(data: bytes) -> None:
    """Raise unless an archive is packed as `packed` does and holds no more than may be."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        members = archive.infolist()
    if any(one.compress_type != zipfile.ZIP_DEFLATED for one in members):
        raise ValueError("packed in another way")
    if sum(one.file_size for one in members) > MOST_BYTES:
        raise ValueError("more than any fit holds")


def _refuse_misfits(kept: KeptFit) -> None:
    """Raise unless the arrays of a fit go together, so that whoever asks it gets an answer."""
    fit, levels = kept.fit, kept.fit.levels
    for known in (levels.hosts, levels.sites, levels.trees, levels.years):
        if known.ndim != 1 or np.any(np.diff(known) <= 0):
            raise ValueError("levels that are not in order")
    for way, shape in _shapes(levels).items():
        if operator.attrgetter(way)(fit).shape != shape:
            raise ValueError(f"{way} of another shape")
    if not (_within(levels.tree_site, levels) and _within(fit.factor.curvature.tree_site, levels)):
        raise ValueError("a tree at no site")
    if min(dataclasses.astuple(fit.spreads)) <= 0.0 or kept.way.name not in {SEASON_MODEL, *SIMPLER}:
        raise ValueError("spreads or a way that cannot be")
    if min(fit.looks, fit.finds, kept.way.told_finds, kept.way.came_finds) < 0:
        raise ValueError("a count below nothing")


def _within(tree_site: Ints, levels: Levels) -> bool:
    return bool(np.all((tree_site >= 0) & (tree_site <= levels.sites.size)))


def _shapes(levels: Levels) -> dict[str, tuple[int, ...]]:
    """Give the shape of each array of a fit that knows these hosts, sites, trees and years."""
    shared = COLUMNS + levels.hosts.size + 2 * levels.years.size
    sites, trees = levels.sites.size, levels.trees.size
    parts: dict[str, tuple[int, ...]] = {
        "shared": (shared, shared),
        "shared_site": (shared, sites),
        "shared_tree": (shared, trees),
        "site": (sites,),
        "tree": (trees,),
        "site_tree": (trees,),
    }
    return {
        "levels.tree_site": (trees,),
        "mean": (shared + sites + trees,),
        "weather_covariance": (len(WEATHER), len(WEATHER)),
        **{f"factor.curvature.{name}": shape for name, shape in parts.items()},
        "factor.curvature.tree_site": (trees,),
        "factor.site": (sites,),
        "factor.shared_site": (shared, sites),
        "factor.root": (shared, shared),
        **{f"covariance.{name}": tuple(n + 1 for n in shape) for name, shape in parts.items()},
    }
