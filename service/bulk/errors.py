"""Bulk: what stops the command, each in one plain line."""

from __future__ import annotations


class BulkError(Exception):
    """The command cannot begin, or cannot go on; its words say why and where."""
