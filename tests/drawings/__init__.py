"""Tests of the drawings room: what it writes is read back by other libraries."""
