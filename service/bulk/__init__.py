"""Bulk: the command that lays out many decks: python -m service.bulk. Never imports web."""
