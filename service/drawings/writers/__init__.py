"""Drawings: writers, one for each media type, from a heading and a sheet's parts to bytes."""
