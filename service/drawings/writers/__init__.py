"""Drawings: writers, one a media type, each from a heading and the parts of a sheet to bytes."""
