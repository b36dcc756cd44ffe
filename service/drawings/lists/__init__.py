"""Drawings: lists, which are tables whose words and numbers are the reply's own."""
