"""Tests of the drawings room: files read back by other hands than those that wrote them."""
