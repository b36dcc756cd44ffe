"""Drawings: lists: tables whose words and numbers are a reply's."""
