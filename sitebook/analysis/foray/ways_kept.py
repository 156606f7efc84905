"""Writes a graph of ways as bytes to be kept, and reads it again."""

from __future__ import annotations

import io
import zipfile
from typing import Any

import numpy as np

from sitebook.analysis.foray.pace import MODES, Mode
from sitebook.analysis.foray.ways_graph import Network, WaysGraph

LAYOUT = 2
"""Number of the layout, and of how a graph is made; bytes of another are not read but made anew."""

OF_A_NETWORK = ("forward_min", "backward_min", "large", "row_starts", "neighbours", "minutes")


def pack(graph: WaysGraph) -> bytes:
    """Write a graph as bytes: numpy arrays in one uncompressed archive."""
    arrays: dict[str, Any] = {
        "layout": np.array([LAYOUT]),
        "centre": np.array([graph.lon, graph.lat]),
        "junctions_m": graph.junctions_m,
        "first": graph.first.astype(np.int32),
        "last": graph.last.astype(np.int32),
        "length_m": graph.length_m,
        "parking": graph.parking,
        "with_heights": graph.with_heights,
    }
    for mode, network in graph.networks.items():
        for name in OF_A_NETWORK:
            found = getattr(network, name)
            arrays[f"{mode}.{name}"] = found.astype(np.int32) if found.dtype == np.int64 else found
    written = io.BytesIO()
    np.savez(written, **arrays)
    return written.getvalue()


def unpack(kept: bytes) -> WaysGraph:
    """Read a graph from bytes that `pack` wrote.

    Raises
    ------
    ValueError
        When they are torn, no graph, or of another layout; it has to be made anew then.
    """
    try:
        with np.load(io.BytesIO(kept), allow_pickle=False) as arrays:
            if arrays["layout"].tolist() != [LAYOUT]:
                raise ValueError("the kept graph of ways has another layout")
            lon, lat = (float(value) for value in arrays["centre"])
            return WaysGraph(
                lon=lon,
                lat=lat,
                junctions_m=arrays["junctions_m"],
                first=arrays["first"].astype(np.int64),
                last=arrays["last"].astype(np.int64),
                length_m=arrays["length_m"],
                parking=arrays["parking"],
                with_heights=arrays["with_heights"],
                networks={mode: _network(arrays, mode) for mode in MODES},
            )
    except (KeyError, OSError, EOFError, TypeError, AttributeError, zipfile.BadZipFile) as reason:
        raise ValueError("the kept graph of ways cannot be read") from reason


def _network(arrays: np.lib.npyio.NpzFile, mode: Mode) -> Network:
    return Network(
        forward_min=arrays[f"{mode}.forward_min"],
        backward_min=arrays[f"{mode}.backward_min"],
        large=arrays[f"{mode}.large"],
        row_starts=arrays[f"{mode}.row_starts"].astype(np.int64),
        neighbours=arrays[f"{mode}.neighbours"].astype(np.int64),
        minutes=arrays[f"{mode}.minutes"],
    )
