"""Drawings: a result in, one self-contained HTML page out."""
