"""Tests of the wire room, of the catalogue and of answer."""
